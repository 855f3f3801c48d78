"""The answers to the questions that stand on the week screen, as a few lines. Pure."""

from __future__ import annotations

from collections.abc import Sequence

from textual.content import Content

from floor.asking import LETTERS, header, printable, shown
from floor.background import Answer, Refused, Table
from floor.tui.draw.spans import cut, wrap

FIRST_ROWS = 3
"""Rows shown of an answer, where there is room."""


def asked_lines(answers: Sequence[tuple[str, Answer | None]], unit: str, width: int, rows: int) -> list[Content]:
    """A line for each question with its one number or how many rows; below it the first rows while there is room.

    None is a question still on its way. Never more than `rows` lines. The first row of an
    answer stands whole, over as many of them as it needs; where not all rows stand here it
    is said how many do.
    """
    spare = max(0, rows - len(answers))
    lines: list[Content] = []
    for name, answer in answers[:rows]:
        first: list[list[str]] = []
        told = _told(answer, unit)
        if isinstance(answer, Table) and not _one(answer):
            first = _first_rows(answer, unit, width, spare)
            if len(first) < answer.total:
                told += f"{f', {len(first)} here' if first else ''}, all in F12"
        lines.append(Content.assemble((" ? ", "dim"), (cut(f"{name}: {told}", width - 4), "bold")))
        lines += [Content(f"     {line}") for row in first for line in row]
        spare -= sum(len(row) for row in first)
    return lines


def _first_rows(table: Table, unit: str, width: int, lines: int) -> list[list[str]]:
    """The first rows in so many lines, each with the lines it takes: the first whole, those after it in one line."""
    found: list[list[str]] = []
    for row in table.rows[:FIRST_ROWS]:
        told = wrap(_row(table, row, unit), width - 6, 1 if found else lines)
        if len(told) > lines:
            break
        lines -= len(told)
        found.append(told)
    return [row for row in found if row]


def _one(table: Table) -> bool:
    return len(table.rows) == 1


def _told(answer: Answer | None, unit: str) -> str:
    if answer is None:
        return "…"
    if isinstance(answer, Refused):
        return printable(answer.sentence)
    if not isinstance(answer, Table):
        return "stopped"
    if not answer.rows:
        return "none"
    if _one(answer):
        row = answer.rows[0]
        return shown(row[0], LETTERS) + _unit(answer, 0, unit) if len(row) == 1 else _row(answer, row, unit)
    return f"{answer.total:,} rows{' and more' if answer.more else ''}"


def _row(table: Table, row: Sequence[object], unit: str) -> str:
    """The row's values, those whose column says no more than its name without it."""
    words = []
    for at, (column, cell) in enumerate(zip(table.columns, row, strict=True)):
        value = shown(cell, LETTERS)  # type: ignore[arg-type]
        named = isinstance(cell, int | float) and not isinstance(cell, bool)
        words.append(f"{shown(column.name, LETTERS)} {value}" if named else f"{value}{_unit(table, at, unit)}")
    return " · ".join(words)


def _unit(table: Table, at: int, unit: str) -> str:
    """The unit a column's heading names, after a value."""
    column = table.columns[at]
    head = header(column, unit)
    return "" if head == column.name else " " + head[len(column.name) :].strip(" ()")
