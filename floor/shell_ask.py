"""`floor ask`: one question from the shell, with the same defences as on screen."""

from __future__ import annotations

import difflib
import os
import signal
import sys
from collections.abc import Sequence
from contextlib import suppress
from pathlib import Path
from typing import Any

from floor.asking import Asker, columns_wide, count_words, header, is_number, pointed, printable, shown
from floor.background import Question, Refused, Table
from floor.completing import Names, gym_names, misspelt, refusal_words
from floor.core.questions import Kept, named
from floor.saving import save_to, send
from floor.session import Session
from floor.templates import TemplatesMissing, ready_questions

GAP = "  "
"""Between two columns of a printed table."""


def ask(session: Session, sql: str, kind: str = "", file: Path | None = None) -> int:
    """Ask, and print the answer as a table, or as "csv" or "json", or write it to the Parquet `file`.

    `sql` may be the name of a kept or a ready question: that is asked. Returns the exit status. What is not the
    answer goes to the standard error.
    """
    if file is not None and file.suffix.lower() != ".parquet":
        print(f"{file.name!r} needs the ending .parquet.", file=sys.stderr)
        return 1
    names = gym_names(session.state.gym, session.names.values())
    known = _questions(session)
    if (meant := named(known, sql)) is not None:
        print(f"{meant.name}:", file=sys.stderr)
        sql = meant.sql
    asker = Asker(session)
    before = _leave_on_signals()
    try:
        question = asker.ask(sql)
        answer = question.wait() if isinstance(question, Question) else question
        if not isinstance(question, Question) or not isinstance(answer, Table):
            return _refuse(sql, answer if isinstance(answer, Refused) else Refused("That was stopped."), names, known)
        if file is not None:
            written = save_to(question, str(file))
            print(written.words, file=sys.stderr)
            return 0 if written.done else 1
        if kind:
            sent = send(question, kind, _show if sys.stdout.isatty() else _out)
            if isinstance(sent, str):
                print(sent, file=sys.stderr)
                return 1
            if answer.more:
                print(f"Only the first {answer.total:,} rows: there are more.", file=sys.stderr)
            return 0
        print("\n".join(table_lines(answer, session.state.gym.unit)))
        hint = misspelt(sql, names) if not answer.total else ""
        print(" · ".join(filter(None, (count_words(answer), hint))), file=sys.stderr)
        return 0
    finally:
        asker.close()
        for number, handler in before.items():
            signal.signal(number, handler)


def table_lines(table: Table, unit: str) -> list[str]:
    """The headings, a line under them, and the rows; numbers to the right."""
    heads = [printable(header(column, unit)) for column in table.columns]
    rows = [[shown(cell) for cell in row] for row in table.rows]
    right = [is_number(column) for column in table.columns]
    wide = [max(columns_wide(line[n]) for line in (heads, *rows)) for n in range(len(heads))]
    return [_line(heads, wide, right), GAP.join("-" * w for w in wide), *(_line(row, wide, right) for row in rows)]


def _line(cells: Sequence[str], wide: Sequence[int], right: Sequence[bool]) -> str:
    parts = []
    for cell, width, to_right in zip(cells, wide, right, strict=True):
        blank = " " * (width - columns_wide(cell))
        parts.append(blank + cell if to_right else cell + blank)
    return GAP.join(parts).rstrip()


def _questions(session: Session) -> tuple[Kept, ...]:
    """Those kept in this gym, then the ready ones; without a kind that can't be read."""
    found: list[Kept] = []
    for read in (session.kept_questions, ready_questions):
        with suppress(ValueError, TemplatesMissing):
            found += read()
    return tuple(found)


def _refuse(sql: str, refused: Refused, names: Names, known: Sequence[Kept]) -> int:
    told = refusal_words(refused.sentence, sql, refused.place, names)
    if refused.sentence.startswith("Syntax error") and refused.place == 0 and "Did you mean" not in told:
        titles = [question.name for question in known]
        near = difflib.get_close_matches(sql.strip().casefold(), titles, 1)
        there = f'Did you mean "{near[0]}"?' if near else f"The names: {' · '.join(titles)}"
        print(f"That is neither SQL nor the name of a question. {there}", file=sys.stderr)
        return 1
    print(printable(told), file=sys.stderr)
    if refused.place is not None:
        print("\n".join(pointed(sql, refused.place, 120)), file=sys.stderr)
    return 1


def _leave_on_signals() -> dict[int, Any]:
    """A signal to end becomes an exit, so that the child and the copies go too; what was there to handle it before."""
    numbers = [getattr(signal, name) for name in ("SIGTERM", "SIGHUP") if hasattr(signal, name)]
    return {number: signal.signal(number, _leave) for number in numbers}


def _leave(number: int, frame: object) -> None:
    raise SystemExit(128 + number)


def _show(data: bytes) -> None:
    """A file's text on a terminal: its lines, with a blank for every sign that would be a command there."""
    lines = data.decode(errors="replace").replace("\r\n", "\n").split("\n")
    _out("\n".join(map(printable, lines)).encode(errors="replace"))


def _out(data: bytes) -> None:
    """All of it to the standard output."""
    sys.stdout.flush()
    left = memoryview(data)
    while left:
        left = left[os.write(sys.stdout.fileno(), left) :]
