"""The estimated maximum that stands: no light day lowers it, and no load that was made stands over it."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from floor.core.course import progress
from floor.core.evidence.maximum import EQUATIONS, estimate
from floor.core.evidence.trend import Verdict
from floor.core.gym import Grade
from floor.core.maxima import FULL_FOR, LATELY, LIGHT, bests, by_evening, estimates, lately
from floor.core.past import SetPast
from floor.core.state import Lifter, NextPlan
from tests.core.scenes import gym

TODAY = date(2026, 11, 22)
WHO = Lifter(1, plans={"squat": NextPlan("squat", 3, 5, 10000, "all-made", 0)})


def squat(
    days_ago: int, kilos: float, made: int = 5, missed: int = 0, grade: Grade = Grade.SHARP, role: str = "work"
) -> SetPast:
    load = round(kilos * 100)
    return SetPast(500 - days_ago, TODAY - timedelta(days=days_ago), 1, "squat", 1, role, load, made, missed, grade)


def stands(*sets: SetPast) -> int | None:
    found = lately(bests(sets))
    return None if found is None else found.value


FIVE_AT_100 = 11667
"""Epley: 100 x (1 + 5/30), in hundredths."""


def test_a_light_day_is_no_evidence_that_the_maximum_fell() -> None:
    sets = bests([squat(4, 100), squat(2, 80), squat(0, 90, 6)])
    assert [e.evening for e in estimates(sets)] == [TODAY - timedelta(days=4), TODAY]
    assert stands(squat(4, 100), squat(2, 80)) == stands(squat(4, 100)) == FIVE_AT_100


def test_the_estimate_of_a_light_day_would_stand_under_the_working_weight() -> None:
    light = estimate(EQUATIONS["epley"], 8000, 5)
    assert isinstance(light, int) and light < 10000 < FIVE_AT_100, "which is why it is left out"


def test_a_hard_set_at_less_is_evidence_and_is_not_left_out() -> None:
    fell = bests([squat(4, 100), squat(0, 80), squat(0, 82.5, 3, missed=2)])
    assert [e.value for e in estimates(fell)] == [FIVE_AT_100, 9333]
    rough = bests([squat(4, 100), squat(0, 80), squat(0, 80, grade=Grade.ROUGH)])
    assert len(estimates(rough)) == 2


@pytest.mark.parametrize(("percent", "light"), [(LIGHT - 1, True), (LIGHT, True), (LIGHT + 1, False)])
def test_nine_tenths_of_the_last_full_day_or_less_is_light(percent: int, light: bool) -> None:
    assert (len(by_evening(bests([squat(4, 100), squat(0, percent)]))) == 1) is light


def test_what_stays_light_for_over_four_weeks_is_what_is_lifted_now() -> None:
    day = FULL_FOR.days
    assert stands(squat(day, 100), squat(0, 80)) == FIVE_AT_100
    assert stands(squat(day + 1, 100), squat(0, 80)) == 9333


def test_a_load_that_was_made_is_never_over_the_estimate_however_it_went() -> None:
    for heavy in (
        squat(0, 120, 1, grade=Grade.ROUGH), squat(0, 120, 2, missed=1), squat(0, 120, 1, grade=Grade.BROKEN),
        squat(0, 120, 1), squat(3, 120, 1, missed=1), squat(9, 120, 15),
    ):
        assert stands(squat(4, 100), heavy) == 12000, heavy


def test_a_load_that_was_only_missed_says_nothing() -> None:
    assert stands(squat(4, 100), squat(0, 120, 0, missed=1)) == FIVE_AT_100


def test_a_load_lifted_before_the_two_weeks_is_another_days() -> None:
    before = LATELY.days
    assert stands(squat(0, 100), squat(before, 120, 1, missed=1)) == FIVE_AT_100
    assert stands(squat(0, 100), squat(before - 1, 120, 1, missed=1)) == 12000


def test_rough_sets_alone_make_no_estimate() -> None:
    assert stands(squat(0, 100, grade=Grade.ROUGH)) is None


def test_light_days_between_full_ones_make_no_lift_look_as_if_it_fell_or_stalled() -> None:
    up = [squat(7 * n, 100 - 2.5 * n) for n in range(8)]
    light = [squat(7 * n + 3, (100 - 2.5 * n) * 0.8) for n in range(7)]
    alone, both = (progress(gym(), "squat", WHO, bests(sets), TODAY) for sets in (up, up + light))
    assert alone.verdict is Verdict.RISING and both == alone


SETS = st.lists(
    st.builds(
        squat, st.integers(0, 60), st.integers(20, 150), st.integers(0, 14), st.integers(0, 3),
        st.sampled_from(list(Grade)), st.sampled_from(["work", "build", "ramp"]),
    ), max_size=20,
)  # fmt: skip


@given(SETS)
def test_what_stands_is_at_least_every_work_load_made_in_its_window(sets: list[SetPast]) -> None:
    found = lately(bests(sets))
    if found is None:
        assert by_evening(bests(sets)) == {}
        return
    start = max(by_evening(bests(sets))) - LATELY
    made = [s.load for s in sets if s.made and not s.ramp and s.evening > start]
    assert found.value >= max(made) and found.low <= found.value <= found.high


@given(SETS, st.integers(20, 89))
def test_an_easy_evening_added_never_lowers_what_stands(sets: list[SetPast], percent: int) -> None:
    found = by_evening(bests(sets))
    if not found:
        return
    last = max(found)
    days_ago = (TODAY - last - FULL_FOR).days  # as late as the last full evening still counts
    easy = squat(days_ago, found[last] * 30 / 35 * percent / 10000)
    if days_ago < min((TODAY - s.evening).days for s in sets):
        assert lately(bests([*sets, easy])) == lately(bests(sets))


@given(SETS)
def test_each_evening_says_no_less_than_was_made_on_it(sets: list[SetPast]) -> None:
    for told in estimates(bests(sets)):
        made = [s.load for s in sets if s.made and not s.ramp and s.evening == told.evening]
        assert told.value >= max(made)
