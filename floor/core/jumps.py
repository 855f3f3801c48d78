"""Jumps on the bar: a load by the coach's own hand that is far over the last one is asked about once more."""

from __future__ import annotations

from floor.core.state import DONE, State

GUARD = 20
"""A set more than so many per cent over the last set of the lift, or over what was planned, is asked about.

Only loads above the plan are: the ramp's own jumps are planned. Common practice, no source.
"""


def jump_from(state: State, lifter: int, lift: str, load: int, planned: int) -> int | None:
    """The load that `load` jumps too far from, None when it does not: the lighter of the plan and the last set's.

    Loads are hundredths of the gym's unit; `planned` is what the coming set has now.
    """
    present = state.evening.here.get(lifter)
    done = [s for s in present.of_lift(lift) if s.status == DONE and s.down is not None] if present else []
    last = max(done, key=lambda s: (s.down, s.no), default=None)
    low = planned if last is None else min(planned, last.load)
    return low if load > planned and load * 100 > low * (100 + GUARD) else None
