"""Closing the session: what next time brings for everyone who came."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime
from functools import partial

from floor.core.apply import fold
from floor.core.apply.people import OVER
from floor.core.clearance import begun_plan, first_since
from floor.core.commands import CloseSession, Refusal
from floor.core.decide.table import Events, Table
from floor.core.events import Event
from floor.core.lifttonight import look
from floor.core.loading import buildable, builder
from floor.core.nexttime import BY_HAND, LEARNING, NOT_DONE, VERSION, NextTime, next_time
from floor.core.programme import percent_today, sets_of, todays_entries, whole_load
from floor.core.pulls import LIGHT, RULE, SLOW, pull_proposal
from floor.core.queue import lifting
from floor.core.stageback import ended_at
from floor.core.state import DONE, Lifter, NextPlan, Present, State
from floor.core.steps import halved, step_of
from floor.core.tonight import drilled


def lifts_tonight(present: Present) -> tuple[str, ...]:
    """The lifts a lifter had tonight, in order, each once."""
    return tuple(dict.fromkeys(s.lift for s in present.sets))


def was_done(present: Present, lift: str) -> bool:
    """Whether a work set of the lift was done tonight."""
    return any(s.status == DONE and s.role != "ramp" for s in present.of_lift(lift))


def as_begun(state: State, lifter: int) -> Lifter:
    """The lifter with the plans that tonight's sets were made from, whatever was planned for next time since."""
    now = state.lifters[lifter]
    lifts = dict.fromkeys((*now.plans, *(lift for who, lift in state.evening.begun if who == lifter)))
    begun = {lift: begun_plan(state, lifter, lift) for lift in lifts}
    return replace(now, plans={lift: plan for lift, plan in begun.items() if plan is not None})


def next_for(state: State, present: Present, lift: str) -> NextTime:
    """What the rules bring next time for one lifter on one of tonight's lifts."""
    lifter = as_begun(state, present.lifter)
    plan, build = lifter.plans.get(lift), builder(state.gym, lift)
    tonight = look(
        state.gym,
        present.of_lift(lift),
        whole_load(state.gym, lifter, lift),
        plan.repeats if plan else 0,
        lifter.held,
        present.stopped.get(lift, ""),
        percent_today(state.gym, lifter, lift),
        plan is not None,
        cleared=lifter.cleared_at if first_since(state, present.lifter, lift) else None,
        drilled=drilled(state, present.lifter, lift),
        step=step_of(state.gym, lifter, lift),
        extra=plan.extra if plan else 0,
        over=plan.over if plan else False,
        cap=cap.load if (cap := present.limits.get(lift)) else None,
        day=_asked_today(state, lifter, lift),
        buildable=build,
    )
    coming = next_time(state.gym, tonight, build)
    return coming if plan is not None else replace(coming, was=coming.load)


def _asked_today(state: State, lifter: Lifter, lift: str) -> int | None:
    """The work load that the lifter's day asks for on a lift; None where the day does not have it."""
    entry = next((e for e in todays_entries(state.gym, lifter) if e.lift == lift), None)
    if entry is None:
        return None
    sets = sets_of(state.gym, lifter, entry, None, partial(buildable, state.gym))
    return next((s.load for s in sets if s.role != "ramp"), None)


def close(state: State, command: CloseSession, now: datetime) -> Events | Refusal:
    if not state.open:
        return Refusal("No session is open.")
    for station in state.gym.stations:
        on = lifting(state, station.id)
        if on is not None:
            return Refusal(f"{{lifter}} is lifting at {station.name}: end that set first.", on.lifter)
    session = state.evening.session
    events: list[Event] = []
    if state.evening.drill is not None:
        events.append(Event(kind="drill_ended", happened=now, session=session))
    for present in state.evening.here.values():
        events += after_evening(state, present, now)
    events.append(Event(kind="session_closed", happened=now, session=session))
    return tuple(events)


def after_evening(state: State, present: Present, now: datetime) -> list[Event]:
    """What the close records for one lifter: plans, a smaller step, stages, the day, another programme proposed."""
    session = state.evening.session
    lifter = state.lifters[present.lifter]
    events: list[Event] = []
    for lift in lifts_tonight(present):
        coming = next_for(state, present, lift)
        if coming.rule == NOT_DONE:
            continue
        if coming.rule != LEARNING and not hand_stands(state, present.lifter, lift, coming):
            events.append(planned_next(state, present.lifter, lift, coming, now))
            events += _slowed(state, present.lifter, lift, coming, now)
        if not was_done(present, lift):
            continue
        stage = ended_at(state, present.lifter, lift)
        if stage is not None and stage != lifter.stages.get(lift):
            events.append(
                Event(
                    kind="stage_set", happened=now, session=session, lifter=present.lifter, lift=lift, stage=stage,
                )
            )
    events += _light_pull(fold(state, events), present, now)
    worked = any(was_done(present, lift) for lift in lifts_tonight(present))
    programme = state.gym.programmes.get(lifter.programme)
    if worked and programme and programme.days:
        day = (lifter.day + 1) % len(programme.days)
        events.append(Event(kind="day_done", happened=now, session=session, lifter=present.lifter, day=day))
    return events


def planned_next(state: State, lifter_id: int, lift: str, coming: NextTime, now: datetime) -> Event:
    """What the rules bring next time, as it is recorded."""
    lifter = as_begun(state, lifter_id)
    plan, present = lifter.plans.get(lift), state.evening.here[lifter_id]
    entry = next((e for e in todays_entries(state.gym, lifter) if e.lift == lift), None)
    return Event(
        kind="next_planned", happened=now, session=state.evening.session, lifter=lifter_id, lift=lift,
        sets=plan.sets if plan else (entry.sets if entry else 1),
        reps=(plan.reps - plan.extra if plan else entry.reps if entry else 1) + coming.extra,
        load=coming.load, was=coming.was, rule=coming.rule, count=coming.repeats,
        rep=coming.extra or None, action=OVER if coming.over else None, definition=VERSION,
        seconds=plan.since(now) if plan and not was_done(present, lift) else None,
    )


def hand_stands(state: State, lifter: int, lift: str, coming: NextTime) -> bool:
    """Whether next time stays as the coach set it tonight, rather than as the rules have it now.

    It does while nothing was lifted or the rule that was overruled still speaks; once
    more was seen and another does, only a load no heavier than that rule's.
    """
    plan = by_hand_tonight(state, lifter, lift)
    if plan is None:
        return False
    return coming.rule in (NOT_DONE, plan.overruled) or plan.load <= coming.load


def by_hand_tonight(state: State, lifter: int, lift: str) -> NextPlan | None:
    """The plan that the coach made this evening for a lift of tonight, None without one."""
    plan = state.lifters[lifter].plans.get(lift)
    return plan if plan is not None and plan.rule == BY_HAND and (lifter, lift) in state.evening.begun else None


def _slowed(state: State, lifter: int, lift: str, coming: NextTime, now: datetime) -> list[Event]:
    """Eased after too many repeats, a lift goes on in half the step, as far as half can be built."""
    step = step_of(state.gym, state.lifters[lifter], lift)
    half = halved(state.gym, step)
    if not coming.stalled or half >= step:
        return []
    return [
        Event(
            kind="step_set", happened=now, session=state.evening.session, lifter=lifter, lift=lift, load=half,
            was=step, rule="slowed-halves-step",
        )
    ]


def _light_pull(state: State, present: Present, now: datetime) -> list[Event]:
    """The programme with the clean as its light pull, proposed: once, after an evening with the deadlift in it."""
    lifter = state.lifters[present.lifter]
    if not was_done(present, SLOW) or lifter.held or lifter.proposed is not None:
        return []
    found = pull_proposal(state.gym, lifter, lifter.plans)
    if found is None:
        return []
    return [
        Event(
            kind="programme_proposed", happened=now, session=state.evening.session, lifter=lifter.id, lift=SLOW,
            other_lift=LIGHT, definition=found.programme, load=found.load, rule=RULE, count=found.count,
            stage=found.stage,
        )
    ]


DECIDE: Table = {CloseSession: close}
