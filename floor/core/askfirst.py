"""What is asked before a set starts or is graded, or a stop is overruled, so that one key too many does no harm."""

from __future__ import annotations

from datetime import datetime

from floor.core.gym import Gym
from floor.core.proposals import STOP
from floor.core.rests import rested_at, too_short
from floor.core.state import Present, Proposal, State, TheSet
from floor.core.tonight import ends_here

SAFETY = "safety"
"""The height, of those a lift names, that catches the bar when the lifter can't."""


def no_safeties(state: State, lifter: int, coming: TheSet) -> bool:
    """True before the first set a lifter starts tonight of a lift that has safeties, while none are set for them.

    A ramp ticked off was done alone: it asked nobody.
    Common practice, no source: safeties for beginners always; whether they stand
    right is the coach's to see.
    """
    lift = state.gym.lifts[coming.lift]
    if SAFETY not in lift.heights:
        return False
    heights = state.lifters[lifter].heights.get(lift.id)
    if heights is not None and heights.safety is not None:
        return False
    return all(s.started is None for s in state.evening.here[lifter].of_lift(lift.id))


def rest_cut_short(gym: Gym, present: Present, now: datetime) -> tuple[int, int] | None:
    """(seconds rested, seconds owed) where a set that starts now would cut the rest clearly short, else None."""
    rested, owed = rested_at(gym, present, now)
    return (rested, owed) if rested is not None and too_short(rested, owed) else None


def uncounted(gym: Gym, running: TheSet, youth: bool) -> int:
    """How many reps a grade now would leave not done, where nothing says that the set ended early.

    None before the first rep is counted, after a miss, and after a fault that ends the set.
    """
    if not running.marks or running.missed or ends_here(gym, running, youth):
        return 0
    return max(0, running.reps - len(running.marks))


def lifts_on(proposal: Proposal) -> bool:
    """Whether overruling a proposal goes on with a lift that the rules ended."""
    return proposal.action == STOP and not proposal.overruled
