"""What stations share: the gym's plates and the coach's eyes; and lifters who must go."""

from __future__ import annotations

from dataclasses import replace

import pytest

from floor.core.planner import (
    GOALS,
    Chain,
    Evening,
    Place,
    PlannedSet,
    Rig,
    Turn,
    by_rising,
    by_rotation,
    clashes,
    eyes_share,
    plan,
    watch,
    wrong_with,
)
from floor.core.planner.plan import EYES_WORTH, PLATE_WORTH
from floor.core.planner.sharing import clear
from floor.core.planner.tables import Tables
from tests.core.planner.checking import breaches
from tests.core.planner.evenings import linked_evening

TWO = (Place("1"), Place("2"))
NOT_BOTH = ((0, 1), (1, 0))
NO_TIME = ((0, 0), (0, 0))


def here_and_there(**more: int) -> Evening:
    """Two lifters with one set each, at two stations, with two rigs that cannot be there together."""
    sets = [PlannedSet(40, 60, 120, rig=n, stations=(n,), **more) for n in range(2)]  # type: ignore[arg-type]
    chains = tuple(Chain(str(n), (one,)) for n, one in enumerate(sets))
    return Evening(chains, TWO, NO_TIME, NO_TIME, clash=NOT_BOTH)


def test_two_sets_that_need_the_same_plates_are_not_lifted_at_once() -> None:
    evening = here_and_there()
    for made in (plan(evening), by_rising(evening), by_rotation(evening)):
        assert sorted(turn.start for turn in made.turns) == [0, 40]
        assert breaches(evening, made.turns) == []
    assert [turn.start for turn in plan(replace(evening, clash=())).turns] == [0, 0]


def test_the_plates_are_carried_over_when_the_other_set_is_done_and_not_before() -> None:
    evening = replace(here_and_there(), places=(Place("1", rig=0), Place("2", rig=0)), change=((0, 25), (25, 0)))
    made = plan(evening)
    assert [(turn.station, turn.start) for turn in made.turns] == [(0, 0), (1, 65)]


def test_a_set_fits_between_two_that_take_its_plates() -> None:
    held = [(100, 140, 0, 1, 0, (0, 30, 0, 1, 0, None)), None]
    assert clear(held, 1, 0, 0, 70, (0, 1)) == 30
    assert clear(held, 1, 0, 0, 71, (0, 1)) == 140
    assert clear(held, 1, 0, 10, 60, (0, 1)) == 40
    assert clear(held, 1, 0, 0, 71, (0, 0)) == 0


def test_rigs_that_together_need_more_plates_than_there_are_clash() -> None:
    rigs = [Rig("20", ("25",)), Rig("20", ("25", "25")), Rig("15", ("10",))]
    assert clashes(rigs, {"25": 3, "10": 2}) == ((0, 0, 0), (0, 1, 0), (0, 0, 0))
    assert clashes(rigs, {"25": 2, "10": 1}) == ((0, 1, 0), (1, 1, 0), (0, 0, 1))


def test_a_bar_of_which_there_is_one_is_not_on_two_stations() -> None:
    rigs = [Rig("20"), Rig("15"), Rig("15", ("5",))]
    assert clashes(rigs, {"5": 4}, {"20": 3, "15": 1}) == ((0, 0, 0), (0, 1, 1), (0, 1, 1))


def test_a_clash_goes_both_ways() -> None:
    assert wrong_with(replace(here_and_there(), clash=((0, 1), (0, 0)))).startswith("A clash is between two rigs")
    assert wrong_with(replace(here_and_there(), clash=((0,),))).startswith("The clash table must have a row")
    assert wrong_with(here_and_there()) == ""


@pytest.mark.parametrize("number", range(6))
def test_a_whole_gym_short_of_plates_is_planned_without_a_clash(number: int) -> None:
    evening = linked_evening(number, lifters=5, open_floor=number % 2 == 0)
    rigs = len(evening.change)
    clash = tuple(tuple(int(a != b and (a * b) % 5 == 1) for b in range(rigs)) for a in range(rigs))
    short = replace(evening, clash=clash)
    made = plan(short, 20_000)
    assert breaches(short, made.turns) == []
    assert breaches(short, plan(evening, 20_000).turns) != []


def test_who_must_leave_goes_ahead_of_who_stays() -> None:
    both = tuple(Chain(name, (PlannedSet(40, 60, 300),) * 3) for name in ("stays", "goes"))
    assert [turn.lifter for turn in plan(Evening(both)).turns[:1]] == [0]
    leaves = 2 * (40 + 60) + 40
    made = plan(Evening((both[0], replace(both[1], leaves=leaves)), closing=3600))
    assert made.overdue == 0
    assert max(turn.end for turn in made.turns if turn.lifter == 1) == leaves


def test_lifting_past_the_time_to_leave_is_counted_and_allowed() -> None:
    made = plan(Evening((Chain("A", (PlannedSet(40, 60, 120),) * 2, leaves=100),)))
    assert (made.finish, made.overdue) == (140, 40)
    assert wrong_with(Evening((Chain("A", (), leaves=-1),))) == "A leaves before the evening starts."


def test_whoever_has_lifted_before_can_wait_too_long_for_the_first_set_to_come() -> None:
    evening = Evening((Chain("A", (PlannedSet(40, 0, 0),), patience=30), Chain("B", (PlannedSet(90, 0, 0),))))
    assert plan(evening).turns[0].lifter == 0
    assert sum(turn.waited for turn in Tables.of(evening).turns([1, 0])) == 60


def watched(*turns: tuple[int, int, int, int]) -> tuple[Evening, list[Turn]]:
    """An evening of one set a lifter, each (station, start, seconds, eyes), and its turns."""
    chains = [Chain(str(n), (PlannedSet(t[2], 0, 0, stations=(t[0],), eyes=t[3]),)) for n, t in enumerate(turns)]
    made = [Turn(n, 0, t[0], t[1], t[1] + t[2], 0, 0, 0) for n, t in enumerate(turns)]
    return Evening(tuple(chains), TWO), made


def test_the_coach_stands_where_most_is_to_be_seen() -> None:
    evening, turns = watched((0, 0, 40, 1), (1, 30, 40, 2), (0, 60, 40, 1), (0, 100, 40, 0))
    assert [turn.lifter for turn in watch(evening, turns)] == [1]
    evening, turns = watched((0, 0, 40, 1), (1, 30, 40, 1), (0, 60, 40, 1))
    assert [turn.lifter for turn in watch(evening, turns)] == [0, 2]


def test_a_set_that_ends_as_another_begins_does_not_hide_it() -> None:
    evening, turns = watched((0, 0, 40, 1), (1, 40, 40, 1))
    assert [turn.lifter for turn in watch(evening, turns)] == [0, 1]


def test_eyes_on_sets_of_two_stations_are_put_after_each_other_when_there_is_time() -> None:
    one = PlannedSet(40, 60, 120, eyes=1)
    evening = Evening(
        (Chain("A", (one, replace(one, eyes=0))), Chain("B", (replace(one, stations=(1,)),)),
         Chain("C", (replace(one, stations=(1,), eyes=0),))), TWO, closing=3600,
    )  # fmt: skip
    made = plan(evening)
    assert (made.at_once, eyes_share(made)) == (0, 1.0)
    assert (by_rising(evening).at_once, eyes_share(by_rising(evening))) == (40, 0.5)
    assert eyes_share(plan(Evening((Chain("A", (replace(one, eyes=0),)),)))) is None


@pytest.mark.parametrize("number", range(3))
def test_with_eyes_first_the_coach_sees_no_less(number: int) -> None:
    evening = linked_evening(number, lifters=6)
    assert plan(evening, goals=("eyes", *GOALS)).at_once <= min(by_rotation(evening).at_once, plan(evening).at_once)


@pytest.mark.parametrize(("seconds", "at_once", "waited"), [(60, 0, 60), (300, 40, 0)])
def test_a_little_waiting_is_worth_a_set_that_is_seen_and_much_is_not(seconds: int, at_once: int, waited: int) -> None:
    """A and B need eyes at two stations; C can lift before B, who then stands about for so long."""
    eyes = PlannedSet(40, 0, 0, eyes=1)
    b = Chain("B", (replace(eyes, stations=(1,)),), patience=0)
    c = Chain("C", (PlannedSet(seconds, 0, 0, stations=(1,)),))
    made = plan(Evening((Chain("A", (eyes,)), b, c), TWO, closing=3600))
    assert (made.at_once, made.waited) == (at_once, waited)
    assert made.care == made.waited + EYES_WORTH * made.at_once + PLATE_WORTH * made.moved


def test_plates_are_left_on_the_bar_rather_than_a_few_seconds_saved() -> None:
    light, heavy = PlannedSet(40, 60, 600, rig=0), PlannedSet(40, 60, 600, rig=1)
    chains = (Chain("A", (light, light)), Chain("B", (heavy, heavy)))
    plates = ((0, 8), (8, 0))
    made = plan(Evening(chains, change=NO_TIME, moved=plates, closing=3600))
    assert (made.moved, made.waited) == (8, 0)
