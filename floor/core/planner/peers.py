"""What people do without a plan, played on the same evening: the rising bar and the strict rotation.

Both are orders only; when each set starts follows from the evening's rules, so
nobody is under-rested here either: the bar waits. Whoever was told goes first.
Common practice of the trade, no source.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from floor.core.planner.tables import Tables


@dataclass(slots=True)
class _Now:
    """The evening as it is played. By lifter: sets done, work sets done, rested, last bar down; by station the rest."""

    done: list[int]
    work: list[int]
    ready: list[int]
    down: list[int]
    free: list[int]
    last: list[int]
    told: list[list[int]]


_Rank = Callable[[_Now, int, int], tuple[int, ...]]


def rising(t: Tables, passing: bool = False) -> list[int]:
    """Fewest work sets done first, then the lightest bar, then who has waited longest; the bar waits for them.

    With `passing`, whoever of that line is rested when the bar is free goes
    first, and if nobody is, whoever is rested soonest.
    """

    def rank(now: _Now, station: int, i: int) -> tuple[int, ...]:
        load = t.evening.chains[i].sets[now.done[i]].load
        rest_left = max(0, now.ready[i] - now.free[station]) if passing else 0
        return rest_left, now.work[i], load, now.down[i], i

    return _played(t, rank)


def rotation(t: Tables) -> list[int]:
    """The lifters as they were named, round and round; who has not come or has done all is left out."""

    def rank(now: _Now, station: int, i: int) -> tuple[int, ...]:
        return ((i - now.last[station] - 1) % len(t.sets),)

    return _played(t, rank)


def _played(t: Tables, rank: _Rank) -> list[int]:
    """The order when each station takes the first of its line, and the station that can start first goes first."""
    places = t.evening.places
    ready = [c.ready for c in t.evening.chains]
    nobody = [-1] * len(places)
    now = _Now(
        [0] * len(t.sets), [0] * len(t.sets), ready[:], ready[:], [p.free for p in places], nobody,
        [list(p.told) for p in places],
    )  # fmt: skip
    rows = [t.first[p] for p in range(len(places))]
    order: list[int] = []
    for _ in t.seconds:
        turns = []
        for station in range(len(places)):
            i = _first_in_line(t, now, station, rank)
            if i is not None:
                begin = max(now.ready[i], now.free[station] + rows[station][t.sets[i][now.done[i]]])
                turns.append((begin, station, i))
        begin, station, i = min(turns)
        s = t.sets[i][now.done[i]]
        now.work[i] += t.evening.chains[i].sets[now.done[i]].work
        now.done[i] += 1
        now.free[station] = now.down[i] = begin + t.seconds[s]
        now.ready[i] = now.down[i] + t.rest[s]
        now.last[station] = i
        rows[station] = t.set_up[s]
        if now.told[station]:
            now.told[station].pop(0)
        order.append(i)
    return order


def _first_in_line(t: Tables, now: _Now, station: int, rank: _Rank) -> int | None:
    if now.told[station]:
        return now.told[station][0]
    promised = {i for told in now.told for i in told}
    line = [
        i
        for i, sets in enumerate(t.sets)
        if i not in promised and now.done[i] < len(sets) and station in t.where[sets[now.done[i]]]
    ]
    if not line:
        return None
    come = [i for i in line if now.done[i] or now.ready[i] <= now.free[station]]
    soonest = min(now.ready[i] for i in line)
    return min(come or [i for i in line if now.ready[i] == soonest], key=lambda i: rank(now, station, i))
