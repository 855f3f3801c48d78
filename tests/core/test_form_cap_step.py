"""A lift held by its form can leave a light bar, though a tenth of it is less than a step."""

from __future__ import annotations

import pytest

from floor.core.commands import Arrive, CloseSession, RampDone
from floor.core.evidence.formlimit import Cell
from floor.core.limits import found
from tests.core.scenes import PLATFORM, Scene, a_set, belongs, evening, gym, kg

EMPTY_BAR = tuple(Cell(kg(20), days, 12, 0) for days in (2, 4, 7, 9))
"""Forty-eight clean reps, all with 20 kg."""
STEP = gym().lifts["clean"].step


def arrives(seen: tuple[Cell, ...]) -> Scene:
    return evening(belongs(1, "clean", clean=20)).when(Arrive(1, PLATFORM, seen=(("clean", seen),)))


def test_a_light_bar_that_form_always_held_is_left_by_as_much_of_a_step_as_a_tenth_allows() -> None:
    assert kg(20) // 10 < STEP
    *begun, end = a_set(PLATFORM, made=3)
    proposed = arrives(EMPTY_BAR).given(RampDone(1), *begun).when(end).event("set_proposed")
    assert (proposed.rule, proposed.load) == ("build-adds", kg(22))


def test_the_next_evening_starts_above_the_light_bar() -> None:
    scene = arrives(EMPTY_BAR).given(RampDone(1), *(a_set(PLATFORM, made=3) for _ in range(4)), CloseSession())
    assert kg(20) < scene.state.lifters[1].plans["clean"].load <= kg(20) + STEP


@pytest.mark.parametrize("days", [(1, 1, 1), (0, 3, 8)])
def test_a_step_past_the_heaviest_watched_load_and_no_more(days: tuple[int, ...]) -> None:
    cells = tuple(Cell(kg(20), day, 12, 0) for day in days[: len(set(days))])
    cap = found(cells, "kg", STEP)
    assert cap.load == (kg(20) + STEP if len(set(days)) > 1 else None)


def test_a_load_that_form_does_not_hold_opens_no_step() -> None:
    faulty = tuple(Cell(kg(20), days, 4, 8) for days in (2, 4, 7, 9))
    assert found(faulty, "kg", STEP) == found(faulty, "kg")
    assert (found(faulty, "kg", STEP).load or 0) < kg(20)


def test_a_heavier_lifter_keeps_the_limits_own_reach() -> None:
    heavy = tuple(Cell(kg(80), days, 12, 0) for days in (2, 4, 7, 9))
    assert found(heavy, "kg", STEP) == found(heavy, "kg")
