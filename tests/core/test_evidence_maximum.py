"""An estimated maximum: what an equation may be asked, and what it says to the rest."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from floor.core.evidence.maximum import (
    EQUATIONS,
    Equation,
    Point,
    SetDone,
    band,
    best_by_day,
    chart_percent,
    estimate,
)

EVERY = pytest.mark.parametrize("equation", EQUATIONS.values(), ids=list(EQUATIONS))
EQUATION = st.sampled_from(list(EQUATIONS.values()))
LOAD = st.integers(1, 100_000)


@EVERY
def test_a_single_is_its_own_maximum_of_the_day(equation: Equation) -> None:
    assert estimate(equation, 10250, 1) == 10250


@EVERY
def test_what_an_equation_itself_does_with_a_single_is_said(equation: Equation) -> None:
    high = round(100 * (equation.times(1) - 1), 1)
    assert equation.at_one.startswith("gives a single back" if high == 0 else f"would put a single {high} % too high")


@EVERY
def test_an_equation_has_a_source_and_says_how_it_was_had(equation: Equation) -> None:
    assert equation.name in equation.source and any(c.isdigit() for c in equation.source)
    assert equation.had.startswith("second-hand")


@EVERY
def test_more_reps_than_an_equation_is_good_for_get_a_sentence(equation: Equation) -> None:
    assert isinstance(estimate(equation, 6000, equation.most), int)
    answer = estimate(equation, 6000, equation.most + 1)
    assert answer == f"{equation.most + 1} reps are too many for {equation.name}: {equation.most} at the most."


@pytest.mark.parametrize("reps", [0, -1])
def test_a_set_without_a_rep_has_no_maximum(reps: int) -> None:
    assert estimate(EQUATIONS["epley"], 6000, reps) == "No rep was made: no maximum."


def test_no_load_has_no_maximum() -> None:
    assert estimate(EQUATIONS["epley"], 0, 5) == "No load, no maximum."


@given(EQUATION, LOAD, st.integers(1, 9))
def test_one_rep_more_is_never_a_lower_maximum(equation: Equation, load: int, reps: int) -> None:
    fewer, more = estimate(equation, load, reps), estimate(equation, load, reps + 1)
    assert isinstance(fewer, int) and isinstance(more, int)
    assert load <= fewer <= more


@given(EQUATION, LOAD, LOAD, st.integers(1, 10))
def test_more_load_for_the_same_reps_is_never_a_lower_maximum(equation: Equation, a: int, b: int, reps: int) -> None:
    low, high = estimate(equation, min(a, b), reps), estimate(equation, max(a, b), reps)
    assert isinstance(low, int) and isinstance(high, int)
    assert low <= high


@given(LOAD)
def test_the_band_is_about_the_maximum(load: int) -> None:
    low, high = band(load)
    assert low <= load <= high
    assert abs((high - load) - (load - low)) <= 1


def test_a_row_the_chart_has_not_is_said() -> None:
    assert chart_percent(5) == 87
    assert chart_percent(11) == "The chart has no row for 11 reps."
    assert chart_percent(0) == "The chart has no row for 0 reps."


def test_the_days_best_is_the_best_estimate_and_not_the_heaviest_set() -> None:
    sets = [SetDone(10000, 1, 3.2), SetDone(9500, 5, 3.1), SetDone(9000, 5, 9)]
    assert best_by_day(EQUATIONS["epley"], sets, 84) == (Point(9, 10500), Point(3, 11083))


def test_sets_an_equation_cant_speak_for_are_left_out_of_the_days_best() -> None:
    sets = [SetDone(4000, 20, 2), SetDone(9000, 0, 2), SetDone(8000, 1, 2), SetDone(9000, 5, 84), SetDone(9000, 5, -1)]
    assert best_by_day(EQUATIONS["epley"], sets, 84) == (Point(2, 8000),)
