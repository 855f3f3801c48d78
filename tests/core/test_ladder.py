"""Shared ramp loads, moved a little so that plates are mostly added."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from floor.core.gym import Bar, Gym, Lift, Plate, Station
from floor.core.ladder import WITHIN, better, better_ladders, for_lift
from floor.core.ramps import ramp_loads
from floor.core.state import Lifter, NextPlan, State

BAR = Bar("20", "20 kg bar", 2000, 415, 4)
PLATES = (
    Plate("20", 2000, 3, 450, 40, True), Plate("15", 1500, 1, 450, 35, True), Plate("10", 1000, 1, 450, 30, True),
    Plate("5", 500, 2, 230, 25), Plate("2.5", 250, 2, 190, 20),
)  # fmt: skip
SQUAT = Lift("squat", "squat", "rack", False, 180, 60, 250, 2000, ramp=(2000, 5000, 7000, 9000), ramp_reps=5)
GYM = Gym(
    plates=PLATES, bars=(BAR,), stations=(Station(1, "rack", frozenset({"rack"}), "20"),), lifts={"squat": SQUAT}
)


def test_a_rung_moves_to_where_plates_stay_on() -> None:
    """50 is a 15 and 70 a 20 and a 5: with 60 instead, the 20s for 100 are on the bar early and stay."""
    rungs = for_lift(GYM, SQUAT, (10000, 10000))
    assert rungs is not None
    assert rungs.was == SQUAT.ramp and rungs.moves < rungs.was_moves
    assert rungs.loads[0] == SQUAT.ramp[0] and rungs.loads != SQUAT.ramp


def test_a_ladder_that_cannot_be_bettered_is_left_alone() -> None:
    only_tens = replace(GYM, plates=(Plate("10", 1000, 4, 450, 30, True),))
    assert for_lift(only_tens, replace(SQUAT, ramp=(2000, 4000, 6000)), (8000,)) is None


def test_without_lifters_or_a_station_there_is_nothing_to_better() -> None:
    assert for_lift(GYM, SQUAT, ()) is None
    assert for_lift(replace(GYM, stations=()), SQUAT, (10000,)) is None


@settings(max_examples=25, deadline=None)
@given(st.lists(st.integers(12, 40), min_size=1, max_size=4))
def test_everybody_keeps_their_number_of_ramp_sets_and_no_rung_moves_far(works: list[int]) -> None:
    loads = [work * 250 for work in works]
    rungs = for_lift(GYM, SQUAT, loads)
    if rungs is None:
        return
    changed = replace(SQUAT, ramp=rungs.loads)
    for load in loads:
        assert len(ramp_loads(changed, load)) >= len(ramp_loads(SQUAT, load))
    assert all(a < b for a, b in pairwise(rungs.loads))
    assert all(abs(a - b) * 100 <= a * WITHIN for a, b in zip(SQUAT.ramp, rungs.loads, strict=True))


def test_a_ladder_that_will_not_do_is_refused() -> None:
    with pytest.raises(ValueError, match="will not do"):
        better((2000, 4000), (2000, 4000), lambda ladder: None)


def test_the_gym_asks_it_of_the_loads_in_everybodys_plans() -> None:
    lifters = {
        n: Lifter(n, plans={"squat": NextPlan("squat", 3, 5, load, "all-made", 0)})
        for n, load in enumerate((10000, 10000), 1)
    }
    found = better_ladders(State(gym=GYM, lifters=lifters))
    assert [rungs.lift for rungs in found] == ["squat"]
    assert found[0] == for_lift(GYM, SQUAT, (10000, 10000))
