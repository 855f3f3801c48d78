"""Care: pain and its clearance, leaving, stopping everything, heights; and the standing facts."""

from __future__ import annotations

import pytest

from floor.core.commands import (
    AllMade,
    Arrive,
    BringRoster,
    ChangeLoad,
    ClearPain,
    CloseSession,
    Command,
    CountRep,
    DrillFault,
    DrillRep,
    EndSet,
    GiveProgramme,
    JoinLifter,
    Leave,
    NoteIncident,
    OpenSession,
    PlanNext,
    RampDone,
    ReportPain,
    ResumeAll,
    RosterRow,
    SeeFault,
    SetHeights,
    SetStage,
    StartDrill,
    StartSet,
    StopAll,
)
from floor.core.gym import Grade
from floor.core.state import Heights
from tests.core.scenes import RACK, Scene, a_set, belongs, came, evening, kg, next_evening, ready

HELD = "{lifter} is held: pain was reported. Record the clearance first."


# --- pain


def test_pain_holds_every_lift_at_once() -> None:
    scene = evening(ready(squat=60)).when(ReportPain(1))
    assert scene.kinds == ("pain_reported", "station_cleared")
    assert scene.state.lifters[1].held
    assert scene.when(StartSet(RACK)).why.startswith("Nobody is up here")
    for wish in (RampDone(1), ChangeLoad(1, kg(40))):
        assert scene.when(wish).why == HELD


def test_pain_in_the_middle_of_a_set_ends_it_as_it_stands_and_ungraded() -> None:
    scene = evening(ready(squat=60)).given(StartSet(RACK), CountRep(RACK, True)).when(ReportPain(1))
    ended = scene.event("set_ended")
    assert (ended.reps, ended.grade, ended.rule) == (1, Grade.UNSEEN, "cut-short")
    assert scene.event("pain_reported").lift == "squat"
    assert scene.of(1).running() is None


def test_a_set_cut_short_by_pain_is_not_followed_by_as_much_even_once_cleared() -> None:
    scene = evening(ready(squat=60)).given(StartSet(RACK), CountRep(RACK, True), ReportPain(1), ClearPain(1))
    assert scene.coming(1).load == kg(54)
    fault = evening(ready(squat=60)).given(StartSet(RACK), CountRep(RACK, True), SeeFault(RACK, "x"), ReportPain(1))
    assert fault.given(ClearPain(1)).of(1).pending() is None


def test_pain_holds_over_sessions_until_it_is_cleared() -> None:
    scene = next_evening(evening(ready(squat=60), ReportPain(1))).when(Arrive(1, RACK))
    assert scene.kinds == ("lifter_arrived",)
    assert scene.state.lifters[1].held
    scene = scene.when(ClearPain(1))
    assert not scene.state.lifters[1].held
    assert scene.promised(RACK) == (1, None)


def test_after_the_clearance_the_load_is_not_more_than_before_the_pain() -> None:
    scene = next_evening(evening(ready(squat=60), a_set(), ReportPain(1))).given(Arrive(1, RACK), ClearPain(1))
    assert [s.load for s in scene.of(1).sets if s.role == "work"] == [kg(54)] * 3


def test_time_held_is_time_away_however_often_the_lifter_looked_in() -> None:
    scene = evening(ready(squat=100), a_set(), ReportPain(1))
    for _ in range(7):
        scene = next_evening(scene, days=10).given(Arrive(1, RACK))
    tonight = scene.when(ClearPain(1))
    assert tonight.event("next_planned").rule == "lay-off"
    assert [s.load for s in tonight.of(1).sets if s.role == "work"][0] == kg(72)  # a fifth off 90
    elsewhere = scene.given(CloseSession(), ClearPain(1)).later(days=3).given(OpenSession()).when(Arrive(1, RACK))
    assert [s.load for s in elsewhere.of(1).sets if s.role == "work"][0] == kg(72)


def test_eased_once_after_pain_is_not_eased_again_next_time() -> None:
    scene = next_evening(evening(ready(squat=100), ReportPain(1)), days=70).given(Arrive(1, RACK), ClearPain(1))
    scene = next_evening(scene).when(Arrive(1, RACK))
    assert "next_planned" not in scene.kinds


def test_pain_and_clearance_are_for_known_lifters_and_once() -> None:
    scene = evening(came(squat=60))
    assert scene.when(ClearPain(1)).why == "{lifter} is not held."
    assert scene.when(ReportPain(9)).why == "Nobody with that number belongs to the gym."
    assert scene.given(ReportPain(1)).when(ReportPain(1)).why == "{lifter} is held already."


def test_pain_told_between_sessions_holds_as_well() -> None:
    scene = Scene().given(belongs(1, squat=60), ReportPain(1), OpenSession()).when(Arrive(1, RACK))
    assert scene.of(1).sets == ()


def test_a_held_lifter_sits_the_group_drill_out() -> None:
    scene = evening(came(squat=60), ReportPain(1), StartDrill("squat", 1), DrillRep()).when(DrillFault(1, "d"))
    assert scene.refusal is not None and "held" in scene.refusal.why



# --- leaving


def test_leaving_in_the_middle_of_a_set_ends_it_as_it_stands() -> None:
    scene = evening(ready(1, squat=60), ready(2, squat=80)).given(StartSet(RACK), CountRep(RACK, True)).when(Leave(1))
    assert scene.kinds[:2] == ("set_ended", "lifter_left")
    assert scene.event("set_ended").grade == Grade.UNSEEN
    assert scene.promised(RACK) == (2, None)
    assert scene.when(Leave(1)).why == "{lifter} has left."


# --- stop everything


def test_stopping_everything_lets_no_set_start_and_the_record_goes_on() -> None:
    scene = evening(ready(1, squat=60), ready(2, squat=80)).given(StartSet(RACK), CountRep(RACK, True), StopAll())
    assert "Everything is stopped" in scene.when(AllMade(RACK)).why, "nobody's reps are made by one key"
    scene = scene.given(CountRep(RACK, True), EndSet(RACK))
    assert scene.when(StartSet(RACK)).why == "Everything is stopped: ! goes on."
    assert scene.when(StartDrill("clean", 1)).why == "Everything is stopped: ! goes on."
    assert scene.when(StopAll()).why == "Everything is stopped already."
    assert scene.given(ResumeAll(), StartSet(RACK)).of(2).running() is not None


def test_nothing_goes_on_that_was_not_stopped() -> None:
    assert evening().when(ResumeAll()).why == "Nothing is stopped."
    assert Scene().when(StopAll()).why == "No session is open."


def test_an_incident_is_counted() -> None:
    assert evening(came()).given(NoteIncident(1)).state.evening.incidents == 1


# --- heights


def test_a_height_set_later_leaves_the_others_as_they_were() -> None:
    scene = evening(came()).given(SetHeights(1, "squat", safety=4), SetHeights(1, "squat", rack=11))
    assert scene.state.lifters[1].heights["squat"] == Heights(rack=11, safety=4)
    scene = scene.given(SetHeights(1, "squat", safety=5))
    assert scene.state.lifters[1].heights["squat"] == Heights(rack=11, safety=5)


# --- standing facts: who and what has to be known


@pytest.mark.parametrize(
    ("command", "why"),
    [
        (SetHeights(9, "squat", rack=3), "Nobody with that number belongs to the gym."),
        (SetHeights(1, "yoke", rack=3), "The gym has no lift called yoke."),
        (SetHeights(1, "squat"), "Give at least one height: a hole number for rack, safeties or bench."),
        (SetHeights(1, "squat", rack=100), "A height is a hole number from 0 to 99."),
        (SetStage(9, "clean", 1), "Nobody with that number belongs to the gym."),
        (SetStage(1, "clean", 99), "That lift has no such stage."),
        (PlanNext(9, "squat", 3, 5, kg(60)), "Nobody with that number belongs to the gym."),
        (PlanNext(1, "yoke", 3, 5, kg(60)), "The gym has no lift called yoke."),
        (PlanNext(1, "squat", 0, 5, kg(60)), "A plan needs at least one set of one rep, and a load."),
        (GiveProgramme(9, "squat"), "Nobody with that number belongs to the gym."),
        (JoinLifter(1), "{lifter} already belongs to the gym."),
        (BringRoster((), ()), "The roster holds no lines: nothing was taken."),
        (BringRoster((RosterRow(9, "squat", 3, 5, kg(60)),), ()), "Nobody with that number belongs to the gym."),
        (
            BringRoster((RosterRow(1, "squat", 3, 5, kg(60)),), (1,)),
            "{lifter} already belongs to the gym: nothing was taken.",
        ),
        (
            BringRoster((RosterRow(1, "yoke", 3, 5, kg(60)),), ()),
            "The gym has no lift called yoke: nothing was taken.",
        ),
    ],
)
def test_what_nobody_knows_is_refused(command: Command, why: str) -> None:
    assert Scene().given(JoinLifter(1)).when(command).why == why


def test_an_unknown_programme_is_refused_with_the_ones_there_are() -> None:
    why = Scene().given(JoinLifter(1)).when(GiveProgramme(1, "marathon")).why
    assert why.startswith("The gym has no programme called marathon. It has: ") and "squat" in why
    assert Scene().when(JoinLifter(1, programme="marathon")).why == why


def test_a_roster_brings_new_lifters_and_their_loads() -> None:
    rows = (RosterRow(1, "squat", 3, 5, kg(60)), RosterRow(1, "press", 3, 6, kg(30)))
    scene = Scene().given(BringRoster(rows, (1,)))
    assert {lift: p.load for lift, p in scene.state.lifters[1].plans.items()} == {"squat": kg(60), "press": kg(30)}
