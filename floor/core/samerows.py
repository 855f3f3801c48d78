"""Rows of a history that say the same as a row before them: written twice by a slip, or two sets alike.

Where a row holds a lift's sets, the same row again is a slip, and so is a row far
lighter than what was lifted before it that day: another lift or another lifter was
meant. Where every set has its own row, sets alike are the rule; only when another
day stands between them was the day written twice.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from floor.core.history import Odd, Place, SetLine
from floor.core.units import show_with_unit

SAYS = "leave one out if it was written twice, or take both with --yes-odd."
APART = 2
"""A row more than so many times lighter than the next of its day and lift is asked about. Our choice, no source."""


@dataclass(frozen=True, slots=True)
class WrittenRow:
    """One row as it was read: its sets in order (at least one), and whether its columns hold a lift's sets.

    `unread` are the cells that nothing was read from, such as remarks.
    """

    unread: tuple[str, ...]
    sets: tuple[SetLine, ...]
    whole_lift: bool

    @property
    def place(self) -> Place:
        """Where the row stands."""
        return self.sets[0].place

    @property
    def key(self) -> tuple[object, ...]:
        """What makes another row the same: day, lifter, lift and every set; of a single set every unread cell too."""
        first = self.sets[0]
        done = tuple((one.load, one.made, one.missed, one.grade) for one in self.sets)
        words = tuple((place, cell.strip().casefold()) for place, cell in enumerate(self.unread) if cell.strip())
        if len(self.sets) > 1:
            words = ()  # nobody does three sets of five twice, whatever is remarked the second time
        return (first.day, first.lifter.casefold(), first.lift, done, words)


def same_rows(rows: Sequence[WrittenRow]) -> Iterator[Odd]:
    """Every row that says the same as one before it, with which; `rows` are those of a file in its order."""
    before: dict[tuple[object, ...], tuple[int, Place]] = {}
    turns = 0
    day = rows[0].sets[0].day if rows else None
    for row in rows:
        if row.sets[0].day != day:
            turns, day = turns + 1, row.sets[0].day
        if row.key not in before:
            before[row.key] = (turns, row.place)
            continue
        turn, place = before[row.key]
        if row.whole_lift or len(row.sets) > 1 or turn != turns or place.sheet != row.place.sheet:
            yield Odd(row.place, f"the same as {_where(place, row.place)}: {SAYS}")
        else:
            before[row.key] = (turns, place)


def far_apart(rows: Sequence[WrittenRow], unit: str) -> Iterator[Odd]:
    """Rows of a lift far lighter than the next heavier one of the same lifter, day and lift.

    Loads are in hundredths of `unit`. Lighter sets that come first may be the ramp,
    unless they are as many as the heaviest ones.
    """
    days: dict[tuple[object, ...], list[tuple[int, WrittenRow]]] = {}
    for place, row in enumerate(rows):
        first = row.sets[0]
        if row.whole_lift or len(row.sets) > 1:
            days.setdefault((first.day, first.lifter.casefold(), first.lift), []).append((place, row))
    for mine in days.values():
        rising = sorted(mine, key=lambda one: (_top(one[1]), one[0]))
        most = rising[-1][1]
        for at, (place, row) in enumerate(rising[:-1]):
            heavier = rising[at + 1 :]
            earlier = [other for before, other in heavier if before < place]
            work = len(_at_top(row)) >= len(_at_top(most)) > 1
            if _top(heavier[0][1]) > APART * _top(row) and (earlier or work):
                other = (earlier or [most])[-1]
                loads = f"{show_with_unit(_top(row), unit)} here, {show_with_unit(_top(other), unit)} in"
                where = _where(other.place, row.place)
                what = f"the same lift twice that day, {loads} {where}: put it right, leave one out, or say --yes-odd."
                yield Odd(row.place, what)


def _top(row: WrittenRow) -> int:
    return max(one.load for one in row.sets)


def _at_top(row: WrittenRow) -> list[SetLine]:
    return [one for one in row.sets if one.load == _top(row)]


def _where(place: Place, here: Place) -> str:
    return f"row {place.row}" if place.sheet == here.sheet else f'sheet "{place.sheet}", row {place.row}'
