"""What a plan promises, whatever the evening: nobody under-rested, nothing lost, never worse than going without."""

from __future__ import annotations

from dataclasses import replace
from itertools import permutations
from random import Random

import pytest

from floor.core.planner import (
    GOALS,
    REFINED,
    Chain,
    Evening,
    Place,
    PlannedSet,
    Turn,
    by_rising,
    by_rotation,
    least_finish,
    plan,
)
from floor.core.planner.split import parts
from floor.core.planner.tables import Tables
from tests.core.planner.checking import breaches

SHORT = 12_000


def some_evening(seed: int, lifters: int | None = None, stations: int | None = None, most: int = 5) -> Evening:
    """Any evening: late lifters, bars loaded, sets done here and there, leavers, rigs that clash, a closing or none."""
    chance = Random(seed)
    rigs = chance.randint(1, 4)
    change = tuple(tuple(0 if a == b else chance.randint(0, 60) for b in range(rigs)) for a in range(rigs))
    moved = tuple(tuple(0 if a == b else chance.randint(0, 8) for b in range(rigs)) for a in range(rigs))
    places = stations or chance.randint(1, 3)
    chains = []
    for n in range(lifters or chance.randint(1, 5)):
        sets = []
        for no in range(chance.randint(1, most)):
            rest = chance.choice([0, 30, 90, 180])
            where = tuple(sorted(chance.sample(range(places), chance.randint(1, places))))
            sets.append(
                PlannedSet(
                    chance.randint(5, 60), rest, rest + chance.choice([0, 60, 300]), chance.randrange(rigs), where,
                    chance.randint(20, 100) * 100, no > 1, chance.choice([0, 0, 1, 3]),
                )
            )  # fmt: skip
        leaves, patience = chance.choice([None, 400]), chance.choice([None, 100])
        chains.append(Chain(f"lifter {n}", tuple(sets), chance.choice([0, 0, 0, 200]), leaves, patience))
    floor = tuple(
        Place(f"station {p}", chance.choice([0, 0, 40]), chance.choice([None, chance.randrange(rigs)]))
        for p in range(places)
    )
    walk, closing = chance.choice([0, 10]), chance.choice([None, 300, 900, 3600])
    clash = [[0] * rigs for _ in range(rigs)]
    for a in range(rigs):
        for b in range(a + 1):
            clash[a][b] = clash[b][a] = int(chance.random() < 0.3)
    return Evening(tuple(chains), floor, change, moved, walk, closing, tuple(map(tuple, clash)))


def with_a_promise(evening: Evening) -> Evening:
    """The last lifter was told the first turn wherever their first set can be done."""
    i = len(evening.chains) - 1
    station = evening.chains[i].sets[0].stations[0]
    places = list(evening.places)
    old = places[station]
    places[station] = Place(old.name, old.free, old.rig, (i,))
    return replace(evening, places=tuple(places))


@pytest.mark.parametrize("seed", range(60))
def test_no_plan_and_no_peer_breaks_a_rule(seed: int) -> None:
    for evening in (some_evening(seed), with_a_promise(some_evening(seed))):
        for made in (plan(evening, SHORT), by_rising(evening), by_rising(evening, passing=True), by_rotation(evening)):
            assert breaches(evening, made.turns) == []


@pytest.mark.parametrize("seed", range(60))
def test_a_plan_is_never_worse_than_the_rising_bar_or_the_rotation(seed: int) -> None:
    evening = some_evening(seed)
    made = plan(evening, SHORT)
    if len(parts(evening)) > 1:
        assert made.late <= min(by_rising(evening).late, by_rotation(evening).late)
    else:
        assert made.costs <= min(by_rising(evening).costs, by_rotation(evening).costs)


@pytest.mark.parametrize("seed", range(30))
def test_the_same_evening_is_planned_the_same_way_again(seed: int) -> None:
    assert plan(some_evening(seed), SHORT) == plan(some_evening(seed), SHORT)


def every_order(evening: Evening) -> list[list[Turn]]:
    t = Tables.of(evening)
    lifters = [i for i, sets in enumerate(t.sets) for _ in sets]
    return [t.turns(order) for order in set(permutations(lifters))]


@pytest.mark.parametrize("seed", range(25))
def test_on_one_station_a_small_evening_ends_as_early_as_any_order_can(seed: int) -> None:
    open_end = some_evening(seed, lifters=3, stations=1, most=2)
    evening = replace(open_end, closing=None)
    best = min(max(turn.end for turn in turns) for turns in every_order(evening))
    made = plan(evening, REFINED // 10)
    assert least_finish(evening) <= made.least <= best == made.finish
    assert made.proven


@pytest.mark.parametrize("seed", range(25))
def test_no_order_on_any_stations_finishes_under_the_lower_bound(seed: int) -> None:
    evening = some_evening(seed, lifters=3, most=2)
    best = min(max(turn.end for turn in turns) for turns in every_order(evening))
    assert least_finish(evening) <= best


def one_bar(*chains: Chain, **more: object) -> Evening:
    return Evening(chains, **more)  # type: ignore[arg-type]


def equal(name: str, sets: int, seconds: int = 40, rest: int = 100, ready: int = 0, longest: int = 200) -> Chain:
    return Chain(name, (PlannedSet(seconds, rest, longest),) * sets, ready)


def test_an_evening_with_nothing_to_lift_is_over_at_once() -> None:
    made = plan(one_bar(Chain("nobody", ())))
    assert (made.turns, made.finish, made.proven) == ((), 0, True)


def test_the_bar_is_changed_while_the_next_lifter_rests() -> None:
    light, heavy = PlannedSet(40, 100, 200, rig=0), PlannedSet(40, 100, 200, rig=1)
    evening = one_bar(Chain("A", (light, heavy)), change=((0, 70), (70, 0)), moved=((0, 4), (4, 0)))
    assert [turn.start for turn in plan(evening).turns] == [0, 140]


def test_a_late_lifter_does_not_lift_before_they_come() -> None:
    made = plan(one_bar(equal("A", 2), equal("late", 2, ready=500)))
    assert min(turn.start for turn in made.turns if turn.lifter == 1) == 500


def test_who_was_told_lifts_first_even_if_the_bar_waits_for_them() -> None:
    evening = one_bar(equal("A", 2), equal("told", 2, ready=60), places=(Place("1", told=(1,)),))
    first = plan(evening).turns[0]
    assert (first.lifter, first.start) == (1, 60)


def test_a_wait_is_counted_only_past_the_longest_sensible_rest() -> None:
    turns = Tables.of(one_bar(equal("A", 2), equal("B", 5, seconds=60))).turns([0, 1, 1, 0, 1, 1, 1])
    second = next(turn for turn in turns if (turn.lifter, turn.no) == (0, 1))
    assert (second.start, second.waited) == (260, 260 - 40 - 200)


def test_the_hour_comes_before_warm_lifters_and_warm_lifters_before_an_early_end() -> None:
    evening = some_evening(3, lifters=4, stations=1)
    chains = tuple(replace(chain, leaves=None) for chain in evening.chains)
    tight, loose = (replace(evening, chains=chains, closing=closing) for closing in (1, 36_000))
    assert plan(loose).late == 0
    assert plan(loose).care <= plan(tight).care
    assert plan(tight).finish <= plan(loose).finish


def test_the_goals_can_be_put_in_another_order() -> None:
    evening = some_evening(7, lifters=4, stations=1)
    assert plan(evening, goals=("plates",)).moved <= plan(evening).moved
    with pytest.raises(ValueError, match="unknown goal"):
        plan(evening, goals=(*GOALS, "colours"))


def test_stations_no_lifter_leaves_are_planned_as_if_alone() -> None:
    here = equal("here", 3)
    there = Chain("there", (PlannedSet(50, 90, 200, stations=(1,)),) * 3)
    both = plan(Evening((here, there), (Place("1"), Place("2"))))
    assert [turn.start for turn in both.at(0)] == [turn.start for turn in plan(one_bar(here)).turns]
    assert [turn.start for turn in both.at(1)] == [0, 140, 280]


def test_a_lifter_who_goes_to_another_station_rests_on_the_way() -> None:
    squat, bench = PlannedSet(40, 180, 300, stations=(0,)), PlannedSet(30, 120, 300, stations=(1,))
    made = plan(Evening((Chain("A", (squat, bench)),), (Place("1"), Place("2"))))
    assert [(turn.station, turn.start) for turn in made.turns] == [(0, 0), (1, 220)]
