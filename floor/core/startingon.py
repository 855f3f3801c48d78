"""Lifters with a history brought in, and the day they start on: which of their lifts that day has not. Pure."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from floor.core.programme import todays_entries
from floor.core.state import State


@dataclass(frozen=True, slots=True)
class NotThatDay:
    """A lift with a plan that a lifter's next day leaves out: `day` (from 1) is when it comes, None for never."""

    lifter: int
    lift: str
    day: int | None


def not_next_day(state: State, lifts: Mapping[int, Iterable[str]]) -> tuple[NotThatDay, ...]:
    """Of the `lifts` brought in for each lifter, those that the next day of the lifter's programme has not."""
    found: list[NotThatDay] = []
    for number, brought in lifts.items():
        lifter = state.lifters[number]
        programme = state.gym.programmes.get(lifter.programme)
        if programme is None or not programme.days:
            continue  # without one every lift that has a plan is done
        days = [(lifter.day + ahead) % len(programme.days) for ahead in range(len(programme.days))]
        for lift in dict.fromkeys(brought):
            when = next((day for day in days if any(e.lift == lift for e in programme.days[day])), None)
            if when != days[0]:
                found.append(NotThatDay(number, lift, None if when is None else when + 1))
    return tuple(found)


def starts_fresh(state: State, lifters: Iterable[int]) -> tuple[int, ...]:
    """Those whose next day has a lift that they have no plan for: it starts where the lift starts."""
    who = [state.lifters[number] for number in lifters]
    return tuple(one.id for one in who if any(e.lift not in one.plans for e in todays_entries(state.gym, one)))
