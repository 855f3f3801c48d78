"""What a proposal rests on, in the panel: short, and only what was seen."""

from __future__ import annotations

import pytest
from rich.cells import cell_len

from floor.core.commands import (
    ClearPain,
    DrillFault,
    DrillRep,
    EndDrill,
    PutRight,
    RecordWhole,
    ReportPain,
    SetStage,
    StartDrill,
)
from floor.core.gym import Grade
from floor.core.proposals import reason
from floor.tui.panel import in_hand
from floor.tui.present_seen import seen_words, shown_words
from tests.core.scenes import RACK, Scene, a_set, came, evening, ready
from tests.core.test_a_tenth_tonight import coarse

NAMES = {1: "Ada"}


def seen(scene: Scene, width: int = 73) -> str:
    """The evidence of the proposal that stands after the last set, in the room of a narrow panel."""
    (key, proposal), *_ = scene.state.evening.proposals.items()
    done = max((s for s in scene.of(1).of_lift(key[1]) if s.down), key=lambda s: (s.down, s.no))
    return seen_words(scene.state, scene.of(1), done, proposal, width)


def squat() -> Scene:
    return evening(ready(squat=60))


def staged(stage: int) -> Scene:
    who = came(1, RACK, "clean", clean=30)
    scene = evening(who[:-1], SetStage(1, "clean", stage), who[-1:])
    while scene.coming(1).role == "ramp":
        scene = scene.given(a_set(made=scene.coming(1).reps))
    return scene


def test_a_set_without_a_fault_needs_no_evidence_beside_its_reps_and_grade() -> None:
    assert seen(squat().given(a_set())) == ""


def test_a_proposal_that_rests_on_an_earlier_set_put_right_says_so() -> None:
    scene = squat().given(a_set(), a_set())
    assert seen(scene.given(PutRight(1, 3, made=2, missed=3))) == "an earlier set was put right to less"
    ramp = seen(scene.given(PutRight(1, 1, add=((1, "knees-caving-in"),))))
    assert ramp.startswith("earlier at 20 kg") and "knees caving in rep 1 (lighten)" in ramp


def test_what_was_lifted_far_over_the_plan_says_what_was_planned() -> None:
    scene = squat().given(RecordWhole(1, 3, 5, grade=Grade.SHARP, load=9000, sure=True))
    assert seen(scene) == "planned or known: 60 kg at most"


def test_the_worst_fault_is_named_first_and_more_than_two_are_counted() -> None:
    assert seen(squat().given(a_set(faults="ldck", grade=Grade.BROKEN))) == (
        "knees caving in rep 5 (lighten), not deep enough rep 5 (fix), 2 more"
    )


@pytest.mark.parametrize(
    ("letter", "said"),
    [
        ("l", "looking around on rep 5 (note: small)"),
        ("d", "not deep enough on rep 5 (fix: before more load)"),
        ("k", "knees caving in on rep 5 (lighten: less load now)"),
        ("x", "folding under the bar on rep 5 (end: no more of it today)"),
    ],
)
def test_what_a_severity_asks_for_is_said_behind_its_word(letter: str, said: str) -> None:
    assert seen(squat().given(a_set(faults=letter, grade=Grade.ROUGH))) == said


def test_where_there_is_no_room_the_severitys_word_stands_alone() -> None:
    scene = squat().given(a_set(faults="d", grade=Grade.ROUGH))
    assert seen(scene, 44) == "not deep enough rep 5 (fix)"


def test_a_fault_that_came_back_is_told_with_the_set_before() -> None:
    scene = squat().given(a_set(faults="d", grade=Grade.ROUGH), a_set(faults="d", grade=Grade.ROUGH))
    assert seen(scene) == "not deep enough on rep 5 (fix: before more load) · set before: rep 5"


def test_no_evidence_is_wider_than_its_line() -> None:
    scene = squat().given(a_set(faults="ldck", grade=Grade.ROUGH), a_set(faults="ldck", grade=Grade.ROUGH))
    assert [width for width in range(20, 120) if cell_len(seen(scene, width)) > width] == []


def test_a_bad_fault_in_the_group_drill_is_told() -> None:
    drilled = staged(11).given(StartDrill("clean", 1), DrillRep(), DrillFault(1, "e"), EndDrill())
    assert seen(drilled.given(a_set(made=3))) == "group drill: elbows low (lighten)"


def test_a_stages_heaviest_load_is_told() -> None:
    assert seen(staged(9).given(a_set(made=3))) == "stage 9: 30 kg at most"


def test_where_no_plates_make_a_tenth_the_numbers_are_told() -> None:
    assert seen(coarse().given(a_set(made=3))) == "a step is 2.5 kg, a tenth up is 22 kg: can't be built"


def test_a_bar_held_back_in_the_ramp_is_told_when_it_goes_up_again() -> None:
    scene = evening(came(squat=60)).given(a_set(grade=Grade.ROUGH), a_set())
    assert seen(scene) == "this set was held at 20 kg"


def test_a_clearance_is_in_the_reason_itself() -> None:
    scene = staged(11).given(ReportPain(1), ClearPain(1), a_set(made=3))
    assert seen(scene) == "" and "since pain was cleared" in reason("cleared-keeps")


def test_a_stage_shown_by_the_lifts_last_set_is_told_too() -> None:
    who = came(1, 2, "pull")
    scene = evening(who[:-1], SetStage(1, "deadlift", 1), who[-1:])
    while (coming := scene.of(1).pending()) is not None:
        last = scene = scene.given(a_set(2, made=coming.reps))
    done = last.of(1).of_lift("deadlift")[-1]
    said = "stage 1 shown, 15 reps in a row, 3 sets, free of its own faults: press / then g"
    assert shown_words(last.state, last.of(1), done) == said
    signed = last.when(SetStage(1, "deadlift", 2))
    assert signed.refusal is None
    assert shown_words(signed.state, signed.of(1), done) == ""


def test_the_reason_stands_before_the_evidence_and_the_evidence_before_the_cue() -> None:
    scene = squat().given(a_set(faults="d", grade=Grade.ROUGH))
    head, did, why, rests_on, cue, *_ = (line.plain for line in in_hand(scene.state, RACK, NAMES, 80, scene.now))
    assert head.startswith("▶") and "rough" in did and why.startswith("why  rough: one thing to fix")
    assert rests_on == "  └─ not deep enough on rep 5 (fix: before more load)" and cue.startswith("tell Ada: ")
