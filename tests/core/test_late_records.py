"""Sets recorded late, and light days: what the rules must not make of them."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from floor.core.apply import fold
from floor.core.commands import (
    AllMade,
    Arrive,
    ChangeLoad,
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
from tests.core.scenes import Scene, evening, kg, ready

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


# --- a set done before the stop, and what cannot be


def stopped() -> Scene:
    """A squatter whose second work set was recorded first, with a dangerous fault: the first one was never seen."""
    return evening(ready(squat=60)).given(RecordWhole(1, 4, 5, faults=((5, "folding-under-the-bar"),), seconds=60))


def test_a_set_done_before_the_stop_is_recorded_and_does_not_open_the_lift_again() -> None:
    early = stopped().given(RecordWhole(1, 3, 5, seconds=400))
    assert [s.status for s in early.of(1).sets[2:]] == ["done", "done", "dropped"]
    assert "squat" in early.of(1).stopped and early.of(1).pending() is None


def test_one_that_would_be_after_the_stop_is_asked_about_and_then_counts_as_before_it() -> None:
    asked = stopped().when(RecordWhole(1, 3, 5))
    assert asked.refusal is not None and asked.refusal.unless_sure
    assert asked.why == "{lifter}: the squat was stopped at {at}. Was this set done before?"
    sure = stopped().given(RecordWhole(1, 3, 5, sure=True))
    first, stop = sure.of(1).sets[2:4]
    assert first.down is not None and stop.down is not None and first.down <= stop.down
    assert sure.of(1).pending() is None


def test_a_set_planned_after_the_stop_was_never_done() -> None:
    assert stopped().when(RecordWhole(1, 5, 5, seconds=400, sure=True)).why == "That set was taken off tonight."


def test_a_bar_put_down_longer_ago_than_an_evening_is_no_set_of_tonight() -> None:
    scene = evening(ready(squat=60))
    for seconds in (12 * 3600 + 1, 10**15):
        assert scene.when(RecordWhole(1, 3, 5, seconds=seconds)).why.startswith("Say how many seconds ago")
    assert scene.when(RecordWhole(1, 3, 5, seconds=12 * 3600)).refusal is None


def collared() -> Scene:
    """A gym with one kind of bar, 20 kg, and collars of 2.5 kg."""
    scene = evening(ready(squat=60))
    heavy = replace(scene.state.gym, bars=tuple(b for b in scene.state.gym.bars if b.mass == kg(20)), collar=kg(2.5))
    return replace(scene, state=replace(scene.state, gym=heavy))


def test_a_load_lighter_than_the_bar_with_its_collars_is_refused_and_not_made_heavier() -> None:
    assert collared().when(ChangeLoad(1, kg(20))).why == "That is lighter than the lightest bar in the gym."
    assert collared().when(RecordWhole(1, 3, 5, load=kg(20))).why == "That is lighter than the lightest bar in the gym."
    assert collared().given(ChangeLoad(1, kg(25))).coming(1).load == kg(25)


@given(st.integers(2000, 12000))
def test_a_load_by_hand_is_never_built_heavier_than_it_was_typed(load: int) -> None:
    changed = collared().when(ChangeLoad(1, load, sure=True))
    if changed.refusal is None:
        assert changed.coming(1).load <= load
