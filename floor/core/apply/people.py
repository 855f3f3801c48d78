"""Standing facts: who belongs to the gym, what each does next, who is held."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import timedelta
from typing import Any

from floor.core.clearance import EASES
from floor.core.events import Event
from floor.core.limits import CAPS
from floor.core.nexttime import LAY_OFF
from floor.core.state import DROPPED, PLANNED, Heights, Lifter, NextPlan, ProgrammeProposal, State

BROUGHT_DOWN = (LAY_OFF, CAPS, EASES)
"""The rules of a plan brought down at arrival: what the evening before led to is still the last that was seen."""

OVER = "over"
"""The `action` of a `next_planned` after a last set that went two reps or more past its reps."""


def with_lifter(state: State, lifter_id: int | None, **changes: Any) -> State:
    """The state with some facts of one lifter replaced."""
    assert lifter_id is not None
    lifter = state.lifters.get(lifter_id) or Lifter(id=lifter_id)
    return replace(state, lifters={**state.lifters, lifter_id: replace(lifter, **changes)})


def _lifter(state: State, event: Event) -> Lifter:
    assert event.lifter is not None
    return state.lifters.get(event.lifter) or Lifter(id=event.lifter)


def _definition_adopted(state: State, event: Event) -> State:
    return state


def _note_added(state: State, event: Event) -> State:
    return state


def _lifter_joined(state: State, event: Event) -> State:
    return with_lifter(state, event.lifter, youth=bool(event.youth))


def _programme_given(state: State, event: Event) -> State:
    given = {"programme": event.definition, "day": event.day}
    return with_lifter(state, event.lifter, **given, proposed=None, brought=frozenset())


def programme_proposal(event: Event) -> ProgrammeProposal:
    """What a `programme_proposed` says."""
    return ProgrammeProposal(
        programme=event.definition or "",
        rule=event.rule or "",
        lift=event.lift or "",
        other=event.other_lift or "",
        load=event.load or 0,
        count=event.count or 0,
        stage=event.stage or 0,
        made=event.happened,
    )


def _programme_proposed(state: State, event: Event) -> State:
    return with_lifter(state, event.lifter, proposed=programme_proposal(event))


def _step_set(state: State, event: Event) -> State:
    assert event.lift and event.load is not None
    steps = {**_lifter(state, event).steps, event.lift: event.load}
    return with_lifter(state, event.lifter, steps=steps)


def _day_done(state: State, event: Event) -> State:
    return with_lifter(state, event.lifter, day=event.day)


def _next_planned(state: State, event: Event) -> State:
    assert event.lift and event.load is not None
    was = _lifter(state, event).plans.get(event.lift)
    plan = NextPlan(
        lift=event.lift,
        sets=event.sets or 0,
        reps=event.reps or 0,
        load=event.load,
        rule=event.rule or "",
        repeats=event.count or 0,
        was=event.was,
        extra=event.rep or 0,
        over=event.action == OVER,
        overruled=event.suggested or "",
        made=event.happened,
        done=event.happened - timedelta(seconds=event.seconds or 0),
        spoke=(was.spoke or was.overruled or was.rule) if was is not None and event.rule in BROUGHT_DOWN else "",
    )
    plans = {**_lifter(state, event).plans, event.lift: plan}
    return with_lifter(_begun(state, event), event.lifter, plans=plans)


def _begun(state: State, event: Event) -> State:
    """What tonight's sets of the lift were planned from is kept: the rules at the close go by it."""
    present = state.evening.here.get(event.lifter or 0) if state.open else None
    key = (event.lifter or 0, event.lift or "")
    if present is None or key in state.evening.begun or not present.of_lift(key[1]):
        return state
    begun = {**state.evening.begun, key: _lifter(state, event).plans.get(key[1])}
    return replace(state, evening=replace(state.evening, begun=begun))


def _stage_set(state: State, event: Event) -> State:
    assert event.lift and event.stage is not None
    stages = {**_lifter(state, event).stages, event.lift: event.stage}
    state = with_lifter(state, event.lifter, stages=stages)
    present = state.evening.here.get(event.lifter or 0)
    if present is None or not state.open:
        return state
    sets = tuple(
        replace(s, stage=event.stage) if s.lift == event.lift and s.stage and s.status in (PLANNED, DROPPED) else s
        for s in present.sets
    )
    evening = replace(
        state.evening,
        here={**state.evening.here, present.lifter: replace(present, sets=sets)},
        signed={**state.evening.signed, (present.lifter, event.lift): event.happened},
    )
    return replace(state, evening=evening)


def _cue_set(state: State, event: Event) -> State:
    assert event.lift
    cues = {k: v for k, v in _lifter(state, event).cues.items() if k != event.lift}
    if event.fault:
        cues[event.lift] = event.fault
    return with_lifter(state, event.lifter, cues=cues)


def _heights_set(state: State, event: Event) -> State:
    assert event.lift
    known = _lifter(state, event).heights
    was = known.get(event.lift, Heights())
    now = Heights(
        rack=was.rack if event.rack is None else event.rack,
        safety=was.safety if event.safety is None else event.safety,
        bench=was.bench if event.bench is None else event.bench,
    )
    return with_lifter(state, event.lifter, heights={**known, event.lift: now})


def _pain_reported(state: State, event: Event) -> State:
    return with_lifter(state, event.lifter, held_since=event.happened, hurt_at=event.happened)


def _pain_cleared(state: State, event: Event) -> State:
    lifter = _lifter(state, event)
    here = lifter.id in state.evening.here and state.open
    came = event.happened if here else lifter.last_came
    return with_lifter(state, event.lifter, held_since=None, cleared_at=event.happened, last_came=came)


def _incident_noted(state: State, event: Event) -> State:
    evening = state.evening
    return replace(state, evening=replace(evening, incidents=evening.incidents + 1))


APPLY: dict[str, Callable[[State, Event], State]] = {
    "definition_adopted": _definition_adopted,
    "lifter_joined": _lifter_joined,
    "programme_given": _programme_given,
    "day_done": _day_done,
    "next_planned": _next_planned,
    "step_set": _step_set,
    "programme_proposed": _programme_proposed,
    "stage_set": _stage_set,
    "cue_set": _cue_set,
    "heights_set": _heights_set,
    "pain_reported": _pain_reported,
    "pain_cleared": _pain_cleared,
    "incident_noted": _incident_noted,
    "note_added": _note_added,
}
