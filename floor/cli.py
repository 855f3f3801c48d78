"""The shell: parse, call, print. Nothing is decided here."""

from __future__ import annotations

import argparse
import sys
import tempfile
from collections.abc import Sequence
from pathlib import Path

from floor.clock import WallClock, local_zone
from floor.core.units import UNITS
from floor.journal.errors import JournalError
from floor.journal.log import Journal
from floor.session import BadDefinitions, Done, Session
from floor.shell_card import card_arguments, print_card
from floor.templates import TemplatesMissing, templates


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one shell command; the exit status is 0 when it did what was asked."""
    options = _parser().parse_args(arguments)
    try:
        return int(options.run(options))
    except (JournalError, BadDefinitions, TemplatesMissing, OtherUnit) as error:
        print(error, file=sys.stderr)
        return 1


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="floor", description="Runs a barbell coach's evening from the keyboard, on one gym file."
    )
    parser.add_argument("--gym", type=Path, metavar="FILE", help="the gym file (default: in your data directory)")
    parser.add_argument("--unit", choices=UNITS, help="the unit of a gym file that is made now (default: kg)")
    parser.set_defaults(run=_open)
    commands = parser.add_subparsers(title="commands", metavar="")
    demo = commands.add_parser("demo", help="open a throw-away copy of the demo gym")
    demo.add_argument("--keep", type=Path, metavar="FILE", help="keep the copy there")
    demo.add_argument("--make-only", action="store_true", help="make the copy and don't open it")
    demo.set_defaults(run=_demo)
    roster = commands.add_parser("import", help="bring a roster in: lifter, lift, sets, reps, load, unit")
    roster.add_argument("file", type=Path, metavar="FILE.csv")
    roster.set_defaults(run=_import)
    show = commands.add_parser("show", help="print one of the gym's documents, to edit it")
    show.add_argument("document", choices=("equipment", "lifts", "programmes", "settings"))
    show.set_defaults(run=_show)
    adopt = commands.add_parser("adopt", help="adopt an edited document: a new version, the old one is kept")
    adopt.add_argument("document", choices=("equipment", "lifts", "programmes", "settings"))
    adopt.add_argument("file", type=Path, metavar="FILE.toml")
    adopt.set_defaults(run=_adopt)
    forget = commands.add_parser("forget", help="erase a lifter's name and notes for good")
    forget.add_argument("name", help="the full name, as it stands in the gym")
    forget.set_defaults(run=_forget)
    plan = commands.add_parser("plan", help="plan a described evening: order, times, waits, beside the rising bar")
    plan.add_argument("file", type=Path, metavar="FILE.json", help="the format is described in floor/plan_file.py")
    plan.add_argument("--json", action="store_true", help="print it as JSON")
    plan.set_defaults(run=_plan)
    ask = commands.add_parser("ask", help="ask the gym a question in SQL: one SELECT, which changes nothing")
    ask.add_argument("sql", metavar="SQL", help='the question, as in "SELECT * FROM week"; - reads it from the input')
    how = ask.add_mutually_exclusive_group()
    how.add_argument("--csv", dest="kind", action="store_const", const="csv", help="print it as CSV")
    how.add_argument("--json", dest="kind", action="store_const", const="json", help="print it as JSON")
    how.add_argument("--parquet", type=Path, metavar="FILE", help="write it to a new .parquet file")
    ask.set_defaults(run=_ask, kind="")
    stack = commands.add_parser("stack", help="the plates for one load: the finished bar, then the change")
    stack.add_argument("load", metavar="LOAD", help="in the gym's unit, as in 102.5")
    stack.add_argument("--bar", default="", help="the bar (default: the one that stands where the lift is done)")
    stack.add_argument("--lift", default="", help="for a pull from the floor: with full-size plates")
    stack.add_argument("--from", dest="now", metavar="PLATES", help='what is on one side now, as in "25 10"')
    stack.add_argument("--json", action="store_true", help="print it as JSON")
    stack.set_defaults(run=_stack)
    card = commands.add_parser("card", help="a lifter's card for next session; without one, the evening's summary")
    card_arguments(card)
    card.set_defaults(run=_card, form="text")
    for command in (roster, show, adopt, forget, ask, stack, card):
        command.add_argument("--gym", type=Path, metavar="FILE", default=argparse.SUPPRESS)
    return parser


def default_gym() -> Path:
    """Where a coach's own gym file is kept: the user's data directory."""
    import platformdirs

    return Path(platformdirs.user_data_dir("floor", appauthor=False)) / "gym.duckdb"


class OtherUnit(Exception):
    """The gym file is there already, in another unit than the one asked for."""


def open_session(path: Path, unit: str | None = None) -> Session:
    """Open a coach's own gym file, or make it in `unit` (kg when None).

    Raises the journal's errors, BadDefinitions, and OtherUnit for a gym that was made in another unit.
    """
    clock = WallClock()
    new = unit or "kg"
    journal = Journal.open(path, now=clock.now(), zone=local_zone(), unit=new, templates=templates(unit=new))
    session = Session(journal, clock)
    kept = session.state.gym.unit
    if unit is not None and kept != unit:
        journal.close()
        raise OtherUnit(f"{path} is in {kept}, and stays so: a gym's unit is set when its file is made.")
    return session


def _own(options: argparse.Namespace) -> Session:
    return open_session(options.gym or default_gym(), options.unit)


def _open(options: argparse.Namespace) -> int:
    return _run(_own(options))


def _run(session: Session) -> int:
    from floor.tui.app import FloorApp

    app = FloorApp(session, session.journal.opening.words)
    try:
        app.run(mouse=False)
        return app.return_code or 0
    finally:
        session.journal.close()


def _demo(options: argparse.Namespace) -> int:
    keep: Path | None = options.keep
    if options.unit == "lb":
        print("The demo gym is in kg. `floor --unit lb --gym FILE` makes a gym in pounds.", file=sys.stderr)
        return 1
    if keep is None and not options.make_only:
        with tempfile.TemporaryDirectory(prefix="floor-demo-") as folder:
            return _open_demo(Path(folder) / "demo.duckdb", "thrown away when you leave; --keep FILE keeps it", False)
    path = keep or Path(tempfile.mkdtemp(prefix="floor-demo-")) / "demo.duckdb"
    return _open_demo(path, "opened as it is" if path.exists() else "kept", options.make_only)


def _open_demo(path: Path, what: str, make_only: bool) -> int:
    from floor.demo import make_demo

    if not path.exists():
        print("Making the demo gym: twelve simulated weeks, a few seconds.", flush=True)
        make_demo(path, WallClock().now(), local_zone())
    print(f"The demo gym is {path} ({what}).", flush=True)
    return 0 if make_only else _run(open_session(path))


def _import(options: argparse.Namespace) -> int:
    from floor.roster import bring_roster

    session = _own(options)
    try:
        outcome = bring_roster(session, options.file)
        if not isinstance(outcome, Done):
            print(outcome.words, file=sys.stderr)
            return 1
        lines = [e for e in outcome.events if e.kind == "next_planned"]
        new = [e for e in outcome.events if e.kind == "lifter_joined"]
        print(f"{len(lines)} lifts for {len({e.lifter for e in lines})} lifters taken, {len(new)} of them new.")
        print(f"The gym file is {session.journal.path}; `floor` opens it.")
        return 0
    finally:
        session.journal.close()


def _ask(options: argparse.Namespace) -> int:
    from floor.shell_ask import ask

    path: Path = options.gym or default_gym()
    if not path.exists():
        print(f"There is no gym file at {path}.", file=sys.stderr)
        return 1
    session = _own(options)
    try:
        sql = sys.stdin.read() if options.sql == "-" else options.sql
        return ask(session, sql, options.kind or "", options.parquet)
    finally:
        session.journal.close()


def _stack(options: argparse.Namespace) -> int:
    from floor.shell_stack import finish, tell

    path: Path = options.gym or default_gym()
    if not path.exists():
        print(f"There is no gym file at {path}; `floor` makes one.", file=sys.stderr)
        return 1
    session = _own(options)
    try:
        return tell(finish(session.state.gym, options.load, options.bar, options.lift, options.now), options.json)
    finally:
        session.journal.close()


def _card(options: argparse.Namespace) -> int:
    path: Path = options.gym or default_gym()
    if not path.exists():
        print(f"There is no gym file at {path}; `floor` makes one.", file=sys.stderr)
        return 1
    session = _own(options)
    try:
        return print_card(session, options.lifter, options.form, options.out)
    finally:
        session.journal.close()


def _show(options: argparse.Namespace) -> int:
    session = _own(options)
    try:
        print(session.journal.read().definitions[options.document][1], end="")
        return 0
    finally:
        session.journal.close()


def _adopt(options: argparse.Namespace) -> int:
    try:
        text = options.file.read_text(encoding="utf-8-sig")
    except (OSError, UnicodeDecodeError) as error:
        print(f"{options.file} can't be read: {error}. Nothing was changed.", file=sys.stderr)
        return 1
    session = _own(options)
    try:
        outcome = session.adopt(options.document, text)
        print(outcome.words, file=sys.stdout if isinstance(outcome, Done) else sys.stderr)
        return 0 if isinstance(outcome, Done) else 1
    finally:
        session.journal.close()


def _plan(options: argparse.Namespace) -> int:
    from floor.plan_shell import run_plan

    return run_plan(options.file, options.json)


def _forget(options: argparse.Namespace) -> int:
    session = _own(options)
    try:
        found = [p for p in session.people.values() if p.name.casefold() == options.name.casefold()]
        if len(found) != 1:
            print(f"{len(found)} people in the gym are called {options.name!r}: nothing was erased.", file=sys.stderr)
            return 1
        session.journal.forget(found[0].id)
        print(f"Name and notes are erased from {session.journal.path}. Copies and backups are yours to erase.")
        return 0
    finally:
        session.journal.close()
