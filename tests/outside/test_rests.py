"""The shipped rests and steps beside published ranges.

Sources, and how each was had:
- ACSM position stand, Progression models in resistance training for healthy adults, 2009,
  Med Sci Sports Exerc 41(3):687-708 (read in the source or its abstract).
- NSCA, Essentials of Strength Training and Conditioning (second-hand, in texts that report
  it; the increases by lift from memory).
- Grgic et al. 2018, Sports Med 48:137-151, review of 23 studies (read in the source or its abstract).
"""

from __future__ import annotations

import pytest

from floor.core.definitions import parse_gym
from floor.core.gym import Gym
from floor.templates import templates

STRENGTH = ("squat", "press", "bench", "deadlift")
MINUTE = 60


@pytest.fixture(scope="module")
def gym() -> Gym:
    parsed = parse_gym(templates(), {}, "kg")
    assert isinstance(parsed, Gym)
    return parsed


@pytest.mark.parametrize("lift", STRENGTH)
def test_heavy_strength_sets_rest_three_to_five_minutes(gym: Gym, lift: str) -> None:
    """ACSM 2009, loads of 1-6RM: 3-5 min (read). NSCA, strength: 2-5 min (second-hand); the first is inside it."""
    assert 3 * MINUTE <= gym.lifts[lift].rest <= 5 * MINUTE


@pytest.mark.parametrize("lift", STRENGTH)
def test_strength_rests_also_do_for_the_trained(gym: Gym, lift: str) -> None:
    """Grgic 2018 (read): the trained need more than 2 min; 1-2 min is enough for the untrained."""
    assert gym.lifts[lift].rest > 2 * MINUTE


def test_the_power_clean_rests_two_to_five_minutes(gym: Gym) -> None:
    """NSCA, power: 2-5 min (second-hand)."""
    assert 2 * MINUTE <= gym.lifts["clean"].rest <= 5 * MINUTE


def test_a_ramp_rest_is_shorter_than_the_work_rest(gym: Gym) -> None:
    """Common practice, no source."""
    assert all(0 < lift.ramp_rest < lift.rest for lift in gym.lifts.values())


@pytest.mark.parametrize(
    ("lift", "least", "most"), [("press", 1, 2), ("bench", 1, 2), ("squat", 2, 4), ("deadlift", 2, 4), ("clean", 2, 4)]
)
def test_a_step_is_what_a_novice_is_given(gym: Gym, lift: str, least: int, most: int) -> None:
    """NSCA, novices: upper body 1-2 kg, lower body 2-4 kg (from memory, not read). The clean counted as lower body."""
    assert least * 100 <= gym.lifts[lift].step <= most * 100


@pytest.mark.parametrize("lift", ["press", "bench", "deadlift", "clean"])
def test_the_first_step_from_the_start_is_two_to_ten_per_cent(gym: Gym, lift: str) -> None:
    """ACSM 2009 (read): increases of 2-10 %."""
    found = gym.lifts[lift]
    assert 2 * found.start <= 100 * found.step <= 10 * found.start


def test_the_squats_first_steps_from_the_empty_bar_are_over_ten_per_cent(gym: Gym) -> None:
    """ACSM 2009 (read): 2-10 %. From 20 kg a step of 2.5 is 12.5 %; from 25 kg on it is inside. Common practice."""
    squat = gym.lifts["squat"]
    assert 100 * squat.step > 10 * squat.start
    assert 100 * squat.step <= 10 * 25_00


def test_easing_is_ten_per_cent_after_three_repeats(gym: Gym) -> None:
    """Common practice, no source."""
    assert (gym.settings.ease_percent, gym.settings.repeats_before_ease) == (10, 3)
