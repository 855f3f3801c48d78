"""Jumps on the bar: a load by the coach's own hand that is far over the last one is set only when they are sure."""

from __future__ import annotations

from floor.core.commands import Refusal
from floor.core.gym import Gym
from floor.core.state import DONE, State
from floor.core.units import show_with_unit

GUARD = 20
"""A load more than so many per cent over the last set of the lift, or over what was planned, is asked about.

Only loads above the plan are: the ramp's own jumps are planned. Common practice, no source.
"""


def far_tonight(state: State, lifter: int, lift: str, load: int, planned: int) -> Refusal | None:
    """A refusal of a load for a coming set that was `planned` otherwise: against the lighter of plan and last set.

    Loads are hundredths of the gym's unit.
    """
    present = state.evening.here.get(lifter)
    done = [s for s in present.of_lift(lift) if s.status == DONE and s.down is not None] if present else []
    last = max(done, key=lambda s: (s.down, s.no), default=None)
    low, than = planned, "planned"
    if last is not None and last.load < planned:
        low, than = last.load, "the last set"
    return _refusal(state.gym, lifter, load, low, than) if load > planned and _far(load, low) else None


def far_next(gym: Gym, lifter: int, load: int, planned: int) -> Refusal | None:
    """A refusal of a load for next time, against what is planned for it."""
    return _refusal(gym, lifter, load, planned, "planned") if _far(load, planned) else None


def _far(load: int, low: int) -> bool:
    return load * 100 > low * (100 + GUARD)


def _refusal(gym: Gym, lifter: int, load: int, low: int, than: str) -> Refusal:
    wanted, more = show_with_unit(load, gym.unit), show_with_unit(load - low, gym.unit)
    why = f"{{lifter}}: {wanted} is {more} more than {than}. Are you sure?"
    return Refusal(why, lifter, unless_sure=True)
