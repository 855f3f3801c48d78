"""Which rigs of two stations cannot stand at once: by what the gym owns, however cleverly it is built.

Each load is built with the fewest plates; where those of two are too many for
the gym, the second is built with what the first leaves. Only when that goes
neither way do the two clash. What an idle bar holds can be taken off it.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from itertools import combinations

from floor.core.fewest import fewest_stack
from floor.core.gym import Bar, Gym, Plate
from floor.core.planner.problem import Table
from floor.core.planner.rigs import Rig
from floor.core.stacks import Stack, held_elsewhere

Need = tuple[str, Stack]
"""A bar and one sleeve's plates."""


def clash_table(gym: Gym, rigs: Sequence[Sequence[Rig]]) -> Table:
    """1 where two rigs of different stations clash, the stations' rigs one after another; empty when none do."""
    firsts = [0]
    for here in rigs:
        firsts.append(firsts[-1] + len(here))
    at: list[dict[Need, list[int]]] = [{} for _ in rigs]
    for p, here in enumerate(rigs):
        for n, rig in enumerate(here, firsts[p]):
            at[p].setdefault((rig.bar, rig.stack), []).append(n)
    found = [
        (a, b)
        for p, q in combinations(range(len(rigs)), 2)
        for one, mine in at[p].items()
        for other, theirs in at[q].items()
        if _clash(gym.plates, gym.bars, one, other)
        for a in mine
        for b in theirs
    ]
    if not found:
        return ()
    table = [[0] * firsts[-1] for _ in range(firsts[-1])]
    for a, b in found:
        table[a][b] = table[b][a] = 1
    return tuple(map(tuple, table))


@lru_cache(maxsize=16384)
def _clash(plates: tuple[Plate, ...], bars: tuple[Bar, ...], one: Need, other: Need) -> bool:
    """Whether the gym cannot have both on two stations at once."""
    if one[0] == other[0] and next((bar.count for bar in bars if bar.id == one[0]), 2) < 2:
        return True
    both = held_elsewhere((one[1], other[1]))
    if all(both[plate.id] <= plate.pairs for plate in plates if plate.id in both):
        return False
    return not (_built_beside(plates, bars, one, other) or _built_beside(plates, bars, other, one))


def _built_beside(plates: tuple[Plate, ...], bars: tuple[Bar, ...], need: Need, first: Need) -> bool:
    """Whether the same load can be built with the plates that the first bar leaves."""
    bar = next((bar for bar in bars if bar.id == need[0]), None)
    if bar is None:
        return True  # a bar the gym no longer has: nothing is known of it
    held = held_elsewhere((first[1],))
    free = tuple(max(0, plate.pairs - held[plate.id]) for plate in plates)
    side = sum(plate.mass for plate in plates for name in need[1] if name == plate.id)
    return fewest_stack(plates, free, bar.sleeve, side, False) is not None
