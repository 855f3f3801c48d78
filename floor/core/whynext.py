"""Why next time brings what it brings: the rule's sentence with what it rests on, said alike everywhere. Pure."""

from __future__ import annotations

from floor.core.comingday import ComingLift, reason_words
from floor.core.limits import CAPS, cap_words
from floor.core.nexttime import NEXT
from floor.core.pulls import EASED
from floor.core.repeats import run_words
from floor.core.state import Present, State

REPEATS = frozenset({EASED, "stalled-repeats", *(rule.id for rule in NEXT if rule.move == "repeat")})
"""The rules that rest on the evenings before as well as on tonight."""


def why_next(state: State, present: Present, lift: str, rule: str, coming: ComingLift | None = None) -> str:
    """The sentence of a rule between sessions for someone who lifted tonight, with its evidence in brackets.

    `coming` is what the next session with the lift asks of it.
    """
    found = _rests_on(state, present, lift, rule)
    return reason_words(rule, coming, state.gym) + (f" ({found})" if found else "")


def _rests_on(state: State, present: Present, lift: str, rule: str) -> str:
    """What tonight's line does not show of it: how far form holds, the evenings before."""
    unit = state.gym.unit
    if rule == CAPS:
        return cap_words(present.limits.get(lift), unit)
    told = run_words(present, lift, unit) if rule in REPEATS else ""
    if rule == EASED and not told:
        return f"the load repeated {state.gym.settings.repeats_before_ease} evenings running"
    return told
