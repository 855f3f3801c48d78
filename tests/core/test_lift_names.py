"""A lift is taken by its name or by what can only be an abbreviation of it; a front squat is no squat."""

from __future__ import annotations

import pytest

from floor.core.definitions import parse_gym
from floor.core.gym import Gym
from floor.core.liftnames import lift_named, near_lift, short_for, unknown_lift
from floor.templates import templates


def gym_with(*more: str) -> Gym:
    """The gym of the templates, with copies of the squat under other names."""
    texts = dict(templates())
    squat = "[[lift]]" + texts["lifts"].split("[[lift]]")[1]
    for name in more:
        copy = squat.replace('id = "squat"', f'id = "{name.replace(" ", "-")}"', 1)
        texts["lifts"] += "\n" + copy.replace('name = "squat"', f'name = "{name}"', 1)
    gym = parse_gym(texts, {}, "kg")
    assert isinstance(gym, Gym), gym
    return gym


GYM = gym_with()


@pytest.mark.parametrize(
    ("short", "lift"), [("BP", "bench"), ("DL", "deadlift"), ("sq", "squat"), ("PC", "clean"), ("OHP", "press")]
)
def test_an_abbreviation_of_one_lift_of_the_gym_is_that_lift(short: str, lift: str) -> None:
    assert short_for(short, GYM) == lift and lift_named(short, GYM, {}) is None


def test_what_the_coach_says_of_an_abbreviation_goes_before(short: str = "PC") -> None:
    assert lift_named(short, GYM, {"pc": "squat"}) == "squat"


def test_an_abbreviation_of_two_lifts_of_the_gym_is_asked_about() -> None:
    gym = gym_with("pause clean")
    assert short_for("PC", gym) is None and short_for("BP", gym) == "bench"
    assert short_for("FS", gym_with("front squat")) is None  # the trade's own abbreviations alone are taken


@pytest.mark.parametrize(
    ("written", "meant"),
    [
        ("Back Squat", "squat"), ("squats", "squat"), ("dead lift", "deadlift"), ("Deadlfit", "deadlift"),
        ("overhead press", "press"), ("Bench Presses", "bench press"), ("low-bar squat", "squat"),
    ],
)  # fmt: skip
def test_a_name_for_the_same_lift_is_asked_about(written: str, meant: str) -> None:
    assert near_lift(written, GYM) == meant
    assert f'--lift "{written}={meant}"' in unknown_lift(written, GYM)


@pytest.mark.parametrize(
    "other", ["Front Squat", "sumo deadlift", "push press", "hang clean", "leg press", "incline bench press", "rows"]
)
def test_another_lift_is_never_suggested_as_one_of_the_gym(other: str) -> None:
    assert near_lift(other, GYM) is None
    words = unknown_lift(other, GYM)
    assert f'--skip-lift "{other}"' in words and "floor adopt lifts" in words
    assert not any(f"{other}={lift}" in words for one in GYM.lifts.values() for lift in (one.id, one.name))


def test_initials_of_a_lift_of_the_gym_are_asked_about() -> None:
    assert near_lift("FS", gym_with("front squat")) == "front squat"
