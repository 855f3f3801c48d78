"""How long a set takes: guessed until the gym's own record says better."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from floor.core.pace import ENOUGH, GUESS_WEIGHT, NO_PACE, Pace, guessed


def test_a_set_nobody_has_timed_is_guessed_by_its_reps() -> None:
    assert [NO_PACE.seconds("squat", reps) for reps in (1, 3, 5)] == [20, 30, 40]


def test_a_ramp_set_is_quicker_than_a_work_set() -> None:
    assert all(NO_PACE.seconds("squat", n, "ramp") < NO_PACE.seconds("squat", n) for n in range(1, 11))


def test_a_few_sets_on_record_change_nothing_yet() -> None:
    assert Pace({("squat", 5): (90.0, ENOUGH - 1)}).seconds("squat", 5) == guessed(5)


def test_enough_sets_on_record_are_drawn_half_way_to_the_guess() -> None:
    assert GUESS_WEIGHT == ENOUGH
    assert Pace({("squat", 5): (60.0, ENOUGH)}).seconds("squat", 5) == (60 + guessed(5)) / 2


def test_a_long_record_is_believed() -> None:
    assert abs(Pace({("squat", 5): (90.0, 5000)}).seconds("squat", 5) - 90) <= 1


def test_what_was_learned_of_one_lift_or_number_of_reps_says_nothing_of_another() -> None:
    pace = Pace({("squat", 5): (90.0, 5000)})
    assert pace.seconds("squat", 3) == guessed(3)
    assert pace.seconds("press", 5) == guessed(5)


@given(st.floats(1, 600), st.integers(0, 10_000), st.integers(1, 20), st.sampled_from(("ramp", "work")))
def test_the_answer_lies_between_the_record_and_the_guess(mean: float, count: int, reps: int, role: str) -> None:
    seconds = Pace({("squat", reps): (mean, count)}).seconds("squat", reps, role)
    low, high = sorted((mean, guessed(reps, role)))
    assert int(low) <= seconds <= high + 1
