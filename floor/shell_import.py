"""`floor import`: a roster (CSV), a history kept in a spreadsheet, or a folder that `floor export` wrote."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path

from floor.core.columns import FIELDS, find_columns, read_map
from floor.core.gym import Grade
from floor.core.history import Odd
from floor.core.olddates import STYLES
from floor.core.units import UNITS
from floor.session import Done, Outcome, Session
from floor.shell_gym import gym_path, no, with_gym

HISTORY = "history"
_ROSTER_SAYS = """\
floor import ROSTER.csv       lifter, lift, sets, reps, load, unit: what each starts with
floor import history FILE     sets of the past from CSV or XLSX; shows first, then asks
floor import FOLDER           what `floor export` wrote, into a gym that is still empty

A history has a row a set (date, lifter, lift, load, reps) or a row a lift in
shorthand: 3x5 100, 100x5,5,4, 5 5 4 @ 220lb, bar x5. All of it is taken or none.
"""


def import_arguments(parser: argparse.ArgumentParser) -> None:
    """What `floor import` takes."""
    parser.formatter_class = argparse.RawDescriptionHelpFormatter
    parser.description = _ROSTER_SAYS
    parser.add_argument("what", nargs="+", metavar="[history] FILE", help="the file, or the folder of an export")
    parser.add_argument("--yes", action="store_true", help="take it without asking")
    parser.add_argument("--yes-odd", action="store_true", help="take what looks odd as it is")
    said = parser.add_argument_group("of a history's file")
    said.add_argument("--map", action="append", default=[], metavar="HEADING=FIELD", help=", ".join(FIELDS))
    said.add_argument("--lift", action="append", default=[], metavar="WRITTEN=LIFT", help="a lift by another name")
    said.add_argument("--loads", choices=UNITS, default="", help="the unit of loads without one (default: the gym's)")
    said.add_argument("--dates", choices=STYLES, default="", help="whether 3/4/2026 is in April or in March")
    said.add_argument("--sheet", action="append", default=[], metavar="NAME", help="read this sheet only")
    said.add_argument("--sheet-is", choices=("lifter", "lift"), default="", help="what the sheets' names say")
    said.add_argument("--all-lifter", default="", metavar="NAME", help="everything is this lifter's")
    said.add_argument("--all-lift", default="", metavar="LIFT", help="everything is this lift")
    said.add_argument("--fill", action="store_true", help="an empty date, name or lift is the one above it")


def bring(options: argparse.Namespace) -> int:
    """Bring in what was named."""
    what: list[str] = options.what
    if len(what) == 2 and what[0] == HISTORY:
        return _history(options, Path(what[1]))
    if len(what) != 1:
        return no("Name one file, or `history` and a file. Nothing was taken.")
    path = Path(what[0])
    if path.is_dir():
        return _export(options, path)
    if path.suffix.lower() in (".xlsx", ".xlsm", ".xls"):
        return no(f"A roster is a CSV file. If {path.name} is a history: floor import history {path}")
    return with_gym(options, lambda session: _roster(session, path, options.yes_odd))


def _export(options: argparse.Namespace, folder: Path) -> int:
    from floor.journal.comeback import bring_back

    path = gym_path(options)
    back = bring_back(folder, path)
    print(f"The same gym is back in {path}: {back.events:,} events, {back.people} lifters.")
    if not back.named:
        print("The export held no names: lifters are called by their numbers until you rename them.")
    return 0


def _roster(session: Session, path: Path, yes_odd: bool) -> int:
    from floor.roster import bring_roster

    outcome = bring_roster(session, path, yes_odd)
    if not isinstance(outcome, Done):
        hint = f"\nIf it is a history: floor import history {path}" if _has_dates(path) else ""
        return no(outcome.words + hint)
    lines = [e for e in outcome.events if e.kind == "next_planned"]
    new = [e for e in outcome.events if e.kind == "lifter_joined"]
    print(f"{len(lines)} lifts for {len({e.lifter for e in lines})} lifters taken, {len(new)} of them new.")
    print(f"The gym file is {session.journal.path}; `floor` opens it.")
    return 0


def _has_dates(path: Path) -> bool:
    """Whether a column is called as a date is: then it is hardly a roster."""
    from floor.exchange.spreadsheet import Unreadable, read_spreadsheet

    sheets = read_spreadsheet(path)
    if isinstance(sheets, Unreadable) or not sheets[0].rows:
        return False
    return "date" in find_columns(sheets[0].rows[0].cells, {}).places


def _history(options: argparse.Namespace, path: Path) -> int:
    from floor.exchange.history import Asked

    headings = read_map(options.map)
    if isinstance(headings, str):
        return no(headings)
    lifts = dict(pair.rsplit("=", 1) for pair in options.lift if "=" in pair)
    if len(lifts) < len(options.lift):
        return no('--lift is WRITTEN=LIFT, as in --lift "back squat=squat".')
    asked = Asked(
        headings, {written.strip(): lift.strip() for written, lift in lifts.items()}, options.loads, options.dates,
        options.all_lifter, options.all_lift, options.sheet_is, tuple(options.sheet), options.fill,
    )

    def body(session: Session) -> int:
        from floor.exchange.history import Prepared, prepare
        from floor.exchange.preview import preview

        prepared = prepare(session, path, asked)
        if not isinstance(prepared, Prepared):
            return no(prepared.words)
        print("\n".join(preview(prepared, session.state.gym, asked.unit)))
        if not prepared.command.days:
            print("There is nothing new: nothing was changed.")
            return 0
        if prepared.odd and not options.yes_odd:
            return no(_odd(prepared.odd))
        if not options.yes and not _asked():
            return no("Nothing was taken.")
        return _told(session, session.do(prepared.command, prepared.people))

    return with_gym(options, body)


def _odd(odd: tuple[Odd, ...]) -> str:
    rows = "\n".join(f"  {one}" for one in odd)
    return f"These look odd:\n{rows}\nNothing was taken."


def _asked() -> bool:
    if not sys.stdin.isatty():
        print("Say --yes to take it.", file=sys.stderr)
        return False
    try:
        return input("Bring it in? Type yes: ").strip().lower() in ("yes", "y")
    except EOFError:
        return False


def _told(session: Session, outcome: Outcome) -> int:
    from floor.exchange.preview import many

    if not isinstance(outcome, Done):
        return no(outcome.words)
    sets = sum(e.kind == "set_ended" for e in outcome.events)
    days = len({e.happened for e in outcome.events if e.kind == "set_ended"})
    new = sum(e.kind == "lifter_joined" for e in outcome.events)
    plans = sum(e.kind == "next_planned" for e in outcome.events)
    joined = f"{many(new, 'new lifter')}, next time planned for {many(plans, 'lift')}"
    print(f"{many(sets, 'set')} on {many(days, 'day')} brought in; {joined}.")
    bare = sum(e.kind == "set_ended" and e.grade == Grade.UNSEEN for e in outcome.events)
    if bare:
        whose = "Loads and reps" if bare == sets else f"Loads and reps of {many(bare, 'set')}"
        print(
            f"{whose} came in without grades: they count for what was lifted, not for form or maxima. "
            f"A grade column ({', '.join(g for g in Grade if g is not Grade.UNSEEN)}) would count."
        )
    print(f"The gym file is {session.journal.path}; undo in `floor` takes all of it back.")
    return 0
