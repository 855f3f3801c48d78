"""A set put right is heard whenever it was: what is left is no heavier than the corrected record allows."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from floor.core.commands import Overrule, PutRight, RecordWhole, SetStage
from floor.core.gym import Grade
from tests.core.scenes import PLATFORM, Scene, a_set, came, evening, kg, ready

BACK = "back-rounding"


def built(*grades: Grade) -> Scene:
    """Build sets of the clean from 40 kg; without grades two sharp ones, at 40 and 42.5 kg, 45 kg next."""
    scene = evening(ready(1, PLATFORM, "clean", clean=40))
    for grade in grades or (Grade.SHARP, Grade.SHARP):
        scene = scene.given(a_set(PLATFORM, 3, grade=grade))
    return scene


FIRST = next(s.no for s in built().of(1).sets if s.role == "build")


def left(scene: Scene) -> list[int]:
    return [s.load for s in scene.of(1).sets if s.status == "planned"]


def test_an_earlier_set_put_right_to_broken_takes_back_what_was_added_since() -> None:
    assert left(built()) == [kg(45), kg(45)]
    scene = built().when(PutRight(1, FIRST, add=((2, BACK),), grade=Grade.BROKEN))
    assert (scene.event("set_proposed").rule, left(scene)) == ("broken-set", [kg(36), kg(36)])


def test_an_earlier_set_put_right_to_missed_reps_lightens_what_is_left() -> None:
    scene = built().when(PutRight(1, FIRST, made=0, missed=3))
    assert (scene.event("set_proposed").rule, left(scene)) == ("two-reps-short", [kg(36), kg(36)])


def test_an_earlier_set_put_right_to_rough_keeps_its_own_load_and_adds_no_more() -> None:
    scene = built().when(PutRight(1, FIRST, grade=Grade.ROUGH))
    assert (scene.event("set_proposed").rule, left(scene)) == ("rough-keeps", [kg(40), kg(40)])


def test_a_ramp_set_put_right_to_a_fault_that_asks_for_less_takes_a_tenth_off_the_first_work_load() -> None:
    scene = built().when(PutRight(1, 1, add=((1, BACK),), grade=Grade.ROUGH))
    assert (scene.event("set_proposed").rule, left(scene)) == ("ramp-lightens-late", [kg(36), kg(36)])


def test_a_ramp_set_put_right_to_rough_once_the_work_has_begun_changes_nothing() -> None:
    assert left(built().given(PutRight(1, 1, grade=Grade.ROUGH))) == [kg(45), kg(45)]


def test_a_ramp_set_put_right_before_the_work_takes_a_tenth_off_the_work_sets() -> None:
    scene = built(Grade.SHARP).given(PutRight(1, 1, add=((1, BACK),)))
    assert left(scene) == [kg(36)] * 3


def test_going_over_what_the_corrected_set_asks_for_is_asked_about_though_the_last_set_was_good() -> None:
    scene = built().given(PutRight(1, FIRST, made=0, missed=3))
    asked = scene.when(Overrule(1, "clean", "add"))
    assert asked.why == "{lifter}: an earlier set was put right to less. 45 kg all the same?"
    assert scene.when(Overrule(1, "clean", "add", sure=True)).coming(1).load == kg(45)


def test_nothing_is_added_after_it() -> None:
    scene = built().given(PutRight(1, FIRST, add=((2, BACK),), grade=Grade.BROKEN))
    assert left(scene.given(a_set(PLATFORM, 3, grade=Grade.SHARP))) == [kg(36)]


def test_an_earlier_set_put_right_to_better_raises_nothing_by_itself() -> None:
    scene = built(Grade.ROUGH, Grade.SHARP)
    assert left(scene) == [kg(42.5), kg(42.5)]
    assert left(scene.given(PutRight(1, FIRST, grade=Grade.SHARP))) == [kg(42.5), kg(42.5)]


def test_the_last_set_put_right_to_better_gives_the_planned_load_back_and_no_step_on_top() -> None:
    scene = built(Grade.BROKEN)
    assert left(scene) == [kg(36)] * 3
    assert left(scene.given(PutRight(1, FIRST, grade=Grade.SHARP))) == [kg(40)] * 3


def test_a_worse_word_for_the_last_set_takes_back_what_it_had_added() -> None:
    assert left(built(Grade.SHARP)) == [kg(42.5)] * 3
    assert left(built(Grade.SHARP).given(PutRight(1, FIRST, grade=Grade.ROUGH))) == [kg(40)] * 3


def test_a_fault_put_right_into_two_sets_running_sends_a_stage_back() -> None:
    who = came(1, PLATFORM, "clean", clean=30)
    scene = evening(who[:-1], SetStage(1, "clean", 9), who[-1])
    while scene.coming(1).role == "ramp":
        scene = scene.given(RecordWhole(1, scene.coming(1).no, scene.coming(1).reps, grade=Grade.SHARP))
    first = scene.coming(1).no
    scene = scene.given(a_set(PLATFORM, 3), a_set(PLATFORM, 3, faults="h"))
    assert scene.coming(1).stage == 9
    assert scene.given(PutRight(1, first, add=((1, "hips-rising-first"),))).coming(1).stage == 8


# --- reps put right


def test_a_fault_on_a_rep_that_never_was_is_kept_as_seen_somewhere_in_the_set() -> None:
    scene = evening(ready(squat=60)).given(a_set(faults="d")).when(PutRight(1, 3, made=3))
    assert scene.of(1).sets[2].faults == ((0, "not-deep-enough"),)
    assert [(e.kind, e.rep) for e in scene.events if e.fault and e.kind != "cue_set"] == [
        ("fault_withdrawn", 5), ("fault_seen", 0),
    ]


def test_a_fault_withdrawn_with_its_rep_is_gone() -> None:
    scene = evening(ready(squat=60)).given(a_set(faults="d"))
    assert scene.given(PutRight(1, 3, made=3, withdraw=((5, "not-deep-enough"),))).of(1).sets[2].faults == ()


@given(st.integers(1, 5), st.integers(0, 5))
def test_after_any_reps_put_right_every_fault_is_on_a_rep_that_was_tried(made: int, missed: int) -> None:
    scene = evening(ready(squat=60)).given(a_set(faults="dk", grade=Grade.SOUND))
    done = scene.given(PutRight(1, 3, made=made, missed=missed, grade=Grade.ROUGH)).of(1).sets[2]
    assert all(rep <= len(done.marks) for rep, _ in done.faults)
    assert {fault for _, fault in done.faults} == {"not-deep-enough", "knees-caving-in"}
