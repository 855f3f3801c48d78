"""Simulated annealing on the order of lifters, for any number of stations, the same answer every time.

An order is a list of lifters; the k-th time one appears is that lifter's k-th
set, so no exchange can break a chain. A step swaps two turns, moves one, or
moves a few together; only what comes after the first change is worked out
again. A worse order is taken with a chance that falls as it cools. The method is
Kirkpatrick, Gelatt and Vecchi 1983, Science 220:671-680 (from memory).
"""

from __future__ import annotations

from math import log

from floor.core.planner.tables import Tables
from floor.core.planner.walk import Walk, Weights

HOT = 25.0
COLD = 1.0
"""The seconds worse that are easily taken at the start and at the end."""
_NEAR = 12
"""How many turns apart, for each station, two exchanged ones may be; the best of 4 to 20 on linked evenings."""
_MASK = (1 << 64) - 1


def cool(t: Tables, order: list[int], steps: int, weights: Weights, seed: int = 1, hot: float = HOT) -> list[int]:
    """The cheapest order met in that many steps (one step is one set placed); the first `told` stay where they are.

    With several stations turns are exchanged with near ones only: far apart, most
    exchanges wreck what lies between.
    """
    fixed, length = len(t.told()), len(order)
    if length - fixed < 2:
        return order
    places = len(t.evening.places)
    near = _NEAR * places if places > 1 else 0
    walk = Walk(t, order, weights)
    least = walk.cost
    best, tried, chance = order, 0, (seed * 2862933555777941757 + 3037000493) & _MASK
    used = 0
    while used < steps:
        warmth = hot * (COLD / hot) ** (used / steps)
        chance = (chance * 6364136223846793005 + 1442695040888963407) & _MASK
        other, since = _changed(walk.order, fixed, chance >> 24, near)
        tried += 2
        if other is not None:
            chance = (chance * 6364136223846793005 + 1442695040888963407) & _MASK
            dare = walk.cost - warmth * log(((chance >> 33) + 1) / (1 << 31))
            cost = walk.of(other, since, dare)
            if cost <= dare:
                walk.keep(other, since)
                # The marks are copied, which costs twice as much as placing the sets.
                tried += 2 * (length - since)
                if cost < least:
                    best, least = other, cost
        used = tried + walk.nodes
    return best


def _changed(order: list[int], fixed: int, chance: int, near: int) -> tuple[list[int] | None, int]:
    """Another order and where it first differs, or None when the chosen exchange changes nothing.

    `near` is how far apart the turns may be, 0 for any distance.
    """
    room = len(order) - fixed
    kind, chance = chance & 3, chance >> 2
    a, chance = fixed + chance % room, chance // room
    if near:
        away, chance = 1 + chance % near, chance // near
        b, chance = a + (away if chance & 1 else -away), chance >> 1
        if not fixed <= b < len(order):
            return None, 0
    else:
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
