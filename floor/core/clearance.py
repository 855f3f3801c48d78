"""Pain that was cleared: whose lifts it still concerns, taken from the record. Pure.

Nobody knows which lift hurt, so a clearance concerns them all, each until it has
been done once. It is asked by times alone, whenever the clearance was recorded:
during the evening, before it, or weeks ago.
"""

from __future__ import annotations

from floor.core.state import Lifter, NextPlan, State

EASES = "pain-cleared-eases"
"""The rule that eases a plan from before the pain, the first time its lifter may lift again."""


def begun_plan(state: State, lifter: int, lift: str) -> NextPlan | None:
    """The plan tonight's sets of a lift were made from, whatever was planned for next time since; None without one."""
    key = (lifter, lift)
    return state.evening.begun[key] if key in state.evening.begun else state.lifters[lifter].plans.get(lift)


def first_since(state: State, lifter: int, lift: str) -> bool:
    """Whether tonight is the first evening with the lift since pain was cleared: nothing is added on it.

    A lift nothing is planned for was done, as far as is known, when its lifter last came.
    """
    cleared = state.lifters[lifter].cleared_at
    if cleared is None or cleared >= state.evening.opened:
        return cleared is not None
    plan, present = begun_plan(state, lifter, lift), state.evening.here.get(lifter)
    if plan is not None:
        return plan.done is not None and plan.done < cleared
    return present is not None and (present.before is None or present.before < cleared)


def from_before(lifter: Lifter, plan: NextPlan) -> bool:
    """Whether a plan is from before pain was reported, and so has not been eased for it."""
    return lifter.hurt_at is not None and plan.made is not None and plan.made < lifter.hurt_at
