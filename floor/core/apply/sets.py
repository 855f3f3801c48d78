"""Sets: started, counted, seen, graded, recorded late, put right, proposed."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import timedelta
from typing import Any

from floor.core.apply.evening import (
    after_turn,
    joined,
    off_the_line,
    with_bar,
    with_evening,
    with_present,
    with_station,
)
from floor.core.events import CUT_SHORT, Event
from floor.core.gym import Grade
from floor.core.rests import last_lifted
from floor.core.state import DONE, DROPPED, PLANNED, RUNNING, Proposal, State, TheSet


def with_set(state: State, lifter_id: int | None, set_no: int | None, **changes: Any) -> State:
    """The state with parts of one set of one lifter replaced."""
    assert lifter_id is not None
    sets = tuple(replace(s, **changes) if s.no == set_no else s for s in state.evening.here[lifter_id].sets)
    return with_present(state, lifter_id, sets=sets)


def the_set(state: State, event: Event) -> TheSet:
    """The set an event speaks of; KeyError when the lifter has none of that number."""
    assert event.lifter is not None
    found = state.evening.here[event.lifter].set(event.set_no or 0)
    if found is None:
        raise KeyError(f"lifter {event.lifter} has no set {event.set_no}")
    return found


def _turn_taken(state: State, event: Event, role: str) -> State:
    assert event.lifter is not None
    if role == "ramp":
        return state
    return with_present(state, event.lifter, turns=state.evening.here[event.lifter].turns + 1)


def _set_started(state: State, event: Event) -> State:
    assert event.lifter is not None and event.stack is not None
    state = off_the_line(state, event.lifter, keep=event.station)
    state = with_set(
        state, event.lifter, event.set_no,
        status=RUNNING, started=event.happened, station=event.station, load=event.load,
        planned=event.was,
    )
    return with_bar(state, event, up=event.lifter)


def _rep(state: State, event: Event, made: bool) -> State:
    marks = (*the_set(state, event).marks, made)
    return with_set(state, event.lifter, event.set_no, marks=marks, down=event.happened)


def _rep_made(state: State, event: Event) -> State:
    return _rep(state, event, True)


def _rep_missed(state: State, event: Event) -> State:
    return _rep(state, event, False)


def _reps_made(state: State, event: Event) -> State:
    marks = the_set(state, event).marks + (True,) * (event.reps or 0)
    return with_set(state, event.lifter, event.set_no, marks=marks, down=event.happened)


def _fault_seen(state: State, event: Event) -> State:
    faults = (*the_set(state, event).faults, (event.rep or 0, event.fault or ""))
    return with_set(state, event.lifter, event.set_no, faults=faults)


def _fault_withdrawn(state: State, event: Event) -> State:
    faults = list(the_set(state, event).faults)
    faults.remove((event.rep or 0, event.fault or ""))
    return with_set(state, event.lifter, event.set_no, faults=tuple(faults))


def _set_ended(state: State, event: Event) -> State:
    done = the_set(state, event)
    state = with_set(
        state, event.lifter, event.set_no,
        status=DONE, grade=Grade(event.grade or ""), down=done.down or event.happened, cut=event.rule == CUT_SHORT,
    )
    state = _turn_taken(state, event, done.role)
    if event.station is None:
        return state
    return with_station(state, event.station, up=None, latest=(event.lifter, done.no))


def _set_called_off(state: State, event: Event) -> State:
    """A set that was started and not lifted is one still to do."""
    state = with_set(state, event.lifter, event.set_no, status=PLANNED, started=None, station=None)
    return state if event.station is None else with_station(state, event.station, up=None)


def _set_recorded(state: State, event: Event) -> State:
    assert event.lifter is not None
    done = the_set(state, event)
    down = event.happened - timedelta(seconds=event.seconds or 0)
    marks = (True,) * (event.reps or 0) + (False,) * (event.missed or 0)
    state = with_set(
        state, event.lifter, event.set_no,
        status=DONE, grade=Grade(event.grade or ""), load=event.load, marks=marks,
        down=down, station=event.station, planned=event.was,
    )
    state = _turn_taken(state, event, done.role)
    ahead = {s.id: after_turn(s, event.lifter) for s in state.evening.stations.values() if event.lifter in s.ahead}
    state = off_the_line(state, event.lifter)
    for station, order in ahead.items():
        state = with_station(state, station, ahead=order)
    if event.station is not None:
        state = with_station(state, event.station, latest=(event.lifter, done.no))
    if event.bar is not None and event.stack is not None:
        state = with_bar(state, event)
    return state


def _set_put_right(state: State, event: Event) -> State:
    was = the_set(state, event)
    made = was.made if event.reps is None else event.reps
    missed = was.missed if event.missed is None else event.missed
    marks = was.marks
    if (made, missed) != (was.made, was.missed):
        marks = (True,) * made + (False,) * missed
    return with_set(
        state, event.lifter, event.set_no,
        marks=marks,
        load=was.load if event.load is None else event.load,
        grade=was.grade if event.grade is None else Grade(event.grade),
        cut=was.cut and (made, missed) == (was.made, was.missed),
        planned=was.load if was.planned is None and event.load not in (None, was.load) else was.planned,
    )


def _ramp_done(state: State, event: Event) -> State:
    assert event.lifter is not None
    down = event.happened - timedelta(seconds=event.seconds or 0)
    sets = tuple(
        replace(s, status=DONE, grade=Grade.UNSEEN, marks=(True,) * s.reps, down=down, station=event.station)
        if s.status == PLANNED and s.role == "ramp" and s.lift == event.lift
        else s
        for s in state.evening.here[event.lifter].sets
    )
    return with_present(state, event.lifter, sets=sets)


def _next_sets(state: State, event: Event) -> State:
    """Give the next `count` planned sets of the lift, from `set_no` on, their load and stage.

    A stop takes every planned set off; anything else puts back what a stop took off.
    """
    assert event.lifter is not None
    present = state.evening.here[event.lifter]
    reopened = [s.no for s in present.of_lift(event.lift or "") if s.status == DROPPED and not s.trimmed]
    stopped = {k: v for k, v in present.stopped.items() if k != event.lift}
    left = event.count or 0
    stage = None if event.action == "step_up" else event.stage  # the next stage is proposed: the coach signs it
    backing = _backing_off(present.sets, event)
    changed: list[TheSet] = []
    for s in present.sets:
        ours = s.lift == event.lift
        if s.no in reopened and event.action != "stop":
            s = replace(s, status=PLANNED)
        if ours and event.action == "stop" and s.status == PLANNED:
            s = replace(s, status=DROPPED)
            stopped[s.lift] = event.rule or ""
        elif ours and event.action != "stop" and s.status == PLANNED and s.no >= (event.set_no or 0) and left:
            s = replace(s, load=_given(s, event, backing), stage=stage or s.stage)
            left -= 1
        changed.append(s)
    return with_present(state, event.lifter, sets=tuple(changed), stopped=stopped)


def _backing_off(sets: tuple[TheSet, ...], event: Event) -> bool:
    """Whether the set an event gives a load to is itself a back-off set."""
    return any(s.role == "backoff" for s in sets if s.no == event.set_no)


def _given(s: TheSet, event: Event, backing: bool) -> int:
    """The load a set gets: a back-off set is lightened by a change to the sets before it, never raised."""
    load = event.load or 0
    return min(s.load, load) if s.role == "backoff" and not backing else load


def _rest(state: State, event: Event) -> State:
    """The rest proposed after the set done last, in place of whatever was proposed on this lift before."""
    assert event.lifter is not None
    present = state.evening.here[event.lifter]
    last = last_lifted(present)
    sets = tuple(
        replace(s, rest=event.seconds if last is not None and s.no == last.no else None) if s.lift == event.lift else s
        for s in present.sets
    )
    return with_present(state, event.lifter, sets=sets)


def _set_proposed(state: State, event: Event) -> State:
    assert event.lifter is not None and event.lift is not None
    coming = [
        s.load
        for s in state.evening.here[event.lifter].of_lift(event.lift)
        if s.status in (PLANNED, DROPPED) and not s.trimmed and s.no >= (event.set_no or 0)
    ]
    state = _rest(_next_sets(state, event), event)
    key = (event.lifter, event.lift)
    proposal = Proposal(
        lifter=event.lifter,
        lift=event.lift,
        action=event.action or "",
        load=event.load or 0,
        was=event.was or 0,
        rule=event.rule or "",
        set_no=event.set_no or 0,
        count=event.count or 0,
        stage=event.stage,
        rest=event.seconds or 0,
        before=tuple(coming[: event.count or 0]),
    )
    return with_evening(state, proposals={**state.evening.proposals, key: proposal})


def _proposal_overruled(state: State, event: Event) -> State:
    assert event.lifter is not None and event.lift is not None
    state = _rest(_next_sets(state, event), event)
    key = (event.lifter, event.lift)
    proposal = replace(
        state.evening.proposals[key], overruled=event.action, load=event.load or 0, stage=event.stage
    )
    return with_evening(state, proposals={**state.evening.proposals, key: proposal})


def _set_dropped(state: State, event: Event) -> State:
    return with_set(state, event.lifter, event.set_no, status=DROPPED, trimmed=True)


def _load_changed(state: State, event: Event) -> State:
    assert event.lifter is not None
    one = the_set(state, event).role == "ramp"
    backing = _backing_off(state.evening.here[event.lifter].sets, event)
    sets = tuple(
        replace(s, load=_given(s, event, backing))
        if s.lift == event.lift and s.status == PLANNED
        and (s.no == event.set_no or (not one and s.role != "ramp" and s.no > (event.set_no or 0)))
        else s
        for s in state.evening.here[event.lifter].sets
    )
    return with_present(state, event.lifter, sets=sets)


def _lifts_swapped(state: State, event: Event) -> State:
    """The other lift's planned sets now come before this lift's."""
    assert event.lifter is not None
    sets = state.evening.here[event.lifter].sets
    waiting = [s for s in sets if s.status == PLANNED]
    other = [s for s in waiting if s.lift == event.other_lift]
    rest = [s for s in waiting if s.lift != event.other_lift]
    done = [s for s in sets if s.status != PLANNED]
    state = joined(off_the_line(state, event.lifter), state.evening.here[event.lifter].station, event.lifter)
    return with_present(state, event.lifter, sets=(*done, *other, *rest))


APPLY: dict[str, Callable[[State, Event], State]] = {
    "set_started": _set_started,
    "rep_made": _rep_made,
    "rep_missed": _rep_missed,
    "reps_made": _reps_made,
    "fault_seen": _fault_seen,
    "fault_withdrawn": _fault_withdrawn,
    "set_ended": _set_ended,
    "set_called_off": _set_called_off,
    "set_recorded": _set_recorded,
    "set_put_right": _set_put_right,
    "ramp_done": _ramp_done,
    "set_proposed": _set_proposed,
    "proposal_overruled": _proposal_overruled,
    "load_changed": _load_changed,
    "set_dropped": _set_dropped,
    "lifts_swapped": _lifts_swapped,
}
