"""Sessions of the past brought in from elsewhere: they touch standing facts alone, never the evening.

They are recorded when they are brought in, so that they can follow evenings
that came after them: nothing later is overwritten by something earlier.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from floor.core.apply import people
from floor.core.apply.people import with_lifter
from floor.core.events import Event
from floor.core.state import State

BROUGHT = "imported"
"""The rule of an event that tells of a day recorded elsewhere, or of what next time starts from after it."""


def _session(state: State, event: Event) -> State:
    return replace(state, sessions=max(state.sessions, event.session or 0))


def _came(state: State, event: Event) -> State:
    assert event.lifter is not None
    lifter = state.lifters[event.lifter]
    last = event.happened if lifter.last_came is None else max(lifter.last_came, event.happened)
    return with_lifter(state, event.lifter, last_came=last, sessions=lifter.sessions + 1)


def _planned(state: State, event: Event) -> State:
    """A plan of a roster or a history: its sets and reps are the lifter's own until a programme is given."""
    assert event.lifter is not None and event.lift is not None
    state = people.APPLY[event.kind](state, event)
    lifter = state.lifters[event.lifter]
    plan = lifter.plans[event.lift]
    plans = {**lifter.plans, event.lift: replace(plan, made=plan.done)}  # as it was on the day it rests on
    return with_lifter(state, event.lifter, plans=plans, brought=lifter.brought | {event.lift})


def _told(state: State, event: Event) -> State:
    return state


GONE_BY: dict[str, Callable[[State, Event], State]] = {
    "session_opened": _session,
    "lifter_arrived": _came,
    "set_ended": _told,
    "session_closed": _told,
    "next_planned": _planned,
}
"""How an event that was brought in is applied, in place of the evening's own way."""

APPLY: dict[str, Callable[[State, Event], State]] = {"history_brought": _told}
