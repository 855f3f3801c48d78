"""The way up: the last ramp load is near the work load, and an early one is left out rather than it."""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from floor.core.definitions import parse_gym
from floor.core.gym import Gym, Lift
from floor.core.ramps import LAST, MOST, leaps, ramp_loads, ramp_reps
from floor.templates import templates


def gym_in(unit: str) -> Gym:
    """The gym of the templates in a unit."""
    found = parse_gym(templates(unit=unit), {}, unit)
    assert isinstance(found, Gym), found
    return found


KG, LB = gym_in("kg"), gym_in("lb")
SQUAT, BENCH = KG.lifts["squat"], KG.lifts["bench"]


def ramp(lift: Lift, work: float) -> list[float]:
    return [load / 100 for load in ramp_loads(lift, int(work * 100))]


def test_a_strong_squat_leaps_to_no_work_set_and_leaves_out_an_early_ramp_set() -> None:
    assert ramp(SQUAT, 107.5) == [20, 60, 80, 100]


def test_the_bench_goes_up_by_seventy_before_eighty_three_and_a_half() -> None:
    assert ramp(BENCH, 83.5) == [20, 50, 60, 70]
    assert ramp(LB.lifts["bench"], 185) == [45, 115, 135, 155]


def test_a_ramp_that_is_near_enough_gets_no_set_more() -> None:
    assert ramp(SQUAT, 90) == [20, 40, 60, 80] and ramp(SQUAT, 100) == [20, 40, 60, 80]


def test_a_few_steps_are_no_leap_however_light_the_bar() -> None:
    assert ramp(KG.lifts["clean"], 43.5) == [30], "13.5 kg to go"


def test_a_ramp_load_all_but_the_work_load_is_left_out() -> None:
    assert ramp(SQUAT, 62.5) == [20, 40], "60 kg is 96 % of it"


def test_a_beginner_goes_from_the_bar_to_the_work_load_by_the_shared_load_between() -> None:
    assert ramp(SQUAT, 42.5) == [20, 40]
    assert ramp(SQUAT, 22) == [], "the bar itself is no way up to 22 kg"


@pytest.mark.parametrize(("load", "reps"), [(2000, 5), (6000, 5), (8000, 5), (8500, 2), (10000, 2)])
def test_near_the_work_load_a_ramp_set_has_two_reps(load: int, reps: int) -> None:
    assert ramp_reps(SQUAT, load, 10750, 5) == reps


def test_a_ramp_set_has_no_more_reps_than_the_work_sets_but_two() -> None:
    assert ramp_reps(SQUAT, 2000, 10750, 3) == 3 and ramp_reps(SQUAT, 2000, 10750, 1) == 2


WORK = st.integers(20, 400).map(lambda n: 50 * n)
LIFTS = st.sampled_from([*KG.lifts.values(), *LB.lifts.values()])


@given(LIFTS, WORK)
def test_a_ramp_is_of_shared_loads_rises_and_is_short(lift: Lift, work: int) -> None:
    loads = ramp_loads(lift, work)
    assert set(loads) <= set(lift.ramp) and len(loads) <= MOST
    assert all(a < b for a, b in pairwise(loads)) and all(load * 100 <= work * LAST for load in loads)


@given(LIFTS, WORK)
def test_a_work_set_is_a_leap_only_where_no_shared_load_lies_between(lift: Lift, work: int) -> None:
    loads = ramp_loads(lift, work)
    if loads and leaps(lift, loads[-1], work):
        assert not [load for load in lift.ramp if loads[-1] < load and load * 100 <= work * LAST]
