"""The evening: who came, who stands where, who was told, what the group drills."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import timedelta
from typing import Any

from floor.core.apply.people import with_lifter
from floor.core.events import USUALLY_LATE, Event
from floor.core.gym import Grade
from floor.core.state import CleanRow, Drill, Evening, FormCap, Present, Repeat, State, StationNow, TheSet


def with_evening(state: State, **changes: Any) -> State:
    """The state with parts of the evening replaced."""
    return replace(state, evening=replace(state.evening, **changes))


def with_present(state: State, lifter_id: int | None, **changes: Any) -> State:
    """The state with parts of one present lifter replaced."""
    assert lifter_id is not None
    present = replace(state.evening.here[lifter_id], **changes)
    return with_evening(state, here={**state.evening.here, lifter_id: present})


def with_station(state: State, station_id: int | None, **changes: Any) -> State:
    """The state with parts of one station replaced."""
    assert station_id is not None
    station = replace(station_of(state, station_id), **changes)
    return with_evening(state, stations={**state.evening.stations, station_id: station})


def station_of(state: State, station_id: int) -> StationNow:
    """The station as it stands; a bare one where the gym has none of that number any more.

    An evening that is over is still read with the equipment of now.
    """
    return state.evening.stations.get(station_id) or StationNow(id=station_id, bar="")


def with_bar(state: State, event: Event, **changes: Any) -> State:
    """The station's bar as the event says it is loaded, and remembered as the way that load is built there."""
    assert event.station is not None and event.bar is not None and event.stack is not None
    built = station_of(state, event.station).built
    if event.load is not None:
        built = {**built, (event.bar, event.load): event.stack}
    return with_station(state, event.station, bar=event.bar, stack=event.stack, built=built, **changes)


def off_the_line(state: State, lifter_id: int, *, keep: int | None = None) -> State:
    """The lifter is no longer promised or placed anywhere but at station `keep`."""
    for station in state.evening.stations.values():
        if station.id == keep:
            continue
        if lifter_id in (station.up, station.next) or lifter_id in station.ahead:
            state = with_station(
                state,
                station.id,
                up=None if station.up == lifter_id else station.up,
                next=None if station.next == lifter_id else station.next,
                ahead=tuple(x for x in station.ahead if x != lifter_id),
            )
    return state


def after_turn(station: StationNow, lifter_id: int) -> tuple[int, ...]:
    """The order by hand once the lifter has had the turn: out of it, or, while it is held, at its end."""
    rest = tuple(x for x in station.ahead if x != lifter_id)
    return (*rest, lifter_id) if station.held else rest


def joined(state: State, station_id: int, lifter_id: int) -> State:
    """A lifter new at a station: at the end of an order that is held there, before whoever is up has the next turn."""
    station = station_of(state, station_id)
    if not station.held:
        return state
    last = len(station.ahead) - (station.up is not None and station.ahead[-1:] == (station.up,))
    return with_station(state, station_id, ahead=(*station.ahead[:last], lifter_id, *station.ahead[last:]))


def _session_opened(state: State, event: Event) -> State:
    stations = {s.id: StationNow(id=s.id, bar=s.bar) for s in state.gym.stations}
    evening = Evening(session=event.session or 0, opened=event.happened, stations=stations)
    return replace(state, evening=evening, sessions=max(state.sessions, evening.session))


def _late_expected(state: State, event: Event) -> State:
    assert event.lifter is not None
    at = event.happened + timedelta(seconds=USUALLY_LATE if event.seconds is None else event.seconds)
    return with_evening(state, late={**state.evening.late, event.lifter: at})


def _leaving_set(state: State, event: Event) -> State:
    assert event.lifter is not None
    leaving = {who: at for who, at in state.evening.leaving.items() if who != event.lifter}
    if event.seconds is not None:
        leaving[event.lifter] = event.happened + timedelta(seconds=event.seconds)
    return with_evening(state, leaving=leaving)


def _round_at(state: State, station: int, alone: int) -> int:
    """The round the bar is in at a station: of those who still lift there; `alone` when nobody does."""
    turns = [
        p.turns
        for p in state.evening.here.values()
        if p.station == station and not p.gone and not state.lifters[p.lifter].held and (p.pending() or p.running())
    ]
    return min(turns, default=alone)


def _lifter_arrived(state: State, event: Event) -> State:
    assert event.lifter is not None and event.station is not None
    lifter = state.lifters[event.lifter]
    state = joined(state, event.station, event.lifter)
    came = lifter.last_came if lifter.held else event.happened  # who may not lift is still away from the bar
    state = with_lifter(state, event.lifter, last_came=came, sessions=lifter.sessions + 1)
    evening = state.evening
    turns = _round_at(state, event.station, 0)
    present = Present(
        lifter=event.lifter, station=event.station, arrived=event.happened, turns=turns, before=lifter.last_came,
    )
    return with_evening(
        state,
        here={**evening.here, event.lifter: present},
        late={who: at for who, at in evening.late.items() if who != event.lifter},
    )


def _limit_found(state: State, event: Event) -> State:
    assert event.lifter is not None and event.lift is not None
    cap = FormCap(load=event.load, reps=event.count or 0, days=event.day or 0)
    limits = {**state.evening.here[event.lifter].limits, event.lift: cap}
    return with_present(state, event.lifter, limits=limits)


def _repeat_found(state: State, event: Event) -> State:
    assert event.lifter is not None and event.lift is not None
    made, grade = event.reps or 0, Grade(event.grade) if event.grade else None
    one = Repeat(event.load or 0, made, made + (event.missed or 0), grade)
    known = state.evening.here[event.lifter].repeats
    return with_present(state, event.lifter, repeats={**known, event.lift: (*known.get(event.lift, ()), one)})


def _row_found(state: State, event: Event) -> State:
    assert event.lifter is not None and event.lift is not None
    row = CleanRow(event.stage or 0, event.reps or 0, event.sets or 0, event.count or 0)
    return with_present(state, event.lifter, rows={**state.evening.here[event.lifter].rows, event.lift: row})


def _set_planned(state: State, event: Event) -> State:
    assert event.lifter is not None
    planned = TheSet(
        no=event.set_no or 0,
        lift=event.lift or "",
        role=event.role or "work",
        reps=event.reps or 0,
        load=event.load or 0,
        stage=event.stage,
    )
    return with_present(state, event.lifter, sets=(*state.evening.here[event.lifter].sets, planned))


def _lifter_moved(state: State, event: Event) -> State:
    assert event.lifter is not None
    assert event.station is not None
    state = off_the_line(state, event.lifter)
    turns = _round_at(state, event.station, state.evening.here[event.lifter].turns)
    state = joined(state, event.station, event.lifter)
    return with_present(state, event.lifter, station=event.station, turns=turns)


def _lifter_left(state: State, event: Event) -> State:
    assert event.lifter is not None
    return with_present(off_the_line(state, event.lifter), event.lifter, gone=True)


def _stepped_up(state: State, event: Event) -> State:
    assert event.station is not None and event.lifter is not None
    station = station_of(state, event.station)
    told = None if station.next == event.lifter else station.next
    return with_station(
        state,
        event.station,
        up=event.lifter,
        next=told,
        ahead=after_turn(station, event.lifter),
    )


def _told_next(state: State, event: Event) -> State:
    return with_station(state, event.station, next=event.lifter)


def _station_cleared(state: State, event: Event) -> State:
    return with_station(state, event.station, up=None, next=None)


def _turn_passed(state: State, event: Event) -> State:
    assert event.lifter is not None
    station = station_of(state, state.evening.here[event.lifter].station)
    first = (event.other,) if event.other is not None else ()
    rest = tuple(x for x in station.ahead if x not in (event.lifter, event.other))
    return with_station(state, station.id, up=None, next=None, ahead=(*first, event.lifter, *rest))


def _lifters_swapped(state: State, event: Event) -> State:
    return with_station(state, event.station, up=None, next=None, ahead=())


def _line_placed(state: State, event: Event) -> State:
    assert event.station is not None and event.lifter is not None
    station = station_of(state, event.station)
    return with_station(state, event.station, ahead=(*station.ahead, event.lifter))


def _offer_taken(state: State, event: Event) -> State:
    return with_station(state, event.station, up=None, next=None, ahead=())


def _order_held(state: State, event: Event) -> State:
    return with_station(state, event.station, held=True, ahead=())


def _bar_followed(state: State, event: Event) -> State:
    return with_station(state, event.station, held=False, ahead=(), next=None)


def _trim_taken(state: State, event: Event) -> State:
    return state  # its sets and moves are events of their own


def _bar_found(state: State, event: Event) -> State:
    return with_station(state, event.station, bar=event.bar, stack=event.stack or ())


def _drill_started(state: State, event: Event) -> State:
    return with_evening(state, drill=Drill(lift=event.lift or "", stage=event.stage or 0))


def _drill_rep(state: State, event: Event) -> State:
    drill = state.evening.drill
    assert drill is not None
    return with_evening(state, drill=replace(drill, reps=event.rep or 0))


def _drill_fault(state: State, event: Event) -> State:
    drill = state.evening.drill
    assert drill is not None and event.lifter is not None
    seen = (*drill.faults, (event.rep or 0, event.lifter, event.fault or ""))
    marked = (*state.evening.drilled, (event.lifter, drill.lift, event.fault or ""))
    return with_evening(state, drill=replace(drill, faults=seen), drilled=marked)


def _drill_ended(state: State, event: Event) -> State:
    return with_evening(state, drill=None)


def _all_stopped(state: State, event: Event) -> State:
    return with_evening(state, stopped=True)


def _all_resumed(state: State, event: Event) -> State:
    return with_evening(state, stopped=False)


def _session_closed(state: State, event: Event) -> State:
    return with_evening(state, closed=event.happened)


APPLY: dict[str, Callable[[State, Event], State]] = {
    "session_opened": _session_opened,
    "late_expected": _late_expected,
    "leaving_set": _leaving_set,
    "lifter_arrived": _lifter_arrived,
    "limit_found": _limit_found,
    "repeat_found": _repeat_found,
    "row_found": _row_found,
    "set_planned": _set_planned,
    "lifter_moved": _lifter_moved,
    "lifter_left": _lifter_left,
    "stepped_up": _stepped_up,
    "told_next": _told_next,
    "station_cleared": _station_cleared,
    "turn_passed": _turn_passed,
    "lifters_swapped": _lifters_swapped,
    "line_placed": _line_placed,
    "offer_taken": _offer_taken,
    "order_held": _order_held,
    "bar_followed": _bar_followed,
    "trim_taken": _trim_taken,
    "bar_found": _bar_found,
    "drill_started": _drill_started,
    "drill_rep": _drill_rep,
    "drill_fault": _drill_fault,
    "drill_ended": _drill_ended,
    "all_stopped": _all_stopped,
    "all_resumed": _all_resumed,
    "session_closed": _session_closed,
}
