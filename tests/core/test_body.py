"""Bodyweight and birth year speak for smaller steps, never for larger ones, and are read from the person's notes."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from floor.core.body import (
    Body,
    body_of,
    body_words,
    checked_born,
    checked_weight,
    smaller_step,
    weight_note,
)
from floor.core.gym import Plate
from floor.core.people import BODYWEIGHT, BORN, Note, Person
from floor.core.state import Lifter
from floor.core.steps import step_of
from tests.core.scenes import gym, kg

TODAY = date(2025, 3, 3)
ADA = Lifter(1, programme="squat")
OLD, LIGHT = Body(born=1960), Body(weight=kg(48), weighed=TODAY)


def person(*notes: tuple[str, str]) -> Person:
    return Person(1, "Ada Example", "Ada", tuple(Note(n, kind, text) for n, (kind, text) in enumerate(notes, 1)))


def test_from_sixty_on_half_the_step_is_proposed() -> None:
    assert smaller_step(gym(), ADA, "squat", OLD, TODAY) == (kg(1.25), "about 60 or older, common practice, no source")
    assert smaller_step(gym(), ADA, "squat", Body(born=1965), TODAY) is not None
    assert smaller_step(gym(), ADA, "squat", Body(born=1966), TODAY) is None


def test_a_light_lifter_is_proposed_half_the_step_in_either_unit() -> None:
    found = smaller_step(gym(), ADA, "squat", LIGHT, TODAY)
    assert found is not None and found[0] == kg(1.25) and found[1].startswith("under 50 kg bodyweight")
    pounds = replace(gym(), unit="lb")
    assert smaller_step(pounds, ADA, "squat", Body(weight=11000, weighed=TODAY), TODAY) is not None  # 110 lb: 49.9 kg
    assert smaller_step(pounds, ADA, "squat", Body(weight=11100, weighed=TODAY), TODAY) is None


def test_a_step_as_small_already_is_left_alone() -> None:
    assert smaller_step(gym(), replace(ADA, steps={"squat": kg(1)}), "squat", OLD, TODAY) is None
    bare = replace(gym(), plates=(Plate("20", kg(20), 4, 450, 30),))
    assert smaller_step(bare, ADA, "squat", OLD, TODAY) is None  # half of it can't be built


@given(
    step=st.integers(1, 2000), weight=st.none() | st.integers(1500, 30000), born=st.none() | st.integers(1915, 2025),
    lift=st.sampled_from(sorted(gym().lifts)),
)
def test_what_a_body_speaks_for_is_always_smaller(step: int, weight: int | None, born: int | None, lift: str) -> None:
    lifter = replace(ADA, steps={lift: step})
    found = smaller_step(gym(), lifter, lift, Body(weight, TODAY, born), TODAY)
    assert found is None or 0 < found[0] < step_of(gym(), lifter, lift)


def test_the_latest_note_holds_and_a_note_that_says_nothing_of_it_is_passed_by() -> None:
    noted = person(
        (BODYWEIGHT, weight_note(kg(70), "kg", date(2025, 1, 2))), ("caution", "1950 on the left shoulder"),
        (BORN, "1960"), (BODYWEIGHT, weight_note(kg(68.5), "kg", TODAY)),
    )
    assert body_of(noted, "kg") == Body(kg(68.5), TODAY, 1960)
    assert body_of(noted, "lb") == Body(None, None, 1960)  # the gym went over to another unit
    assert body_of(None, "kg") == body_of(person(), "kg") == Body()


def test_a_note_that_cannot_be_read_is_passed_by_and_the_one_before_it_holds() -> None:
    good = (BODYWEIGHT, weight_note(kg(70), "kg", TODAY)), (BORN, "1960")
    noted = person(*good, (BODYWEIGHT, "71 kg"), (BODYWEIGHT, "71 kg on Monday"), (BORN, "²"), (BORN, "sixty"))
    assert body_of(noted, "kg") == body_of(person(*good), "kg") == Body(kg(70), TODAY, 1960)


def test_what_is_noted_is_said_with_its_day_and_what_it_speaks_for() -> None:
    assert body_words(gym(), ADA, "squat", Body(), TODAY) == ""
    assert body_words(gym(), ADA, "squat", replace(LIGHT, weight=kg(80)), TODAY) == "80 kg on 3 Mar 2025"
    words = body_words(gym(), ADA, "squat", OLD, TODAY)
    assert words.startswith("born 1960 · smaller steps: 1.25 kg proposed (") and "no source" in words


def test_a_bodyweight_is_one_a_person_can_have() -> None:
    assert [checked_weight(weight, "kg") is None for weight in (1499, 1500, 30000, 30001)] == [False, True, True, False]
    assert checked_weight(4000, "lb") is None and checked_weight(3000, "lb") == "A bodyweight is between 33 and 661 lb."


@pytest.mark.parametrize("typed", ["60", "abcd", "1900", "2026", "19600"])
def test_a_birth_year_is_one_a_person_can_have(typed: str) -> None:
    assert checked_born(typed, TODAY) is not None
    assert checked_born("1960", TODAY) is None
