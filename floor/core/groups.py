"""Who shares which station tonight: like loads and bars together, and no station done long after the others.

Proposed at check-in for everyone who may still come; whoever is here stands
where the coach put them. The same answer for the same people and loads. What
a group costs is counted in seconds, by plain figures that are common practice
of the trade, no source: they rank one grouping against another, nothing more.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from functools import lru_cache

from floor.core.arrivals import Coming, coming, here_tonight, sets_tonight
from floor.core.gym import Station
from floor.core.pace import WALK_ON, guessed
from floor.core.queue import can_stand
from floor.core.stacks import bar_for
from floor.core.state import Lifter, State
from floor.core.units import convert, show_load, show_with_unit

GROUPS = "groups"
"""The rule that is recorded with a move into one's group."""
AWAY = timedelta(days=28)
"""Whoever has not come for so long is not counted on when the evening is shared out. No source."""
BAR_CHANGE, LIFT_CHANGE, PLATES_CHANGE = 40, 20, 6
"""Seconds to change the bar, to set up for another lift, to change 5 kg of plates. Common practice, no source."""
FIVE_KG = 500

Load = tuple[str, str, int, int]
"""A lift, its bar, its work load (hundredths of a kg), its work sets."""


@dataclass(frozen=True, slots=True)
class One:
    """A lifter as a group sees one: seconds on the bar, the first lift's stations, loads; `at` when here already."""

    lifter: int
    seconds: int
    fits: tuple[int, ...]
    loads: tuple[Load, ...]
    at: int | None = None


@dataclass(frozen=True, slots=True)
class Place:
    """Where a lifter goes: the station, or None in a gym without one; `why` in a few words, "" where there is none.

    `others` are the lifters of the same group with that first lift; `{others}` in `why` stands for their names.
    """

    station: Station | None
    why: str = ""
    others: tuple[int, ...] = ()


def groups(state: State, now: datetime) -> dict[int, int]:
    """The station of everyone who is here or may come tonight, by lifter; those here where they stand."""
    return dict(_shared(_ones(state, now), tuple(s.id for s in state.gym.stations)))


def with_moves(state: State, now: datetime) -> dict[int, int]:
    """The same once those who stand badly have moved: what `moves` leads to."""
    return dict(_anew(_ones(state, now), state)) if moves(state, now) else groups(state, now)


def place_for(state: State, lifter: Lifter, now: datetime) -> Place:
    """Where this lifter should check in, and why there."""
    gym, ones = state.gym, _ones(state, now, lifter.id)
    if not gym.stations:
        return Place(None)
    shared = dict(_shared(ones, tuple(s.id for s in gym.stations)))
    station = gym.station(shared[lifter.id])
    me = next(one for one in ones if one.lifter == lifter.id)
    if not me.loads:
        return Place(station)
    lift = me.loads[0][0]
    alike = [o for o in ones if shared[o.lifter] == station.id and o.loads and o.loads[0][0] == lift]
    others = tuple(o.lifter for o in alike if o is not me)
    if not others:
        return Place(station)
    loads = sorted(convert(o.loads[0][2], "kg", gym.unit) for o in alike)
    span = show_with_unit(loads[-1], gym.unit)
    if loads[0] != loads[-1]:
        span = f"{show_load(loads[0])} to {span}"
    return Place(station, f"{gym.lifts[lift].name} {span} with {{others}}", others)


def moves(state: State, now: datetime) -> tuple[tuple[int, int], ...]:
    """(lifter, station) for everyone here who has not lifted and would stand elsewhere, were all shared out anew.

    Nothing when that would be no better than leaving them and placing only those to come.
    """
    stations = tuple(s.id for s in state.gym.stations)
    here, ones = here_tonight(state), _ones(state, now)
    if not stations:
        return ()
    anew = _anew(ones, state)
    if _worth(ones, anew) >= _worth(ones, _shared(ones, stations)):
        return ()
    return tuple((lifter, to) for lifter, to in anew if lifter in here and here[lifter].station != to)


def _anew(ones: Sequence[One], state: State) -> tuple[tuple[int, int], ...]:
    """All shared out again, but for those who have lifted."""
    fresh = tuple(replace(one, at=None) if _not_begun(state, one.lifter) else one for one in ones)
    return _shared(fresh, tuple(s.id for s in state.gym.stations))


def _worth(ones: Sequence[One], shared: Sequence[tuple[int, int]]) -> int:
    floor = _Floor(sorted({station for _, station in shared}))
    for one, (_, station) in zip(ones, shared, strict=True):
        floor.put(one, station)
    return floor.cost_with({})


def _not_begun(state: State, lifter: int) -> bool:
    present = here_tonight(state).get(lifter)
    return present is not None and all(s.started is None and s.down is None for s in present.sets)


def _ones(state: State, now: datetime, asked: int | None = None) -> tuple[One, ...]:
    """Everyone who counts, in the order of their numbers; `asked` counts however long they were away."""
    here = here_tonight(state)
    found = []
    for lifter in sorted(state.lifters.values(), key=lambda x: x.id):
        if coming(state, lifter.id) is Coming.LEFT:
            continue
        present = here.get(lifter.id)
        away = lifter.last_came is not None and now - lifter.last_came > AWAY
        if present is None and away and lifter.id != asked and coming(state, lifter.id) is not Coming.LATE:
            continue
        found.append(_one(state, lifter, now, present.station if present else None))
    return tuple(found)


def _one(state: State, lifter: Lifter, now: datetime, at: int | None) -> One:
    gym = state.gym
    sets = sets_tonight(state, lifter, now)
    fits = [s for s in gym.stations if not sets or can_stand(s, gym.lifts[sets[0].lift].needs)] or list(gym.stations)
    loads: dict[str, tuple[int, int]] = {}
    for s in sets:
        if s.role != "ramp":
            load, many = loads.get(s.lift, (0, 0))
            loads[s.lift] = max(load, s.load), many + 1
    seconds = sum(guessed(s.reps, s.role) + WALK_ON for s in sets)
    usual = {s.id: s.bar for s in fits}
    return One(
        lifter.id, seconds, tuple(usual),
        tuple(
            (lift, bar_for(gym, load, next(iter(usual.values()))) if usual else "", convert(load, gym.unit, "kg"), many)
            for lift, (load, many) in loads.items()
        ),
        at,
    )


# --- shared out: one after the other, then mended as long as a move or a swap helps


@lru_cache(maxsize=64)
def _shared(ones: tuple[One, ...], stations: tuple[int, ...]) -> tuple[tuple[int, int], ...]:
    """(lifter, station) for everyone; nothing in a gym without stations."""
    if not stations:
        return ()
    floor = _Floor(stations)
    free = sorted((one for one in ones if one.at not in floor.groups), key=lambda one: (_first(one), one.lifter))
    if len(free) < len(ones):
        # Whoever comes finds the groups they were told of: those to come begin where all were placed at first.
        at_first = dict(_shared(tuple(replace(one, at=None) for one in ones), stations))
        for one in ones:
            floor.put(one, one.at if one.at in floor.groups else at_first[one.lifter])
    else:
        for one in free:
            floor.put(one, floor.cheapest(one))
    while any([floor.mend(one, free[n + 1 :]) for n, one in enumerate(free)]):
        pass
    return tuple((one.lifter, floor.at[one.lifter]) for one in ones)


class _Floor:
    """The groups so far, and what each costs: its seconds, and the set-up among them."""

    def __init__(self, stations: Sequence[int]) -> None:
        self.groups: dict[int, list[One]] = {station: [] for station in stations}
        self.costs = {station: (0, 0) for station in stations}
        self.at: dict[int, int] = {}

    def cheapest(self, one: One) -> int:
        """Where one more costs least."""
        return min(one.fits, key=lambda at: (self.cost_with({at: [*self.groups[at], one]}), at))

    def put(self, one: One, station: int) -> None:
        """A lifter into the group of that station."""
        self._take({station: [*self.groups[station], one]})

    def _take(self, changed: Mapping[int, list[One]]) -> None:
        for station, group in changed.items():
            self.groups[station], self.costs[station] = group, _cost(group)
            self.at.update({one.lifter: station for one in group})

    def cost_with(self, changed: Mapping[int, list[One]]) -> int:
        """The cost of all groups if these were so. The last station to be done counts double."""
        costs = [*(_cost(group) for group in changed.values())]
        costs += [cost for station, cost in self.costs.items() if station not in changed]
        return 2 * max(seconds for seconds, _ in costs) + sum(set_up for _, set_up in costs)

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


def _cost(group: Sequence[One]) -> tuple[int, int]:
    set_up = _set_up(group)
    return sum(one.seconds for one in group) + set_up, set_up


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
