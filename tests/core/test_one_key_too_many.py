"""One wrong key does no harm: what ends a set, what is asked twice, and what is not counted by mistake."""

from __future__ import annotations

from datetime import timedelta

import pytest

from floor.core.askfirst import rest_cut_short, uncounted
from floor.core.commands import (
    AllMade,
    ClearPain,
    Command,
    CountRep,
    EndSet,
    Leave,
    RampDone,
    RecordWhole,
    ReportPain,
    SeeFault,
    SetStage,
    StartSet,
)
from floor.core.gym import Grade
from floor.core.state import DONE, PLANNED, TheSet
from floor.core.words import command_words
from tests.core.scenes import PLATFORM, RACK, Scene, a_set, came, evening, ready

DANGEROUS = "x"
"""Folding under the bar: the squat's fault that ends the set."""
LIGHTER = "k"
"""Knees caving in: it asks for less load."""


def words(scene: Scene) -> str:
    return command_words(scene.events, scene.state.gym, {1: "Ada", 2: "Bo"})


def running(*then: Command) -> Scene:
    return evening(ready(squat=60)).given(StartSet(RACK), *then)


# --- a dangerous fault ends the set where it is


def test_after_a_dangerous_fault_the_rest_of_the_reps_are_never_called_made() -> None:
    scene = running(CountRep(RACK, True), CountRep(RACK, True), SeeFault(RACK, DANGEROUS))
    assert scene.when(AllMade(RACK)).why.startswith("{lifter}: dangerous, the set ends here")
    ended = scene.when(EndSet(RACK)).event("set_ended")
    assert (ended.reps, ended.missed, ended.grade) == (2, 0, Grade.BROKEN)
    assert scene.when(EndSet(RACK)).event("set_proposed").action == "stop"


def test_a_dangerous_fault_before_the_first_rep_ends_the_set_with_none() -> None:
    ended = running(SeeFault(RACK, DANGEROUS)).when(EndSet(RACK)).event("set_ended")
    assert (ended.reps, ended.missed, ended.grade) == (0, 0, Grade.BROKEN)


def test_a_rep_more_after_a_dangerous_fault_is_counted_only_on_a_sure_yes() -> None:
    scene = running(CountRep(RACK, True), SeeFault(RACK, DANGEROUS))
    for made in (True, False):
        asked = scene.when(CountRep(RACK, made))
        assert asked.refusal is not None and asked.refusal.unless_sure
        assert len(scene.given(CountRep(RACK, made, sure=True)).of(1).running().marks) == 2  # type: ignore[union-attr]


def test_a_young_lifters_set_ends_when_the_form_goes_and_is_never_called_all_made() -> None:
    scene = evening(ready(1, RACK, youth=True, squat=40)).given(StartSet(RACK), CountRep(RACK, True))
    gone = scene.given(SeeFault(RACK, LIGHTER))
    assert "young lifter's form went, the set ends here" in gone.when(AllMade(RACK)).why
    asked = gone.when(CountRep(RACK, True))
    assert asked.refusal is not None and asked.refusal.unless_sure
    ended = gone.when(EndSet(RACK)).event("set_ended")
    assert (ended.reps, ended.missed) == (1, 0)
    assert uncounted(gone.state.gym, running_set(gone), youth=True) == 0
    assert scene.given(SeeFault(RACK, "d"), AllMade(RACK)).of(1).running().full  # type: ignore[union-attr]


def test_a_grown_lifter_goes_on_after_the_same_fault() -> None:
    scene = running(CountRep(RACK, True), SeeFault(RACK, LIGHTER))
    assert uncounted(scene.state.gym, running_set(scene), youth=False) == 4
    assert scene.given(AllMade(RACK)).of(1).running().full  # type: ignore[union-attr]


def running_set(scene: Scene) -> TheSet:
    found = scene.of(1).running()
    assert found is not None
    return found


def test_after_any_other_fault_the_set_goes_on() -> None:
    assert running(CountRep(RACK, True), SeeFault(RACK, "d")).given(AllMade(RACK)).of(1).running().full  # type: ignore[union-attr]


# --- reps that nobody counted


@pytest.mark.parametrize(
    ("marks", "faults", "left"),
    [((), (), 0), ((True,), (), 4), ((True,) * 5, (), 0), ((True, False), (), 0), ((True, True), (DANGEROUS,), 0),
     ((True, True), ("d",), 3)],
)  # fmt: skip
def test_reps_are_asked_after_where_nothing_says_that_the_set_ended(
    marks: tuple[bool, ...], faults: tuple[str, ...], left: int
) -> None:
    lift = evening().state.gym.lifts["squat"]
    ids = tuple((len(marks), fault.id) for letter in faults if (fault := lift.fault_at(letter)) is not None)
    assert uncounted(evening().state.gym, TheSet(1, "squat", "work", 5, 6000, marks=marks, faults=ids), False) == left


# --- the rest before a set


def rested(scene: Scene, seconds: int) -> tuple[int, int] | None:
    down = scene.of(1).last_down()
    assert down is not None
    return rest_cut_short(scene.state.gym, scene.of(1), down + timedelta(seconds=seconds))


def test_a_start_is_asked_about_under_three_quarters_of_the_rest_owed() -> None:
    scene = evening(ready(squat=60)).given(a_set())
    assert rested(scene, 134) == (134, 180)
    assert rested(scene, 135) is None


def test_a_ramp_ticked_off_asks_for_no_rest_of_its_own() -> None:
    assert rested(evening(came(squat=60)).given(RampDone(1)), 1) is None


# --- a stage far from the one now


def staged(stage: int) -> Scene:
    who = came(1, PLATFORM, "clean", clean=40)
    return evening(who[:-1], SetStage(1, "clean", stage), who[-1:])


@pytest.mark.parametrize("stage", [8, 10])
def test_a_stage_up_or_down_is_set_at_once(stage: int) -> None:
    assert staged(9).given(SetStage(1, "clean", stage)).state.lifters[1].stages["clean"] == stage


@pytest.mark.parametrize(
    ("stage", "way"), [(1, "back to stage 1 ("), (7, "back to stage 7 ("), (11, "up to stage 11 (")]
)
def test_a_stage_further_off_is_set_only_when_the_coach_is_sure(stage: int, way: str) -> None:
    asked = staged(9).when(SetStage(1, "clean", stage))
    assert asked.refusal is not None and asked.refusal.unless_sure
    assert "from stage 9 (from the floor)" in asked.why and way in asked.why
    assert staged(9).given(SetStage(1, "clean", stage, sure=True)).state.lifters[1].stages["clean"] == stage


def test_an_expert_who_never_had_a_stage_set_is_on_the_last_one() -> None:
    expert = evening(came(1, PLATFORM, "clean", clean=80))
    assert expert.when(SetStage(1, "clean", 1)).refusal is not None


# --- a late set of somebody held


def test_a_late_set_of_somebody_held_for_pain_is_asked_about() -> None:
    scene = evening(ready(squat=60)).given(a_set(), ReportPain(1))
    coming = scene.coming(1)
    asked = scene.later(seconds=300).when(RecordWhole(1, coming.no, 5))
    assert asked.why == "{lifter} is held for pain since {at}. Was this set done before?"
    assert asked.refusal is not None and asked.refusal.unless_sure and asked.refusal.at == scene.now
    done = scene.later(seconds=300).given(RecordWhole(1, coming.no, 5, sure=True)).of(1).set(coming.no)
    assert done is not None and done.status == DONE and done.down is not None and done.down <= scene.now


def test_a_late_set_whose_bar_was_down_before_the_pain_is_not_asked_about() -> None:
    scene = evening(ready(squat=60)).given(ReportPain(1)).later(seconds=60)
    assert scene.when(RecordWhole(1, scene.coming(1).no, 5, seconds=120)).refusal is None
    cleared = scene.given(ClearPain(1))
    assert cleared.when(RecordWhole(1, cleared.coming(1).no, 5)).refusal is None


# --- leaving, and pain, while a set runs


def test_a_set_that_was_started_and_not_lifted_is_not_done_when_its_lifter_leaves() -> None:
    scene = evening(ready(1, squat=60), ready(2, squat=80)).given(StartSet(RACK)).when(Leave(1))
    assert words(scene) == "Ada left · the squat set is not done"
    assert [s.status for s in scene.of(1).sets if s.role != "ramp"] == [PLANNED] * 3
    assert scene.of(1).turns == 0
    assert scene.promised(RACK) == (2, None)


def test_a_set_left_in_the_middle_stands_as_it_was_and_the_words_say_who_left() -> None:
    scene = running(CountRep(RACK, True), CountRep(RACK, False)).when(Leave(1))
    assert words(scene) == "Ada left · the squat set stands as it was: 1 made, 1 missed"


def test_pain_in_a_set_is_said_before_the_set() -> None:
    scene = running(CountRep(RACK, True)).when(ReportPain(1))
    assert words(scene) == "Ada held: pain · the squat set stands as it was: 1 made"
