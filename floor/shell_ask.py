"""`floor ask`: one question from the shell, with the same defences as on screen."""

from __future__ import annotations

import os
import sys
from collections.abc import Sequence
from pathlib import Path

from floor.asking import Asker, columns_wide, count_words, header, is_number, pointed, printable, shown
from floor.background import Question, Refused, Table
from floor.completing import Names, gym_names, misspelt, refusal_words
from floor.saving import save_to, send
from floor.session import Session

GAP = "  "
"""Between two columns of a printed table."""


def ask(session: Session, sql: str, kind: str = "", file: Path | None = None) -> int:
    """Ask, and print the answer as a table, or as "csv" or "json", or write it to the Parquet `file`.

    Returns the exit status. What is not the answer goes to the standard error.
    """
    if file is not None and file.suffix.lower() != ".parquet":
        print(f"{file.name!r} needs the ending .parquet.", file=sys.stderr)
        return 1
    names = gym_names(session.state.gym, session.names.values())
    asker = Asker(session)
    try:
        question = asker.ask(sql)
        answer = question.wait() if isinstance(question, Question) else question
        if not isinstance(question, Question) or not isinstance(answer, Table):
            return _refuse(sql, answer if isinstance(answer, Refused) else Refused("That was stopped."), names)
        if file is not None:
            words = save_to(question, str(file))
            print(words, file=sys.stderr)
            return 0 if words.endswith(str(file.expanduser().resolve())) else 1
        if kind:
            sent = send(question, kind, _out)
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


def _refuse(sql: str, refused: Refused, names: Names) -> int:
    print(refusal_words(refused.sentence, sql, refused.place, names), file=sys.stderr)
    if refused.place is not None:
        print("\n".join(pointed(sql, refused.place, 120)), file=sys.stderr)
    return 1


def _out(data: bytes) -> None:
    """All of it to the standard output."""
    sys.stdout.flush()
    left = memoryview(data)
    while left:
        left = left[os.write(sys.stdout.fileno(), left) :]
