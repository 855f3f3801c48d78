"""Commands of coming and going: open, late, arrive, move, leave."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime
from functools import partial

from floor.core.apply import fold
from floor.core.commands import (
    Arrive,
    ExpectLate,
    JoinLifter,
    Leave,
    Move,
    OpenSession,
    Refusal,
    SetLeaving,
    ShareOut,
)
from floor.core.decide.people import NOBODY, join
from floor.core.decide.refusing import not_here
from floor.core.decide.table import Events, Table
from floor.core.events import CUT_SHORT, Event
from floor.core.groups import GROUPS
from floor.core.gym import Grade
from floor.core.limits import CAPS, DEFINITION, caps
from floor.core.loading import buildable
from floor.core.nexttime import VERSION
from floor.core.programme import rested, todays_sets
from floor.core.queue import can_stand
from floor.core.rests import rest_owed
from floor.core.state import Lifter, NextPlan, State

LONGEST_WAIT, LONGEST_STAY = 240 * 60, 12 * 3600
"""Seconds: the latest that somebody can be expected, and the latest time to go, from now. No source."""


def open_session(state: State, command: OpenSession, now: datetime) -> Events | Refusal:
    if state.open:
        return Refusal("A session is open already.")
    if not state.gym.stations:
        return Refusal("The gym has no station to lift at: add one to its equipment first.")
    return (Event(kind="session_opened", happened=now, session=state.sessions + 1),)


def expect_late(state: State, command: ExpectLate, now: datetime) -> Events | Refusal:
    if not state.open:
        return Refusal("No session is open.")
    if command.lifter not in state.lifters:
        return Refusal(NOBODY)
    if command.lifter in state.evening.here:
        return Refusal("{lifter} is here already.", command.lifter)
    if not 0 < command.seconds <= LONGEST_WAIT:
        return Refusal("{lifter}: say in how many minutes, 1 to 240.", command.lifter)
    return (
        Event(
            kind="late_expected", happened=now, session=state.evening.session, lifter=command.lifter,
            seconds=command.seconds,
        ),
    )


def set_leaving(state: State, command: SetLeaving, now: datetime) -> Events | Refusal:
    """When a lifter must go, told before they come or at any time after."""
    if not state.open:
        return Refusal("No session is open.")
    if command.lifter not in state.lifters:
        return Refusal(NOBODY)
    present = state.evening.here.get(command.lifter)
    if present is not None and present.gone:
        return Refusal("{lifter} has left.", command.lifter)
    if command.seconds is None and command.lifter not in state.evening.leaving:
        return Refusal("{lifter} has no time to go: nothing to take back.", command.lifter)
    if command.seconds is not None and not 0 < command.seconds <= LONGEST_STAY:
        return Refusal("{lifter}: the time to go lies in the next 12 hours.", command.lifter)
    return (
        Event(
            kind="leaving_set", happened=now, session=state.evening.session, lifter=command.lifter,
            seconds=command.seconds,
        ),
    )


def plan_sets(state: State, lifter: Lifter, last_came: datetime | None, now: datetime, first_no: int) -> Events:
    """The events that plan tonight's sets for a lifter, numbered from `first_no`.

    After a lay-off, or since pain was cleared, every plan is eased first, on record, so
    that what comes on a later day is eased too and the next step builds on the eased load.
    """
    gym = state.gym
    eased = eased_plans(state, replace(lifter, last_came=last_came), now)
    eased += _capped_plans(fold(state, eased), lifter.id, now)
    lifter = fold(state, eased).lifters[lifter.id]
    planned = todays_sets(gym, lifter, None, lambda lift, load: buildable(gym, lift, load))
    return eased + tuple(
        Event(
            kind="set_planned", happened=now, session=state.evening.session, lifter=lifter.id, lift=p.lift,
            set_no=first_no + i, role=p.role, reps=p.reps, load=p.load, stage=p.stage,
            seconds=rest_owed(gym, p.lift, p.role),
        )
        for i, p in enumerate(planned)
    )


def eased_plans(state: State, lifter: Lifter, now: datetime) -> Events:
    """Every plan of a lifter that time away or a clearance has eased; nothing where the load can't go down."""
    events = []
    for plan in lifter.plans.values():
        if plan.lift not in state.gym.lifts:
            continue
        load, rule = rested(state.gym, lifter, plan.lift, now, partial(buildable, state.gym))
        if rule:
            events.append(_brought_down(state, lifter.id, plan, load, rule, now))
    return tuple(events)


def _capped_plans(state: State, lifter: int, now: datetime) -> Events:
    """Every plan that stands past the form limit found at arrival, brought down to it, on record."""
    events = []
    for lift, cap in state.evening.here[lifter].limits.items():
        plan = state.lifters[lifter].plans.get(lift)
        if plan is None or cap.load is None or plan.load <= cap.load:
            continue
        load = buildable(state.gym, lift, cap.load)
        if load < plan.load:
            events.append(_brought_down(state, lifter, plan, load, CAPS, now))
    return tuple(events)


def _brought_down(state: State, lifter: int, plan: NextPlan, load: int, rule: str, now: datetime) -> Event:
    """A plan at a lower load before anything was lifted: its repeats and extra reps are over."""
    return Event(
        kind="next_planned", happened=now, session=state.evening.session, lifter=lifter, lift=plan.lift,
        sets=plan.sets, reps=plan.reps - plan.extra, load=load, was=plan.load, rule=rule, count=0,
        seconds=plan.since(now), definition=VERSION,
    )


def _limits(state: State, lifter: Lifter, command: Arrive, now: datetime) -> Events:
    """What the record says of the lifter's form, written down once: the evening's rules use this and nothing newer."""
    return tuple(
        Event(
            kind="limit_found", happened=now, session=state.evening.session, lifter=lifter.id, lift=lift,
            load=cap.load, count=cap.reps, day=cap.days, rule="form-limit", definition=DEFINITION,
        )
        for lift, cap in caps(state.gym, lifter, command.seen)
    )


def _repeats(state: State, command: Arrive, now: datetime) -> Events:
    """The evenings a lift's load was repeated after, written down once: what a stall is shown to rest on."""
    return tuple(
        Event(
            kind="repeat_found", happened=now, session=state.evening.session, lifter=command.lifter, lift=lift,
            load=one.load, reps=one.made, missed=one.asked - one.made, grade=one.grade, count=number,
        )
        for lift, evenings in command.repeats
        for number, one in enumerate(evenings, 1)
    )


def _rows(state: State, command: Arrive, now: datetime) -> Events:
    """The clean reps that evenings before ended with, written down once: tonight goes on from these."""
    return tuple(
        Event(
            kind="row_found", happened=now, session=state.evening.session, lifter=command.lifter, lift=lift,
            stage=row.stage, reps=row.reps, sets=row.sets, count=row.evenings,
        )
        for lift, row in command.rows
    )


def arrive(state: State, command: Arrive, now: datetime) -> Events | Refusal:
    if not state.open:
        return Refusal("No session is open.")
    if command.station not in state.evening.stations:
        return Refusal(f"The gym has no station {command.station}.")
    here = state.evening.here.get(command.lifter)
    if here is not None and not here.gone:
        return Refusal("{lifter} is here already.", command.lifter)
    if here is not None:
        return Refusal("{lifter} has left for today; record any late set whole.", command.lifter)
    events: list[Event] = []
    if command.new:
        joined = join(state, JoinLifter(command.lifter, command.youth), now)
        if isinstance(joined, Refusal):
            return joined
        events += joined
    elif command.lifter not in state.lifters:
        return Refusal(NOBODY)
    after = fold(state, events)
    lifter = after.lifters[command.lifter]
    events.append(
        Event(
            kind="lifter_arrived", happened=now, session=state.evening.session, lifter=command.lifter,
            station=command.station, youth=lifter.youth,
        )
    )
    events += _limits(state, lifter, command, now)
    events += _repeats(state, command, now)
    events += _rows(state, command, now)
    if not lifter.held:
        events += plan_sets(fold(state, events), lifter, lifter.last_came, now, 1)
    return tuple(events)


def move(state: State, command: Move, now: datetime) -> Events | Refusal:
    refused = not_here(state, command.lifter)
    if refused:
        return refused
    present = state.evening.here[command.lifter]
    if present.running() is not None:
        return Refusal("{lifter} is lifting: end that set first.", command.lifter)
    if command.station not in state.evening.stations:
        return Refusal(f"The gym has no station {command.station}.")
    if command.station == present.station:
        return Refusal("{lifter} is at that station already.", command.lifter)
    coming = present.pending()
    station = state.gym.station(command.station)
    if coming is not None:
        lift = state.gym.lifts[coming.lift]
        if not can_stand(station, lift.needs):
            why = f"{{lifter}}'s next lift is the {lift.name}: {station.name} has no {lift.needs}."
            return Refusal(why, command.lifter)
    return (
        Event(
            kind="lifter_moved", happened=now, session=state.evening.session, lifter=command.lifter,
            station=command.station, rule="by-hand",
        ),
    )


def share_out(state: State, command: ShareOut, now: datetime) -> Events | Refusal:
    """Everyone named moved as one command; refused as a whole when one of them can't."""
    events: list[Event] = []
    for lifter, station in command.moves:
        moved = move(state, Move(lifter, station), now)
        if isinstance(moved, Refusal):
            return moved
        events += [replace(event, rule=GROUPS) for event in moved]
    return tuple(events) if events else Refusal("Everyone stands in their group already.")


def leave(state: State, command: Leave, now: datetime) -> Events | Refusal:
    refused = not_here(state, command.lifter)
    if refused:
        return refused
    session = state.evening.session
    events: list[Event] = []
    present = state.evening.here[command.lifter]
    running = present.running()
    if running is not None:
        lifted = running.marks or running.faults
        events.append(cut_short(state, command.lifter, now) if lifted else _called_off(state, command.lifter, now))
    events.append(Event(kind="lifter_left", happened=now, session=session, lifter=command.lifter))
    return tuple(events)


def _called_off(state: State, lifter: int, now: datetime) -> Event:
    """A set was started by a key, and nothing of it was lifted: it is not done."""
    running = state.evening.here[lifter].running()
    assert running is not None
    return Event(
        kind="set_called_off", happened=now, session=state.evening.session, station=running.station, lifter=lifter,
        lift=running.lift, set_no=running.no,
    )


def cut_short(state: State, lifter: int, now: datetime) -> Event:
    """End a running set as it stands: the reps counted, not graded."""
    running = state.evening.here[lifter].running()
    assert running is not None
    return Event(
        kind="set_ended", happened=now, session=state.evening.session, station=running.station, lifter=lifter,
        lift=running.lift, set_no=running.no, role=running.role, reps=running.made, missed=running.missed,
        load=running.load, grade=Grade.UNSEEN, suggested=Grade.UNSEEN, rule=CUT_SHORT,
    )


DECIDE: Table = {
    OpenSession: open_session,
    ExpectLate: expect_late,
    SetLeaving: set_leaving,
    Arrive: arrive,
    Move: move,
    ShareOut: share_out,
    Leave: leave,
}
