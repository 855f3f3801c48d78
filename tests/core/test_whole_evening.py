"""The whole evening played for people who share the stations so or so."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from floor.core.arrivals import sets_tonight
from floor.core.commands import Arrive
from floor.core.gym import Station
from floor.core.outlooking import outlook
from floor.core.outlooking.wholeevening import WORTH, WholeEvening
from tests.core.scenes import Scene, belongs, gym
from tests.core.test_groups import racks


def played(scene: Scene) -> WholeEvening:
    state = scene.state
    sets = {number: sets_tonight(state, lifter, scene.now) for number, lifter in state.lifters.items()}
    return WholeEvening(state.gym, state.lifters, sets)


def test_it_ends_when_the_plan_says_that_it_ends() -> None:
    scene = racks().given(*(belongs(n, squat=load) for n, load in enumerate((40, 60, 80, 100), 1)))
    at = {1: 1, 2: 1, 3: 2, 4: 1}
    begun = scene.given(*(Arrive(lifter, station) for lifter, station in at.items()), every=0)
    finish = outlook(begun.state, 1, begun.now).finish
    assert finish is not None and (finish - begun.now).total_seconds() == played(scene).finish(at)


def test_the_last_station_is_done_when_the_evening_is() -> None:
    evening = played(racks(3).given(*(belongs(n, squat=60) for n in (1, 2, 3))))
    at = {1: 1, 2: 1, 3: 2}
    assert set(evening.ends(at)) == {1, 2} and max(evening.ends(at).values()) == evening.finish(at)
    assert evening.ends(at)[2] < evening.ends(at)[1]


def test_whoever_makes_the_evening_long_goes_elsewhere() -> None:
    evening = played(racks().given(*(belongs(n, squat=60) for n in range(1, 7))))
    crowded = dict.fromkeys(range(1, 7), 1)
    assert sorted(evening.mend(crowded, {n: (1, 2) for n in crowded}, 200).values()).count(2) == 3
    assert evening.mend(crowded, {}, 200) == crowded, "nobody may go"
    assert evening.mend(crowded, {n: (1, 2) for n in crowded}, 0) == crowded, "none was tried"


def test_an_evening_needs_a_station() -> None:
    with pytest.raises(ValueError, match="station"):
        WholeEvening(replace(gym(), stations=()), {}, {})


def test_with_nothing_to_lift_it_is_over_at_once() -> None:
    stations = (Station(1, "Platform 1", frozenset({"rack"}), "20"),)
    assert WholeEvening(replace(gym(), stations=stations), {}, {}).finish({}) == 0


@settings(max_examples=25, deadline=None)
@given(st.lists(st.tuples(st.integers(8, 60), st.integers(1, 3)), min_size=1, max_size=7))
def test_mended_until_nothing_helps_no_move_from_the_last_station_helps(people: list[tuple[int, int]]) -> None:
    evening = played(racks(3).given(*(belongs(n, squat=2.5 * load) for n, (load, _) in enumerate(people, 1))))
    at = {n: station for n, (_, station) in enumerate(people, 1)}
    mended = evening.mend(at, {n: (1, 2, 3) for n in at}, 10_000)
    assert evening.finish(mended) <= evening.finish(at)
    last = {station for station, end in evening.ends(mended).items() if end == evening.finish(mended)}
    for lifter in (lifter for lifter, station in mended.items() if station in last):
        for station in (1, 2, 3):
            assert evening.finish({**mended, lifter: station}) >= evening.finish(mended) - WORTH
