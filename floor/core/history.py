"""A history kept in a spreadsheet, as values: what was read of it, what can't be taken, what looks odd. Pure.

Loads are hundredths of the gym's unit. The rows are read in historyrows.py.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date

from floor.core.gym import Grade, Gym
from floor.core.plausible import odd_load

SHOWN_ROWS = 5
"""So many rows of one thing are told; then how many more there are."""


@dataclass(frozen=True, slots=True)
class Place:
    """Where in the file: the sheet ("" in a CSV), the row as the spreadsheet counts it, the column by its heading."""

    sheet: str
    row: int
    column: str

    def __str__(self) -> str:
        """sheet "2025", row 12, "Weight"."""
        sheet = f'sheet "{self.sheet}", ' if self.sheet else ""
        return f'{sheet}row {self.row}, "{self.column}"'


@dataclass(frozen=True, slots=True)
class Odd:
    """One thing that can't be taken, or is asked about before it is."""

    place: Place
    what: str

    def __str__(self) -> str:
        """Where, what is wrong, what to do."""
        return f"{self.place}: {self.what}"


def grouped(odds: Iterable[Odd]) -> list[str]:
    """A line for each thing wrong, with all the rows it is wrong in."""
    same: dict[tuple[str, str, str], list[Odd]] = defaultdict(list)
    for odd in odds:
        same[odd.place.sheet, odd.place.column, odd.what].append(odd)
    lines = []
    for (sheet, column, what), mine in same.items():
        where = f'sheet "{sheet}", ' if sheet else ""
        lines.append(f'{where}{rows_of([odd.place for odd in mine])}, "{column}": {what}')
    return lines


def rows_of(places: Sequence[Place]) -> str:
    """ "row 4", "rows 2, 3, 5 and 12 more"."""
    rows = list(dict.fromkeys(place.row for place in places))
    more = f" and {len(rows) - SHOWN_ROWS} more" if len(rows) > SHOWN_ROWS else ""
    return f"{'row' if len(rows) == 1 else 'rows'} {', '.join(map(str, rows[:SHOWN_ROWS]))}{more}"


@dataclass(frozen=True, slots=True)
class SetLine:
    """One set of the past: `load` in hundredths of the gym's unit; `lifter` the name as written."""

    place: Place
    day: date
    lifter: str
    lift: str
    load: int
    made: int
    missed: int = 0
    grade: Grade = Grade.UNSEEN


@dataclass(frozen=True, slots=True)
class Row:
    """One row of a sheet: its number there, and its cells as text."""

    number: int
    cells: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Reading:
    """How a file is to be read: what the coach said, and what the file decided.

    `unit` is "" when nothing was said (the gym's own); `lifts` maps a lift as
    written to the gym's; rows of a lift in `skip` are left out; `lifter` and
    `lift` stand for a column that is not there.
    """

    style: str = ""
    unit: str = ""
    lifts: Mapping[str, str] = field(default_factory=dict)
    skip: tuple[str, ...] = ()
    lifter: str = ""
    lift: str = ""
    fill: bool = False
    latest: date = date.max


@dataclass(frozen=True, slots=True)
class Past:
    """What was read: the sets in the order of the file, what can't be taken, and what of the file is left out.

    `remarks` were set aside beside sets that were read, `skipped` holds the lift
    of every row left out as the coach said, `short` the abbreviations of lifts
    that were read, with what lift.
    """

    sets: tuple[SetLine, ...] = ()
    bad: tuple[Odd, ...] = ()
    left: tuple[Odd, ...] = ()
    remarks: tuple[Odd, ...] = ()
    skipped: tuple[str, ...] = ()
    short: Mapping[str, str] = field(default_factory=dict)

    def odd(self, unit: str, known: Mapping[tuple[str, str], Sequence[int]]) -> tuple[Odd, ...]:
        """Loads that look like a slip; `known` is what the gym has for (lifter's name casefolded, lift)."""
        rows: dict[tuple[str, str], dict[Place, list[int]]] = defaultdict(lambda: defaultdict(list))
        for one in self.sets:
            rows[one.lifter.casefold(), one.lift][one.place].append(one.load)
        found: dict[tuple[Place, int], Odd] = {}
        heaviest = {
            key: sorted(((max(loads), place) for place, loads in by.items()), key=lambda pair: pair[0])[-2:]
            for key, by in rows.items()
        }
        for one in self.sets:
            key = (one.lifter.casefold(), one.lift)
            others = [load for load, place in heaviest[key] if place != one.place] + list(known.get(key, ()))
            why = odd_load(one.load, others, unit)
            if why:
                found[one.place, one.load] = Odd(one.place, f"{why} Put it right, or take it as it is with --yes-odd.")
        return tuple(found.values())


EMPTY_BAR = ("bar", "empty bar")
"""What is written where a load would stand, for the bar alone."""
MANY_BARS = "the gym has more than one bar for this lift: write what the empty bar weighs."


def empty_bar(gym: Gym, lift: str) -> int | None:
    """What the empty bar weighs where the lift is done, in hundredths; None when stations have different bars."""
    needs = gym.lifts[lift].needs
    masses = {gym.bar(station.bar).mass for station in gym.stations if needs in station.stands}
    return masses.pop() if len(masses) == 1 else None
