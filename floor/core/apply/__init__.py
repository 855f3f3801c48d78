"""apply(state, event) -> state: the only way a state changes.

Apply writes down what happened and decides nothing: no rule is run here, no
order worked out. What was decided is already in the event.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable

from floor.core.apply import brought, evening, people, sets
from floor.core.events import Event
from floor.core.state import State

_APPLY: dict[str, Callable[[State, Event], State]] = {**people.APPLY, **evening.APPLY, **sets.APPLY, **brought.APPLY}


def apply(state: State, event: Event) -> State:
    """The state after one event. Raises KeyError for a kind nobody knows."""
    if event.rule == brought.BROUGHT and event.kind in brought.GONE_BY:
        return brought.GONE_BY[event.kind](state, event)
    return _APPLY[event.kind](state, event)


def fold(state: State, events: Iterable[Event]) -> State:
    """The state after many events, in order."""
    for event in events:
        state = apply(state, event)
    return state


def kinds() -> frozenset[str]:
    """Every kind of event that apply understands."""
    return frozenset(_APPLY)
