"""How often, and how sure."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from floor.core.evidence.beta import quantile, share_below, t_quantile
from floor.core.evidence.rates import difference, posterior, wilson

COUNT = st.integers(0, 400).flatmap(lambda n: st.tuples(st.integers(0, n), st.just(n)))


@given(COUNT)
def test_what_was_seen_lies_within_wilsons_interval(count: tuple[int, int]) -> None:
    rate = wilson(*count)
    assert 0 <= rate.low <= rate.rate <= rate.high <= 1
    assert rate.low < rate.high


@given(COUNT.filter(lambda c: c[1] > 0), st.integers(2, 9))
def test_more_of_the_same_narrows_wilsons_interval(count: tuple[int, int], times: int) -> None:
    hits, n = count
    once, more = wilson(hits, n), wilson(times * hits, times * n)
    assert more.high - more.low < once.high - once.low


@given(COUNT)
def test_faults_and_clean_reps_are_two_sides_of_one_interval(count: tuple[int, int]) -> None:
    hits, n = count
    there, back = wilson(hits, n), wilson(n - hits, n)
    assert there.low == pytest.approx(1 - back.high, abs=1e-12)


def test_nothing_seen_is_any_rate() -> None:
    assert (wilson(0, 0).low, wilson(0, 0).high) == (0, 1)
    assert (posterior(0, 0).low, posterior(0, 0).high) == pytest.approx((0.025, 0.975))


@pytest.mark.parametrize("count", [(-1, 3), (4, 3)])
def test_an_impossible_count_is_refused(count: tuple[int, int]) -> None:
    with pytest.raises(ValueError, match="is not a count"):
        wilson(*count)
    with pytest.raises(ValueError, match="is not a count"):
        posterior(*count)


@given(st.floats(0.001, 0.999), st.floats(0.5, 300), st.floats(0.5, 300))
def test_a_quantile_has_its_share_below_it(share: float, a: float, b: float) -> None:
    assert share_below(quantile(share, a, b), a, b) == pytest.approx(share, abs=1e-6)


def test_a_beta_needs_both_counts_above_zero() -> None:
    with pytest.raises(ValueError, match="above 0"):
        share_below(0.5, 0, 1)


@given(COUNT, COUNT)
def test_a_change_is_as_far_one_way_as_it_is_the_other_way_back(
    before: tuple[int, int], after: tuple[int, int]
) -> None:
    there, back = difference(before, after), difference(after, before)
    assert (there.low, there.high) == pytest.approx((-back.high, -back.low), abs=1e-12)
    assert there.low <= there.rate <= there.high


def test_a_few_reps_with_a_new_cue_are_too_early_to_say() -> None:
    change = difference((6, 10), (1, 5))
    assert change.rate < 0 and change.low < 0 < change.high


def test_many_reps_show_that_a_cue_works() -> None:
    assert difference((36, 60), (12, 60)).high < 0


def test_fewer_days_mean_a_wider_reach() -> None:
    reaches = [t_quantile(0.95, days) for days in (1, 2, 5, 20, 200)]
    assert reaches == sorted(reaches, reverse=True)
    assert reaches[-1] > 1.96
