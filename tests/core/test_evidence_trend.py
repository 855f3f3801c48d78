"""Whether a lifter still rises."""

from __future__ import annotations

import math
from itertools import permutations
from random import Random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from floor.core.evidence.maximum import Point
from floor.core.evidence.trend import (
    EXACT_DAYS,
    FEWEST_DAYS,
    RECENT,
    WINDOW_DAYS,
    Verdict,
    judge,
    mann_kendall,
    theil_sen,
)
from floor.core.evidence.words import chance_word

VALUES = st.lists(st.integers(1000, 30000), min_size=FEWEST_DAYS, max_size=24)


def points(values: list[int], apart: int = 3) -> list[Point]:
    """One value a day, the last of them today."""
    return [Point(apart * (len(values) - 1 - n), value) for n, value in enumerate(values)]


def word(values: list[int], repeats: int = 0, step: int = 250) -> Verdict:
    return judge(points(values), repeats, step, "kg").verdict


def test_three_repeats_are_a_stall_before_any_statistic() -> None:
    rising = [6000 + 250 * n for n in range(12)]
    assert word(rising, repeats=2) is Verdict.RISING
    stalled = judge(points(rising), 3, 250, "kg")
    assert stalled.verdict is Verdict.STALLED
    assert stalled.words == "stalled: 3 repeats running"


def test_three_repeats_are_a_stall_with_no_history_at_all() -> None:
    assert judge([], 3, 250, "kg").verdict is Verdict.STALLED


def test_four_days_are_too_early_to_say_however_they_rise() -> None:
    early = judge(points([6000, 6500, 7000, 7500]), 0, 250, "kg")
    assert early.verdict is Verdict.EARLY
    assert early.words == "too early to say: days of lifting 4, needed 5"
    assert mann_kendall([1, 2, 3, 4]).p > 0.05 > mann_kendall([1, 2, 3, 4, 5]).p


def test_a_rise_is_told_by_the_week_with_its_interval_and_how_sure() -> None:
    found = judge(points([6000, 6250, 6500, 6500, 6750, 7000]), 0, 250, "kg")
    assert found.verdict is Verdict.RISING
    assert found.words == "rising: 4.4 kg a week (2.9 to 5.8), 6 days, by chance less than 1 in 100"


def test_the_unit_is_the_gyms() -> None:
    assert " lb a week" in judge(points([6000, 6250, 6500, 6500, 6750, 7000]), 0, 250, "lb").words


def test_the_same_maximum_for_weeks_is_a_stall() -> None:
    found = judge(points([8000] * 12), 0, 250, "kg")
    assert found.verdict is Verdict.STALLED
    assert found.words == "stalled: at most 0 kg a week, under a step in 4 weeks, 12 days"


def test_no_rise_shown_is_not_yet_a_stall_shown() -> None:
    assert word([8000, 8600, 7900, 8500, 7800, 8700]) is Verdict.UNCLEAR


def test_falling_is_said() -> None:
    assert word([8000 - 100 * n for n in range(10)]) is Verdict.FALLING


def test_what_rose_a_month_ago_and_stands_still_now_is_not_called_rising() -> None:
    rose, still = [6000 + 100 * n for n in range(8)], [6750, 6700, 6760, 6710, 6740, 6700] * 2
    assert word(rose) is Verdict.RISING
    found = judge(points(rose + still), 0, 250, "kg")
    assert found.test is not None and found.test.p < 0.01, "the whole window has risen"
    assert found.verdict is Verdict.UNCLEAR and found.words.endswith(", 20 days, last 12 mixed")


def test_what_fell_a_month_ago_and_stands_still_now_is_not_called_falling() -> None:
    fell, still = [8000 - 100 * n for n in range(8)], [7250, 7300, 7240, 7290, 7260, 7300] * 2
    assert word(fell) is Verdict.FALLING and word(fell + still) is Verdict.UNCLEAR


@given(VALUES)
def test_rising_is_said_only_where_the_latest_evenings_rise_for_sure(values: list[int]) -> None:
    late = values[-RECENT:]
    if word(values) is Verdict.RISING:
        assert theil_sen(range(len(late)), late).low > 0


def test_how_likely_chance_is_stands_only_beside_a_rise_or_a_fall_where_it_is_the_evidence() -> None:
    fall = judge(points([8000, 7900, 7950, 7800, 7700, 7600]), 0, 250, "kg")
    assert fall.words.endswith(", by chance 2 in 100")
    unclear = judge(points([8000, 8600, 7900, 8500, 7800, 8700]), 0, 250, "kg")
    assert "chance" not in unclear.words
    for words in ("stalled: 3 repeats running", judge(points([8000] * 12), 3, 250, "kg").words):
        assert "chance" not in words and " p " not in words


def test_chance_is_said_in_a_hundred() -> None:
    said = [chance_word(p) for p in (0.0001, 0.0099, 0.01, 0.0249, 0.049, 1.0)]
    few = "by chance less than 1 in 100"
    assert said == [few, few, *(f"by chance {n} in 100" for n in (1, 2, 5, 100))]


def test_a_day_has_one_maximum_its_best() -> None:
    doubled = points([6000, 6250, 6500, 6500, 6750, 7000]) + [Point(0, 5000), Point(3, 6100)]
    assert judge(doubled, 0, 250, "kg") == judge(points([6000, 6250, 6500, 6500, 6750, 7000]), 0, 250, "kg")


def test_what_was_lifted_before_the_window_doesnt_count() -> None:
    long_ago = [Point(WINDOW_DAYS + n, 3000 + n) for n in range(50)]
    now = points([8000] * 12)
    assert judge(long_ago + now, 0, 250, "kg") == judge(now, 0, 250, "kg")


@given(VALUES, st.integers(0, 2))
def test_what_is_said_fits_a_line_of_a_small_screen(values: list[int], repeats: int) -> None:
    assert len(judge(points(values), repeats, 250, "kg").words) <= 80


@given(VALUES, st.integers(0, 2), st.sampled_from([100, 250, 500]), st.randoms(use_true_random=False))
def test_the_order_the_record_is_read_in_doesnt_matter(
    values: list[int], repeats: int, step: int, random: Random
) -> None:
    given_points = points(values)
    mixed = list(given_points)
    random.shuffle(mixed)
    assert judge(mixed, repeats, step, "kg") == judge(given_points, repeats, step, "kg")


@given(VALUES)
def test_a_rise_backwards_is_as_great_a_fall(values: list[int]) -> None:
    there, back = mann_kendall(values), mann_kendall(values[::-1])
    assert (there.s, there.variance, there.z, there.p) == (-back.s, back.variance, -back.z, pytest.approx(back.p))


@given(VALUES)
def test_the_slope_lies_within_its_interval(values: list[int]) -> None:
    slope = theil_sen(range(len(values)), values)
    assert slope.low <= slope.slope <= slope.high


def test_one_freak_day_doesnt_tilt_the_slope() -> None:
    values = [6000 + 100 * n for n in range(11)]
    values[5] = 20000
    assert theil_sen(range(11), values).slope == pytest.approx(100, abs=5)


def test_a_slope_needs_two_days() -> None:
    with pytest.raises(ValueError, match="two different days"):
        theil_sen([3, 3], [1, 2])


@given(st.lists(st.integers(1, 4), min_size=2, max_size=6))
def test_the_exact_p_is_the_share_of_all_orders_at_least_as_far_from_level(values: list[int]) -> None:
    seen = mann_kendall(values)
    every = [mann_kendall_s(order) for order in permutations(values)]
    assert seen.p == pytest.approx(sum(abs(s) >= abs(seen.s) for s in every) / len(every))


def mann_kendall_s(order: tuple[int, ...]) -> int:
    """Rises less falls, counted pair by pair."""
    return sum((b > a) - (b < a) for n, a in enumerate(order) for b in order[n + 1 :])


@given(st.permutations(range(EXACT_DAYS)))
def test_the_counted_p_is_near_the_curves_where_it_hands_over(values: list[int]) -> None:
    found = mann_kendall(values)
    assert found.p == pytest.approx(math.erfc(abs(found.z) / math.sqrt(2)), abs=0.01)
