"""Which column of a spreadsheet could be what, by its cells: told to the coach as what to type, never taken. Pure."""

from __future__ import annotations

from collections.abc import Callable, Collection, Sequence
from datetime import date

from floor.core.gym import Gym
from floor.core.history import Row
from floor.core.liftnames import lift_named, near_lift
from floor.core.olddates import STYLES, read_date
from floor.core.remarks import set_aside
from floor.core.shorthand import read_shorthand

LOOKED_AT = 50
"""So many cells of a column are looked at."""


def guess_columns(
    headings: Sequence[str], rows: Sequence[Row], wanted: Collection[str], used: Collection[int], gym: Gym
) -> dict[str, str]:
    """Field -> heading, for each field `wanted` (date, lift, work) that more than half of a column's cells read as.

    `used` are the columns that are something already.
    """
    reads: dict[str, Callable[[str], bool]] = {
        "work": lambda cell: not isinstance(read_shorthand(set_aside(cell)[0]), str),
        "date": lambda cell: any(isinstance(read_date(cell, style), date) for style in STYLES),
        "lift": lambda cell: bool(lift_named(cell, gym, {}) or near_lift(cell, gym)),
    }
    found: dict[str, str] = {}
    taken = set(used)
    for field in (name for name in reads if name in wanted):
        best, most = -1, 0
        for place, heading in enumerate(headings):
            cells = [r.cells[place].strip() for r in rows if place < len(r.cells) and r.cells[place].strip()]
            good = sum(map(reads[field], cells[:LOOKED_AT]))
            if heading.strip() and place not in taken and good > most and 2 * good > len(cells[:LOOKED_AT]):
                best, most = place, good
        if best >= 0:
            found[field] = headings[best]
            taken.add(best)
    return found
