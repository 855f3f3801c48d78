"""The shell: parse and call. What each command does is in shell_*.py; nothing is decided here."""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Sequence
from contextlib import suppress
from pathlib import Path

from floor.core.units import UNITS
from floor.journal.errors import JournalError
from floor.session import BadDefinitions
from floor.shell_card import card_arguments
from floor.shell_documents import adopt, show
from floor.shell_export import export
from floor.shell_gym import OtherUnit, no, open_session
from floor.shell_import import bring, import_arguments
from floor.shell_open import demo, open_app
from floor.shell_people import forget, rename
from floor.shell_reading import ask_gym, card_of, plan_of, ramps_of, stack_of
from floor.templates import TemplatesMissing

__all__ = ["main", "open_session"]

READER_GONE, STOPPED = 128 + 13, 128 + 2
"""The exit status of a command whose reader has gone, and of one stopped by Ctrl+C: as shells tell them."""

DOCUMENTS = ("equipment", "lifts", "programmes", "settings")


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one shell command; the exit status is 0 when it did what was asked."""
    options = _options(arguments)
    try:
        status = int(options.run(options))
        sys.stdout.flush()
        return status
    except (JournalError, BadDefinitions, TemplatesMissing, OtherUnit) as error:
        return no(str(error))
    except BrokenPipeError:
        _say_no_more()
        return READER_GONE
    except OSError as error:
        return no(f"{error.filename or 'That'} can't be used: {error.strerror or error}.")
    except KeyboardInterrupt:
        print("\nStopped.", file=sys.stderr)
        return STOPPED


def _say_no_more() -> None:
    """Whoever read the answer, `head` for one, has seen enough: what is still to come goes nowhere."""
    with suppress(OSError):
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


def _options(arguments: Sequence[str] | None) -> argparse.Namespace:
    """The arguments read. What `import` is to bring in may stand on both sides of its options."""
    parser = _parser()
    options, rest = parser.parse_known_args(arguments)
    if rest and (options.run is not bring or any(word.startswith("-") for word in rest)):
        parser.error(f"unrecognized arguments: {' '.join(rest)}")
    if rest:
        options.what += rest
    return options


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="floor", description="Runs a barbell coach's evening from the keyboard, on one gym file."
    )
    parser.add_argument("--gym", type=Path, metavar="FILE", help="the gym file (default: in your data directory)")
    parser.add_argument("--unit", choices=UNITS, help="the unit of a gym file that is made now (default: kg)")
    parser.set_defaults(run=open_app)
    commands = parser.add_subparsers(title="commands", metavar="")
    show_demo = commands.add_parser("demo", help="open a throw-away copy of the demo gym")
    show_demo.add_argument("--keep", type=Path, metavar="FILE", help="keep the copy there")
    show_demo.add_argument("--make-only", action="store_true", help="make the copy and don't open it")
    show_demo.set_defaults(run=demo)
    brought = commands.add_parser("import", help="bring in a roster, a history kept in a spreadsheet, or an export")
    import_arguments(brought)
    brought.set_defaults(run=bring)
    left = commands.add_parser("export", help="write the whole gym to a folder of Parquet files")
    left.add_argument("folder", type=Path, metavar="FOLDER", help="a new folder")
    left.add_argument("--names", action="store_true", help="with people's names and notes")
    left.set_defaults(run=export)
    shown = commands.add_parser("show", help="print one of the gym's documents, to edit it")
    shown.add_argument("document", choices=DOCUMENTS)
    shown.set_defaults(run=show)
    adopted = commands.add_parser("adopt", help="adopt an edited document: a new version, the old one is kept")
    adopted.add_argument("document", choices=DOCUMENTS)
    adopted.add_argument("file", type=Path, metavar="FILE.toml")
    adopted.set_defaults(run=adopt)
    other = commands.add_parser("rename", help="put a lifter's name right")
    other.add_argument("old", metavar="OLD", help="the full name, or the name on the board, as it is now")
    other.add_argument("new", nargs="?", metavar="NEW", help="the full name from now on (default: as it is)")
    other.add_argument("--board", metavar="NAME", help="the name on the board (default: made from the new name)")
    other.set_defaults(run=rename)
    forgotten = commands.add_parser("forget", help="erase a lifter's name and notes for good: shows whose, then asks")
    forgotten.add_argument("name", help="the full name, the name on the board, or the number")
    forgotten.add_argument("--yes", action="store_true", help="erase without asking")
    forgotten.set_defaults(run=forget)
    plan = commands.add_parser("plan", help="plan a described evening: order, times, waits, beside the rising bar")
    plan.add_argument("file", type=Path, metavar="FILE.json", help="the format is described in floor/plan_file.py")
    plan.add_argument("--json", action="store_true", help="print it as JSON")
    plan.set_defaults(run=plan_of)
    ask = commands.add_parser("ask", help="ask the gym a question: one SELECT in SQL, or a question's name")
    ask.add_argument("sql", metavar="SQL", help='"SELECT * FROM week", or a name: "who missed reps"; - reads the input')
    how = ask.add_mutually_exclusive_group()
    how.add_argument("--csv", dest="kind", action="store_const", const="csv", help="print it as CSV")
    how.add_argument("--json", dest="kind", action="store_const", const="json", help="print it as JSON")
    how.add_argument("--parquet", type=Path, metavar="FILE", help="write it to a new .parquet file")
    ask.set_defaults(run=ask_gym, kind="")
    stack = commands.add_parser("stack", help="the plates for one load: the finished bar, then the change")
    stack.add_argument("load", metavar="LOAD", help="in the gym's unit, as in 102.5")
    stack.add_argument("--bar", default="", help="the bar (default: the one that stands where the lift is done)")
    stack.add_argument("--lift", default="", help="for a pull from the floor: with full-size plates")
    stack.add_argument("--from", dest="now", metavar="PLATES", help='what is on one side now, as in "25 10"')
    stack.add_argument("--json", action="store_true", help="print it as JSON")
    stack.set_defaults(run=stack_of)
    ramps = commands.add_parser("ramps", help="shared ramp loads with which fewer plates come off")
    ramps.set_defaults(run=ramps_of)
    card = commands.add_parser("card", help="a lifter's card for next session; without one, the evening's summary")
    card_arguments(card)
    card.set_defaults(run=card_of, form="text")
    for command in (brought, left, shown, adopted, other, forgotten, ask, stack, ramps, card):
        command.add_argument("--gym", type=Path, metavar="FILE", default=argparse.SUPPRESS)
    brought.add_argument("--unit", choices=UNITS, default=argparse.SUPPRESS, help="of a gym file that is made now")
    return parser
