"""The coach's own plan for next time, in place of what the rules bring."""

from __future__ import annotations

from datetime import datetime

from floor.core.apply import fold
from floor.core.commands import PlanNext, Refusal
from floor.core.decide.closing import by_hand_tonight, lifts_tonight, next_for, planned_next
from floor.core.decide.people import nobody, session_of
from floor.core.decide.refusing import held
from floor.core.decide.table import Events, Table
from floor.core.events import Event
from floor.core.jumps import far
from floor.core.nexttime import BY_HAND, IMPORTED, LEARNING, NOT_DONE
from floor.core.proposals import ADD, KEEP, LIGHTEN
from floor.core.state import NextPlan, State


def plan_next(state: State, command: PlanNext, now: datetime) -> Events | Refusal:
    """The plan by hand; on an evening the lift was done, after what the close would have planned, on record."""
    refused = nobody(state, command.lifter)
    if refused:
        return refused
    if command.lift not in state.gym.lifts:
        return Refusal(f"The gym has no lift called {command.lift}.")
    if command.sets < 1 or command.reps < 1 or command.load < 0:
        return Refusal("A plan needs at least one set of one rep, and a load.")
    spoken = _spoken(state, command.lifter, command.lift, now)
    told = proposed_next(state, command.lifter, command.lift, now)
    if told is not None and (told.sets, told.reps, told.load) == (command.sets, command.reps, command.load):
        return Refusal("That is what next time brings already.")
    if told is None or command.load > told.load:
        refused = held(state, command.lifter)
    if told is not None and not command.sure:
        refused = refused or far(state, command.lifter, command.lift, command.load, told.load)
    if refused:
        return refused
    rule, was = overruled_by_hand(told)
    return (
        *spoken,
        Event(
            kind="next_planned", happened=now, session=session_of(state), lifter=command.lifter, lift=command.lift,
            sets=command.sets, reps=command.reps, load=command.load, was=was, rule=BY_HAND, count=0,
            suggested=rule or None, action=_word(command.load, was) if rule and was is not None else None,
            seconds=told.since(now) if told is not None else None,
        ),
    )


def proposed_next(state: State, lifter: int, lift: str, now: datetime) -> NextPlan | None:
    """What a plan by hand would stand in place of: what the close would plan, or the standing plan; None for none."""
    return fold(state, _spoken(state, lifter, lift, now)).lifters[lifter].plans.get(lift)


def _spoken(state: State, lifter: int, lift: str, now: datetime) -> Events:
    """What the close would plan now for a lift done tonight; nothing when that was overruled by hand already."""
    present = state.evening.here.get(lifter) if state.open else None
    if present is None or lift not in lifts_tonight(present):
        return ()
    coming = next_for(state, present, lift)
    plan = by_hand_tonight(state, lifter, lift)
    if coming.rule in (NOT_DONE, LEARNING) or (plan is not None and plan.overruled == coming.rule):
        return ()
    return (planned_next(state, lifter, lift, coming, now),)


def overruled_by_hand(told: NextPlan | None) -> tuple[str, int | None]:
    """(the rule a plan by hand overrules, the load from before that rule); no rule where none had planned."""
    if told is None:
        return "", None
    if told.rule == IMPORTED:
        return "", told.load
    if told.rule == BY_HAND:
        return told.overruled, told.was if told.overruled else told.load
    return told.rule, told.load if told.was is None else told.was


def _word(load: int, was: int) -> str:
    """The coach's word for it, as tonight: against the load from before, not against the one proposed."""
    return ADD if load > was else KEEP if load == was else LIGHTEN


DECIDE: Table = {PlanNext: plan_next}
