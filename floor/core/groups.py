"""Who shares which station tonight: like loads and bars together, and no station done long after the others.

Proposed at check-in for everyone who may still come; whoever is here stands
where the coach put them. The same answer for the same people and loads.
`sharingout.py` shares them out.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta

from floor.core.arrivals import Coming, coming, here_tonight, sets_tonight
from floor.core.gym import Gym, Station
from floor.core.pace import WALK_ON, guessed
from floor.core.queue import can_stand
from floor.core.sharingout import Crowd, One, Shared, better, shared_out, whole_evening
from floor.core.stacks import bar_for
from floor.core.state import Lifter, State
from floor.core.units import convert, show_load, show_with_unit

GROUPS = "groups"
"""The rule that is recorded with a move into one's group."""
AWAY = timedelta(days=28)
"""Whoever has not come for so long is not counted on when the evening is shared out. No source."""


LIKE = 1.5
"""Loads are alike up to so many times the lightest. No source."""


@dataclass(frozen=True, slots=True)
class Alike:
    """Those of a group who begin alike, and why they stand there: "like loads, squat 60 to 74 kg"."""

    why: str
    lifters: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Group:
    """Who shares a station. `done` is about when it is done (aware UTC), None where nobody lifts or it is not known."""

    station: Station
    done: datetime | None
    parts: tuple[Alike, ...]


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
    return dict(shared_out(_crowd(state, now)))


def with_moves(state: State, now: datetime) -> dict[int, int]:
    """The same once those who stand badly have moved: what `moves` leads to."""
    return dict(_anew(_crowd(state, now), state)) if moves(state, now) else groups(state, now)


def place_for(state: State, lifter: Lifter, now: datetime) -> Place:
    """Where this lifter should check in, and why there."""
    gym, crowd = state.gym, _crowd(state, now, lifter.id)
    if not gym.stations:
        return Place(None)
    ones, shared = crowd.ones, dict(shared_out(crowd))
    station = gym.station(shared[lifter.id])
    me = next(one for one in ones if one.lifter == lifter.id)
    if not me.loads:
        return Place(station)
    lift = me.loads[0][0]
    alike = [o for o in ones if shared[o.lifter] == station.id and o.loads and o.loads[0][0] == lift]
    others = tuple(o.lifter for o in alike if o is not me)
    if not others:
        return Place(station)
    return Place(station, f"{_span(gym, alike)} with {{others}}", others)


def place_new(state: State, number: int, now: datetime) -> Place:
    """Where somebody new should go, who would get that number: by the gym's own programme, as everyone else."""
    lifter = Lifter(number, programme=state.gym.settings.programme)
    return place_for(replace(state, lifters={**state.lifters, number: lifter}), lifter, now)


def told(state: State, now: datetime) -> tuple[Group, ...]:
    """The groups, station after station, once those who stand badly have moved, each with its reasons.

    When a station is done is counted from the first check-in, with everybody there and no set missed.
    """
    crowd, shared = _crowd(state, now), with_moves(state, now)
    played = whole_evening(crowd)
    ends = {} if played is None else played.ends(shared)
    begin = state.evening.opened if state.open else now
    found = []
    for station in state.gym.stations:
        parts = (_why(state.gym, part) for part in _alike(o for o in crowd.ones if shared[o.lifter] == station.id))
        end = ends.get(station.id)
        done = None if end is None else begin + timedelta(seconds=end)
        found.append(Group(station, done, tuple(sorted(parts, key=lambda part: -len(part.lifters)))))
    return tuple(found)


def _alike(group: Iterable[One]) -> list[list[One]]:
    """Those of a group who begin with the same lift and like loads together, the lightest first."""
    parts: list[list[One]] = []
    for one in sorted(group, key=lambda one: (one.begins, one.lifter)):
        (lift, load), (last, least) = one.begins, parts[-1][0].begins if parts else ("", 0)
        if parts and lift == last and load <= LIKE * least:
            parts[-1].append(one)
        else:
            parts.append([one])
    return parts


def _why(gym: Gym, part: Sequence[One]) -> Alike:
    lifters = tuple(one.lifter for one in part)
    if not part[0].loads:
        return Alike("nothing planned to lift", lifters)
    only = len(part[0].fits) == 1 < len(gym.stations)
    why = "only here" if only else "like loads" if len(part) > 1 else "for an even finish"
    return Alike(f"{why}, {_span(gym, part)}", lifters)


def _span(gym: Gym, group: Sequence[One]) -> str:
    """What those who begin with the same lift work with, as planned: "squat 40 to 45 kg"."""
    lift, _ = group[0].begins
    loads = [max(s.load for s in one.sets if s.lift == lift and s.role != "ramp") for one in group]
    span = show_with_unit(max(loads), gym.unit)
    if min(loads) != max(loads):
        span = f"{show_load(min(loads))} to {span}"
    return f"{gym.lifts[lift].name} {span}"


def moves(state: State, now: datetime) -> tuple[tuple[int, int], ...]:
    """(lifter, station) for everyone here who has not lifted and would stand elsewhere, were all shared out anew.

    Nothing when that would be no better than leaving them and placing only those to come.
    """
    here, crowd = here_tonight(state), _crowd(state, now)
    if not state.gym.stations:
        return ()
    anew = _anew(crowd, state)
    if not better(crowd, anew, shared_out(crowd)):
        return ()
    return tuple((lifter, to) for lifter, to in anew if lifter in here and here[lifter].station != to)


def _anew(crowd: Crowd, state: State) -> Shared:
    """All shared out again, but for those who have lifted."""
    return shared_out(crowd.standing({o.lifter: o.at for o in crowd.ones if not _not_begun(state, o.lifter)}))


def _not_begun(state: State, lifter: int) -> bool:
    present = here_tonight(state).get(lifter)
    return present is not None and all(s.started is None and s.down is None for s in present.sets)


def _crowd(state: State, now: datetime, asked: int | None = None) -> Crowd:
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
    return Crowd(state.gym, tuple(found))


def _one(state: State, lifter: Lifter, now: datetime, at: int | None) -> One:
    gym = state.gym
    sets = sets_tonight(state, lifter, now)
    where = {s.lift: tuple(x.id for x in gym.stations if can_stand(x, gym.lifts[s.lift].needs)) for s in sets}
    fits = (where[sets[0].lift] if sets else ()) or tuple(s.id for s in gym.stations)
    usual = gym.station(fits[0]).bar if fits else ""
    loads: dict[str, tuple[int, int]] = {}
    seconds = dict.fromkeys(where, 0)
    for s in sets:
        seconds[s.lift] += guessed(s.reps, s.role) + WALK_ON
        if s.role != "ramp":
            load, many = loads.get(s.lift, (0, 0))
            loads[s.lift] = max(load, s.load), many + 1
    return One(
        lifter.id, sets, tuple(sorted(lifter.heights.items())),
        tuple((where[lift], taken) for lift, taken in seconds.items()), fits,
        tuple(
            (lift, bar_for(gym, load, usual) if usual else "", convert(load, gym.unit, "kg"), many)
            for lift, (load, many) in loads.items()
        ),
        at,
    )  # fmt: skip
