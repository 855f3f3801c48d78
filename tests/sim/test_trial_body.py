"""The trial's lifters: what the model promises of them, before any rule comes in."""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache
from random import Random

import pytest

from floor.core.gym import Gym
from floor.sim.trial import the_gym
from floor.sim.trial_body import TrialBody, born, fault_chance, form_limit, lift_set, night, strength_now, wake
from floor.sim.trial_table import FROZEN, LIFTS


@lru_cache(maxsize=1)
def gym() -> Gym:
    return the_gym()


def somebody(seed: int = 1) -> TrialBody:
    return born(gym(), FROZEN, Random(seed))


def squats(body: TrialBody, share: float, sets: int, seed: int = 1) -> TrialBody:
    """After so many sets of five at that share of the form limit."""
    rng = Random(seed)
    lift = gym().lifts["squat"]
    for _ in range(sets):
        load = int(share * form_limit(body, FROZEN, lift, None))
        lift_set(body, FROZEN, lift, load, 5, None, True, rng)
    return body


def test_every_lift_of_the_table_is_one_the_gym_teaches() -> None:
    assert set(LIFTS) <= set(gym().lifts)


def test_nobody_is_born_stronger_than_they_can_become() -> None:
    for seed in range(200):
        body = somebody(seed)
        assert all(0 < body.strength[lift] < body.ceiling[lift] for lift in LIFTS)
        assert all(0.05 <= body.skill[lift] <= 0.95 for lift in LIFTS)


def test_faults_come_more_often_with_load_and_less_often_with_skill() -> None:
    body = somebody()
    chances = [fault_chance(body, FROZEN, "squat", share) for share in (0.7, 0.9, 1.0, 1.1)]
    assert chances == sorted(chances) and chances[-1] > 5 * chances[0]
    body.skill["squat"] = 0.1
    unskilled = fault_chance(body, FROZEN, "squat", 0.8)
    body.skill["squat"] = 0.9
    assert fault_chance(body, FROZEN, "squat", 0.8) < unskilled


def test_fatigue_weakens_and_lowers_the_form_limit_and_rest_brings_both_back() -> None:
    body = somebody()
    fresh, limit = strength_now(body, FROZEN, "squat"), form_limit(body, FROZEN, gym().lifts["squat"], None)
    body.fatigue = 0.2
    assert strength_now(body, FROZEN, "squat") < fresh
    assert form_limit(body, FROZEN, gym().lifts["squat"], None) < limit
    wake(body, replace(FROZEN, day_spread=0.0), 9, Random(1))
    assert strength_now(body, FROZEN, "squat") == pytest.approx(fresh, rel=0.02)


def test_reps_within_form_teach_and_reps_beyond_it_unteach() -> None:
    body = somebody()
    before = body.skill["squat"]
    assert squats(somebody(), 0.85, 20).skill["squat"] > before
    assert squats(somebody(), 1.1, 20).skill["squat"] < before


def test_a_weight_too_light_to_train_adds_no_strength_and_a_useful_one_does() -> None:
    light, useful = somebody(), somebody()
    squats(light, 0.3, 3)
    squats(useful, 0.95, 3)
    began = somebody().strength["squat"]
    for body in (light, useful):
        night(body, FROZEN, 0.0)
    assert light.strength["squat"] == began < useful.strength["squat"]


def test_who_comes_tired_gains_less() -> None:
    rested, tired = squats(somebody(), 0.9, 3), squats(somebody(), 0.9, 3)
    night(rested, FROZEN, 0.0)
    night(tired, FROZEN, 0.3)
    assert rested.strength["squat"] > tired.strength["squat"]


def test_an_earlier_stage_is_easier() -> None:
    clean = gym().lifts["clean"]
    limits = [form_limit(somebody(), FROZEN, clean, stage.no) for stage in clean.stages]
    assert limits == sorted(limits, reverse=True) and limits[-1] == form_limit(somebody(), FROZEN, clean, None)


def test_a_miss_ends_the_set() -> None:
    body = somebody()
    too_much = int(1.2 * body.strength["squat"])
    lifted = lift_set(body, FROZEN, gym().lifts["squat"], too_much, 5, None, True, Random(2))
    assert lifted.marks == (False,)
    assert lifted.beyond == 1
