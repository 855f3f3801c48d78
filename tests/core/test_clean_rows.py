"""A stage shown over several evenings: where it asks for that, or where one evening of the programme is too short."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from floor.core.cleanrows import asks_earlier, earlier_row
from floor.core.commands import Arrive, Command, OpenSession, RampDone, SetStage
from floor.core.definitions import parse_gym
from floor.core.gym import Entry, Grade, Gym, Lift, Programme
from floor.core.past import SetPast
from floor.core.state import CleanRow, Lifter, State
from floor.core.teaching import shown
from floor.core.timeaway import FORTNIGHT
from floor.templates import templates
from tests.core.scenes import PLATFORM, Scene, a_set, belongs, gym, kg
from tests.core.test_teaching import one

CLEAN = gym().lifts["clean"]
TODAY = date(2025, 3, 17)


def past(day: int, *, stage: int = 9, reps: int = 2, missed: int = 0, faults: str = "", no: int = 1,
         grade: Grade = Grade.SHARP, role: str = "build") -> SetPast:
    """A set of the clean so many days before today; `faults` as letters, each on the first rep."""
    seen = tuple((1, fault.id) for letter in faults if (fault := CLEAN.fault_at(letter)))
    evening = TODAY - timedelta(days=day)
    return SetPast(100 - day, evening, 1, "clean", no, role, kg(30), reps, missed, grade, stage, seen)


def evening(day: int, sets: int = 3) -> tuple[SetPast, ...]:
    """An evening of clean doubles."""
    return tuple(past(day, no=n) for n in range(1, sets + 1))


def row(*sets: SetPast, stage: int = 9) -> CleanRow | None:
    return earlier_row(CLEAN, stage, sets, TODAY)


def with_evenings(lift: Lift, evenings: int) -> Lift:
    return replace(lift, stages=tuple(replace(s, evenings=evenings) if s.clean_reps else s for s in lift.stages))


# --- the row that the evenings before ended with


def test_clean_evenings_running_add_up() -> None:
    assert row(*evening(7)) == CleanRow(9, 6, 3, 1)
    assert row(*evening(14), *evening(7)) == CleanRow(9, 12, 6, 2)
    assert row() is None


def test_a_fault_ends_the_row_and_what_was_before_it() -> None:
    assert row(*evening(14), past(7, faults="a"), past(7, no=2)) == CleanRow(9, 3, 2, 1)  # the rep after it counts
    assert row(*evening(14), past(7), past(7, no=2, grade=Grade.BROKEN)) is None
    assert row(*evening(14), past(7, reps=1, missed=1)) is None


def test_time_away_ends_it() -> None:
    assert row(*evening(FORTNIGHT - 1)) == CleanRow(9, 6, 3, 1)
    assert row(*evening(FORTNIGHT)) is None
    assert row(*evening(7 + FORTNIGHT), *evening(7)) == CleanRow(9, 6, 3, 1)


def test_an_evening_on_another_stage_ends_it() -> None:
    assert row(*evening(14), past(7, stage=8)) is None
    assert row(past(7, stage=8), past(7, no=2), past(7, no=3)) == CleanRow(9, 4, 2, 1)


def test_evenings_nobody_watched_and_ramp_sets_say_nothing() -> None:
    assert row(*evening(10), past(5, grade=Grade.UNSEEN), past(5, no=2, role="ramp")) == CleanRow(9, 6, 3, 1)
    assert row(past(0)) is None  # today's own sets are not of an evening before


# --- whose evenings before count


def shipped() -> Gym:
    parsed = parse_gym(templates(), {name: 1 for name in ("equipment", "lifts", "programmes", "settings")}, "kg")
    assert isinstance(parsed, Gym)
    return parsed


def test_the_older_lifters_programme_can_show_every_stage_of_the_clean() -> None:
    found = shipped()
    day = next(n for n, d in enumerate(found.programmes["back"].days) if any(e.lift == "clean" for e in d))
    for stage in found.lifts["clean"].stages[:-1]:
        lifter = Lifter(1, programme="back", day=day, stages={"clean": stage.no})
        short = stage.clean_reps > 6  # three doubles an evening
        assert asks_earlier(found, lifter) == ((("clean", stage.no),) if short else ())
        tonight = [one(n, "++", stage=stage.no) for n in (1, 2, 3)]
        before = CleanRow(stage.no, 6, 3, 1) if short else None
        assert shown(found.lifts["clean"], tonight, before), stage.name


def test_where_an_evening_can_show_a_stage_the_ones_before_are_left_out() -> None:
    assert asks_earlier(shipped(), Lifter(1, programme="week3", stages={"clean": 9, "squat": 3, "press": 2})) == ()


def test_a_stage_that_asks_for_two_evenings_counts_them_whatever_the_programme() -> None:
    found = shipped()
    found = replace(found, lifts={**found.lifts, "clean": with_evenings(found.lifts["clean"], 2)})
    assert asks_earlier(found, Lifter(1, programme="week3", stages={"clean": 9})) == (("clean", 9),)
    assert asks_earlier(found, Lifter(1, programme="week3", stages={"clean": 11})) == ()


# --- what tonight makes of it


def test_one_evening_is_not_enough_for_a_stage_that_asks_for_two() -> None:
    two, tonight = with_evenings(CLEAN, 2), (one(1), one(2), one(3))
    assert shown(CLEAN, tonight) and not shown(two, tonight)
    assert shown(two, tonight, CleanRow(9, 3, 1, 1)) and not shown(two, tonight, CleanRow(8, 3, 1, 1))


def test_tonight_has_to_hold_some_of_it_and_nothing_may_break_it() -> None:
    before = CleanRow(9, 8, 3, 1)
    assert shown(CLEAN, (one(1),), before)
    assert not shown(CLEAN, (), before)
    assert not shown(CLEAN, (one(1, "-"),), before)
    assert not shown(CLEAN, (one(1, faults="a1"), one(2)), before)  # two clean reps since the fault, and two


@given(
    tonight=st.lists(st.tuples(st.sampled_from(["+++", "++-", "+"]), st.sampled_from(["", "a1", "o1"])), max_size=4),
    reps=st.integers(0, 20), sets=st.integers(0, 6), evenings=st.integers(1, 4), asked=st.integers(1, 3),
)
def test_more_evenings_asked_for_never_show_a_stage_sooner(
    tonight: list[tuple[str, str]], reps: int, sets: int, evenings: int, asked: int
) -> None:
    done = tuple(one(n, marks, faults) for n, (marks, faults) in enumerate(tonight, 1))
    before = CleanRow(9, reps, sets, evenings)
    if shown(with_evenings(CLEAN, asked), done, before):
        assert shown(CLEAN, done, before)
        assert done[-1].marks[-1], "the latest rep is clean"
    if shown(CLEAN, done):
        assert shown(CLEAN, done, before)


# --- frozen at arrival


def doubles(rows: tuple[tuple[str, CleanRow], ...]) -> Scene:
    """A lifter on stage 9 whose day is three doubles, checked in with what the record says."""
    day: tuple[Command, ...] = (*belongs(1, "doubles", clean=30), SetStage(1, "clean", 9))
    found = replace(gym(), programmes={"doubles": Programme("doubles", "doubles", ((Entry("clean", 3, 2, "build"),),))})
    return Scene(State(gym=found)).given(OpenSession(), day).when(Arrive(1, PLATFORM, rows=rows))


def test_what_the_record_says_is_written_down_once_at_arrival() -> None:
    scene = doubles((("clean", CleanRow(9, 6, 3, 1)),))
    event = scene.event("row_found")
    assert (event.lift, event.stage, event.reps, event.sets, event.count) == ("clean", 9, 6, 3, 1)
    assert scene.of(1).rows == {"clean": CleanRow(9, 6, 3, 1)}


@pytest.mark.parametrize(("before", "says"), [(6, True), (4, False)])
def test_the_second_evening_shows_what_one_could_not(before: int, says: bool) -> None:
    scene = doubles((("clean", CleanRow(9, before, 2, 1)),)).given(RampDone(1), a_set(PLATFORM, made=2))
    scene = scene.given(a_set(PLATFORM, made=2))
    assert (scene.event("set_proposed").rule == "stage-shown") is says
    assert says or scene.given(a_set(PLATFORM, made=2)).of(1).pending() is None
