"""Which lines a card of a given size has: a fixed frame, the same whatever stands in it.

The frame depends on the size alone, so nothing on a card moves when a set
starts, a rest runs or a name changes.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

ORDER = ("name", "role", "load", "now", "draw", "side", "change", "warn", "next", "setup")
"""The parts of a card from top to bottom."""

TALL_WIDTH = 40
"""Inner columns from which the large letters may be the tall ones and a change fits one line."""


@dataclass(frozen=True, slots=True)
class Slot:
    """A part of the card: its first inner row and how many rows it has."""

    part: str
    top: int
    rows: int


_PLAIN = {"name": 1, "load": 1, "now": 1, "next": 1}
_LARGE = {"name": 3, "load": 3, "now": 1, "next": 1}

_NARROW = (
    ("change", 1), ("draw", 4), ("role", 1), ("now", 2), ("next", 1), ("change", 1), ("draw", 1), ("warn", 1),
    ("warn", 1), ("setup", 1), ("next", 1), ("draw", 1), ("gap", 1), ("gap", 1), ("draw", 3), ("gap", 1), ("warn", 1),
    ("gap", 1),
)  # fmt: skip
_WIDE = (
    ("change", 1), ("draw", 4), ("role", 1), ("now", 2), ("draw", 1), ("warn", 1), ("setup", 1),
    ("next", 2), ("tall", 2), ("now", 1), ("side", 1), ("gap", 1), ("gap", 1), ("gap", 1), ("draw", 2),
    ("gap", 1), ("warn", 1), ("draw", 2), ("gap", 1), ("gap", 1),
)  # fmt: skip
_GAPS = ("load", "now", "next", "draw", "change", "setup")
"""Parts that get a clear row above them, in the order the rows are given out."""


@lru_cache(maxsize=64)
def frame(width: int, height: int) -> tuple[Slot, ...]:
    """The slots of a card `width` by `height` inside its border, most important parts kept first.

    Name, load and time are large from 8 rows on; below that every kept part has
    one plain row and the last ones go first.
    """
    large = height >= sum(_LARGE.values())
    rows = dict(_LARGE if large else _PLAIN)
    gaps = 0
    left = height - sum(rows.values())
    for part, more in _WIDE if width >= TALL_WIDTH else _NARROW:
        if not large or more > left:
            continue
        left -= more
        if part == "gap":
            gaps += 1
        elif part == "tall":
            rows["name"] += 1
            rows["load"] += 1
        else:
            rows[part] = rows.get(part, 0) + more
    clear = set(_GAPS[:gaps])
    slots: list[Slot] = []
    at = 0
    for part in ORDER:
        count = rows.get(part, 0)
        if not count or at >= height:
            continue
        at += part in clear
        slots.append(Slot(part, at, min(count, height - at)))
        at += count
    return tuple(slots)
