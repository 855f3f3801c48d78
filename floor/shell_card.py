"""`floor card`: a lifter's card for next session, or without a lifter the latest evening's summary."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path

from floor.ownfile import write_own
from floor.session import Refused, Session


def card_arguments(parser: argparse.ArgumentParser) -> None:
    """What `floor card` takes."""
    parser.add_argument("lifter", nargs="?", default="", metavar="LIFTER", help="a board name, full name or number")
    form = parser.add_mutually_exclusive_group()
    for name in ("text", "markdown", "html"):
        form.add_argument(f"--{name}", dest="form", action="store_const", const=name, help=f"as {name}")
    parser.add_argument("--out", type=Path, metavar="FILE", help="write it there instead of printing it")


def print_card(session: Session, wanted: str, form: str = "text", file: Path | None = None) -> int:
    """Print the page, or write it to a file; returns the exit status.

    `wanted` is a board name, a full name or a number; "" asks for the evening's summary.
    """
    from floor.cards import FORMS, card, evening, past_of

    lifter = found(session, wanted) if wanted else None
    if isinstance(lifter, str):
        print(lifter, file=sys.stderr)
        return 1
    page = evening(session) if lifter is None else card(session, lifter, past_of(session, lifter))
    if isinstance(page, Refused):
        print(page.words, file=sys.stderr)
        return 1
    text = FORMS[form][1](page)
    if file is None:
        print(text, end="")
        return 0
    try:
        write_own(file, text)
    except OSError as error:
        print(f"{file} can't be written: {error.strerror}.", file=sys.stderr)
        return 1
    print(f"Written: {file}", file=sys.stderr)
    return 0


def found(session: Session, wanted: str) -> int | str:
    """The number of the lifter meant, or a sentence saying why it is nobody or not clear whom."""
    key = wanted.strip().casefold()
    people = [p for p in session.people.values() if p.id in session.state.lifters]
    board = [p.id for p in people if p.board.casefold() == key]
    full = [p.id for p in people if p.name.casefold() == key]
    number = [i for i in session.state.lifters if str(i) == key]
    for hits in (board, full, number):
        if len(hits) == 1:
            return hits[0]
        if hits:
            return f"{len(hits)} lifters are called {wanted!r}: give the number, one of {', '.join(map(str, hits))}."
    boards = ", ".join(sorted(p.board for p in people)) or "none"
    return f"No lifter is called {wanted!r}. The board names are: {boards}."
