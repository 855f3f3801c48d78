"""The shell: parse, call, print. Nothing is decided here."""

from __future__ import annotations

import argparse
import sys
import tempfile
from collections.abc import Sequence
from pathlib import Path

from floor.clock import WallClock, local_zone
from floor.journal.errors import JournalError
from floor.journal.log import Journal
from floor.session import BadDefinitions, Done, Session
from floor.templates import TemplatesMissing, templates


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one shell command; the exit status is 0 when it did what was asked."""
    options = _parser().parse_args(arguments)
    try:
        return int(options.run(options))
    except (JournalError, BadDefinitions, TemplatesMissing) as error:
        print(error, file=sys.stderr)
        return 1


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="floor", description="Runs a barbell coach's evening from the keyboard, on one gym file."
    )
    parser.add_argument("--gym", type=Path, metavar="FILE", help="the gym file (default: in your data directory)")
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
    ask = commands.add_parser("ask", help="ask the gym a question in SQL: one SELECT, which changes nothing")
    ask.add_argument("sql", metavar="SQL", help='the question, as in "SELECT * FROM week"; - reads it from the input')
    how = ask.add_mutually_exclusive_group()
    how.add_argument("--csv", dest="kind", action="store_const", const="csv", help="print it as CSV")
    how.add_argument("--json", dest="kind", action="store_const", const="json", help="print it as JSON")
    how.add_argument("--parquet", type=Path, metavar="FILE", help="write it to a new .parquet file")
    ask.set_defaults(run=_ask, kind="")
    for command in (roster, show, adopt, forget, ask):
        command.add_argument("--gym", type=Path, metavar="FILE", default=argparse.SUPPRESS)
    return parser


def default_gym() -> Path:
    """Where a coach's own gym file is kept: the user's data directory."""
    import platformdirs

    return Path(platformdirs.user_data_dir("floor", appauthor=False)) / "gym.duckdb"


def open_session(path: Path) -> Session:
    """Open or make a coach's own gym file. Raises the journal's errors and BadDefinitions."""
    clock = WallClock()
    journal = Journal.open(path, now=clock.now(), zone=local_zone(), unit="kg", templates=templates())
    return Session(journal, clock)


def _open(options: argparse.Namespace) -> int:
    return _run(open_session(options.gym or default_gym()))


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

    session = open_session(options.gym or default_gym())
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
    session = open_session(path)
    try:
        sql = sys.stdin.read() if options.sql == "-" else options.sql
        return ask(session, sql, options.kind or "", options.parquet)
    finally:
        session.journal.close()


def _show(options: argparse.Namespace) -> int:
    session = open_session(options.gym or default_gym())
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
    session = open_session(options.gym or default_gym())
    try:
        outcome = session.adopt(options.document, text)
        print(outcome.words, file=sys.stdout if isinstance(outcome, Done) else sys.stderr)
        return 0 if isinstance(outcome, Done) else 1
    finally:
        session.journal.close()


def _forget(options: argparse.Namespace) -> int:
    session = open_session(options.gym or default_gym())
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
