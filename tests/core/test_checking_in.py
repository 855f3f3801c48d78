"""Coming in: tonight's sets come from the programme and from last time."""

from __future__ import annotations

from dataclasses import replace

from floor.core.commands import Arrive, CloseSession, ExpectLate, GiveProgramme, JoinLifter, Leave, OpenSession
from floor.core.gym import Entry, Programme
from floor.core.programme import left_out
from floor.core.state import State
from tests.core.scenes import (
    BENCH,
    PLATFORM,
    RACK,
    Scene,
    a_set,
    belongs,
    came,
    evening,
    gym,
    kg,
    next_evening,
    ready,
    whole_set,
)


def plan(scene: Scene, lifter: int = 1) -> list[tuple[str, str, int, int]]:
    return [(s.lift, s.role, s.reps, s.load) for s in scene.of(lifter).sets]


def test_the_ramp_rises_to_the_work_sets_of_last_time() -> None:
    scene = evening(came(squat=60))
    assert plan(scene) == [
        ("squat", "ramp", 5, kg(20)),
        ("squat", "ramp", 5, kg(40)),
        ("squat", "work", 5, kg(60)),
        ("squat", "work", 5, kg(60)),
        ("squat", "work", 5, kg(60)),
    ]
    assert [s.no for s in scene.of(1).sets] == [1, 2, 3, 4, 5]


def test_a_long_ramp_keeps_the_lightest_and_the_last_three_and_the_heavy_ones_are_doubles() -> None:
    ramp = [(reps, load) for _, role, reps, load in plan(evening(came(squat=140))) if role == "ramp"]
    assert ramp == [(5, kg(20)), (5, kg(80)), (5, kg(100)), (2, kg(120))]


def test_a_lift_never_done_starts_at_the_gyms_load_and_builds() -> None:
    assert plan(evening(came(programme="press"))) == [("press", "build", 6, kg(20))] * 3


def test_the_load_that_cannot_be_built_is_the_next_one_below() -> None:
    assert plan(evening(came(squat=60.3)))[-1][3] == kg(60)


def test_without_a_programme_the_roster_says_what_is_lifted() -> None:
    scene = Scene().given(belongs(1, "", squat=50), GiveProgramme(1, ""), OpenSession(), Arrive(1, RACK))
    assert plan(scene)[-3:] == [("squat", "work", 5, kg(50))] * 3


def test_with_neither_programme_nor_plan_nothing_is_planned_and_the_lifter_is_here() -> None:
    scene = evening(belongs(1, "squat"), GiveProgramme(1, "")).when(Arrive(1, RACK))
    assert scene.kinds == ("lifter_arrived",)
    assert scene.promised(RACK) == (None, None)
    assert scene.given(CloseSession()).state.lifters[1].day == 0


def test_a_lift_no_station_can_take_is_left_out_and_named() -> None:
    bare = replace(gym(), stations=gym().stations[:2])
    scene = Scene(State(gym=bare)).given(belongs(1, "squat-bench", squat=30), OpenSession(), Arrive(1, RACK))
    assert {s.lift for s in scene.of(1).sets} == {"squat"}
    assert left_out(bare, scene.state.lifters[1]) == ("bench",)
    assert left_out(gym(), scene.state.lifters[1]) == ()


def test_a_lift_the_gym_no_longer_teaches_is_left_out() -> None:
    odd = replace(gym(), programmes={"odd": Programme("odd", "odd", ((Entry("snatch", 3, 2), Entry("squat", 1, 5)),))})
    scene = Scene(State(gym=odd)).given(JoinLifter(1, False, "odd"), OpenSession(), Arrive(1, RACK))
    assert {s.lift for s in scene.of(1).sets} == {"squat"}
    assert left_out(odd, scene.state.lifters[1]) == ("snatch",)


def test_only_lifts_that_cannot_be_done_here_plan_nothing() -> None:
    bare = replace(gym(), stations=gym().stations[:2])
    scene = Scene(State(gym=bare)).given(belongs(1, "bench"), OpenSession()).when(Arrive(1, RACK))
    assert scene.kinds == ("lifter_arrived",)


def test_a_walk_in_joins_and_checks_in_by_one_command_on_the_gyms_programme() -> None:
    scene = evening().when(Arrive(7, RACK, new=True, youth=True))
    assert scene.kinds[:4] == ("lifter_joined", "programme_given", "lifter_arrived", "set_planned")
    assert scene.state.lifters[7].youth and scene.state.lifters[7].programme == "squat"


def test_whoever_is_expected_late_is_no_longer_late_once_here() -> None:
    scene = evening(belongs(1)).given(ExpectLate(1))
    assert set(scene.state.evening.late) == {1}
    assert scene.given(Arrive(1, RACK)).state.evening.late == {}


def test_a_lifter_is_sent_where_the_first_lift_can_be_done() -> None:
    scene = evening(belongs(1, "bench")).when(Arrive(1, RACK))
    moved = scene.event("lifter_moved")
    assert (moved.station, moved.rule) == (BENCH, "needs-bench")
    assert scene.promised(BENCH) == (1, None)


def test_of_two_racks_the_one_with_fewer_waiting_is_chosen() -> None:
    two = replace(gym(), stations=(*gym().stations, replace(gym().stations[0], id=4, name="Second rack")))
    scene = Scene(State(gym=two)).given(OpenSession(), came(1, RACK), belongs(2)).when(Arrive(2, PLATFORM))
    assert scene.event("lifter_moved").station == 4


# --- time away


def eased(days: int, load: float = 100) -> tuple[int, list[int]]:
    scene = next_evening(evening(ready(squat=load), a_set(), a_set(), a_set()), days=days).given(Arrive(1, RACK))
    before = evening(ready(squat=load), a_set(), a_set(), a_set()).given(CloseSession())
    return before.state.lifters[1].plans["squat"].load, [s.load for s in scene.of(1).sets if s.role == "work"]


def test_under_two_weeks_away_nothing_comes_off() -> None:
    was, loads = eased(13)
    assert loads == [was] * 3 == [kg(102.5)] * 3


def test_after_two_weeks_a_tenth_comes_off_after_two_months_a_fifth_after_half_a_year_two_fifths() -> None:
    assert eased(14)[1][0] == kg(92)  # 92.25 cannot be built
    assert eased(60)[1][0] == kg(82)
    assert eased(180)[1][0] == kg(61.5)


def test_after_time_away_the_next_step_builds_on_the_eased_load_and_does_not_jump_back() -> None:
    back = next_evening(evening(ready(squat=97.5), a_set(), a_set(), a_set()), days=60)
    back = back.given(Arrive(1, RACK), whole_set(), whole_set(), whole_set(), whole_set())
    done = [s for s in back.of(1).sets if s.role == "work"]
    back = back.given(*(whole_set() for s in done if s.status == "planned"), CloseSession())
    assert back.state.lifters[1].plans["squat"].load == kg(82.5)


def test_after_time_away_the_lifts_of_the_other_days_are_eased_too() -> None:
    away = evening(ready(programme="three days", squat=100, bench=60), a_set(), a_set(), a_set())
    back = next_evening(away, days=60).when(Arrive(1, BENCH))
    eased = {e.lift: (e.was, e.load, e.rule) for e in back.events if e.kind == "next_planned"}
    assert eased == {"squat": (kg(102.5), kg(82), "lay-off"), "bench": (kg(60), kg(48), "lay-off")}
    assert next_evening(back).given(Arrive(1, BENCH)).coming(1).lift == "bench"


def test_the_bar_alone_cannot_be_eased_below_the_lightest_bar() -> None:
    scene = next_evening(evening(belongs(1, squat=10), Arrive(1, RACK)), days=90).given(Arrive(1, RACK))
    assert scene.coming(1).load == kg(10)


# --- refusals


def test_nobody_checks_in_twice_or_comes_back_after_leaving() -> None:
    scene = evening(came(1))
    assert scene.when(Arrive(1, RACK)).why == "{lifter} is here already."
    assert scene.given(Leave(1)).when(Arrive(1, RACK)).why.startswith("{lifter} has left for today")


def test_check_in_needs_a_session_a_station_and_somebody_known() -> None:
    scene = Scene().given(belongs(1))
    assert scene.when(Arrive(1, RACK)).why == "No session is open."
    assert scene.when(ExpectLate(1)).why == "No session is open."
    scene = scene.given(OpenSession())
    assert scene.when(Arrive(1, 9)).why == "The gym has no station 9."
    assert scene.when(Arrive(8, RACK)).why == "Nobody with that number belongs to the gym."
    assert scene.when(ExpectLate(8)).why == "Nobody with that number belongs to the gym."
    assert scene.when(Arrive(1, RACK, new=True)).why == "{lifter} already belongs to the gym."
    assert scene.when(OpenSession()).why == "A session is open already."


def test_a_gym_without_a_station_opens_no_session() -> None:
    assert "no station" in Scene(State(gym=replace(gym(), stations=()))).when(OpenSession()).why
