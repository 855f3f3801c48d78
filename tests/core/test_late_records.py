"""Sets recorded late, and light days: what the rules must not make of them."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest

from floor.core.apply import fold
from floor.core.commands import (
    AllMade,
    Arrive,
    CloseSession,
    Command,
    EndSet,
    GiveProgramme,
    JoinLifter,
    OpenSession,
    PlanNext,
    RampDone,
    RecordWhole,
    Refusal,
    StartSet,
)
from floor.core.decide import decide
from floor.core.definitions import Problems, parse_gym
from floor.core.gym import Grade
from floor.core.rests import ready_at
from floor.core.state import State
from floor.templates import templates

NOW = datetime(2026, 1, 5, 18, 0, tzinfo=UTC)


def do(state: State, now: datetime, *commands: Command) -> State:
    for command in commands:
        answer = decide(state, command, now)
        assert not isinstance(answer, Refusal), answer.why
        state = fold(state, answer)
    return state


@pytest.fixture
def light_squat_day() -> State:
    """A lifter who squats 60 kg, here on a day that asks for 80 % of it."""
    gym = parse_gym(templates(demo=True), {}, "kg")
    assert not isinstance(gym, Problems)
    return do(
        State(gym=gym), NOW,
        JoinLifter(1), PlanNext(1, "squat", 3, 5, 6000), GiveProgramme(1, "week3", 1), OpenSession(), Arrive(1, 1),
    )


def first_work_set(state: State) -> int:
    return next(s.no for s in state.evening.here[1].sets if s.role != "ramp")


def test_a_set_recorded_late_with_its_ramp_keeps_the_whole_rest_of_the_work_set(light_squat_day: State) -> None:
    late = NOW + timedelta(minutes=10)
    state = do(light_squat_day, late, RecordWhole(1, first_work_set(light_squat_day), made=5, seconds=90))
    down = late - timedelta(seconds=90)
    assert ready_at(state.gym, state.evening.here[1]) == down + timedelta(seconds=state.gym.lifts["squat"].rest)


def test_a_light_day_is_not_a_repeat(light_squat_day: State) -> None:
    state = do(light_squat_day, NOW + timedelta(minutes=5), RampDone(1))
    for minutes in (7, 11):
        now = NOW + timedelta(minutes=minutes)
        state = do(state, now, StartSet(1), AllMade(1), EndSet(1, Grade.SHARP))
    assert {s.load for s in state.evening.here[1].of_lift("squat") if s.role != "ramp"} == {4800}
    state = do(state, NOW + timedelta(minutes=20), CloseSession())
    plan = state.lifters[1].plans["squat"]
    assert (plan.load, plan.rule, plan.repeats) == (6000, "light-day", 0)
