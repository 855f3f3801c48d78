"""Where one coach can stand: which eyes-on sets of some turns can be seen by one pair of eyes."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence

from floor.core.planner.problem import Evening
from floor.core.planner.tables import Turn


def watch(evening: Evening, turns: Sequence[Turn]) -> tuple[Turn, ...]:
    """The eyes-on sets to stand at, in order: of all choices with no two at once, one of the greatest weight.

    Each is seen from its start to its end; going from one station to another is
    taken to need no time.
    """
    seen = sorted((turn for turn in turns if _eyes(evening, turn)), key=lambda turn: (turn.end, turn.start))
    ends = [turn.end for turn in seen]
    best: list[tuple[int, tuple[Turn, ...]]] = [(0, ())]
    for n, turn in enumerate(seen):
        weight, before = best[bisect_right(ends, turn.start, hi=n)]
        taken = weight + _eyes(evening, turn)
        best.append((taken, (*before, turn)) if taken > best[n][0] else best[n])
    return best[-1][1]


def watched_share(evening: Evening, turns: Sequence[Turn]) -> float | None:
    """The share of the eyes-on sets, by weight, that one coach can stand at; None without any."""
    total = sum(_eyes(evening, turn) for turn in turns)
    return sum(_eyes(evening, turn) for turn in watch(evening, turns)) / total if total else None


def at_once(evening: Evening, turns: Sequence[Turn]) -> int:
    """Seconds that two eyes-on sets at different stations share, each times the lesser weight of the two."""
    seen = sorted((turn for turn in turns if _eyes(evening, turn)), key=lambda turn: turn.start)
    seconds = 0
    for n, a in enumerate(seen):
        for b in seen[n + 1 :]:
            if b.start >= a.end:
                break
            if a.station != b.station:
                seconds += min(_eyes(evening, a), _eyes(evening, b)) * (min(a.end, b.end) - b.start)
    return seconds


def _eyes(evening: Evening, turn: Turn) -> int:
    return evening.chains[turn.lifter].sets[turn.no].eyes
