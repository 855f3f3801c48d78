"""The rising bar: lightest first, round again, and whoever was told stays told.

`line` is the order of one station by that rule; a promise (who is up, who was
told next) is recorded and holds until an event concerns the lifter. Common
practice of the trade, no source.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime

from floor.core.gym import Station
from floor.core.rests import last_lifted, ready_at
from floor.core.state import Present, State, TheSet


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
    """The coming turns at a station, first to lift first, an order set by hand before it; none where no station is."""
    station = state.evening.stations.get(station_id)
    ahead = station.ahead if station is not None else ()
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
    station = state.evening.stations.get(station_id)
    told = [x for x in (station.up, station.next) if x is not None] if station is not None else []
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


WORTH_A_WAIT = 30
"""Seconds the bar waits to keep the rising order rather than take whoever is rested first. No source."""

NEXT_SLACK, UP_SLACK = 90, 20
"""Seconds of rest that may be left when told next, and when stepping up. Common practice, no source."""


Ready = Mapping[int, float] | Sequence[float]
"""By lifter, the second from which they are rested."""


def _first_rested(line: Sequence[int], ready: Ready, now: float, slack: int) -> int | None:
    """The first in line whose rest is over or nearly, or not much longer than the shortest there is."""
    if not line:
        return None
    soon = max(now + slack, max(now, min([ready[x] for x in line])) + WORTH_A_WAIT)
    return next(x for x in line if ready[x] <= soon)


def promised(
    line: Sequence[int], up: int | None, told: int | None, ahead: Sequence[int], busy: bool, ready: Ready, now: float
) -> tuple[int | None, int | None]:
    """Who should be up and who next in a line of lifters, given who is up and who was told: the rule itself.

    A promise is kept while its lifter is in the line; `up` stays while the bar is
    `busy`. An order set by hand (`ahead`) goes before rest: it is followed as it is.
    `now` and what is in `ready` are seconds from any one moment.
    """
    if not busy and up not in line:
        up = told if told in line else line[0] if line and ahead else _first_rested(line, ready, now, UP_SLACK)
    if told is not None and told != up and told in line:
        return up, told
    others = [x for x in line if x != up]
    if others and others[0] in ahead:
        return up, others[0]
    return up, _first_rested(others, ready, now, NEXT_SLACK)


def due(
    state: State, station_id: int, now: datetime, warm: Collection[int] = ()
) -> tuple[int | None, int | None]:
    """Who should be up and who next at a station, keeping every promise that can still be kept.

    Whoever is `warm`, the ramp just ticked, has work to lift now and a rest to take: they give
    way to who would step up instead, where the rising bar has that lifter before them.
    """
    station = state.evening.stations[station_id]
    turns = line(state, station_id)
    on = lifting(state, station_id)
    up = station.up if on is None else on.lifter
    order = [t.lifter for t in turns]
    ready = {t.lifter: 0.0 if t.ready is None else (t.ready - now).total_seconds() for t in turns}

    def told(up: int | None) -> tuple[int | None, int | None]:
        return promised(order, up, station.next, station.ahead, on is not None, ready, 0.0)

    if on is None and up in warm and up in order:
        instead, _ = told(None)
        if instead is not None and order.index(instead) < order.index(up):
            up = None
    return told(up)


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
