"""Jumps on the bar: a load by hand that is far over the plan and the last one is set only when the coach is sure."""

from __future__ import annotations

from floor.core.commands import Refusal
from floor.core.state import DONE, State
from floor.core.steps import counts_as, most_after
from floor.core.units import show_with_unit


def far(state: State, lifter: int, lift: str, load: int, planned: int) -> Refusal | None:
    """A refusal of a load by hand, for a coming set or next time, where another was `planned`.

    Asked about is more than a tenth over the heavier of what was planned and what was
    lifted last (tonight's last set with a rep made): what no rule ever proposes. That a
    hand is asked there too is common practice, no source. Loads are hundredths of the
    gym's unit.
    """
    lifted = _lifted(state, lifter, lift)
    base, than = (lifted, "the last set") if lifted > planned else (planned, "planned")
    if load <= most_after(base):
        return None
    wanted, more = (show_with_unit(some, state.gym.unit) for some in (load, load - base))
    return Refusal(f"{{lifter}}: {wanted} is {more} more than {than}. Are you sure?", lifter, unless_sure=True)


def _lifted(state: State, lifter: int, lift: str) -> int:
    """The load that the lift's last set tonight speaks for, 0 before it."""
    present = state.evening.here.get(lifter)
    done = [s for s in present.of_lift(lift) if s.status == DONE and s.down is not None and s.made] if present else []
    last = max(done, key=lambda s: (s.down, s.no), default=None)
    return counts_as(last) if last is not None else 0
