"""The rising bar: lightest first, round again, and whoever was told stays told.

`line` is the order of one station by that rule; a promise (who is up, who was
told next) is recorded and holds until an event concerns the lifter. Common
practice of the trade, no source.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from floor.core.gym import Station
from floor.core.rests import last_lifted, ready_at
from floor.core.state import Present, State, StationNow, TheSet


@dataclass(frozen=True, slots=True)
class Turn:
    """One lifter's coming turn. `ready` is when the rest is over, None if there is none to wait for."""

    lifter: int
    set: TheSet
    ready: datetime | None


def can_lift(state: State, present: Present) -> bool:
    """Here, not held for pain, not lifting now, and with a set still to do."""
    if present.gone or state.lifters[present.lifter].held or present.running() is not None:
        return False
    return present.pending() is not None


def rising_key(present: Present, coming: TheSet) -> tuple[int, int, float, int]:
    """Fewest work sets done first, then the lightest bar, then who has waited longest."""
    done = last_lifted(present)
    since = done.down if done and done.down else present.arrived
    return (present.turns, coming.load, since.timestamp(), present.lifter)


def line(state: State, station_id: int) -> tuple[Turn, ...]:
    """The coming turns at a station, first to lift first. An order set by hand comes first."""
    ahead = state.evening.stations[station_id].ahead
    waiting = [p for p in state.evening.here.values() if p.station == station_id and can_lift(state, p)]

    def place(present: Present) -> tuple[int, tuple[int, int, float, int]]:
        coming = present.pending()
        assert coming is not None
        by_hand = ahead.index(present.lifter) if present.lifter in ahead else len(ahead)
        return by_hand, rising_key(present, coming)

    ordered = sorted(waiting, key=place)
    return tuple(Turn(p.lifter, s, ready_at(state.gym, p)) for p in ordered if (s := p.pending()) is not None)


def promised_line(state: State, station_id: int) -> tuple[Turn, ...]:
    """The line with those who were told in their promised places: up first, then next."""
    station = state.evening.stations[station_id]
    told = [x for x in (station.up, station.next) if x is not None]
    turns = line(state, station_id)
    first = sorted((t for t in turns if t.lifter in told), key=lambda t: told.index(t.lifter))
    return (*first, *(t for t in turns if t.lifter not in told))


def lifting(state: State, station_id: int) -> Present | None:
    """Whoever has a set running at the station, or None."""
    for present in state.evening.here.values():
        running = present.running()
        if running is not None and running.station == station_id:
            return present
    return None


def _keeps(state: State, station: StationNow, lifter: int | None) -> bool:
    if lifter is None:
        return False
    present = state.evening.here.get(lifter)
    return present is not None and present.station == station.id and can_lift(state, present)


WORTH_A_WAIT = 30
"""Seconds the bar waits to keep the rising order rather than take whoever is rested first. No source."""

NEXT_SLACK, UP_SLACK = 90, 20
"""Seconds of rest that may be left when told next, and when stepping up. Common practice, no source."""


def _pick(turns: Sequence[Turn], now: datetime, slack: int) -> int | None:
    """The first in line whose rest is over or nearly, or not much longer than the shortest there is."""
    if not turns:
        return None
    first = min(t.ready or now for t in turns)
    soon = max(now + timedelta(seconds=slack), first + timedelta(seconds=WORTH_A_WAIT))
    return next(t for t in turns if t.ready is None or t.ready <= soon).lifter


def due(state: State, station_id: int, now: datetime) -> tuple[int | None, int | None]:
    """Who should be up and who next, keeping every promise that can still be kept.

    An order the coach set by hand goes before rest: it is followed as it is.
    """
    station = state.evening.stations[station_id]
    turns = line(state, station_id)
    on = lifting(state, station_id)
    if on is not None:
        up: int | None = on.lifter
    elif _keeps(state, station, station.up):
        up = station.up
    elif _keeps(state, station, station.next):
        up = station.next
    else:
        up = turns[0].lifter if turns and station.ahead else _pick(turns, now, UP_SLACK)
    if station.next != up and _keeps(state, station, station.next):
        return up, station.next
    others = [t for t in turns if t.lifter != up]
    if others and others[0].lifter in station.ahead:
        return up, others[0].lifter
    return up, _pick(others, now, NEXT_SLACK)


def can_stand(station: Station, needs: str) -> bool:
    """Whether a lift that needs this can be done there."""
    return needs in station.stands


def station_for(state: State, present: Present, lift: str) -> int | None:
    """Where a lifter goes for a lift: stay if it can be done here, else where fewest wait.

    None when no station of the gym has what the lift needs.
    """
    needs = state.gym.lifts[lift].needs
    if can_stand(state.gym.station(present.station), needs):
        return present.station
    fits = [s for s in state.gym.stations if can_stand(s, needs)]
    if not fits:
        return None

    def waiting(station: Station) -> tuple[int, int]:
        here = [p for p in state.evening.here.values() if p.station == station.id and not p.gone and p.pending()]
        return len(here), station.id

    return min(fits, key=waiting).id
