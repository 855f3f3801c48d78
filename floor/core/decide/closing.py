"""Closing the session: what next time brings for everyone who came."""

from __future__ import annotations

from datetime import datetime

from floor.core.commands import CloseSession, Refusal
from floor.core.decide.table import Events, Table
from floor.core.events import Event
from floor.core.loading import builder
from floor.core.nexttime import NextTime, look, next_time
from floor.core.programme import percent_today, todays_entries, whole_load
from floor.core.queue import lifting
from floor.core.state import DONE, Present, State


def lifts_tonight(present: Present) -> tuple[str, ...]:
    """The lifts a lifter had tonight, in order, each once."""
    return tuple(dict.fromkeys(s.lift for s in present.sets))


def next_for(state: State, present: Present, lift: str) -> NextTime:
    """What next time brings for one lifter on one of tonight's lifts."""
    lifter = state.lifters[present.lifter]
    plan = lifter.plans.get(lift)
    tonight = look(
        state.gym,
        present.of_lift(lift),
        whole_load(state.gym, lifter, lift),
        plan.repeats if plan else 0,
        lifter.held,
        present.stopped.get(lift, ""),
        percent_today(state.gym, lifter, lift),
        lifter.cleared_at is not None and lifter.cleared_at >= state.evening.opened,
        plan is not None,
    )
    return next_time(state.gym, lift, tonight, builder(state.gym, lift))


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
        events += _after(state, present, now)
    events.append(Event(kind="session_closed", happened=now, session=session))
    return tuple(events)


def _after(state: State, present: Present, now: datetime) -> list[Event]:
    session = state.evening.session
    lifter = state.lifters[present.lifter]
    entries = {e.lift: e for e in todays_entries(state.gym, lifter)}
    events: list[Event] = []
    for lift in lifts_tonight(present):
        coming = next_for(state, present, lift)
        if coming.rule == "not-done":
            continue
        plan = lifter.plans.get(lift)
        entry = entries.get(lift)
        events.append(
            Event(
                kind="next_planned", happened=now, session=session, lifter=present.lifter, lift=lift,
                sets=plan.sets if plan else (entry.sets if entry else 1),
                reps=plan.reps if plan else (entry.reps if entry else 1),
                load=coming.load, was=coming.was, rule=coming.rule, count=coming.repeats,
            )
        )
        stages = [s.stage for s in present.of_lift(lift) if s.status == DONE and s.stage is not None]
        if stages and stages[-1] != lifter.stages.get(lift):
            events.append(
                Event(
                    kind="stage_set", happened=now, session=session, lifter=present.lifter, lift=lift,
                    stage=stages[-1],
                )
            )
    worked = any(s.status == DONE and s.role != "ramp" for s in present.sets)
    programme = state.gym.programmes.get(lifter.programme)
    if worked and programme and programme.days:
        day = (lifter.day + 1) % len(programme.days)
        events.append(Event(kind="day_done", happened=now, session=session, lifter=present.lifter, day=day))
    return events


DECIDE: Table = {CloseSession: close}
