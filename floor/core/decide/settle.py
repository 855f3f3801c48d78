"""After every command: send lifters where their next lift can be done, renew the promises."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime

from floor.core.apply import apply, fold
from floor.core.events import Event
from floor.core.queue import due, station_for
from floor.core.state import State


def settle(state: State, events: tuple[Event, ...], now: datetime) -> tuple[Event, ...]:
    """The events, with the moves and promises that follow from them."""
    after = fold(state, events)
    if not after.open:
        return events
    settled = list(events)
    for follow in (_moves, _promises):
        for event in follow(after, now):
            settled.append(event)
            after = apply(after, event)
    return tuple(settled)


def _moves(state: State, now: datetime) -> Iterator[Event]:
    session = state.evening.session
    for present in state.evening.here.values():
        coming = present.pending()
        if coming is None or present.gone or present.running() is not None:
            continue
        station = station_for(state, present, coming.lift)
        if station is not None and station != present.station:
            yield Event(
                kind="lifter_moved", happened=now, session=session, lifter=present.lifter, station=station,
                lift=coming.lift, rule="needs-" + state.gym.lifts[coming.lift].needs,
            )


def _promises(state: State, now: datetime) -> Iterator[Event]:
    session = state.evening.session
    for station in state.evening.stations.values():
        up, coming = due(state, station.id, now)
        broken = coming is None and station.next not in (None, up)
        if broken or (up is None and (station.up, station.next) != (None, None)):
            yield Event(kind="station_cleared", happened=now, session=session, station=station.id)
        if up is not None and (broken or up != station.up):
            yield Event(kind="stepped_up", happened=now, session=session, station=station.id, lifter=up)
        told = None if station.next == up and up != station.up else station.next
        if coming is not None and coming != told:
            yield Event(kind="told_next", happened=now, session=session, station=station.id, lifter=coming)
