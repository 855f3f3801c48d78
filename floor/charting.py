"""What a chart of an answer shows: bars, or lines over time. Pure; a widget draws it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime

from floor.asking import LETTERS, header, is_number, shown
from floor.background import Cell, Column, Table

SERIES = 4
"""Lines in one chart that can be told apart without colour."""

MOST, LEAST = 1e100, 1e-100
"""What is drawn at all, and what is drawn as nothing: beyond them the widget's own sums go wrong."""

MARKS = "ox+*"
"""What the points of each line are drawn with."""


@dataclass(frozen=True, slots=True)
class Bars:
    """One bar a row: words and a length. `title` says what the length is."""

    title: str
    labels: tuple[str, ...]
    values: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class Line:
    """One line: its name, and points in order of x."""

    name: str
    points: tuple[tuple[float, float], ...]


@dataclass(frozen=True, slots=True)
class Lines:
    """Up to SERIES lines; x is days since 1970 where `dated`. `left_out` lines had no room."""

    title: str
    across: str
    dated: bool
    lines: tuple[Line, ...]
    left_out: int = 0


def chart_of(table: Table, in_hand: int, unit: str) -> Bars | Lines | str:
    """The chart of a page of an answer, or a sentence saying why there is none.

    With a column of days or times: lines over it, one a value of the first
    column of words; without words, one a column of numbers. With words and no
    time: bars of one column of numbers, the one in hand if it is one, else the
    last. With numbers alone: the one in hand, or the last, over the first.
    """
    if not table.rows:
        return "There are no rows to draw."
    columns = table.columns
    times = [n for n, c in enumerate(columns) if c.type.startswith(("DATE", "TIMESTAMP"))]
    numbers = [n for n, c in enumerate(columns) if is_number(c)]
    words = [n for n, c in enumerate(columns) if n not in times and n not in numbers]
    if not numbers:
        return "A chart needs a column of numbers."
    tall = in_hand if in_hand in numbers else numbers[-1]
    title = header(columns[tall], unit)
    if times:
        days = [_day(row[times[0]]) for row in table.rows]
        if words:
            return _by_word(table, days, words[0], tall, title, columns[times[0]].name)
        chosen = numbers if in_hand not in numbers else [in_hand]
        return _by_column(table, days, chosen, unit, columns[times[0]], dated=True)
    if words:
        rows = [row for row in table.rows if _number(row[tall]) is not None]
        labels = _labels(rows, words[:2], [n for n in numbers if n != tall][:1])
        return Bars(title, labels, tuple(_number(row[tall]) or 0.0 for row in rows))
    if len(numbers) == 1:
        values = [_number(row[tall]) for row in table.rows]
        return Bars(title, tuple(str(n + 1) for n in range(len(values))), tuple(v or 0.0 for v in values))
    across = [_number(row[numbers[0]]) for row in table.rows]
    tall = tall if tall != numbers[0] else numbers[-1]
    return _by_column(table, across, [tall], unit, columns[numbers[0]], dated=False)


def _labels(rows: Sequence[Sequence[Cell]], words: list[int], numbers: list[int]) -> tuple[str, ...]:
    """The words of each row; where two rows have the same, with a number as well."""
    labels = tuple(" ".join(shown(row[n], LETTERS) for n in words) for row in rows)
    if len(set(labels)) == len(labels):
        return labels
    return tuple(" ".join(shown(row[n], LETTERS) for n in (*words, *numbers)) for row in rows)


def _by_word(
    table: Table, days: Sequence[float | None], word: int, tall: int, title: str, across: str
) -> Lines | str:
    """One line for each value of a column of words, those with the most points first."""
    found: dict[str, list[tuple[float, float]]] = {}
    for row, day in zip(table.rows, days, strict=True):
        value = _number(row[tall])
        if day is not None and value is not None:
            found.setdefault(shown(row[word], LETTERS), []).append((day, value))
    ranked = sorted(found, key=lambda name: (-len(found[name]), name))
    lines = tuple(Line(name, tuple(sorted(found[name]))) for name in ranked[:SERIES])
    return Lines(title, across, True, lines, max(0, len(ranked) - SERIES)) if lines else "There is nothing to draw."


def _by_column(
    table: Table, across: Sequence[float | None], tall: Sequence[int], unit: str, first: Column, dated: bool
) -> Lines | str:
    """One line for each column of numbers."""
    lines = []
    for at in tall[:SERIES]:
        points = [(x, _number(row[at])) for x, row in zip(across, table.rows, strict=True)]
        kept = sorted((x, y) for x, y in points if x is not None and y is not None)
        if kept:
            lines.append(Line(header(table.columns[at], unit), tuple(kept)))
    if not lines:
        return "There is nothing to draw."
    title = lines[0].name if len(lines) == 1 else ", ".join(line.name for line in lines)
    return Lines(title, header(first, unit), dated, tuple(lines), max(0, len(tall) - SERIES))


def _number(cell: Cell) -> float | None:
    """A cell as a number; exact decimals come as words."""
    if cell is None or isinstance(cell, bool):
        return None
    try:
        value = float(cell)
    except ValueError:
        return None
    if abs(value) < LEAST:
        return 0.0
    return value if abs(value) < MOST else None


def _day(cell: Cell) -> float | None:
    """A day or a time as days since 1970."""
    if not isinstance(cell, str):
        return None
    try:
        when = datetime.fromisoformat(cell).replace(tzinfo=None)
    except ValueError:
        return None
    return (when - datetime(1970, 1, 1)).total_seconds() / 86_400


def day_words(day: float, year: bool = False) -> str:
    """A day as on an axis: 3 Nov, or 3 Nov 2025; the first or last day there is for one beyond it."""
    when = _date(day)
    return f"{when.day} {when:%b}{f' {when.year}' if year else ''}"


def in_one_year(days: Sequence[float]) -> bool:
    """Whether these days, in order, all lie in one year: then the axis need not name it."""
    return _date(days[0]).year == _date(days[-1]).year


def _date(day: float) -> date:
    number = date(1970, 1, 1).toordinal() + int(day // 1)
    return date.fromordinal(min(max(number, date.min.toordinal()), date.max.toordinal()))
