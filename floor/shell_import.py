"""`floor import`: a roster (CSV), a history kept in a spreadsheet, or a folder that `floor export` wrote."""

from __future__ import annotations

import argparse
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from floor.core.columns import FIELDS, find_columns, read_map
from floor.core.gym import Grade
from floor.core.history import Odd, grouped
from floor.core.olddates import STYLES
from floor.core.units import UNITS
from floor.core.words import many
from floor.session import Done, Outcome, Refused, Session
from floor.shell_gym import agreed, gym_path, no, shown, with_gym

if TYPE_CHECKING:
    from floor.exchange.headings import Asked

HISTORY = "history"
_UNDONE = "undo in `floor` takes all of it back within 12 hours, unless a session or a changed document came after it."
_USAGE = "floor import [options] (ROSTER.csv ... | history FILE ... | FOLDER)"
_SAYS = """\
floor import ROSTER.csv       lifter, lift, sets, reps, load, unit: what each starts with
floor import history FILE     sets of the past from CSV or XLSX
floor import FOLDER           what `floor export` wrote, into a gym that is still empty

A roster and a history are shown as they are read, then asked about. Several
files come in one after the other; each is taken whole or not at all. A history
has a row a set (date, lifter, lift, load, reps) or a row a lift in shorthand
(date, lifter, lift, work): 3x5 100, 100x5,5,4, 5 5 4 @ 220lb, bar x5.
"""


def import_arguments(parser: argparse.ArgumentParser) -> None:
    """What `floor import` takes."""
    parser.formatter_class = argparse.RawDescriptionHelpFormatter
    parser.description, parser.usage = _SAYS, _USAGE
    parser.add_argument("what", nargs="+", metavar="FILE", help="the files, or the folder of an export")
    parser.add_argument("--yes", action="store_true", help="take it without asking")
    parser.add_argument("--yes-odd", action="store_true", help="take what looks odd as it is")
    said = parser.add_argument_group("of a history's file")
    said.add_argument("--map", action="append", default=[], metavar="HEADING=FIELD", help=", ".join(FIELDS))
    said.add_argument("--lift", action="append", default=[], metavar="WRITTEN=LIFT", help="a lift by another name")
    said.add_argument("--skip-lift", action="append", default=[], metavar="WRITTEN", help="leave out a lift's rows")
    said.add_argument("--loads", choices=UNITS, default="", help="the unit of loads without one (default: the gym's)")
    said.add_argument("--dates", choices=STYLES, default="", help="whether 3/4/2026 is in April or in March")
    said.add_argument("--sheet", action="append", default=[], metavar="NAME", help="read this sheet only")
    said.add_argument("--sheet-is", choices=("lifter", "lift"), default="", help="what the sheets' names say")
    said.add_argument("--all-lifter", default="", metavar="NAME", help="everything is this lifter's")
    said.add_argument("--all-lift", default="", metavar="LIFT", help="everything is this lift")
    said.add_argument("--fill", action="store_true", help="an empty date, name or lift is the one above it")


def bring(options: argparse.Namespace) -> int:
    """Bring in what was named."""
    history = options.what[0] == HISTORY and len(options.what) > 1
    paths = [Path(word) for word in options.what[history:]]
    if not history and len(paths) == 1 and paths[0].is_dir():
        return _export(options, paths[0])
    if folder := next((path for path in paths if path.is_dir()), None):
        return no(f"{folder} is a folder: an export is brought in on its own. Nothing was taken.")
    if history:
        return _histories(options, paths)
    for path in paths:
        if path.suffix.lower() in (".xlsx", ".xlsm", ".xls"):
            return no(f"A roster is a CSV file. If {path.name} is a history: floor import history {path}")
    return with_gym(options, lambda session: _each(paths, lambda path: _roster(session, path, options)), empty=False)


def _each(paths: Sequence[Path], body: Callable[[Path], int]) -> int:
    """One file after the other; the first that is not taken is the last that is looked at."""
    for done, path in enumerate(paths):
        if status := body(path):
            if done:
                no(f"The {many(done, 'file')} before {path.name} stay as they were taken.")
            return status
    return 0


def _export(options: argparse.Namespace, folder: Path) -> int:
    from floor.journal.comeback import bring_back

    path = gym_path(options)
    back = bring_back(folder, path)
    print(f"The same gym is back in {path}: {back.events:,} events, {back.people} lifters.")
    if not back.named:
        print('The export held no names. Name them anew: floor rename "Lifter 1" "Full Name"')
    return 0


def _roster(session: Session, path: Path, options: argparse.Namespace) -> int:
    from floor.roster import odd_loads, prepare_roster, roster_lines

    prepared = prepare_roster(session, path)
    if isinstance(prepared, Refused):
        return no(prepared.words + (f"\nIf it is a history: floor import history {path}" if _has_dates(path) else ""))
    print(shown(roster_lines(prepared, session)))
    if not prepared.command.rows:
        print("All of it is so already: nothing to change.")
        return 0
    if prepared.odd and not options.yes_odd:
        return no(odd_loads(prepared))
    if not options.yes and not agreed("Bring it in?", "take it"):
        return no("Nothing was taken.")
    outcome = session.do(prepared.command, prepared.people)
    if not isinstance(outcome, Done):
        return no(outcome.words)
    lines = [e for e in outcome.events if e.kind == "next_planned"]
    lifters = len({e.lifter for e in lines})
    print(f"{many(len(lines), 'lift')} for {many(lifters, 'lifter')} taken, {len(prepared.people)} of them new.")
    print(f"The gym file is {session.journal.path}; {_UNDONE}")
    return 0


def _has_dates(path: Path) -> bool:
    """Whether a column is called as a date is: then it is hardly a roster."""
    from floor.exchange.spreadsheet import Unreadable, read_spreadsheet

    sheets = read_spreadsheet(path)
    if isinstance(sheets, Unreadable) or not sheets[0].rows:
        return False
    return "date" in find_columns(sheets[0].rows[0].cells, {}).places


def _histories(options: argparse.Namespace, paths: Sequence[Path]) -> int:
    from floor.exchange.headings import Asked

    headings = read_map(options.map)
    if isinstance(headings, str):
        return no(headings)
    lifts = dict(pair.rsplit("=", 1) for pair in options.lift if "=" in pair)
    if not all("=" in pair for pair in options.lift):
        return no('--lift is WRITTEN=LIFT, as in --lift "back squat=squat".')
    asked = Asked(
        headings, {written.strip(): lift.strip() for written, lift in lifts.items()}, options.loads, options.dates,
        options.all_lifter, options.all_lift, options.sheet_is, tuple(options.sheet), options.fill,
        tuple(options.skip_lift),
    )

    def body(session: Session) -> int:
        return _each(paths, lambda path: _history(session, path, options, asked))

    return with_gym(options, body, empty=False)


def _history(session: Session, path: Path, options: argparse.Namespace, asked: Asked) -> int:
    from floor.exchange.history import Prepared, prepare
    from floor.exchange.preview import preview

    prepared = prepare(session, path, asked)
    if not isinstance(prepared, Prepared):
        return no(prepared.words)
    names = {person.id: person.name for person in session.people.values()}
    print(shown(preview(prepared, session.state, names, asked.unit)))
    if not prepared.command.days:
        print("There is nothing new: nothing was changed.")
        return 0
    if prepared.odd and not options.yes_odd:
        return no(_odd(prepared.odd) + "\nNothing was taken.")
    if prepared.odd:
        print(shown([*_odd(prepared.odd).splitlines(), "All of it is taken as it is: --yes-odd says so."]))
    if not options.yes and not agreed("Bring it in?", "take it"):
        return no("Nothing was taken.")
    return _told(session, session.do(prepared.command, prepared.people))


def _odd(odd: tuple[Odd, ...]) -> str:
    rows = "\n".join(f"  {line}" for line in grouped(odd))
    return f"These look odd:\n{rows}"


def _told(session: Session, outcome: Outcome) -> int:
    from floor.exchange.starting import starting_lines

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
            f"{whose} came in without grades: they count for loads and estimated maxima, not for form. "
            f"A grade column ({', '.join(g for g in Grade if g is not Grade.UNSEEN)}) would count."
        )
    brought: dict[int, dict[str, None]] = {}
    for event in outcome.events:
        if event.kind == "set_ended" and event.lifter is not None and event.lift is not None:
            brought.setdefault(event.lifter, {})[event.lift] = None
    if lines := starting_lines(session, brought):
        print(shown(lines))
    print(f"The gym file is {session.journal.path}; {_UNDONE}")
    return 0
