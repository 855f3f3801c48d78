"""The teaching order: what is shown is signed off by the coach, and every session of cleans starts from the top."""

from __future__ import annotations

from dataclasses import replace

import pytest

from floor.core.commands import (
    CloseSession,
    Command,
    EndSet,
    OpenSession,
    Overrule,
    RampDone,
    RecordWhole,
    SetStage,
    StartSet,
)
from floor.core.gym import Grade, Lift, Stage
from floor.core.state import DONE, PLANNED, State, TheSet
from floor.core.teaching import is_walk, sent_to, shown, walk_load
from tests.core.scenes import RACK, Scene, a_set, came, evening, gym, kg

CLEAN = gym().lifts["clean"]


def staged(stage: int = 9, lift: str = "clean", load: float = 30) -> Scene:
    """A lifter on a stage of a lift, the walk and the ramp done."""
    who = came(1, RACK, lift, **{lift: load})
    scene = evening(who[:-1], SetStage(1, lift, stage), who[-1:])
    return scene.given(RampDone(1)) if scene.coming(1).role == "ramp" else scene


def good(made: int = 3) -> tuple[Command, ...]:
    return a_set(made=made)


# --- signing a stage off


def test_a_stage_is_proposed_for_signing_when_its_clean_reps_are_shown_over_its_sets() -> None:
    scene = staged(9).given(good(), good())  # nine in a row over three sets are asked
    event = scene.given(StartSet(RACK), *good()[1:-1]).when(EndSet(RACK)).event("set_proposed")
    assert (event.action, event.rule, event.stage) == ("step_up", "stage-shown", 10)


def test_a_rough_set_never_proposes_a_stage_up() -> None:
    scene = staged(9).given(good(), good())
    rough = scene.given(StartSet(RACK), *good()[1:-1]).when(EndSet(RACK, Grade.ROUGH)).event("set_proposed")
    assert rough.action != "step_up"


def test_nothing_moves_until_the_coach_signs() -> None:
    scene = staged(9).given(good(), good(), good())
    assert scene.coming(1).stage == 9 and scene.state.lifters[1].stages["clean"] == 9
    signed = scene.given(SetStage(1, "clean", 10))
    assert signed.coming(1).stage == 10 and signed.coming(1).load == scene.coming(1).load


def test_a_signed_stage_is_kept_at_the_close_and_next_time() -> None:
    scene = staged(9).given(good(), good(), good(), SetStage(1, "clean", 10), CloseSession())
    assert scene.state.lifters[1].stages["clean"] == 10


def test_a_stage_signed_during_the_set_is_not_taken_back_when_the_set_ends() -> None:
    scene = staged(9).given(good(), good(), StartSet(RACK), SetStage(1, "clean", 10), *good()[1:])
    assert scene.coming(1).stage == 10
    assert scene.state.evening.proposals[1, "clean"].action != "step_up"


def test_a_stage_signed_and_then_overruled_in_its_load_stays_signed() -> None:
    scene = staged(9).given(good(), good(), good(), SetStage(1, "clean", 10), Overrule(1, "clean", "add", sure=True))
    assert (scene.coming(1).stage, scene.coming(1).load) == (10, kg(kg_after_three() + 2.5))


def kg_after_three() -> float:
    return staged(9).given(good(), good(), good()).of(1).of_lift("clean")[3].load / 100


def test_signing_proposes_no_more_load() -> None:
    scene = staged(10).given(good(), good(), good())
    proposal = scene.state.evening.proposals[1, "clean"]
    assert proposal.action == "step_up" and proposal.load <= scene.of(1).of_lift("clean")[3].load


def test_back_a_stage_by_the_coachs_hand_brings_the_load_under_that_stages_limit() -> None:
    scene = staged(10).given(SetStage(1, "clean", 3, sure=True))
    assert {s.load for s in scene.of(1).sets if s.status == PLANNED} == {kg(20)}
    assert {s.stage for s in scene.of(1).sets if s.status == PLANNED} == {3}


def test_the_last_stage_is_never_signed_off() -> None:
    scene = staged(11).given(good(), good(), good())
    assert scene.state.evening.proposals[1, "clean"].action == "add"


def one(no: int, marks: str = "+++", faults: str = "", grade: Grade = Grade.SHARP, stage: int = 9) -> TheSet:
    """A set of the clean that is done: + a rep made, - one missed; faults as letters with their rep, "a3"."""
    pairs = [(faults[i], int(faults[i + 1])) for i in range(0, len(faults), 2)]
    seen = tuple((rep, fault.id) for letter, rep in pairs if (fault := CLEAN.fault_at(letter)))
    tried = tuple(m == "+" for m in marks)
    return TheSet(no, "clean", "build", 3, kg(30), stage, DONE, marks=tried, faults=seen, grade=grade)


def test_the_row_is_counted_back_from_the_last_rep() -> None:
    assert shown(CLEAN, (one(1), one(2), one(3)))
    assert not shown(CLEAN, (one(1), one(2)))
    assert not shown(CLEAN, (one(1, faults="a1"), one(2), one(3)))
    assert shown(CLEAN, (one(1, faults="a1"), one(2), one(3), one(4)))
    assert not shown(CLEAN, (one(1), one(2), one(3), one(4, faults="a3")))


def test_a_missed_rep_a_broken_set_and_a_fault_somewhere_in_the_set_end_the_row() -> None:
    for bad in (one(4, "++-"), one(4, grade=Grade.BROKEN), one(4, faults="a0"), one(4, grade=Grade.ROUGH)):
        assert not shown(CLEAN, (one(1), one(2), one(3), bad)), bad


def test_only_a_stages_own_faults_keep_a_lifter_on_it() -> None:
    assert shown(CLEAN, (one(1, faults="o2", grade=Grade.SOUND), one(2, faults="o1", grade=Grade.SOUND), one(3)))
    knee = [one(n, faults="h1", grade=Grade.ROUGH, stage=6) for n in (1, 2, 3)]  # the hips are no matter of this stage
    assert shown(CLEAN, knee)
    assert not shown(CLEAN, [replace(s, faults=((1, "arms-bent-early"),)) for s in knee])


def test_a_fault_that_asks_for_less_load_never_goes_with_moving_on() -> None:
    assert not shown(CLEAN, [one(n, faults="e1", stage=3) for n in (1, 2, 3)])  # elbows low, not the stage's own


def test_sets_nobody_watched_and_ramp_sets_show_nothing() -> None:
    assert not shown(CLEAN, (one(1, grade=Grade.UNSEEN), one(2), one(3)))
    assert shown(CLEAN, (one(1), one(2, grade=Grade.UNSEEN), one(3), one(4)))
    assert not shown(CLEAN, [replace(one(n), role="ramp") for n in (1, 2, 3)])


def test_reps_on_another_stage_do_not_count() -> None:
    assert not shown(CLEAN, (one(1, stage=8), one(2), one(3)))


def test_a_stage_without_numbers_is_never_proposed() -> None:
    plain = replace(CLEAN, stages=tuple(replace(s, clean_reps=0) for s in CLEAN.stages))
    assert not shown(plain, (one(1), one(2), one(3)))


def test_an_old_gyms_stage_goes_one_down_whatever_the_fault() -> None:
    plain = replace(CLEAN, stages=tuple(replace(s, back=None) for s in CLEAN.stages))
    assert [sent_to(plain, n, ("jump-cut-short",)) for n in (1, 2, 9, 11)] == [None, 1, 8, None]
    assert sent_to(plain, 9, ()) is None and sent_to(plain, None, ("jump-cut-short",)) is None


# --- the walk from the top


def walk(stage: int, load: float = 50) -> TheSet:
    who = came(1, RACK, "clean", clean=load)
    return evening(who[:-1], SetStage(1, "clean", stage), who[-1:]).of(1).sets[0]


@pytest.mark.parametrize("stage", [2, 6, 11])
def test_every_session_of_cleans_walks_the_stages_from_the_top_before_load(stage: int) -> None:
    first = walk(stage)
    assert is_walk(CLEAN, first)
    assert (first.role, first.reps, first.load) == ("ramp", stage - 1, kg(20))


def test_on_the_first_stage_there_is_nothing_to_walk() -> None:
    assert not is_walk(CLEAN, walk(1))


def test_a_lift_taught_in_few_stages_is_not_walked() -> None:
    scene = evening(came(squat=60))
    assert [s.stage for s in scene.of(1).sets] == [4] * 5


def test_the_walk_is_never_heavier_than_the_work() -> None:
    assert walk_load(CLEAN, kg(15)) == kg(15)
    no_limit = Lift("x", "x", "floor", True, 60, 60, 250, kg(30), (kg(25), kg(40)), 3, stages=(Stage(1, "x", "", ""),))
    assert walk_load(no_limit, kg(100)) == kg(25)


def test_f4_ticks_the_walk_off_with_the_ramp() -> None:
    who = came(1, RACK, "clean", clean=50)
    scene = evening(who, RampDone(1))
    assert scene.of(1).sets[0].status == DONE and scene.coming(1).role == "build"


def test_a_walk_that_falls_apart_holds_the_bar_where_it_is() -> None:
    before = evening(came(1, RACK, "clean", clean=50))
    rough = before.given(a_set(made=10, faults="a"))
    assert [s.load for s in rough.of(1).sets[1:4]] == [kg(20), kg(40), kg(50)]
    bad = before.given(a_set(made=10, faults="e"))
    assert [s.load for s in bad.of(1).sets[1:4]] == [kg(18), kg(40), kg(50)]
    broken = before.given(a_set(made=10, grade=Grade.BROKEN))
    assert {s.load for s in broken.of(1).sets[1:]} == {kg(18)}


def test_the_walk_leaves_the_stage_of_the_sets_to_come_alone() -> None:
    scene = evening(came(1, RACK, "clean", clean=50)).given(RecordWhole(1, 1, 10, grade=Grade.SHARP))
    assert {s.stage for s in scene.of(1).sets[1:]} == {11}
    closed = scene.given(CloseSession())
    assert closed.state.lifters[1].stages.get("clean") in (None, 11)


def test_a_lift_is_walked_as_its_gym_says() -> None:
    quiet = replace(gym(), lifts={**gym().lifts, "clean": replace(CLEAN, walk=False)})
    scene = Scene(State(gym=quiet)).given(OpenSession(), came(1, RACK, "clean", clean=50))
    assert not any(s.stage is None for s in scene.of(1).sets)
