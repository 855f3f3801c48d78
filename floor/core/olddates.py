"""Dates as people write them, read only where the file itself, or the coach, says which number is the day.

    2026-03-31, 2026/03/31   year first
    31.3.2026, 31.3.26       with dots the day is first
    31/3/2026, 3/31/2026     with strokes or dashes the file decides: one number over 12 settles it for all

A year of two digits is of this century. A time behind the date is left off.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

STYLES = ("dmy", "mdy")
EARLIEST = 1970

_ISO = re.compile(r"([0-9]{4})[-/.]([0-9]{1,2})[-/.]([0-9]{1,2})")
_DOTS = re.compile(r"([0-9]{1,2})\.\s?([0-9]{1,2})\.\s?([0-9]{4}|[0-9]{2})")
_STROKES = re.compile(r"([0-9]{1,2})([/-])([0-9]{1,2})\2([0-9]{4}|[0-9]{2})")
_TIME = re.compile(r"[T ]\s*[0-9]{1,2}:[0-9]{2}(?::[0-9.]+)?Z?$")


@dataclass(frozen=True, slots=True)
class Unclear:
    """The order of day and month can't be told; `words` says why and what to do."""

    words: str


def find_style(cells: Iterable[str], told: str = "") -> str | Unclear:
    """ "dmy", "mdy", or "" when nothing depends on it; `told` is what the coach said, and goes before.

    Unclear when numbers over 12 stand in both places, when day and month could be
    either everywhere, or when a spreadsheet has made real dates of some of them
    and left others as text: then it may have changed days for months.
    """
    pairs: list[tuple[int, int]] = []
    example = made = ""
    for cell in cells:
        real = _ISO.fullmatch(_bare(cell))
        if real and int(real[3]) <= 12:
            made = made or cell.strip()
        match = _STROKES.fullmatch(_bare(cell))
        if match:
            pairs.append((int(match[1]), int(match[3])))
            example = example or cell.strip()
    if told:
        return told
    if example and made:
        return Unclear(
            f'Some dates are like "{example}" and some like {made}: a spreadsheet may have changed day for month in '
            "the second kind. Check those, then say --dates dmy or mdy for the first kind."
        )
    if all(a == b for a, b in pairs):
        return ""
    first, second = any(a > 12 for a, _ in pairs), any(b > 12 for _, b in pairs)
    if first and second:
        return Unclear("Some dates have the day first and some the month: write them all as 2026-03-31.")
    if first or second:
        return "dmy" if first else "mdy"
    return Unclear(f'"{example}" can be day/month or month/day, and so can every date here: say --dates dmy or mdy.')


def read_date(cell: str, style: str) -> date | str:
    """The day, or a sentence saying what is wrong. `style` is what find_style found."""
    text = _bare(cell)
    if not text:
        return "The date is missing."
    if match := _ISO.fullmatch(text):
        year, month, day = match[1], match[2], match[3]
    elif match := _DOTS.fullmatch(text):
        day, month, year = match[1], match[2], match[3]
    elif match := _STROKES.fullmatch(text):
        day, month, year = (match[1], match[3], match[4]) if style != "mdy" else (match[3], match[1], match[4])
    else:
        return f'"{cell.strip()}" is not a date. Write it as 2026-03-31.'
    whole = int(year) + (2000 if len(year) == 2 else 0)
    try:
        found = date(whole, int(month), int(day))
    except ValueError:
        return f'"{cell.strip()}" is not a day of the calendar.'
    return found if found.year >= EARLIEST else f'"{cell.strip()}" is before {EARLIEST}: is the year right?'


def _bare(cell: str) -> str:
    return _TIME.sub("", cell.strip())
