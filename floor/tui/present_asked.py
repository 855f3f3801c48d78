"""The answers to the questions that stand on the week screen, as a few lines. Pure."""

from __future__ import annotations

from collections.abc import Sequence

from textual.content import Content

from floor.asking import header, shown
from floor.background import Answer, Refused, Table
from floor.tui.draw.spans import cut

FIRST_ROWS = 3
"""Rows shown of an answer, where there is room."""


def asked_lines(answers: Sequence[tuple[str, Answer | None]], unit: str, width: int, rows: int) -> list[Content]:
    """A line for each question with its one number or how many rows; below it the first rows while there is room.

    None is a question still on its way. Never more than `rows` lines.
    """
    spare = max(0, rows - len(answers))
    lines: list[Content] = []
    for name, answer in answers[:rows]:
        lines.append(Content.assemble((" ? ", "dim"), (cut(f"{name}: {_told(answer, unit)}", width - 4), "bold")))
        if isinstance(answer, Table) and not _one(answer):
            first = answer.rows[: min(FIRST_ROWS, spare)]
            lines += [Content(cut(f"     {_row(answer, row, unit)}", width - 1)) for row in first]
            spare -= len(first)
    return lines


def _one(table: Table) -> bool:
    return len(table.rows) == 1


def _told(answer: Answer | None, unit: str) -> str:
    if answer is None:
        return "…"
    if isinstance(answer, Refused):
        return answer.sentence
    if not isinstance(answer, Table):
        return "stopped"
    if not answer.rows:
        return "none"
    if _one(answer):
        row = answer.rows[0]
        return shown(row[0]) + _unit(answer, 0, unit) if len(row) == 1 else _row(answer, row, unit)
    return f"{answer.total:,} rows{' and more' if answer.more else ''}"


def _row(table: Table, row: Sequence[object], unit: str) -> str:
    """The row's values, those whose column says no more than its name without it."""
    words = []
    for at, (column, cell) in enumerate(zip(table.columns, row, strict=True)):
        value = shown(cell)  # type: ignore[arg-type]
        named = isinstance(cell, int | float) and not isinstance(cell, bool)
        words.append(f"{column.name} {value}" if named else f"{value}{_unit(table, at, unit)}")
    return " · ".join(words)


def _unit(table: Table, at: int, unit: str) -> str:
    """The unit a column's heading names, after a value."""
    column = table.columns[at]
    head = header(column, unit)
    return "" if head == column.name else " " + head[len(column.name) :].strip(" ()")
