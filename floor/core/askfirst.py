"""What is asked before a set starts: once, when the first set of a lift would start with nothing to catch the bar."""

from __future__ import annotations

from floor.core.state import PLANNED, State, TheSet

SAFETY = "safety"
"""The height, of those a lift names, that catches the bar when the lifter can't."""


def no_safeties(state: State, lifter: int, coming: TheSet) -> bool:
    """True before a lifter's first set tonight of a lift that has safeties, while none are set for them.

    Common practice, no source: safeties for beginners always; whether they stand
    right is the coach's to see.
    """
    lift = state.gym.lifts[coming.lift]
    if SAFETY not in lift.heights:
        return False
    heights = state.lifters[lifter].heights.get(lift.id)
    if heights is not None and heights.safety is not None:
        return False
    return all(s.status == PLANNED for s in state.evening.here[lifter].of_lift(lift.id))
