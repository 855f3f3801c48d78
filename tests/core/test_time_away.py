"""Time away, of a lifter and of a lift that was left out: what comes off, and that it comes off once."""

from __future__ import annotations

from datetime import timedelta

import pytest

from floor.core.commands import Arrive, CloseSession, GiveProgramme, OpenSession, PlanNext
from floor.core.programme import evenings_between
from floor.core.state import NextPlan
from floor.core.timeaway import FORTNIGHT, LAY_OFF, after_lay_off, after_left_out, is_away
from tests.core.scenes import BENCH, RACK, SIX, Scene, belongs, evening, gym, kg, whole_set


def plan(scene: Scene, lift: str = "squat") -> NextPlan:
    return scene.state.lifters[1].plans[lift]


def pressed(scene: Scene, days: int, weeks: int) -> Scene:
    """Press evenings, one every so many days, over so many weeks; closed, no session open."""
    for _ in range(weeks * 7 // days):
        scene = scene.later(days=days).given(OpenSession(), Arrive(1, RACK))
        scene = scene.given(*(whole_set() for _ in scene.of(1).sets), CloseSession())
    return scene


def squatted(programme: str = "squat") -> Scene:
    """A squat evening at 100 kg, all made: 102.5 next."""
    scene = evening(belongs(1, programme, squat=100, press=40), Arrive(1, RACK))
    return scene.given(*(whole_set() for s in scene.of(1).sets if s.lift == "squat"), CloseSession())


@pytest.mark.parametrize(("days", "off"), [(0, 0), (13, 0), (14, 10), (59, 10), (60, 20), (179, 20), (180, 40)])
def test_the_longer_away_the_more_comes_off(days: int, off: int) -> None:
    assert after_lay_off(kg(100), SIX, SIX + timedelta(days=days)) == kg(100 - off)
    assert is_away(days) == (off > 0)


def test_without_a_history_nothing_comes_off() -> None:
    assert after_lay_off(kg(100), None, SIX) == kg(100)
    assert [days for days, _ in LAY_OFF] == sorted((days for days, _ in LAY_OFF), reverse=True)
    assert LAY_OFF[-1][0] == FORTNIGHT


def test_a_lift_left_out_for_months_starts_lighter_though_its_lifter_came_every_week() -> None:
    scene = pressed(squatted().given(GiveProgramme(1, "press", 0)), 7, 20).given(GiveProgramme(1, "squat", 0))
    scene = scene.later(days=2).given(OpenSession(), Arrive(1, RACK))
    assert (plan(scene).rule, plan(scene).load) == ("lay-off", kg(81.5))
    assert {s.load for s in scene.of(1).sets if s.role == "work"} == {kg(81.5)}


def test_it_comes_off_once_and_not_at_every_check_in() -> None:
    scene = squatted().given(GiveProgramme(1, "press", 0))
    assert plan(pressed(scene, 7, 3)).load == kg(92)
    assert plan(pressed(scene, 7, 6)).load == kg(92)
    assert plan(pressed(scene, 7, 9)).load <= kg(82)
    assert plan(pressed(scene, 7, 20)).load > kg(80)


def test_a_lift_that_comes_in_its_turn_has_not_been_left_out() -> None:
    """One evening a week on three days: the bench comes every third week, as its programme has it."""
    scene = evening(belongs(1, "three days", squat=60, bench=60), Arrive(1, RACK))
    for _ in range(7):
        station = scene.of(1).station
        scene = scene.given(*(whole_set(station) for _ in scene.of(1).sets), CloseSession()).later(days=7)
        scene = scene.given(OpenSession(), Arrive(1, BENCH if scene.state.lifters[1].day == 1 else RACK))
    assert "lay-off" not in (plan(scene).rule, plan(scene, "bench").rule)
    assert plan(scene, "bench").load > kg(60)


@pytest.mark.parametrize(("lift", "evenings"), [("squat", 2), ("bench", 3), ("press", 3)])
def test_a_programme_says_how_many_evenings_a_lift_may_be_away(lift: str, evenings: int) -> None:
    assert evenings_between(gym(), squatted("three days").state.lifters[1], lift) == evenings


def test_a_plan_the_coach_sets_counts_from_the_day_it_was_set() -> None:
    scene = pressed(squatted().given(GiveProgramme(1, "press", 0)), 7, 20)
    scene = scene.given(PlanNext(1, "squat", 3, 5, kg(95), sure=True), GiveProgramme(1, "squat", 0))
    assert plan(scene.later(days=2).given(OpenSession(), Arrive(1, RACK))).load == kg(95)
    assert plan(scene.later(days=15).given(OpenSession(), Arrive(1, RACK))).load < kg(95)


def test_the_longer_absence_counts_and_not_both() -> None:
    scene = squatted().later(days=30).given(OpenSession(), Arrive(1, RACK))
    assert plan(scene).load == kg(92)


def test_what_a_plan_has_lost_before_is_not_taken_again() -> None:
    done, now = SIX, SIX + timedelta(days=200)
    assert after_left_out(kg(100), done, done, 1, now) == kg(60)
    assert after_left_out(kg(80), done, done + timedelta(days=70), 1, now) == kg(60)
    assert after_left_out(kg(60), done, done + timedelta(days=190), 1, now) == kg(60)


def test_the_eased_load_is_what_the_next_step_is_added_to() -> None:
    scene = squatted().later(days=30).given(OpenSession(), Arrive(1, RACK))
    scene = scene.given(*(whole_set() for _ in scene.of(1).sets), CloseSession())
    assert (plan(scene).rule, plan(scene).load) == ("all-made", kg(94.5))
