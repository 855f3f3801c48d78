"""Orders made in one go: whoever can start soonest, with a leaning."""

from __future__ import annotations

import pytest

from floor.core.planner import FIRST, Chain, Evening, Place, PlannedSet, by_rising, plan
from floor.core.planner.dispatch import LEANINGS, Leaning, dispatched
from floor.core.planner.tables import Tables
from tests.core.planner.checking import breaches
from tests.core.planner.evenings import linked_evening


def order(leaning: Leaning, *chains: Chain, told: tuple[int, ...] = ()) -> str:
    rigs = ((0, 30), (30, 0))
    evening = Evening(chains, (Place("1", rig=0, told=told),), rigs, rigs)
    return "".join(chains[i].name for i in dispatched(Tables.of(evening), leaning))


def lifter(name: str, sets: int, rig: int = 0, rest: int = 100, ready: int = 0) -> Chain:
    return Chain(name, (PlannedSet(40, rest, 300, rig),) * sets, ready)


def test_whoever_can_start_soonest_goes_next() -> None:
    assert (
        order(Leaning(0, 0, 0), lifter("A", 2, rest=200), lifter("B", 2, rest=60), lifter("C", 1, ready=41)) == "ABCBA"
    )


def test_whoever_has_much_to_do_can_go_ahead() -> None:
    assert order(Leaning(0, 0, 0), lifter("A", 1), lifter("B", 3, ready=5)) == "ABBB"
    assert order(Leaning(0, 0.1, 0), lifter("A", 1), lifter("B", 3, ready=5)) == "BABB"


def test_the_bar_can_be_left_as_it_is() -> None:
    assert order(Leaning(0, 0, 0), lifter("A", 1, rig=1), lifter("B", 1, ready=35)) == "AB"
    assert order(Leaning(1, 0, 0), lifter("A", 1, rig=1), lifter("B", 1, ready=35)) == "BA"


def test_whoever_was_told_goes_first_even_so() -> None:
    assert order(Leaning(0, 0, 0), lifter("A", 1), lifter("B", 1, ready=500), told=(1,)) == "BA"


@pytest.mark.parametrize("number", range(4))
def test_every_leaning_makes_an_order_that_can_be_lifted(number: int) -> None:
    evening = linked_evening(number, lifters=5, open_floor=number % 2 == 1)
    t = Tables.of(evening)
    for leaning in LEANINGS:
        assert breaches(evening, t.turns(dispatched(t, leaning))) == []


@pytest.mark.parametrize("number", range(4))
def test_lifters_who_go_between_stations_wait_less_than_with_the_rising_bar(number: int) -> None:
    evening = linked_evening(number, lifters=10, open_floor=number % 2 == 1)
    made, risen = plan(evening, FIRST), by_rising(evening)
    assert made.late <= risen.late
    assert made.waited < 0.8 * risen.waited
