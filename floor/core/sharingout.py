"""Lifters shared out over the stations: one after the other, then mended as long as it helps.

What a group costs is counted in seconds, by plain figures that are common practice
of the trade, no source: they rank one grouping against another, nothing more.
Then the whole evening is played as the plan plays it, and whoever would make it
end earlier elsewhere goes there.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

from floor.core.gym import Gym
from floor.core.outlooking.wholeevening import WORTH, WholeEvening
from floor.core.programme import Planned
from floor.core.state import Heights, Lifter

BAR_CHANGE, LIFT_CHANGE, PLATES_CHANGE = 40, 20, 6
"""Seconds to change the bar, to set up for another lift, to change 5 kg of plates. Common practice, no source."""
FIVE_KG = 500
CHANGES = 3
"""For how many seconds of a later end a second of changes counts: hands on plates, and like loads apart. No source."""
PLAYED = 5000
"""About so many sets are played to mend one sharing out: a twentieth of a second. No source."""
MOST_SETS = 400
"""Of an evening with more sets only the plain figures are counted: too few others could be played. No source."""

Load = tuple[str, str, int, int]
"""A lift, its bar, its work load (hundredths of a kg), its work sets."""
Shared = tuple[tuple[int, int], ...]
"""(lifter, station) for everyone."""


@dataclass(frozen=True, slots=True)
class One:
    """A lifter as a group sees one: tonight's sets, the first lift's stations, loads; `at` when here already.

    `parts` are, lift by lift, the seconds on the bar and the stations it can be done at.
    """

    lifter: int
    sets: tuple[Planned, ...]
    heights: tuple[tuple[str, Heights], ...]
    parts: tuple[tuple[tuple[int, ...], int], ...]
    fits: tuple[int, ...]
    loads: tuple[Load, ...]
    at: int | None = None

    @property
    def begins(self) -> tuple[str, int]:
        """The lift and the work load they begin with, ("", 0) with nothing planned."""
        return (self.loads[0][0], self.loads[0][2]) if self.loads else ("", 0)


class Crowd:
    """Everyone who is shared out, in the order of their numbers; the same when the gym and all they lift are."""

    def __init__(self, gym: Gym, ones: tuple[One, ...]) -> None:
        self.gym, self.ones = gym, ones

    def __hash__(self) -> int:
        return hash(self.ones)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Crowd) and self.gym is other.gym and self.ones == other.ones

    def standing(self, at: Mapping[int, int | None]) -> Crowd:
        """The same people, standing there already; who is not in `at` is still free."""
        return Crowd(self.gym, tuple(replace(one, at=at.get(one.lifter)) for one in self.ones))

    @property
    def stations(self) -> tuple[int, ...]:
        """The numbers of the gym's stations."""
        return tuple(s.id for s in self.gym.stations)


@lru_cache(maxsize=64)
def shared_out(crowd: Crowd) -> Shared:
    """The station of everyone; nothing in a gym without stations.

    Whoever comes finds the groups they were told of: those to come begin where all
    were placed at first, and stay there when those here did as told.
    """
    if not crowd.stations:
        return ()
    floor = _Floor(crowd.stations)
    free = sorted((one for one in crowd.ones if one.at not in floor.groups), key=lambda one: (_first(one), one.lifter))
    if len(free) < len(crowd.ones):
        at_first = dict(shared_out(crowd.standing({})))
        if all(one.at in (at_first[one.lifter], None) for one in crowd.ones):
            return tuple(at_first.items())
        for one in crowd.ones:
            floor.put(one, one.at if one.at in floor.groups else at_first[one.lifter])
    else:
        for one in free:
            floor.put(one, floor.cheapest(one))
    while any([floor.mend(one, free[n + 1 :]) for n, one in enumerate(free)]):
        pass
    at, played = {one.lifter: floor.at[one.lifter] for one in crowd.ones}, whole_evening(crowd)
    if played is not None and free:
        at = played.mend(at, {one.lifter: one.fits for one in free}, PLAYED // _sets(crowd))
    return tuple(at.items())


def whole_evening(crowd: Crowd) -> WholeEvening | None:
    """The evening of everybody, to be played; None when nobody lifts or too many do."""
    return _whole_evening(crowd.standing({})) if crowd.stations and 0 < _sets(crowd) <= MOST_SETS else None


@lru_cache(maxsize=8)
def _whole_evening(crowd: Crowd) -> WholeEvening:
    people = {one.lifter: Lifter(one.lifter, heights=dict(one.heights)) for one in crowd.ones}
    return WholeEvening(crowd.gym, people, {one.lifter: one.sets for one in crowd.ones})


def _sets(crowd: Crowd) -> int:
    return sum(len(one.sets) for one in crowd.ones)


def better(crowd: Crowd, this: Shared, that: Shared) -> bool:
    """Whether the evening ends clearly earlier shared out like this, or no later and with less to change."""
    cost, other = (_cost_of(crowd, shared) for shared in (this, that))
    played = whole_evening(crowd)
    if played is None:
        return cost < other
    end, other_end = played.finish(dict(this)), played.finish(dict(that))
    return end < other_end - WORTH or (end <= other_end and cost < other)


def _cost_of(crowd: Crowd, shared: Shared) -> int:
    floor = _Floor(crowd.stations)
    for one, (_, station) in zip(crowd.ones, shared, strict=True):
        floor.put(one, station)
    return floor.cost_with({})


class _Floor:
    """The groups so far, and what each costs: the seconds it keeps every station, and its set-up."""

    def __init__(self, stations: Sequence[int]) -> None:
        self.groups: dict[int, list[One]] = {station: [] for station in stations}
        self.costs = {station: _cost((), station) for station in stations}
        self.at: dict[int, int] = {}

    def cheapest(self, one: One) -> int:
        """Where one more costs least."""
        return min(one.fits, key=lambda at: (self.cost_with({at: [*self.groups[at], one]}), at))

    def put(self, one: One, station: int) -> None:
        """A lifter into the group of that station."""
        self._take({station: [*self.groups[station], one]})

    def _take(self, changed: Mapping[int, list[One]]) -> None:
        for station, group in changed.items():
            self.groups[station], self.costs[station] = group, _cost(group, station)
            self.at.update({one.lifter: station for one in group})

    def cost_with(self, changed: Mapping[int, list[One]]) -> int:
        """The cost of all groups if these were so: when the last station is done, and the changes at all of them."""
        costs = [*(_cost(group, station) for station, group in changed.items())]
        costs += [cost for station, cost in self.costs.items() if station not in changed]
        busy = max(sum(kept.get(station, 0) for kept, _ in costs) for station in self.groups)
        return busy + CHANGES * sum(set_up for _, set_up in costs)

    def mend(self, one: One, others: Sequence[One]) -> bool:
        """Move a lifter, or swap with one of the others, where that costs less; whether anything did."""
        better = False
        for station in one.fits:
            better |= self._try({self.at[one.lifter]: (one, None), station: (None, one)})
        for other in others:
            here, there = self.at[one.lifter], self.at[other.lifter]
            if there in one.fits and here in other.fits:
                better |= self._try({here: (one, other), there: (other, one)})
        return better

    def _try(self, trade: Mapping[int, tuple[One | None, One | None]]) -> bool:
        """Each station gives one and gets one; taken when it costs less."""
        if len(trade) < 2:
            return False
        changed = {
            station: [*(one for one in self.groups[station] if one is not given), *([got] if got else [])]
            for station, (given, got) in trade.items()
        }
        if self.cost_with(changed) >= self.cost_with({}):
            return False
        self._take(changed)
        return True


def _first(one: One) -> tuple[str, str, int]:
    return one.loads[0][:3] if one.loads else ("", "", 0)


def _cost(group: Sequence[One], station: int) -> tuple[dict[int, int], int]:
    """The seconds a group keeps each station, and its set-up; what must be lifted elsewhere counts where it can be."""
    set_up = _set_up(group)
    kept = {station: set_up}
    for one in group:
        for fits, seconds in one.parts:
            for at in (station,) if station in fits else fits:
                kept[at] = kept.get(at, 0) + (seconds if station in fits else seconds // len(fits))
    return kept, set_up


def _set_up(group: Sequence[One]) -> int:
    """Seconds of changes: each round up the loads of a lift and back, and to another bar and another lift."""
    if not group:
        return 0
    by_lift: dict[str, list[Load]] = {}
    for one in group:
        for load in one.loads[:1]:
            by_lift.setdefault(load[0], []).append(load)
    seconds = 0
    rounds = max((load[3] for loads in by_lift.values() for load in loads), default=0)
    for loads in by_lift.values():
        bars = {load[1] for load in loads}
        heavy, light = max(load[2] for load in loads), min(load[2] for load in loads)
        seconds += rounds * (2 * PLATES_CHANGE * (heavy - light) // FIVE_KG + BAR_CHANGE * (len(bars) - 1))
    return seconds + rounds * LIFT_CHANGE * max(0, len(by_lift) - 1)
