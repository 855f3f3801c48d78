"""A history kept in a spreadsheet, as values: what was read of it, what can't be taken, what looks odd. Pure.

Loads are hundredths of the gym's unit. The rows are read in historyrows.py.
"""

from __future__ import annotations

import difflib
from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date

from floor.core.gym import Grade, Gym
from floor.core.plausible import odd_load


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
    written to the gym's; `lifter` and `lift` stand for a column that is not there.
    """

    style: str = ""
    unit: str = ""
    lifts: Mapping[str, str] = field(default_factory=dict)
    lifter: str = ""
    lift: str = ""
    fill: bool = False
    latest: date = date.max


@dataclass(frozen=True, slots=True)
class Past:
    """What was read: the sets in the order of the file, what can't be taken, and what of the file is left out."""

    sets: tuple[SetLine, ...] = ()
    bad: tuple[Odd, ...] = ()
    left: tuple[Odd, ...] = ()

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


def lift_named(text: str, gym: Gym, told: Mapping[str, str]) -> str | None:
    """The gym's lift of that id or name, or of the name the coach gave for it; None when there is none."""
    wanted = " ".join(text.split()).casefold()
    wanted = {" ".join(k.split()).casefold(): v for k, v in told.items()}.get(wanted, wanted).casefold()
    for lift in gym.lifts.values():
        if wanted in (lift.id.casefold(), lift.name.casefold()):
            return lift.id
    return None


def unknown_lift(text: str, gym: Gym) -> str:
    """What to say of a lift the gym has not: the nearest name, and how to say that it is meant."""
    names = {name.casefold(): lift.name for lift in gym.lifts.values() for name in (lift.id, lift.name)}
    inside = [full for name, full in names.items() if name in text.casefold().split() or name in text.casefold()]
    near = inside or [names[n] for n in difflib.get_close_matches(text.casefold(), list(names), 1, 0.6)]
    if near:
        return f'the gym has no lift called "{text}". If the {near[0]} is meant, say --lift "{text}={near[0]}".'
    return f'the gym has no lift called "{text}". It has: {", ".join(lift.name for lift in gym.lifts.values())}.'
