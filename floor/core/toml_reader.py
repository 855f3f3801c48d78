"""Reads values out of a TOML document and writes down, in sentences, whatever is wrong.

A `Reader` looks at one table of a document. Each of its methods returns the
value asked for; when the value is missing or wrong it writes a `Problem` to the
shared list and returns a harmless stand-in, so that reading goes on and every
problem of a document is found in one pass. What was read with stand-ins must
be thrown away: look at the list first.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from difflib import get_close_matches
from itertools import pairwise
from typing import Any

from floor.core.units import most, show_load

_DECIMAL = re.compile(r"-?[0-9]{1,9}(\.[0-9]{1,9})?")
_ID = re.compile(r"[a-z][a-z0-9_-]{0,23}")
_PAINTED = re.compile(r"[0-9A-Za-z.]{1,6}")
_LETTER = re.compile(r"[a-z]")
_LINE = re.compile(r"\(at line (\d+), column \d+\)|\(at end of document\)")


@dataclass(frozen=True, slots=True)
class Problem:
    """One thing wrong in a document: the file, the place in it, what is wrong and what to do."""

    file: str
    place: str
    sentence: str

    def __str__(self) -> str:
        where = f"{self.file}, {self.place}" if self.place else self.file
        return f"{where}: {self.sentence}"


def hundredths(value: object) -> int | str:
    """A TOML number or a string such as "1.25" as exact hundredths, or what is wrong with it.

    A float must have been read as Decimal: a binary float is refused, as it is
    not exact. Zero and negative numbers are returned as they are.
    """
    if isinstance(value, str):
        if _DECIMAL.fullmatch(value) is None:
            return f'"{value[:20]}" is not a number. Write it like 1.25, with a point.'
        value = Decimal(value)
    if isinstance(value, bool) or not isinstance(value, int | Decimal):
        return "this is not a number. Write it like 1.25."
    number = Decimal(value)
    if not number.is_finite() or number.copy_abs() >= 1_000_000:
        return "this is not a load for a bar. Write a number such as 1.25."
    _, digits, exponent = number.as_tuple()
    assert isinstance(exponent, int)
    if exponent < -40 and any(digits):
        return "more than two decimals. Round it to two, like 1.25."
    ratio = number.as_integer_ratio() if any(digits) else (0, 1)
    whole, rest = divmod(ratio[0] * 100, ratio[1])
    return whole if rest == 0 else f"{number:f} has more than two decimals. Round it to two, like 1.25."


def load_toml(file: str, text: str, problems: list[Problem]) -> dict[str, Any] | None:
    """The document as a table, its decimals exact; None, with the line written down, for bad TOML."""
    try:
        return tomllib.loads(text.removeprefix("\ufeff"), parse_float=Decimal)
    except RecursionError:
        problems.append(Problem(file, "", "too many brackets inside brackets. Write it flatter."))
    except ValueError as error:
        found = _LINE.search(str(error))
        what = _LINE.sub("", str(error)).strip().rstrip(".")
        line = found[1] if found else None
        place = f"line {line}" if line else "the end" if found else ""
        problems.append(Problem(file, place, f"this is not TOML: {what}. Put that line right first."))
    return None


class Reader:
    """One table of a document; see the module for how it reports.

    `place` says where the table is in words a coach can follow ("lift 2 (squat)").
    Call `done` last: it reports keys nobody asked for, which are typing slips.
    """

    def __init__(self, file: str, place: str, table: Mapping[str, Any], problems: list[Problem]) -> None:
        self.file = file
        self.place = place
        self._table = table
        self._problems = problems
        self._asked: list[str] = []

    def wrong(self, sentence: str) -> None:
        """Write down a problem at this table."""
        self._problems.append(Problem(self.file, self.place, sentence))

    def has(self, key: str) -> bool:
        """True if the table has a value at that key, right or wrong."""
        return key in self._table

    def _get(self, key: str, default: object = None) -> Any:
        """The raw value, or `default`; a missing key with no default is written down and None comes back."""
        self._asked.append(key)
        if key in self._table:
            return self._table[key]
        if default is None:
            self.wrong(f"{key} is missing. Add a line for it.")
        return default

    def text(self, key: str, longest: int) -> str:
        """One line of words, at most `longest` characters, not blank."""
        value = self._get(key)
        if value is None:
            return ""
        if not isinstance(value, str):
            self.wrong(f'{key} should be words in quotes, like {key} = "...".')
            return ""
        if not value.strip():
            self.wrong(f"{key} is blank. Write something there.")
        elif not value.isprintable():
            self.wrong(f"{key} has a character that cannot be shown. Keep it to one line of plain words.")
        elif len(value) > longest:
            self.wrong(f"{key} is {len(value)} characters long. Keep it to {longest}.")
        else:
            return value
        return ""

    def id(self, key: str = "id") -> str:
        """A short plain id: lower-case letters, digits, - and _, starting with a letter."""
        return self._shaped(key, _ID, "up to 24 lower-case letters, digits, - or _, a letter first")

    def painted(self, key: str = "id") -> str:
        """An id that fits on a drawn plate: up to six letters, digits or points."""
        return self._shaped(key, _PAINTED, "up to six letters, digits or points, no spaces")

    def letter(self, key: str) -> str:
        """One lower-case letter, a to z."""
        return self._shaped(key, _LETTER, "one lower-case letter, a to z")

    def _shaped(self, key: str, shape: re.Pattern[str], words: str) -> str:
        value = self._get(key)
        if value is None:
            return ""
        if isinstance(value, str) and shape.fullmatch(value):
            return value
        self.wrong(f"{key} should be in quotes: {words}.")
        return ""

    def one_of(self, key: str, allowed: tuple[str, ...], default: str | None = None) -> str:
        """One of the `allowed` words; blank when it is wrong."""
        value = self._get(key, default)
        if value is None:
            return ""
        if isinstance(value, str) and value in allowed:
            return value
        shown = f'"{value}"' if isinstance(value, str) and value.isprintable() and len(value) < 25 else "this"
        self.wrong(f"{key}: {shown} is not one of {', '.join(allowed)}. Use one of those.")
        return ""

    def words(self, key: str, allowed: tuple[str, ...], some: bool = False) -> tuple[str, ...]:
        """A list of `allowed` words, none twice; it must be there and hold one if `some`."""
        value = self._get(key, None if some else [])
        if value is None:
            return ()
        if some and value == []:
            self.wrong(f"{key} is empty. Name at least one of {', '.join(allowed)}.")
        if not isinstance(value, list) or not all(isinstance(w, str) and w in allowed for w in value):
            self.wrong(f"{key} should be a list of words from {', '.join(allowed)}.")
            return ()
        if len(set(value)) < len(value):
            self.wrong(f"{key} names the same thing twice. Take one out.")
        return tuple(value)

    def lines(self, key: str, longest: int) -> tuple[str, ...]:
        """A list of lines of words, possibly empty; an absent key is an empty list."""
        value = self._get(key, [])
        if not isinstance(value, list) or not all(isinstance(w, str) for w in value):
            self.wrong(f"{key} should be a list of lines in quotes.")
            return ()
        for no, line in enumerate(value, 1):
            if not line.strip() or not line.isprintable() or len(line) > longest:
                self.wrong(f"{key}, line {no}: write one plain line of at most {longest} characters.")
        return tuple(value)

    def flag(self, key: str, default: bool | None = None) -> bool:
        """true or false."""
        value = self._get(key, default)
        if value is not None and not isinstance(value, bool):
            self.wrong(f"{key} should be true or false, without quotes.")
        return value is True

    def whole(self, key: str, low: int, high: int, default: int | None = None) -> int:
        """A whole number from `low` to `high`."""
        value = self._get(key, default)
        if value is None:
            return low
        if isinstance(value, bool) or not isinstance(value, int):
            self.wrong(f"{key} should be a whole number, without quotes.")
            return low
        if not low <= value <= high:
            shown = str(value) if abs(value) < 10**9 else "this"
            self.wrong(f"{key}: {shown} is out of range. Use {low} to {high}.")
            return low
        return value

    def numbers(self, key: str, keys: tuple[str, ...], low: int, high: int) -> tuple[tuple[str, int], ...]:
        """A table of whole numbers from `low` to `high`, each beside one of the `keys`, as (key, number)."""
        value = self._get(key, {})
        if not isinstance(value, dict):
            self.wrong(f"{key} should be a table, like {key} = {{ {keys[0] if keys else 'name'} = {low} }}.")
            return ()
        for name, number in value.items():
            if name not in keys:
                near = get_close_matches(name, keys, n=1)
                hint = f"Did you mean {near[0]}?" if near else f"Use one of {', '.join(keys)}."
                self.wrong(f"{key}: {name[:24]!r} is not one of these. {hint}")
            elif isinstance(number, bool) or not isinstance(number, int) or not low <= number <= high:
                self.wrong(f"{key}: {name} should be a whole number from {low} to {high}.")
            else:
                continue
            return ()
        return tuple(value.items())

    def load(self, key: str, unit: str, zero: bool = False, default: int | None = None) -> int | None:
        """A load or mass in hundredths of `unit`, above zero, or from zero on if `zero`; None if wrong."""
        value = self._get(key, default)
        return None if value is None else self._a_load(key, value, unit, zero)

    def loads(self, key: str, unit: str) -> tuple[int, ...] | None:
        """A list of loads in hundredths of `unit`, each heavier than the one before; None if wrong."""
        value = self._get(key)
        if value is None:
            return None
        if not isinstance(value, list):
            self.wrong(f"{key} should be a list of loads, like [20, 40, 60].")
            return None
        found = [self._a_load(f"{key}, load {no}", raw, unit, zero=False) for no, raw in enumerate(value, 1)]
        loads = [load for load in found if load is not None]
        if len(loads) < len(found):
            return None
        for before, after in pairwise(loads):
            if after <= before:
                self.wrong(f"{key} does not rise: {show_load(after)} comes after {show_load(before)}. Put it in order.")
                return None
        return tuple(loads)

    def _a_load(self, key: str, value: object, unit: str, zero: bool) -> int | None:
        load = hundredths(value)
        if isinstance(load, str):
            self.wrong(f"{key}: {load}")
        elif load < 0:
            self.wrong(f"{key} is negative. Write it without the minus.")
        elif load == 0 and not zero:
            self.wrong(f"{key} is zero. Write a number above zero.")
        elif load > most(unit):
            self.wrong(f"{key}: {show_load(load)} {unit} is more than any bar holds. Check the number and the unit.")
        else:
            return load
        return None

    def tables(self, key: str, name: str, label: str = "id") -> list[Reader]:
        """A reader for each table in the list at `key`, placed as `name` 1, 2, ... with its `label`."""
        value = self._get(key, [])
        if not isinstance(value, list) or not all(isinstance(t, dict) for t in value):
            self.wrong(f"{key} should be a list of tables. Look at the comments on top for its form.")
            return []
        readers = []
        for no, table in enumerate(value, 1):
            tag = table.get(label)
            shown = isinstance(tag, str | int) and str(tag).isprintable() and 0 < len(str(tag)) <= 24
            place = f"{name} {no} ({tag})" if shown and str(tag) != str(no) else f"{name} {no}"
            readers.append(Reader(self.file, f"{self.place}, {place}".lstrip(", "), table, self._problems))
        if not readers:
            self.wrong(f"there is no {name}. Add one.")
        return readers

    def done(self) -> None:
        """Report the keys of this table that nobody asked for."""
        for key in self._table:
            if key not in self._asked:
                near = get_close_matches(key, [k for k in self._asked if k not in self._table], n=1)
                hint = f"Did you mean {near[0]}?" if near else "Take it out."
                self.wrong(f"{key[:24]!r} means nothing here. {hint}")
