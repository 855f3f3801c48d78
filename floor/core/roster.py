"""A roster as text -> its rows, or every line that can't be taken, with line and column.

One line a lift: lifter, lift, sets, reps, load, unit. Commas, semicolons or
tabs; decimal commas where the separator allows; a byte-order mark; kg or lb.
The header may be in any order; unit may be left out (the gym's own).
"""

from __future__ import annotations

import csv
import io
from collections.abc import Mapping
from dataclasses import dataclass

from floor.core.gym import Gym
from floor.core.history import EMPTY_BAR, MANY_BARS, empty_bar
from floor.core.liftnames import lift_named, near_lift
from floor.core.people import name_wrong
from floor.core.units import UNITS, convert, parse_load

COLUMNS = ("lifter", "lift", "sets", "reps", "load", "unit")
NEEDED = COLUMNS[:-1]
MOST_SETS, MOST_REPS = 20, 50


@dataclass(frozen=True, slots=True)
class RosterLine:
    """One line taken, number `line` of the file: the load in hundredths of the gym's unit.

    `bare` is a load without a unit, read in the gym's.
    """

    lifter: str
    lift: str
    sets: int
    reps: int
    load: int
    line: int = 0
    bare: bool = False


@dataclass(frozen=True, slots=True)
class BadLine:
    """One thing wrong: the line of the file (1 is the first) and the column by name."""

    line: int
    column: str
    why: str

    def __str__(self) -> str:
        """Line, column, what is wrong and what to do."""
        return f"line {self.line}, {self.column}: {self.why}"


_DIGITS = 4
"""Past so many a number of sets or reps is a slip, whatever it says: Python refuses to read a very long one."""


@dataclass(frozen=True, slots=True)
class Roster:
    """What was read: `lines` in order, or `bad` and nothing taken."""

    lines: tuple[RosterLine, ...]
    bad: tuple[BadLine, ...]


def read_roster(text: str, gym: Gym) -> Roster:
    """Read a whole roster. Either every line is taken or `bad` says why not one is."""
    text = text.removeprefix("\ufeff")
    numbered = _rows(text)
    if not numbered:
        return Roster((), (BadLine(1, "file", f"it is empty. Begin with a line: {','.join(COLUMNS)}"),))
    head_line, head = numbered[0]
    names = [name.lower() for name in head]
    missing = [name for name in NEEDED if name not in names]
    if missing:
        why = f"no column called {', '.join(missing)}. The first line names the columns: {','.join(COLUMNS)}"
        return Roster((), (BadLine(head_line, "header", why),))
    bad: list[BadLine] = []
    lines: list[RosterLine] = []
    seen: dict[tuple[str, str], int] = {}
    for number, row in numbered[1:]:
        cells = dict(zip(names, row, strict=False))
        if len(row) > len(names):
            why = f"{len(row)} values for {len(names)} columns. A decimal comma needs semicolons between the columns."
            bad.append(BadLine(number, "line", why))
            continue
        line = _line(number, cells, gym, bad)
        if line is None:
            continue
        key = (line.lifter.casefold(), line.lift)
        if key in seen:
            bad.append(BadLine(number, "lift", f"{line.lifter} has this lift on line {seen[key]} already."))
        seen.setdefault(key, number)
        lines.append(line)
    if not lines and not bad:
        bad.append(BadLine(head_line, "file", "there are no lines under the header."))
    return Roster((), tuple(bad)) if bad else Roster(tuple(lines), ())


def _rows(text: str) -> list[tuple[int, list[str]]]:
    """The rows that hold anything, each with the line of the file it begins on: a quoted cell may have several."""
    reader = csv.reader(io.StringIO(text), delimiter=_separator(text), skipinitialspace=True)
    found, begins = [], 1
    for row in reader:
        if any(cell.strip() for cell in row):
            found.append((begins, [cell.strip() for cell in row]))
        begins = reader.line_num + 1
    return found


def _separator(text: str) -> str:
    first = next((line for line in text.splitlines() if line.strip()), "")
    return max(";\t,", key=lambda mark: (first.count(mark), mark == ","))


def _line(number: int, cells: Mapping[str, str], gym: Gym, bad: list[BadLine]) -> RosterLine | None:
    before = len(bad)
    lifter = cells.get("lifter", "")
    if not lifter:
        bad.append(BadLine(number, "lifter", "the name is missing."))
    elif wrong := name_wrong(" ".join(lifter.split())):
        bad.append(BadLine(number, "lifter", wrong))
    lift = lift_named(cells.get("lift", ""), gym, {})
    if lift is None:
        known = ", ".join(x.name for x in gym.lifts.values())
        near = near_lift(cells.get("lift", ""), gym)
        hint = f"If the {near} is meant, write {near}." if near else f"It has: {known}."
        bad.append(BadLine(number, "lift", f"the gym has no lift called {cells.get('lift', '')!r}. {hint}"))
    sets = _count(number, "sets", cells.get("sets", ""), MOST_SETS, bad)
    reps = _count(number, "reps", cells.get("reps", ""), MOST_REPS, bad)
    unit = cells.get("unit", "").lower().rstrip("s.") or gym.unit
    if unit not in UNITS:
        bad.append(BadLine(number, "unit", f"{cells.get('unit', '')!r} is neither kg nor lb."))
        return None
    load = _load(cells.get("load", ""), unit, lift, gym)
    if isinstance(load, str):
        bad.append(BadLine(number, "load", load))
    if len(bad) > before or lift is None or not isinstance(load, int):
        return None
    said = cells.get("load", "").lower()
    bare = not cells.get("unit", "") and said not in EMPTY_BAR and not said.endswith(UNITS)
    return RosterLine(lifter, lift, sets, reps, load, number, bare)


def _load(text: str, unit: str, lift: str | None, gym: Gym) -> int | str | None:
    """Hundredths of the gym's unit, or what is wrong; None for the bar of a lift the gym has not."""
    if text.casefold() in EMPTY_BAR:
        return None if lift is None else empty_bar(gym, lift) or MANY_BARS
    load = parse_load(text, unit)
    if isinstance(load, str):
        return load
    return convert(load, unit, gym.unit) if load > 0 else "the load must be more than zero."


def _count(number: int, column: str, text: str, most: int, bad: list[BadLine]) -> int:
    known = text.isascii() and text.isdigit() and len(text) <= _DIGITS
    if not known or not 1 <= int(text) <= most:
        bad.append(BadLine(number, column, f"{text!r} is not a whole number from 1 to {most}."))
        return 0
    return int(text)
