"""The rising bar and the rotation, as they are done on the floor."""

from __future__ import annotations

from floor.core.planner import Chain, Evening, Place, PlannedSet, by_rising, by_rotation
from floor.core.planner import Plan as Played


def lifter(name: str, *loads: int, ramps: int = 0, rest: int = 60, ready: int = 0) -> Chain:
    sets = [PlannedSet(40, rest, 300, load=100 * load, work=n >= ramps) for n, load in enumerate(loads)]
    return Chain(name, tuple(sets), ready)


def order(made: Played) -> str:
    return "".join(made.evening.chains[turn.lifter].name for turn in made.turns)


def test_the_bar_rises_lightest_first_and_round_again() -> None:
    assert order(by_rising(Evening((lifter("A", 80, 80), lifter("B", 40, 40), lifter("C", 60, 60))))) == "BCABCA"


def test_ramp_sets_share_the_rising_bar_and_do_not_count_as_a_turn() -> None:
    heavy, light = lifter("A", 20, 60, 100, ramps=2), lifter("B", 20, 40, 40, ramps=1)
    assert order(by_rising(Evening((heavy, light)))) == "ABBAAB"


def test_the_rising_bar_waits_for_whose_turn_it_is() -> None:
    made = by_rising(Evening((lifter("A", 40, 40, rest=200), lifter("B", 60, 60))))
    assert [turn.start for turn in made.turns] == [0, 40, 240, 280]


def test_with_passing_the_rested_lifter_goes_first() -> None:
    chains = (lifter("A", 40, 40, rest=200), lifter("B", 60, 60, rest=10))
    assert order(by_rising(Evening(chains), passing=True)) == "ABBA"


def test_the_rotation_goes_round_by_name_whatever_is_on_the_bar() -> None:
    assert order(by_rotation(Evening((lifter("A", 80, 80), lifter("B", 40, 40, 40), lifter("C", 60))))) == "ABCABB"


def test_a_late_lifter_joins_the_round_when_they_come() -> None:
    chains = (lifter("A", 80, 80, 80), lifter("B", 40, 40), lifter("C", 60, 60, ready=100))
    assert order(by_rotation(Evening(chains))) == "ABABCAC"


def test_two_stations_go_round_by_themselves() -> None:
    there = Chain("C", (PlannedSet(40, 60, 300, stations=(1,)),) * 2)
    made = by_rotation(Evening((lifter("A", 80, 80), lifter("B", 40, 40), there), (Place("1"), Place("2"))))
    assert [turn.start for turn in made.at(1)] == [0, 100]
    assert [made.evening.chains[turn.lifter].name for turn in made.at(0)] == list("ABAB")
