"""Discs, bars and loading against what the governing bodies publish.

Each check says where its facts come from and how they were had. No disc
thickness is published that we could find, so here every disc is 1 mm thick and
sleeve room plays no part.
"""

from __future__ import annotations

import pytest

from floor.core.definitions import parse_gym
from floor.core.gym import FULL_SIZE_MM, Bar, Gym, Lift, Plate
from floor.core.stacks import bar_for, build, floor_start, load_of, nearest
from floor.core.units import parse_load, show_load
from floor.templates import templates

IWF = ("25", "20", "15", "10", "5", "2.5", "2", "1.5", "1", "0.5")
"""Discs in kg: IWF Technical and Competition Rules & Regulations, sport equipment (second-hand)."""

IPF = ("25", "20", "15", "10", "5", "2.5", "1.25")
"""Discs in kg, the optional 50 left out: IPF Technical Rules Book (second-hand)."""

POUNDS = ("45", "35", "25", "10", "5", "2.5")
"""Discs in lb found in many weight rooms: common practice, no source."""

FROM_FLOOR = Lift("pull", "Pull", "floor", True, 180, 60, 250, 2000, (), 5)


def hundredths(text: str) -> int:
    load = parse_load(text)
    assert isinstance(load, int)
    return load


def gym(discs: tuple[str, ...], unit: str = "kg", bar: int = 2000, collar: int = 250) -> Gym:
    """A gym with plenty of each disc, every one of 10 and more at the largest diameter."""
    plates = tuple(
        Plate(d, hundredths(d), 20, FULL_SIZE_MM if hundredths(d) >= 1000 else 200, 1, hundredths(d) >= 1000)
        for d in discs
    )
    return Gym(unit=unit, plates=plates, bars=(Bar("bar", "bar", bar, 415, 1),), collar=collar)


def fewest_by_counting(discs: tuple[str, ...], side: int) -> list[int | None]:
    """The fewest discs for every mass up to `side`, in 0.25 steps: a table filled from below, unlimited discs."""
    table: list[int | None] = [0] + [None] * (side // 25)
    for mass in range(25, side + 1, 25):
        under = [table[(mass - hundredths(d)) // 25] for d in discs if hundredths(d) <= mass]
        table[mass // 25] = min((n + 1 for n in under if n is not None), default=None)
    return table


def largest_first(discs: tuple[str, ...], side: int) -> int:
    count = 0
    for disc in sorted(map(hundredths, discs), reverse=True):
        count += side // disc
        side %= disc
    assert side == 0
    return count


@pytest.mark.parametrize(
    ("discs", "load", "stack"),
    [
        (IWF, "60", "15 2.5"),
        (IWF, "101", "25 10 2.5 0.5"),
        (IWF, "142", "25 25 5 2.5 1"),
        (IWF, "187", "25 25 25 5 1"),
        (IPF, "102.5", "25 10 2.5 1.25"),
        (IPF, "252.5", "25 25 25 25 10 2.5 1.25"),
    ],
)
def test_the_fewest_discs_on_a_20_kg_bar_with_two_collars(discs: tuple[str, ...], load: str, stack: str) -> None:
    """Bar 20 kg and collars 2.5 kg each: IWF rules, sport equipment (read). The stacks: computed, unlimited discs."""
    assert build(gym(discs), hundredths(load), "bar") == tuple(stack.split())


@pytest.mark.parametrize("discs", [IWF, IPF])
def test_for_full_competition_sets_largest_first_is_fewest(discs: tuple[str, ...]) -> None:
    """Computed: every mass a side up to 150 kg by a table of our own, beside largest-first and `build`."""
    floor, smallest = gym(discs), hundredths(discs[-1])
    table = fewest_by_counting(discs, 15_000)
    checked = 0
    for side in range(smallest, 15_001, smallest):
        stack = build(floor, 2500 + 2 * side, "bar")
        assert isinstance(stack, tuple)
        assert len(stack) == table[side // 25] == largest_first(discs, side)
        checked += 1
    assert checked == 15_000 // smallest


def test_without_15s_largest_first_is_not_fewest() -> None:
    """40 kg a side is 20 20 and not 25 10 5 (computed, exhaustive); bar and collars as above."""
    discs = tuple(d for d in IWF if d != "15")
    assert largest_first(discs, 4000) == 3
    assert fewest_by_counting(discs, 4000)[-1] == 2
    assert build(gym(discs), 10_500, "bar") == ("20", "20")


def test_with_pound_plates_largest_first_is_not_fewest() -> None:
    """60 lb a side is 35 25 and not 45 10 5 (computed, exhaustive); a 45 lb bar without collars."""
    assert largest_first(POUNDS, 6000) == 3
    assert fewest_by_counting(POUNDS, 6000)[-1] == 2
    assert build(gym(POUNDS, "lb", bar=4500, collar=0), 16_500, "bar") == ("35", "25")


def test_the_pound_gym_that_ships_is_loaded_with_35_25_too() -> None:
    """The same 165 lb, from the template a new gym in pounds starts with: fewest, though not largest first."""
    floor = parse_gym(templates(unit="lb"), {}, "lb")
    assert isinstance(floor, Gym)
    assert tuple(p.id for p in floor.plates) == POUNDS
    assert build(floor, 16_500, "45") == ("35", "25")
    assert load_of(floor, "45", ("35", "25")) == load_of(floor, "45", ("45", "10", "5")) == 16_500
    assert build(floor, 13_500, "45") == ("45",)


def test_a_bar_with_collars_weighs_25_kg_and_rises_by_2_5() -> None:
    """IPF Technical Rules Book: bar with collars 25 kg (second-hand), load step 2.5 kg (from memory)."""
    floor = gym(IPF)
    assert load_of(floor, "bar", ()) == 2500
    for load in range(2500, 30_001, 250):
        assert nearest(floor, load, "bar")[0] == load
    assert nearest(floor, 10_100, "bar")[0] == 10_000


def test_the_15_kg_bar_is_for_what_the_20_kg_bar_outweighs() -> None:
    """Bars of 20 and 15 kg, sleeves 415 and 320 mm, collars 2.5 kg each: IWF rules, sport equipment (read)."""
    floor = Gym(bars=(Bar("20", "20 kg bar", 2000, 415, 1), Bar("15", "15 kg bar", 1500, 320, 1)), collar=250)
    assert [bar_for(floor, load, "20") for load in (2500, 2499, 2000)] == ["20", "15", "15"]


def test_the_largest_disc_is_450_mm_and_lifts_start_from_its_height() -> None:
    """Every disc of 10 kg and more is 450 mm: IWF rules, sport equipment (second-hand; within 1 mm from memory).

    Light discs of the same diameter exist to give the right start height (second-hand).
    """
    assert FULL_SIZE_MM == 450
    floor = gym(IWF)
    assert {p.id for p in floor.plates if p.full_size} == {"25", "20", "15", "10"}
    assert floor_start(floor, FROM_FLOOR, ("10",)) == ""
    assert floor_start(floor, FROM_FLOOR, ("5", "2.5")) != ""
    light = Gym(plates=(Plate("5", 500, 1, 450, 1, True), Plate("2.5", 250, 1, 449, 1, True)))
    assert floor_start(light, FROM_FLOOR, ("5",)) == ""
    assert floor_start(light, FROM_FLOOR, ("2.5",)) != ""


@pytest.mark.parametrize("discs", [IWF, IPF])
def test_the_heaviest_disc_is_innermost(discs: tuple[str, ...]) -> None:
    """Heaviest inside, descending outward, then the collar: IWF rules, loading of the bar (read)."""
    floor = gym(discs)
    for load in range(2500, 30_001, 50):
        stack = nearest(floor, load, "bar", lift_from_floor=load % 100 == 0)[1]
        masses = [floor.plate(p).mass for p in stack]
        assert masses == sorted(masses, reverse=True), show_load(load)
