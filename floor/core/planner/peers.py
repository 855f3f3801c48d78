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
    """The evening as it is played. By lifter: sets done, work sets done, rested, last bar down; by station, free
    and who lifted last."""

    done: list[int]
    work: list[int]
    ready: list[int]
    down: list[int]
    free: list[int]
    last: list[int]


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
    """The order when each station takes the first of its line, and the station that can start first goes first.

    A lifter who could go to several stations goes where they can start first.
    """
    places = t.evening.places
    ready = [c.ready for c in t.evening.chains]
    none = [0] * len(t.sets)
    now = _Now(none[:], none[:], ready[:], ready[:], [p.free for p in places], [-1] * len(places))
    rows = [t.first[p] for p in range(len(places))]
    told = t.told()
    order: list[int] = []
    for _ in t.seconds:
        if len(order) < len(told):
            i = told[len(order)]
        else:
            lines = [_first_in_line(t, now, station, rank) for station in range(len(places))]
            i = min((_begin(t, now, rows, p, i), p, i) for p, i in enumerate(lines) if i is not None)[2]
        s = t.sets[i][now.done[i]]
        station = min(t.where[s], key=lambda p: (_begin(t, now, rows, p, i), rows[p][s], p))  # noqa: B023
        down = _begin(t, now, rows, station, i) + t.seconds[s]
        now.work[i] += t.evening.chains[i].sets[now.done[i]].work
        now.done[i] += 1
        now.free[station] = now.down[i] = down
        now.ready[i] = down + t.rest[s]
        now.last[station] = i
        rows[station] = t.set_up[s]
        order.append(i)
    return order


def _begin(t: Tables, now: _Now, rows: list[list[int]], station: int, i: int) -> int:
    return max(now.ready[i], now.free[station] + rows[station][t.sets[i][now.done[i]]])


def _first_in_line(t: Tables, now: _Now, station: int, rank: _Rank) -> int | None:
    line = [i for i, sets in enumerate(t.sets) if now.done[i] < len(sets) and station in t.where[sets[now.done[i]]]]
    if not line:
        return None
    come = [i for i in line if now.done[i] or now.ready[i] <= now.free[station]]
    soonest = min(now.ready[i] for i in line)
    return min(come or [i for i in line if now.ready[i] == soonest], key=lambda i: rank(now, station, i))
