"""After every command: send lifters where their next lift can be done, renew the promises."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import datetime

from floor.core.apply import apply, fold
from floor.core.cues import cue_now
from floor.core.events import Event
from floor.core.promises import broken_by
from floor.core.queue import due, station_for
from floor.core.state import State


def settle(state: State, events: tuple[Event, ...], now: datetime) -> tuple[Event, ...]:
    """The events, with the moves and promises that follow from them."""
    after = fold(state, events)
    if not after.open:
        return events
    settled = list(events)
    for event in (*_cues(after, events, now), *_moves(after, now)):
        settled.append(event)
        after = apply(after, event)
    told = {station.id: station.next for station in state.evening.stations.values()}
    settled += _promises(after, now, told, tuple(settled))
    return tuple(settled)


_SEEN = ("set_ended", "set_recorded", "set_put_right", "fault_seen", "fault_withdrawn", "drill_fault")


def _cues(state: State, events: tuple[Event, ...], now: datetime) -> Iterator[Event]:
    """The one word for a lifter's next set, whenever something seen changes it."""
    told = {(e.lifter, e.lift): e for e in events if e.kind in _SEEN and e.lifter in state.evening.here and e.lift}
    for (lifter, lift), event in told.items():
        if lifter is None or lift is None or lift not in state.gym.lifts:
            continue
        in_drill = event.fault or "" if event.kind == "drill_fault" else ""
        gone = {e.fault for e in events if e.kind == "fault_withdrawn" and e.lifter == lifter and e.fault}
        found = cue_now(state, lifter, lift, in_drill, gone)
        if found != state.lifters[lifter].cues.get(lift):
            yield Event(
                kind="cue_set", happened=now, session=state.evening.session, lifter=lifter, lift=lift,
                set_no=event.set_no, fault=found,
            )


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


def _promises(
    state: State, now: datetime, told_before: Mapping[int, int | None], events: tuple[Event, ...]
) -> Iterator[Event]:
    """Who is up and who is next; a promise that changes says instead of whom, and why."""
    session = state.evening.session
    warm = {e.lifter for e in events if e.kind == "ramp_done" and e.lifter is not None}
    for station in state.evening.stations.values():
        up, coming = due(state, station.id, now, warm)
        broken = coming is None and station.next not in (None, up)
        if broken or (up is None and (station.up, station.next) != (None, None)):
            yield Event(kind="station_cleared", happened=now, session=session, station=station.id)
        if up is not None and (broken or up != station.up):
            yield Event(kind="stepped_up", happened=now, session=session, station=station.id, lifter=up)
        told = None if station.next == up and up != station.up else station.next
        if coming is not None and coming != told:
            was = told_before.get(station.id)
            lost = was if was not in (up, coming) else None
            yield Event(
                kind="told_next", happened=now, session=session, station=station.id, lifter=coming, other=lost,
                rule=broken_by(events, station.id, lost) if lost is not None else None,
            )
