"""A history brought in: closed sessions of the past, and what next time starts from after them.

The whole of it is one command, so that undo takes back all of it. A set
brought in has no start, no place and, unless somebody graded it, no grade:
nobody watched, so it says nothing about form.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import datetime

from floor.core.apply.brought import BROUGHT
from floor.core.commands import BringHistory, JoinLifter, Refusal
from floor.core.decide.people import NOBODY, join
from floor.core.decide.table import Events, Table
from floor.core.events import Event
from floor.core.firstplans import first_plans
from floor.core.pastdays import PastDay
from floor.core.state import State

NOWHERE = 0
"""The station of an arrival that nobody noted; no station has the number."""


def bring_history(state: State, command: BringHistory, now: datetime) -> Events | Refusal:
    if state.open:
        return Refusal("A session is open: close it before bringing a history in.")
    sets = [one for day in command.days for one in day.sets]
    if not sets:
        return Refusal("There is nothing new to bring in.")
    if late := next((day.noon for day in command.days if day.noon.date() > now.date()), None):
        return Refusal(f"{late.date().isoformat()} has not been yet: nothing was taken.")
    events = [Event(kind="history_brought", happened=now, count=len(sets))]
    for lifter in command.new:
        joined = join(state, JoinLifter(lifter), now)
        if isinstance(joined, Refusal):
            return joined
        events += joined
    known = {*state.lifters, *command.new}
    for one in sets:
        if one.lift not in state.gym.lifts:
            return Refusal(f"The gym has no lift called {one.lift}: nothing was taken.")
        if one.lifter not in known:
            return Refusal(NOBODY)
    number = state.sessions
    numbers: dict[datetime, int] = {}
    for day in sorted(command.days, key=lambda d: d.noon):
        if day.session is None:
            number += 1
        numbers[day.noon] = number if day.session is None else day.session
        events += _day(day, numbers[day.noon])
    events += _plans(state, command, numbers, now)
    return tuple(events)


def _day(day: PastDay, session: int) -> Iterator[Event]:
    if day.session is None:
        yield Event(kind="session_opened", happened=day.noon, session=session, rule=BROUGHT)
    for lifter in dict.fromkeys(one.lifter for one in day.sets):
        if lifter not in day.came:
            yield Event(
                kind="lifter_arrived", happened=day.noon, session=session, lifter=lifter, station=NOWHERE, rule=BROUGHT
            )
    for one in day.sets:
        yield Event(
            kind="set_ended", happened=day.noon, session=session, lifter=one.lifter, lift=one.lift, set_no=one.set_no,
            reps=one.made, missed=one.missed, load=one.load, grade=one.grade, rule=BROUGHT,
        )
    if day.session is None:
        yield Event(kind="session_closed", happened=day.noon, session=session, rule=BROUGHT)


def _plans(state: State, command: BringHistory, numbers: Mapping[datetime, int], now: datetime) -> Iterator[Event]:
    """What next time starts from, under the number of the day it rests on."""
    for plan in first_plans(state, command.days, command.rest_on):
        if plan.stays:
            continue
        yield Event(
            kind="next_planned", happened=now, session=numbers[plan.noon], lifter=plan.lifter, lift=plan.lift,
            sets=plan.sets, reps=plan.reps, load=plan.load, rule=BROUGHT, count=0,
            seconds=max(0, round((now - plan.noon).total_seconds())),
        )


DECIDE: Table = {BringHistory: bring_history}
