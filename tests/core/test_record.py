"""The record made whole afterwards, and put right: late sets, wrong reps, a fault that was none."""

from __future__ import annotations

from datetime import timedelta

import pytest

from floor.core.commands import (
    AllMade,
    ChangeLoad,
    ClearPain,
    Command,
    EndSet,
    Leave,
    Overrule,
    PutRight,
    RampDone,
    RecordWhole,
    ReportPain,
    SetStage,
    StartSet,
)
from floor.core.gym import Grade
from floor.core.rests import last_lifted, ready_at
from floor.core.state import DROPPED, PLANNED
from tests.core.scenes import PLATFORM, RACK, Scene, a_set, came, evening, gym, kg, ready

DEEP, KNEES, FOLD = "not-deep-enough", "knees-caving-in", "folding-under-the-bar"


def squat() -> Scene:
    """One squatter past the ramp, 3 x 5 at 60 kg: sets 3, 4 and 5."""
    return evening(ready(squat=60))


# --- late sets


def test_a_set_nobody_watched_is_on_record_as_done_and_not_as_sharp() -> None:
    scene = squat().when(RecordWhole(1, 3, 5))
    recorded = scene.event("set_recorded")
    assert (recorded.reps, recorded.grade, recorded.load) == (5, Grade.UNSEEN, kg(60))
    assert scene.event("set_proposed").rule == "unseen-keeps"


def test_three_late_sets_in_a_row_are_three_sets_with_their_own_times() -> None:
    scene = squat()
    for ago, no in ((400, 3), (200, 4), (20, 5)):
        scene = scene.given(RecordWhole(1, no, 5, grade=Grade.SOUND, seconds=ago), every=1)
    done = scene.of(1).sets[2:]
    assert [s.grade for s in done] == [Grade.SOUND] * 3
    assert [(scene.now - s.down).seconds for s in done if s.down] == [402, 201, 20]
    assert scene.of(1).turns == 3
    assert scene.of(1).pending() is None


def test_the_late_set_stands_in_for_the_ramp_before_it() -> None:
    scene = evening(came(squat=60)).when(RecordWhole(1, 3, 5, grade=Grade.SHARP, seconds=90))
    assert scene.kinds[:2] == ("ramp_done", "set_recorded")
    assert [s.status for s in scene.of(1).sets[:3]] == ["done"] * 3


def test_rest_counts_from_when_the_bar_was_down_and_not_from_the_key() -> None:
    scene = evening(came(squat=60)).given(RecordWhole(1, 3, 5, seconds=90))
    done = last_lifted(scene.of(1))
    assert done is not None and done.no == 3
    assert ready_at(gym(), scene.of(1)) == scene.now + timedelta(seconds=180 - 90)


def test_a_late_set_takes_its_faults_and_the_rules_hear_of_them() -> None:
    scene = squat().when(RecordWhole(1, 3, 5, grade=Grade.BROKEN, faults=((4, KNEES),)))
    assert (scene.event("fault_seen").rep, scene.event("set_proposed").rule) == (4, "broken-set")
    assert scene.coming(1).load == kg(54)
    stopped = squat().given(RecordWhole(1, 3, 5, grade=Grade.SHARP, faults=((0, FOLD),)))
    assert stopped.of(1).pending() is None


def test_the_bar_is_left_as_the_late_set_had_it_unless_another_set_is_on_it() -> None:
    assert squat().given(RecordWhole(1, 3, 5)).state.evening.stations[RACK].stack == ("20",)
    busy = evening(ready(1, squat=80), ready(2, squat=60)).given(StartSet(RACK))
    assert busy.state.evening.stations[RACK].stack == ("20", "10")
    late = busy.given(RecordWhole(2, 3, 5))
    assert late.state.evening.stations[RACK].stack == ("20", "10")
    assert late.promised(RACK)[0] == 1


def test_the_bar_is_the_later_lifters_when_an_older_set_is_recorded() -> None:
    scene = evening(ready(1, squat=80), ready(2, squat=60)).given(a_set())
    assert scene.given(RecordWhole(2, 3, 5, seconds=300)).state.evening.stations[RACK].stack == ("20", "10")


def test_another_load_is_recorded_as_it_was_and_says_nothing_about_the_bar() -> None:
    recorded = squat().when(RecordWhole(1, 3, 5, load=kg(57.3))).event("set_recorded")
    assert (recorded.load, recorded.was, recorded.bar) == (kg(57.3), kg(60), None)


def test_a_load_that_cannot_be_built_is_not_planned_again() -> None:
    scene = squat().given(RecordWhole(1, 3, 5, grade=Grade.ROUGH, load=kg(57.3)))
    assert scene.coming(1).load == kg(57)


def test_a_late_set_has_to_be_one() -> None:
    scene = squat().given(RecordWhole(1, 3, 5))
    assert scene.when(RecordWhole(1, 3, 5)).why == "That set is recorded already: put it right instead."
    assert scene.when(RecordWhole(1, 9, 5)).why
    assert scene.when(RecordWhole(2, 3, 5)).why == "{lifter} did not come tonight."
    assert scene.when(RecordWhole(1, 4, 0)).why.startswith("Say how many reps")
    assert scene.when(RecordWhole(1, 4, -1, 3)).why.startswith("Say how many reps")
    assert scene.when(RecordWhole(1, 4, 5, load=0)).why == "That is lighter than the lightest bar in the gym."
    assert scene.when(RecordWhole(1, 4, 5, seconds=-5)).why.startswith("Say how many seconds ago")
    assert scene.when(RecordWhole(1, 4, 5, faults=((1, "slept"),))).why == "The squat has no fault called slept."
    assert scene.when(RecordWhole(1, 4, 5, faults=((6, DEEP),))).why == "There is no rep 6 in that set: it has 5."
    assert "already" in scene.when(RecordWhole(1, 4, 5, faults=((1, DEEP), (1, DEEP)))).why
    assert scene.given(StartSet(RACK)).when(RecordWhole(1, 5, 5)).why.startswith("{lifter} is lifting")
    assert squat().given(a_set(faults="x")).when(RecordWhole(1, 5, 5)).why == "That set was taken off tonight."


def test_one_who_has_left_can_still_be_recorded() -> None:
    assert squat().given(Leave(1), RecordWhole(1, 3, 5)).of(1).sets[2].status == "done"


def test_a_late_set_of_a_held_lifter_is_recorded_and_only_takes_load_off() -> None:
    held = squat().given(ReportPain(1))
    assert "set_proposed" not in held.given(RecordWhole(1, 3, 5, grade=Grade.SHARP, sure=True)).kinds
    rough = held.given(RecordWhole(1, 3, 5, grade=Grade.BROKEN, sure=True), ClearPain(1))
    assert rough.coming(1).load == kg(54)
    ended = held.given(RecordWhole(1, 3, 5, faults=((5, FOLD),), sure=True), ClearPain(1))
    assert ended.of(1).pending() is None


# --- ramp done


def test_one_word_ticks_off_the_whole_ramp_unwatched() -> None:
    scene = evening(came(programme="squat-press", squat=60, press=40)).given(RampDone(1))
    assert [(s.lift, s.status) for s in scene.of(1).sets if s.role == "ramp"] == [
        ("squat", "done"), ("squat", "done"), ("press", PLANNED), ("press", PLANNED),
    ]  # fmt: skip
    assert {s.grade for s in scene.of(1).sets if s.status == "done"} == {Grade.UNSEEN}
    assert scene.of(1).turns == 0


def test_what_was_seen_in_the_ramp_still_counts_when_the_rest_is_done_unwatched() -> None:
    scene = evening(came(squat=60)).given(a_set(grade=Grade.ROUGH), RampDone(1))
    assert scene.coming(1).load == kg(20)
    good = evening(came(squat=60)).given(a_set(), RampDone(1))
    assert good.coming(1).load == kg(60)


def test_without_a_ramp_set_left_there_is_no_ramp_to_be_done() -> None:
    assert squat().when(RampDone(1)).why == "{lifter} has no ramp set left on this lift."


# --- put right


def after(*sets: tuple[Command, ...]) -> Scene:
    return squat().given(*sets)


def test_wrong_reps_are_put_right_and_the_proposal_is_made_again() -> None:
    scene = after(a_set()).when(PutRight(1, 3, made=3, missed=2))
    assert scene.event("set_put_right").reps == 3
    assert scene.event("set_proposed").rule == "two-reps-short"
    assert scene.of(1).sets[2].made == 3
    assert scene.coming(1).load == kg(54)


def test_a_wrong_load_is_put_right_for_that_set_alone() -> None:
    scene = after(a_set()).given(PutRight(1, 3, load=kg(50)))
    assert [s.load for s in scene.of(1).sets[2:]] == [kg(50), kg(60), kg(60)]


def test_a_wrong_grade_put_right_gives_the_planned_load_back() -> None:
    scene = after(a_set(grade=Grade.BROKEN))
    assert scene.coming(1).load == kg(54)
    scene = scene.when(PutRight(1, 3, grade=Grade.SHARP))
    assert (scene.event("set_proposed").rule, scene.coming(1).load) == ("as-planned", kg(60))


def test_an_older_set_put_right_leaves_the_last_proposal_alone() -> None:
    scene = after(a_set(), a_set(grade=Grade.BROKEN)).when(PutRight(1, 3, made=4, missed=1))
    assert scene.kinds[0] == "set_put_right"
    assert "set_proposed" not in scene.kinds


def test_a_fault_added_to_the_last_set_is_heard_by_the_rules() -> None:
    scene = after(a_set()).when(PutRight(1, 3, add=((2, KNEES),)))
    assert (scene.event("fault_seen").rep, scene.event("set_proposed").rule) == (2, "lighten-fault")


def test_a_fault_withdrawn_from_the_last_set_offers_the_proposal_again() -> None:
    scene = after(a_set(faults="k", grade=Grade.SHARP)).when(PutRight(1, 3, withdraw=((5, KNEES),)))
    assert (scene.event("fault_withdrawn").rep, scene.event("set_proposed").rule) == (5, "as-planned")
    assert [s.load for s in scene.of(1).sets[3:]] == [kg(60), kg(60)]


def test_a_stop_is_lifted_when_the_dangerous_fault_is_withdrawn() -> None:
    scene = after(a_set(faults="x", grade=Grade.SHARP))
    assert {s.status for s in scene.of(1).sets[3:]} == {DROPPED}
    scene = scene.given(PutRight(1, 3, withdraw=((5, FOLD),)))
    assert {s.status for s in scene.of(1).sets[3:]} == {PLANNED}
    assert scene.of(1).stopped == {}
    assert scene.promised(RACK)[0] == 1


def test_a_stop_in_the_ramp_is_lifted_for_every_set() -> None:
    scene = evening(came(squat=60)).given(a_set(faults="x", grade=Grade.SHARP), PutRight(1, 1, withdraw=((5, FOLD),)))
    assert [(s.status, s.load) for s in scene.of(1).sets[1:]] == [(PLANNED, kg(n)) for n in (40, 60, 60, 60)]


def test_a_dangerous_fault_found_in_an_older_set_stops_the_lift() -> None:
    scene = after(a_set(), a_set()).when(PutRight(1, 3, add=((1, FOLD),)))
    assert scene.event("set_proposed").rule == "dangerous-fault"
    assert scene.of(1).pending() is None
    again = scene.given(PutRight(1, 4, made=4, missed=1))
    assert again.of(1).pending() is None  # the reason for the stop still stands
    lifted = scene.given(PutRight(1, 3, withdraw=((1, FOLD),)))
    assert lifted.coming(1).no == 5


def test_a_stage_down_is_taken_back_with_the_fault_that_made_it() -> None:
    who = came(1, PLATFORM, "clean", clean=30)
    scene = evening(who[:-1], SetStage(1, "clean", 4), who[-1], RampDone(1))
    scene = scene.given(a_set(PLATFORM, made=3, faults="a"), a_set(PLATFORM, made=3, faults="a", grade=Grade.SHARP))
    assert scene.coming(1).stage == 3
    assert scene.given(PutRight(1, 3, withdraw=((3, "arms-bent-early"),))).coming(1).stage == 4


def test_a_bad_ramp_set_recorded_ahead_holds_the_one_left_behind() -> None:
    scene = evening(came(squat=60)).given(RecordWhole(1, 2, 5, grade=Grade.ROUGH, load=kg(10)))
    assert [s.load for s in scene.of(1).sets[:3]] == [kg(10), kg(10), kg(60)]
    assert scene.coming(1).no == 1


def test_a_load_by_hand_is_not_undone_by_putting_a_set_right() -> None:
    scene = after(a_set(grade=Grade.BROKEN)).given(ChangeLoad(1, kg(40)), PutRight(1, 3, grade=Grade.SHARP))
    assert scene.coming(1).load == kg(40)


def test_an_overruled_load_is_no_higher_after_a_set_is_put_right_to_broken() -> None:
    scene = after(a_set(grade=Grade.ROUGH)).given(Overrule(1, "squat", "add", sure=True))
    assert scene.coming(1).load == kg(62.5)
    assert scene.given(PutRight(1, 3, grade=Grade.BROKEN)).coming(1).load == kg(54)


def test_a_set_put_right_while_the_next_one_runs_changes_the_ones_after_it() -> None:
    scene = after(a_set()).given(StartSet(RACK), PutRight(1, 3, grade=Grade.BROKEN))
    assert [s.load for s in scene.of(1).sets[3:]] == [kg(60), kg(54)]
    assert scene.given(AllMade(RACK), EndSet(RACK)).coming(1).load == kg(54)


def test_a_ramp_set_put_right_speaks_for_the_next_ramp_set() -> None:
    scene = evening(came(squat=60)).given(a_set(), PutRight(1, 1, grade=Grade.ROUGH))
    assert [s.load for s in scene.of(1).sets] == [kg(20), kg(20), kg(60), kg(60), kg(60)]


@pytest.mark.parametrize(
    ("wrong", "why"),
    [
        (PutRight(1, 4), "Only a set that is recorded can be put right."),
        (PutRight(2, 3), "{lifter} did not come tonight."),
        (PutRight(1, 3), "Nothing was changed."),
        (PutRight(1, 3, made=5, grade=Grade.SHARP), "Nothing was changed."),
        (PutRight(1, 3, withdraw=((1, DEEP),)), "That fault is not marked on that rep."),
        (PutRight(1, 3, add=((1, "slept"),)), "The squat has no fault called slept."),
        (PutRight(1, 3, add=((9, DEEP),)), "There is no rep 9 in that set: it has 5."),
        (PutRight(1, 3, load=-5), "That is lighter than the lightest bar in the gym."),
        (PutRight(1, 3, made=0, missed=0), "Say how many reps were made or missed: at least one."),
    ],
)
def test_what_cannot_be_put_right_says_why(wrong: PutRight, why: str) -> None:
    assert after(a_set()).when(wrong).why == why


def test_a_fault_marked_once_is_withdrawn_once() -> None:
    scene = after(a_set(faults="d"))
    assert scene.when(PutRight(1, 3, withdraw=((5, DEEP), (5, DEEP)))).why == "That fault is not marked on that rep."
    assert "already" in scene.when(PutRight(1, 3, add=((5, DEEP),))).why
