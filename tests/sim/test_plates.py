"""The simulated evenings on which ways of loading are compared: always the same ones, and possible ones."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from hashlib import sha256
from random import Random

import pytest

from floor.core.gym import Gym
from floor.core.queue import rising_key
from floor.core.stacks import build, load_of
from floor.core.state import DONE, Present, TheSet
from floor.sim.plates import (
    RISING,
    ROTATION,
    TRIAL_SEEDS,
    TUNING_SEEDS,
    PlateEvening,
    SimSet,
    canonical,
    plate_evening,
    rising,
    rotation,
)

TRIALS_SHA256 = "321d15da68390e9560742d34b47080da6895aabddddb32ec97d51a18eb807a9e"
"""Fixed before any way of choosing stacks over an evening was written. A new value makes new trials."""
OPENED = datetime(2026, 3, 9, 17, 0, tzinfo=UTC)


@pytest.fixture(scope="module")
def evenings() -> tuple[PlateEvening, ...]:
    return tuple(plate_evening(seed) for seed in TRIAL_SEEDS)


def gym_of(evening: PlateEvening) -> Gym:
    return Gym(unit=evening.unit, plates=evening.plates, bars=(evening.bar,))


def sides_by_counting(evening: PlateEvening) -> set[int]:
    """Every mass one sleeve can carry: plate after plate, by mass and thickness, with no help from the core."""
    found = {(0, 0)}
    for plate in evening.plates:
        for _ in range(plate.pairs):
            found |= {(m + plate.mass, t + plate.thickness) for m, t in found if t + plate.thickness <= 415}
    return {mass for mass, thick in found if thick <= evening.bar.sleeve}


def test_the_trial_evenings_are_the_ones_that_were_fixed(evenings: tuple[PlateEvening, ...]) -> None:
    assert sha256("".join(map(canonical, evenings)).encode()).hexdigest() == TRIALS_SHA256


def test_the_checksum_sees_one_set_changed(evenings: tuple[PlateEvening, ...]) -> None:
    first = evenings[0]
    loads = first.orders[RISING]
    swapped = replace(first, orders={**first.orders, RISING: (*loads[:-2], loads[-1], loads[-2])})
    more = replace(first, plates=(replace(first.plates[0], pairs=first.plates[0].pairs + 1), *first.plates[1:]))
    assert loads[-1] != loads[-2]
    assert len({canonical(first), canonical(swapped), canonical(more)}) == 3


def test_no_evening_for_trying_things_out_is_a_trial(evenings: tuple[PlateEvening, ...]) -> None:
    assert len(TRIAL_SEEDS) == 1000 and len(TUNING_SEEDS) == 200
    assert not set(TRIAL_SEEDS) & set(TUNING_SEEDS)
    what = {canonical(e).partition(" ")[2] for e in evenings}
    assert len(what) == len(evenings)
    assert not what & {canonical(plate_evening(seed)).partition(" ")[2] for seed in TUNING_SEEDS}


def test_every_load_can_be_built_with_the_plates_that_are_there(evenings: tuple[PlateEvening, ...]) -> None:
    for evening in evenings:
        gym = gym_of(evening)
        for load in set(evening.orders[ROTATION]):
            stack = build(gym, load, evening.bar.id)
            assert isinstance(stack, tuple), (evening.seed, load, stack)
            assert load_of(gym, evening.bar.id, stack) == load


def test_every_load_can_be_built_by_a_count_of_our_own(evenings: tuple[PlateEvening, ...]) -> None:
    for evening in evenings[::10]:
        sides = sides_by_counting(evening)
        assert {(load - evening.bar.mass) / 2 for load in evening.orders[ROTATION]} <= sides, evening.seed


def test_both_orders_are_the_same_sets(evenings: tuple[PlateEvening, ...]) -> None:
    for evening in evenings:
        assert set(evening.orders) == {ROTATION, RISING}
        assert Counter(evening.orders[ROTATION]) == Counter(evening.orders[RISING]), evening.seed
    assert sum(e.orders[ROTATION] != e.orders[RISING] for e in evenings) > 900


def test_every_gym_has_some_of_each_plate_and_no_endless_stock(evenings: tuple[PlateEvening, ...]) -> None:
    for evening in evenings:
        assert all(1 <= plate.pairs <= 4 for plate in evening.plates), evening.seed
        assert len({plate.id for plate in evening.plates}) == len(evening.plates)


def test_the_gyms_are_of_many_kinds(evenings: tuple[PlateEvening, ...]) -> None:
    kinds = Counter((e.unit, tuple(p.id for p in e.plates)) for e in evenings)
    assert len(kinds) == 5 and min(kinds.values()) > 100
    eleven = next(ids for _, ids in kinds if len(ids) == 11)
    assert "5T" in eleven and "5" in eleven
    assert any(unit == "kg" and "15" not in ids and "20" in ids for unit, ids in kinds)
    assert ("lb", ("45", "35", "25", "10", "5", "2.5")) in kinds
    stocks = {(e.unit, tuple((p.id, p.pairs) for p in e.plates)) for e in evenings}
    assert len(stocks) > 200


def test_everybody_takes_their_turn_in_the_rotation_until_done() -> None:
    sets = [[SimSet(load, False) for load in loads] for loads in ((1, 2, 3), (10,), (20, 30))]
    assert tuple(s.load for s in rotation(sets)) == (1, 10, 20, 2, 30, 3)


def by_the_floors_own_rule(lifters: list[list[SimSet]]) -> tuple[int, ...]:
    """The same evening with the key that orders a station's line on the floor, a minute a set."""
    here = [
        Present(i, 1, OPENED, tuple(TheSet(n, "squat", "work" if s.work else "ramp", 5, s.load)
                                    for n, s in enumerate(sets, 1)))
        for i, sets in enumerate(lifters)
    ]
    loads: list[int] = []
    while waiting := [(rising_key(p, s), p, s) for p in here if (s := p.pending()) is not None]:
        _, up, coming = min(waiting, key=lambda x: x[0])
        loads.append(coming.load)
        done = replace(coming, status=DONE, down=OPENED + timedelta(minutes=len(loads)))
        sets = tuple(done if s.no == done.no else s for s in up.sets)
        here[up.lifter] = replace(up, sets=sets, turns=up.turns + (coming.role == "work"))
    return tuple(loads)


@pytest.mark.parametrize("seed", range(50))
def test_the_rising_order_is_the_floors_own(seed: int) -> None:
    rng = Random(seed)
    lifters = [
        [SimSet(rng.randint(1, 6), rng.random() < 0.6) for _ in range(rng.randint(1, 9))]
        for _ in range(rng.randint(1, 6))
    ]
    assert tuple(s.load for s in rising(lifters)) == by_the_floors_own_rule(lifters)
