"""Simulated annealing on the order of lifters, for any number of stations, the same answer every time.

An order is a list of lifters; the k-th time one appears is that lifter's k-th
set, so no exchange can break a chain. A step swaps two turns, moves one, or
moves a few together; only what comes after the first change is worked out
again. A worse order is taken with a chance that falls as it cools. The method is
Kirkpatrick, Gelatt and Vecchi 1983, Science 220:671-680 (from memory).
"""

from __future__ import annotations

from dataclasses import dataclass
from math import log

from floor.core.planner.tables import Tables

HOT = 25.0
COLD = 1.0
"""The seconds worse that are easily taken at the start and at the end."""
_MASK = (1 << 64) - 1


@dataclass(frozen=True, slots=True)
class Weights:
    """What a second late, a second of finish, a second waited too long and a plate moved cost.

    Late is after `closing`.
    """

    late: float = 1.0
    finish: float = 0.0
    waited: float = 0.0
    moved: float = 0.0
    closing: int = 0


Measures = tuple[int, int, int]
"""What an order comes to: the finish, the waits too long summed over the lifters (seconds), the plates moved."""

# Rested, sets done, by lifter; free, set-ups and plates to each set, by station; finish, waited, moved.
_Mark = tuple[list[int], list[int], list[int], list[list[int]], list[list[int]], int, int, int]


class Walk:
    """An order and the evening's state before each of its turns."""

    def __init__(self, t: Tables, order: list[int]) -> None:
        self.t = t
        self.order = order
        self._go = self._one if len(t.evening.places) == 1 else self._many
        start: _Mark = (
            [c.ready for c in t.evening.chains], [0] * len(t.sets), [p.free for p in t.evening.places],
            t.first[:], t.first_moved[:], 0, 0, 0,
        )  # fmt: skip
        self.marks = [start]
        self.keep(order, 0)

    def keep(self, order: list[int], since: int) -> None:
        """Take that order, which is the same before `since`."""
        self.order = order
        del self.marks[since + 1 :]
        self.marks.append(self._go(order, since, self.marks))

    def measures(self) -> Measures:
        """Of the order as it stands."""
        return self.marks[-1][5:]

    def of(self, order: list[int], since: int) -> Measures:
        """Of another order, which is the same before `since`."""
        return self._go(order, since, None)[5:]

    def _one(self, order: list[int], since: int, marks: list[_Mark] | None) -> _Mark:
        """One station: the same rules as `_many`, with its state in plain names."""
        t = self.t
        sets, seconds, rest, cold, set_up, plates = t.sets, t.seconds, t.rest, t.cold, t.set_up, t.moved
        ready, done, free, rows, moves, finish, waited, moved = self.marks[since]
        ready, done, end, row, move = ready[:], done[:], free[0], rows[0], moves[0]
        for n in range(since, len(order)):
            i = order[n]
            if marks is not None and n > since:
                marks.append((ready[:], done[:], [end], [row], [move], end, waited, moved))
            s = sets[i][done[i]]
            done[i] += 1
            begin = end + row[s]
            late = begin - ready[i]
            if late < 0:
                begin -= late
            elif late > cold[s]:
                waited += late - cold[s]
            end = begin + seconds[s]
            moved += move[s]
            ready[i] = end + rest[s]
            row, move = set_up[s], plates[s]
        return ready, done, [end], [row], [move], max(end, finish), waited, moved

    def _many(self, order: list[int], since: int, marks: list[_Mark] | None) -> _Mark:
        t = self.t
        ready, done, free, rows, moves, finish, waited, moved = self.marks[since]
        ready, done, free, rows, moves = ready[:], done[:], free[:], rows[:], moves[:]
        for n in range(since, len(order)):
            if marks is not None and n > since:
                marks.append((ready[:], done[:], free[:], rows[:], moves[:], finish, waited, moved))
            i = order[n]
            s = t.sets[i][done[i]]
            done[i] += 1
            rested, place, least = ready[i], -1, (0, 0)
            for p in t.where[s]:
                set_up = rows[p][s]
                could = (max(rested, free[p] + set_up), set_up)
                if place < 0 or could < least:
                    place, least = p, could
            begin = least[0]
            waited += max(0, begin - rested - t.cold[s])
            free[place] = end = begin + t.seconds[s]
            finish = max(finish, end)
            moved += moves[place][s]
            ready[i] = end + t.rest[s]
            rows[place], moves[place] = t.set_up[s], t.moved[s]
        return ready, done, free, rows, moves, finish, waited, moved


def cool(t: Tables, order: list[int], steps: int, weights: Weights, seed: int = 1, hot: float = HOT) -> list[int]:
    """The cheapest order met in that many steps (one step is one set placed); the first `told` stay where they are."""
    fixed, length = len(t.told()), len(order)
    if length - fixed < 2:
        return order
    walk = Walk(t, order)
    now = least = _cost(walk.measures(), weights)
    best, used, chance = order, 0, (seed * 2862933555777941757 + 3037000493) & _MASK
    while used < steps:
        warmth = hot * (COLD / hot) ** (used / steps)
        chance = (chance * 6364136223846793005 + 1442695040888963407) & _MASK
        other, since = _changed(walk.order, fixed, chance >> 24)
        used += 2
        if other is None:
            continue
        chance = (chance * 6364136223846793005 + 1442695040888963407) & _MASK
        dare = now - warmth * log(((chance >> 33) + 1) / (1 << 31))
        cost = _cost(walk.of(other, since), weights)
        used += length - since
        if cost <= dare:
            walk.keep(other, since)
            used += 3 * (length - since)
            now = cost
            if cost < least:
                best, least = other, cost
    return best


def _cost(m: Measures, w: Weights) -> float:
    return w.late * max(0, m[0] - w.closing) + w.finish * m[0] + w.waited * m[1] + w.moved * m[2]


def _changed(order: list[int], fixed: int, chance: int) -> tuple[list[int] | None, int]:
    """Another order and where it first differs, or None when the chosen exchange changes nothing."""
    room = len(order) - fixed
    kind, chance = chance & 3, chance >> 2
    a, chance = fixed + chance % room, chance // room
    b, chance = fixed + chance % room, chance // room
    if kind == 0:
        if order[a] == order[b]:
            return None, 0
        other = order[:]
        other[a], other[b] = other[b], other[a]
        return other, min(a, b)
    size = 1 if kind < 3 else 2 + chance % 3
    if a == b or max(a, b) + size > len(order):
        return None, 0
    block = order[a : a + size]
    other = order[:a] + order[a + size :]
    other[b:b] = block
    return (None, 0) if other == order else (other, min(a, b))
