"""The way up to a work load: which of the shared ramp loads are lifted before it, and for how many reps. Pure.

Everybody at a bar shares the ramp loads of a lift, so none is ever made for one
lifter. Loads are hundredths of the gym's unit. All of it is common practice, no source.
"""

from __future__ import annotations

from floor.core.gym import Lift
from floor.core.tonight import RAMP_CEILING

NEAR, STEPS = 80, 8
"""A work set is a leap from a last ramp load under this per cent of it, and over so many steps of the lift below it."""

LAST = 95
"""Where a work set would be a leap, the next shared load up to this per cent of it is lifted too."""

HEAVY = 75
"""From this per cent of the work load up, a ramp set has two reps."""

MOST = 4
"""So many ramp sets at most: the lightest and the last few. It is an early one that is left out."""


def ramp_loads(lift: Lift, work: int) -> tuple[int, ...]:
    """The shared ramp loads below a work load: the lightest and the last few."""
    below = [load for load in lift.ramp if load * 100 <= work * RAMP_CEILING]
    if below and leaps(lift, below[-1], work):
        below += [load for load in lift.ramp if below[-1] < load and load * 100 <= work * LAST][:1]
    return tuple(below if len(below) <= MOST else [below[0], *below[1 - MOST :]])


def leaps(lift: Lift, load: int, work: int) -> bool:
    """Whether it is too far from a ramp load to a work load."""
    return load * 100 < work * NEAR and work - load > STEPS * lift.step


def ramp_reps(lift: Lift, load: int, work: int, reps: int) -> int:
    """Reps of one ramp set before work sets of `reps`: the lift's own, or two near the work load."""
    return min(2 if load * 100 >= work * HEAVY else lift.ramp_reps, max(reps, 2))
