"""A set from the start to the grade, the rest after it, and the bar it is done with."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest

from floor.core.commands import (
    AllMade,
    Arrive,
    BarFound,
    ChangeLoad,
    CloseSession,
    CountRep,
    DrillRep,
    EndDrill,
    EndSet,
    OpenSession,
    RampDone,
    SeeFault,
    StartDrill,
    StartSet,
)
from floor.core.gym import Grade, Gym
from floor.core.rests import last_lifted, ready_at, rest_left
from floor.core.stacks import load_of
from floor.core.state import State
from tests.core.scenes import BENCH, PLATFORM, RACK, Scene, a_set, came, evening, gym, kg, ready


def on_the_bar() -> Scene:
    return evening(ready(squat=60)).given(StartSet(RACK))


def test_starting_a_set_says_who_with_what_on_which_bar() -> None:
    started = evening(ready(squat=60)).when(StartSet(RACK)).event("set_started")
    assert (started.lifter, started.lift, started.set_no, started.load) == (1, "squat", 3, kg(60))
    assert (started.bar, started.stack, started.was) == ("20", ("20",), None)


def test_the_bar_stays_loaded_after_the_set() -> None:
    scene = on_the_bar().given(AllMade(RACK), EndSet(RACK))
    assert scene.state.evening.stations[RACK].stack == ("20",)


def test_reps_are_counted_one_by_one_made_or_missed() -> None:
    scene = on_the_bar().given(CountRep(RACK, True), CountRep(RACK, True)).when(CountRep(RACK, False))
    assert scene.event("rep_missed").rep == 3
    running = scene.of(1).running()
    assert running is not None and (running.made, running.missed) == (2, 1)


def test_all_made_counts_only_the_reps_still_to_do() -> None:
    made = on_the_bar().given(CountRep(RACK, False), CountRep(RACK, True)).when(AllMade(RACK)).event("reps_made")
    assert (made.rep, made.reps) == (3, 3)
    assert on_the_bar().given(AllMade(RACK)).when(AllMade(RACK)).why.startswith("Every rep is counted")


def test_a_fault_belongs_to_the_rep_just_counted() -> None:
    seen = on_the_bar().given(CountRep(RACK, True), CountRep(RACK, True)).when(SeeFault(RACK, "d")).event("fault_seen")
    assert (seen.rep, seen.fault, seen.load) == (2, "not-deep-enough", kg(60))


def test_a_fault_is_marked_once_on_a_rep_and_again_on_the_next() -> None:
    scene = on_the_bar().given(CountRep(RACK, True), SeeFault(RACK, "d"))
    assert "already" in scene.when(SeeFault(RACK, "d")).why
    scene = scene.given(CountRep(RACK, True), SeeFault(RACK, "d"))
    assert scene.of(1).running().faults == ((1, "not-deep-enough"), (2, "not-deep-enough"))  # type: ignore[union-attr]


def test_a_letter_without_a_fault_is_refused() -> None:
    assert on_the_bar().when(SeeFault(RACK, "z")).why == "The squat has no fault on the letter z."


def test_the_grade_ends_the_set_and_the_turn() -> None:
    scene = on_the_bar().given(AllMade(RACK)).when(EndSet(RACK, Grade.SHARP))
    ended = scene.event("set_ended")
    assert (ended.reps, ended.missed, ended.load, ended.grade) == (5, 0, kg(60), Grade.SHARP)
    assert scene.of(1).turns == 1


def test_a_ramp_set_is_no_turn() -> None:
    assert evening(came(squat=60)).given(a_set()).of(1).turns == 0


def test_a_set_without_a_rep_is_not_graded() -> None:
    assert on_the_bar().when(EndSet(RACK, Grade.SHARP)).why.startswith("No rep is counted")


@pytest.mark.parametrize("command", [CountRep(RACK, True), AllMade(RACK), SeeFault(RACK, "d"), EndSet(RACK)])
def test_without_a_running_set_there_is_nothing_to_count(command: CountRep) -> None:
    assert evening(ready(squat=60)).when(command).why == "No set is running here: Enter starts it."


def test_one_set_at_a_time_at_a_station_and_any_number_of_stations_at_once() -> None:
    scene = evening(ready(squat=60), came(2, PLATFORM, "pull", deadlift=60), came(3, BENCH, "bench"))
    scene = scene.given(StartSet(RACK), StartSet(PLATFORM), StartSet(BENCH))
    assert scene.when(StartSet(RACK)).why == "A set is running here: grade it first."


def test_nothing_starts_where_nobody_is_or_where_there_is_no_station() -> None:
    assert evening().when(StartSet(RACK)).why.startswith("Nobody is up here")
    assert evening().when(StartSet(9)).why == "The gym has no station 9."
    assert Scene().when(StartSet(RACK)).why == "No session is open."


# --- rest


def test_rest_counts_from_the_last_rep_and_not_from_the_grade() -> None:
    scene = on_the_bar().given(AllMade(RACK))
    down = scene.now
    scene = scene.when(EndSet(RACK), after=45)
    assert scene.of(1).last_down() == down
    assert ready_at(gym(), scene.of(1)) == down + timedelta(seconds=180)
    assert rest_left(gym(), scene.of(1), scene.now) == 135


def test_rest_is_already_counted_while_the_full_set_waits_for_its_grade() -> None:
    scene = on_the_bar().given(AllMade(RACK)).later(seconds=30)
    assert rest_left(gym(), scene.of(1), scene.now) == 150


def test_a_set_not_finished_is_no_rest_yet() -> None:
    scene = on_the_bar().given(CountRep(RACK, True))
    assert scene.of(1).last_down() == evening(ready(squat=60)).of(1).last_down()


def test_rest_is_short_after_a_ramp_set_and_long_after_a_work_set() -> None:
    ramp = evening(came(squat=60)).given(a_set()[:-1])
    assert ready_at(gym(), ramp.of(1)) == ramp.now + timedelta(seconds=60)
    work = on_the_bar().given(AllMade(RACK))
    assert ready_at(gym(), work.of(1)) == work.now + timedelta(seconds=180)


def test_before_the_first_set_nobody_rests_and_afterwards_it_ends_at_nothing() -> None:
    assert ready_at(gym(), evening(came(squat=60)).of(1)) is None
    scene = on_the_bar().given(AllMade(RACK), EndSet(RACK))
    assert rest_left(gym(), scene.of(1), scene.now + timedelta(hours=1)) == 0
    almost = scene.now + timedelta(seconds=169, milliseconds=500)
    assert rest_left(gym(), scene.of(1), almost) == 1


def test_the_lift_last_put_down_is_the_one_rested_from() -> None:
    scene = evening(came(programme="squat-press", squat=20, press=20)).given(a_set(), a_set(), a_set(made=6))
    done = last_lifted(scene.of(1))
    assert done is not None and done.lift == "press"


# --- the load on the bar


def test_a_load_by_hand_is_for_all_the_work_sets_to_come() -> None:
    scene = evening(ready(squat=60)).given(a_set()).when(ChangeLoad(1, kg(55)))
    assert scene.event("load_changed").was == kg(60)
    assert [s.load for s in scene.of(1).sets if s.role == "work"] == [kg(60), kg(55), kg(55)]


def test_a_ramp_load_by_hand_is_for_that_ramp_set_only() -> None:
    scene = evening(came(squat=60)).given(ChangeLoad(1, kg(30), sure=True))
    assert [s.load for s in scene.of(1).sets] == [kg(30), kg(40), kg(60), kg(60), kg(60)]


def test_a_load_by_hand_is_built_from_below() -> None:
    assert evening(ready(squat=60)).when(ChangeLoad(1, kg(55.3))).event("load_changed").load == kg(55)


def test_rules_go_on_from_the_load_by_hand() -> None:
    scene = evening(ready(squat=60)).given(ChangeLoad(1, kg(50)), a_set(grade=Grade.BROKEN))
    assert scene.coming(1).load == kg(45)
    scene = evening(ready(squat=60)).given(ChangeLoad(1, kg(50)), a_set())
    assert scene.coming(1).load == kg(50)


def test_a_load_by_hand_has_to_be_one_and_another_one() -> None:
    scene = evening(ready(squat=60))
    assert scene.when(ChangeLoad(1, kg(5))).why == "That is lighter than the lightest bar in the gym."
    assert scene.when(ChangeLoad(1, kg(60))).why == "That is the load already."
    assert scene.given(StartSet(RACK)).when(ChangeLoad(1, kg(50))).why.startswith("{lifter} is lifting")
    done = scene.given(a_set(), a_set(), a_set())
    assert done.when(ChangeLoad(1, kg(50))).why == "{lifter} has no set left tonight."


def test_two_stations_share_the_plates_and_the_second_gets_what_is_left_below() -> None:
    scene = evening(came(1, PLATFORM, "pull", deadlift=260), came(2, RACK, "pull", deadlift=260))
    scene = scene.given(RampDone(1), RampDone(2), StartSet(PLATFORM)).when(StartSet(RACK))
    started = scene.event("set_started")
    assert started.load is not None and started.load < kg(260) and started.was == kg(260)
    assert started.bar and started.stack and load_of(gym(), started.bar, started.stack) == started.load
    stacks = [p for s in scene.state.evening.stations.values() for p in s.stack]
    assert all(stacks.count(p.id) <= p.pairs for p in gym().plates)


def test_the_bar_that_is_not_like_that_is_put_right_with_the_running_set() -> None:
    scene = on_the_bar().when(BarFound(RACK, kg(55)))
    assert scene.event("bar_found").stack is not None
    right = scene.event("set_put_right")
    assert (right.load, right.was) == (kg(55), kg(60))
    assert scene.given(AllMade(RACK), EndSet(RACK)).of(1).sets[2].load == kg(55)


def test_a_heavier_bar_than_thought_does_not_raise_the_next_set() -> None:
    scene = on_the_bar().given(BarFound(RACK, kg(70)), AllMade(RACK), EndSet(RACK, Grade.ROUGH))
    assert scene.coming(1).load == kg(60)


def test_a_bar_found_between_sets_is_only_noted() -> None:
    scene = evening(ready(squat=60)).when(BarFound(RACK, kg(40)))
    assert scene.kinds == ("bar_found",)
    assert scene.state.evening.stations[RACK].stack == ("10",)
    assert evening().when(BarFound(9, kg(40))).why == "The gym has no station 9."
    assert evening().when(BarFound(RACK, kg(40.3))).why
    assert Scene().when(BarFound(RACK, kg(40))).why == "No session is open."


# --- a gym that counts in pounds


def pounds() -> Gym:
    """The same gym with every number read as pounds: 45 lb bars, plates of 45, 25, 10, 5 and 2.5."""
    bar = replace(gym().bars[0], id="45", name="45 lb bar", mass=4500)
    sizes = {"25": 4500, "20": 3500, "15": 2500, "10": 1000, "5": 500, "2.5": 250}
    plates = tuple(replace(p, mass=sizes[p.id]) for p in gym().plates if p.id in sizes)
    lifts = {
        k: replace(x, start=4500, step=500, ramp=tuple(4500 * n for n in range(1, 6))) for k, x in gym().lifts.items()
    }
    stations = tuple(replace(s, bar="45") for s in gym().stations)
    return replace(gym(), unit="lb", bars=(bar,), plates=plates, lifts=lifts, stations=stations)


def test_a_gym_in_pounds_runs_the_same_evening_in_pounds() -> None:
    scene = Scene(State(gym=pounds())).given(OpenSession(), ready(squat=135), StartSet(RACK))
    started = scene.of(1).running()
    assert started is not None and started.load == 13_500
    scene = scene.given(AllMade(RACK), EndSet(RACK, Grade.BROKEN))
    assert scene.coming(1).load == 12_000  # 121.5 lb needs plates nobody has
    good = Scene(State(gym=pounds())).given(OpenSession(), ready(squat=135), a_set(), a_set(), a_set(), CloseSession())
    assert good.state.lifters[1].plans["squat"].load == 14_000


# --- the group drill


def test_a_group_drill_counts_reps_and_nobody_lifts_meanwhile() -> None:
    scene = evening(ready(squat=60)).given(StartDrill("clean", 2), DrillRep(), DrillRep())
    assert scene.state.evening.drill is not None and scene.state.evening.drill.reps == 2
    assert scene.when(StartSet(RACK)).why == "A group drill is on: end it first."
    assert scene.when(StartDrill("clean", 3)).why == "A group drill is on already."
    assert scene.given(EndDrill(), StartSet(RACK)).state.evening.drill is None


def test_a_drill_waits_for_the_running_set_and_needs_a_stage() -> None:
    assert on_the_bar().when(StartDrill("clean", 2)).why == "A set is running: end it before the group drill."
    assert evening().when(StartDrill("clean", 99)).why == "That lift has no such stage."
    assert evening().when(DrillRep()).why == "No group drill is on."
    assert evening().when(EndDrill()).why == "No group drill is on."


def test_the_close_ends_a_drill() -> None:
    scene = evening().given(StartDrill("clean", 1)).when(CloseSession())
    assert scene.kinds == ("drill_ended", "session_closed")


def test_checking_in_goes_on_during_a_drill() -> None:
    scene = evening(came(2), StartDrill("clean", 1)).given(came(1)[:-1], Arrive(1, RACK))
    assert scene.promised(RACK) == (2, 1)
