"""A history brought in: closed sessions of the past, and what next time brings where nothing was planned yet.

The whole of it is one command, so that undo takes back all of it. A set
brought in has no start, no place and, unless somebody graded it, no grade:
nobody watched, so it says nothing about form.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import datetime

from floor.core.apply.brought import BROUGHT
from floor.core.commands import BringHistory, JoinLifter, PastDay, PastSet, Refusal
from floor.core.decide.people import NOBODY, join
from floor.core.decide.table import Events, Table
from floor.core.events import Event
from floor.core.gym import Grade
from floor.core.state import State

NOWHERE = 0
"""The station of an arrival that nobody noted; no station has the number."""
FIVE = 5
"""Reps that make a set heavy enough to start a programme from. Common practice, no source."""


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
    for day in sorted(command.days, key=lambda d: d.noon):
        if day.session is None:
            number += 1
        events += _day(day, number)
    events += _plans(state, command.days, now)
    return tuple(events)


def _day(day: PastDay, number: int) -> Iterator[Event]:
    session = number if day.session is None else day.session
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


def _plans(state: State, days: Sequence[PastDay], now: datetime) -> Iterator[Event]:
    """Where nothing is planned for a lift: what was done last, no more. A lay-off is eased at check-in.

    The load is the heaviest made for FIVE reps that day, or for the most reps there
    were: a single is no load for sets of five. Missed and broken sets don't count.
    """
    last: dict[tuple[int, str], tuple[datetime, list[PastSet]]] = {}
    for day in sorted(days, key=lambda d: d.noon):
        for one in day.sets:
            if one.made < 1 or one.missed or one.grade is Grade.BROKEN:
                continue
            key = (one.lifter, one.lift)
            when, sets = last.get(key, (day.noon, []))
            last[key] = (day.noon, [*sets, one] if when == day.noon else [one])
    for (lifter, lift), (_, sets) in last.items():
        standing = state.lifters.get(lifter)
        if standing is not None and lift in standing.plans:
            continue
        enough = min(FIVE, max(one.made for one in sets))
        heaviest = max(one.load for one in sets if one.made >= enough)
        top = [one for one in sets if one.load == heaviest and one.made >= enough]
        yield Event(
            kind="next_planned", happened=now, lifter=lifter, lift=lift, sets=len(top),
            reps=min(one.made for one in top), load=top[0].load, rule=BROUGHT, count=0,
        )


DECIDE: Table = {BringHistory: bring_history}
