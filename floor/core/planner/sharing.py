"""What stations have in common while they are planned: the gym's plates, and the coach's eyes."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from floor.core.planner.problem import Place

Held = tuple[int, int, int, int, int, Any] | None
"""The latest set at a station: its start, end, set-up before it, rig, eyes; and the one before it, or None."""


def held_at_first(places: Sequence[Place]) -> list[Held]:
    """What is in use before the first set: the rigs on bars that are not free yet, until they are."""
    return [None if p.rig is None or p.free <= 0 else (0, p.free, 0, p.rig, 0, None) for p in places]


def clear(held: Sequence[Held], place: int, start: int, set_up: int, seconds: int, clashes: Sequence[int]) -> int:
    """The earliest start from `start` on at `place` when no rig that clashes is at another station.

    A set holds its rig from the beginning of its set-up to its end. `clashes` is
    the row of the rig in the evening's table.
    """
    while True:
        before = start
        for station, last in enumerate(held):
            if station == place:
                continue
            while last is not None and last[1] > start - set_up:
                if clashes[last[3]] and last[0] - last[2] < start + seconds:
                    start = last[1] + set_up
                last = last[5]
        if start == before:
            return start


def overlap(held: Sequence[Held], place: int, start: int, end: int, eyes: int) -> int:
    """Seconds that eyes-on sets at other stations share with one at `place`, each times the lesser rank of the two."""
    seconds = 0
    for station, last in enumerate(held):
        if station == place:
            continue
        while last is not None and last[1] > start:
            if last[4] and last[0] < end:
                seconds += min(eyes, last[4]) * (min(end, last[1]) - max(start, last[0]))
            last = last[5]
    return seconds
