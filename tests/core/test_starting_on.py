"""Of the lifts brought in, it is said which the next session has not, and when they come."""

from __future__ import annotations

from floor.core.definitions import parse_gym
from floor.core.gym import Gym
from floor.core.startingon import NotThatDay, not_next_day, starts_fresh
from floor.core.state import Lifter, NextPlan, State
from floor.templates import templates

GYM = parse_gym(templates(), {}, "kg")
assert isinstance(GYM, Gym)
PLANS = {lift: NextPlan(lift, 3, 5, 6000, "imported", 0) for lift in ("clean", "squat", "press", "deadlift")}


def state(day: int = 0, programme: str = "week3", plans: dict[str, NextPlan] = PLANS) -> State:
    assert isinstance(GYM, Gym)
    return State(GYM, lifters={1: Lifter(1, programme=programme, day=day, plans=plans)})


def test_a_lift_of_a_later_day_is_named_with_that_day() -> None:
    assert not_next_day(state(), {1: ["squat", "deadlift"]}) == (NotThatDay(1, "deadlift", 2),)
    assert not_next_day(state(1), {1: ["squat", "deadlift"]}) == ()


def test_a_lift_of_no_day_is_named_as_that() -> None:
    assert not_next_day(state(), {1: ["good-morning"]}) == (NotThatDay(1, "good-morning", None),)


def test_without_a_programme_every_lift_with_a_plan_is_done() -> None:
    assert not_next_day(state(programme=""), {1: ["squat", "deadlift"]}) == ()


def test_a_day_whose_lifts_all_have_plans_starts_nothing_anew() -> None:
    assert starts_fresh(state(), [1]) == ()
    assert starts_fresh(state(plans={"deadlift": PLANS["deadlift"]}), [1]) == (1,)
