"""Dates as people write them, read only where the file itself, or the coach, says which number is the day.

    2026-03-31, 2026/03/31   year first
    31.3.2026, 31.3.26       with dots the day is first
    31/3/2026, 3/31/2026     with strokes or dashes the file decides: one number over 12 settles it for all
    31 March 2026, 31-Mar-26, March 31, 2026, 2026 Mar 31    with an English month's name
    46112                    the days a spreadsheet counts, from the year 2000 on: a date that lost its form

A year of two digits is of this century and stands last. A time behind the date
is left off. A day of the week before it has to be the right one.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta

STYLES = ("dmy", "mdy")
EARLIEST = 1970
COUNTED_FROM = date(1899, 12, 30)
"""Day 0 of a spreadsheet's dates as numbers, for all from March 1900 on; a book that counts from 1904 can't be told."""
_COUNTED = re.compile(r"([0-9]{5})(?:[.,][0-9]+)?")
_COUNTED_EARLIEST = date(2000, 1, 1)

_ISO = re.compile(r"([0-9]{4})[-/.]([0-9]{1,2})[-/.]([0-9]{1,2})")
_DOTS = re.compile(r"([0-9]{1,2})\.\s?([0-9]{1,2})\.\s?([0-9]{4}|[0-9]{2})")
_STROKES = re.compile(r"([0-9]{1,2})([/-])([0-9]{1,2})\2([0-9]{4}|[0-9]{2})")
_DAY, _NAME, _YEAR = r"([0-9]{1,2})(?:st|nd|rd|th)?", r"([a-z]{3,9})\.?", r"([0-9]{4}|[0-9]{2})"
_BETWEEN = r"(?:\s*[-/]\s*|\s*,\s*|\s+)"
_DAY_FIRST = re.compile(rf"{_DAY}\.?{_BETWEEN}(?:of\s+)?{_NAME}{_BETWEEN}{_YEAR}")
_NAME_FIRST = re.compile(rf"{_NAME}{_BETWEEN}{_DAY}{_BETWEEN}{_YEAR}")
_YEAR_FIRST = re.compile(rf"([0-9]{{4}}){_BETWEEN}{_NAME}{_BETWEEN}{_DAY}")
_NO_DAY = re.compile(rf"{_NAME}{_BETWEEN}[0-9]{{4}}")
_NO_YEAR = re.compile(rf"{_DAY}\.?{_BETWEEN}{_NAME}|{_NAME}{_BETWEEN}{_DAY}")
_WEEKDAY = re.compile(r"([a-z]{3,9})\.?(?:\s*,\s*|\s+)(?=[0-9a-z])")
_MONTHS = (
    "january", "february", "march", "april", "may", "june", "july", "august", "september", "october", "november",
    "december",
)
_WEEKDAYS = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")
_SHORT = {"sept": "sep", "tues": "tue", "thur": "thu", "thurs": "thu"}
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
        counted = read_counted(cell)
        if (real and int(real[3]) <= 12) or (counted and counted.day <= 12):
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
    if counted := read_counted(text):
        return counted
    if match := _ISO.fullmatch(text):
        year, month, day = match[1], match[2], match[3]
    elif match := _DOTS.fullmatch(text):
        day, month, year = match[1], match[2], match[3]
    elif match := _STROKES.fullmatch(text):
        day, month, year = (match[1], match[3], match[4]) if style != "mdy" else (match[3], match[1], match[4])
    else:
        return _named(cell.strip(), text)
    return _made(cell, year, month, day)


def read_counted(cell: str) -> date | None:
    """The day of a bare number that a spreadsheet keeps for it; None for every other cell."""
    match = _COUNTED.fullmatch(cell.strip())
    day = COUNTED_FROM + timedelta(days=int(match[1])) if match else None
    return day if day is not None and day >= _COUNTED_EARLIEST else None


def _named(shown: str, text: str) -> date | str:
    """A date with the month's name, or a sentence."""
    plain = text.lower()
    weekday = -1
    first = _WEEKDAY.match(plain)
    if first and (weekday := _which(first[1], _WEEKDAYS)) >= 0:
        plain = plain[first.end() :]
    if match := _DAY_FIRST.fullmatch(plain):
        day, name, year = match[1], match[2], match[3]
    elif match := _NAME_FIRST.fullmatch(plain):
        name, day, year = match[1], match[2], match[3]
    elif match := _YEAR_FIRST.fullmatch(plain):
        year, name, day = match[1], match[2], match[3]
    else:
        half = _NO_DAY.fullmatch(plain) or _NO_YEAR.fullmatch(plain)
        if half and any(_which(word, _MONTHS) >= 0 for word in half.groups() if word):
            lacks = "day" if _NO_DAY.fullmatch(plain) else "year"
            return f'"{shown}" names no {lacks}. Write it as 2026-03-31.'
        return f'"{shown}" is not a date. Write it as 2026-03-31.'
    month = _which(name, _MONTHS)
    if month < 0:
        return f'"{shown}" names no month that is known. Write it as 2026-03-31.'
    found = _made(shown, year, str(month + 1), day)
    if isinstance(found, date) and weekday >= 0 and found.weekday() != weekday:
        return f'"{shown}" was a {_WEEKDAYS[found.weekday()].capitalize()}: which of the two is right?'
    return found


def _which(word: str, names: tuple[str, ...]) -> int:
    """The place of a name written in full or by its first three letters; -1 for no such name."""
    short = _SHORT.get(word, word)
    return next((place for place, name in enumerate(names) if short in (name, name[:3])), -1)


def _made(cell: str, year: str, month: str, day: str) -> date | str:
    whole = int(year) + (2000 if len(year) == 2 else 0)
    try:
        found = date(whole, int(month), int(day))
    except ValueError:
        return f'"{cell.strip()}" is not a day of the calendar.'
    return found if found.year >= EARLIEST else f'"{cell.strip()}" is before {EARLIEST}: is the year right?'


def _bare(cell: str) -> str:
    return _TIME.sub("", cell.strip())
