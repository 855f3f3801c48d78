"""Rows of a history that say the same as a row before them: written twice by a slip, or two sets alike.

Where a row holds a lift's sets, the same row again is a slip. Where every set has
its own row, sets alike are the rule; only when another day stands between them
was the day written twice.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from floor.core.history import Odd, Place, SetLine

SAYS = "Leave the row out if it was written twice, or take both with --yes-odd."


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
        """What makes another row the same: day, lifter, lift and every set, and every cell that was not read."""
        first = self.sets[0]
        done = tuple((one.load, one.made, one.missed, one.grade) for one in self.sets)
        words = tuple((place, cell.strip().casefold()) for place, cell in enumerate(self.unread) if cell.strip())
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
        elsewhere = place.sheet != row.place.sheet
        if row.whole_lift or len(row.sets) > 1 or turn != turns or elsewhere:
            where = f'sheet "{place.sheet}", row {place.row}' if elsewhere else f"row {place.row}"
            yield Odd(row.place, f"the same as {where}. {SAYS}")
        else:
            before[row.key] = (turns, place)
