"""Which sets the coach should see: the rules, their rank, and that few remain."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

from floor.core.commands import (
    Arrive,
    ClearPain,
    CountRep,
    DrillFault,
    DrillRep,
    EndDrill,
    EndSet,
    Overrule,
    RampDone,
    ReportPain,
    SeeFault,
    SetStage,
    StartDrill,
    StartSet,
)
from floor.core.eyes import EYES, FIRST_SESSIONS, ONE_IN, Seen, eyes_on, look, sights
from floor.core.gym import Grade, Severity
from floor.core.state import PLANNED, RUNNING, Lifter, NextPlan, TheSet
from tests.core.scenes import PLATFORM, RACK, SIX, Scene, a_set, came, evening, gym, kg, next_evening, ready

SQUAT = gym().lifts["squat"]
SEASONED = Lifter(1, sessions=80, plans={"squat": NextPlan("squat", 3, 5, kg(60), "all-made", 0, kg(57.5))})


def work(no: int, load: float, stage: int | None = None, status: str = PLANNED, role: str = "work") -> TheSet:
    return TheSet(no, "squat", role, 5, kg(load), stage, status)


def seen(*sets: TheSet, lifter: Lifter = SEASONED) -> list[str | None]:
    """The rule for each set that is running or to come."""
    return [found.rule if (found := look(sight)) else None for sight in sights(gym(), lifter, sets)]


def with_plan(rule: str, load: float, was: float) -> Lifter:
    return replace(SEASONED, plans={"squat": NextPlan("squat", 3, 5, kg(load), rule, 0, kg(was))})


def test_a_seasoned_lifters_usual_sets_need_no_eyes() -> None:
    assert seen(work(1, 40, role="ramp"), work(2, 60), work(3, 60)) == [None, None, None]


def test_after_a_fault_that_lightens_or_ends_the_next_set_is_seen() -> None:
    bad = next(f for f in SQUAT.faults if f.severity in (Severity.LIGHTEN, Severity.END))
    done = replace(work(1, 60, status="done"), faults=((3, bad.id),))
    assert seen(done, work(2, 55), work(3, 55)) == ["bad-before", None]


def test_after_a_set_graded_broken_with_no_fault_marked_the_next_is_seen_too() -> None:
    done = replace(work(1, 60, status="done"), grade=Grade.BROKEN)
    assert seen(done, work(2, 55)) == ["bad-before"]


def test_after_a_fault_to_fix_or_to_note_nothing_changes() -> None:
    for severity in (Severity.NOTE, Severity.FIX):
        mild = next((f for f in SQUAT.faults if f.severity is severity), None)
        if mild is not None:
            done = replace(work(1, 60, status="done"), faults=((3, mild.id),))
            assert seen(done, work(2, 60)) == [None]


def test_form_that_fell_apart_last_time_is_seen_at_the_first_work_set() -> None:
    for rule in ("broken-eases", "stopped-eases", "pain-eases"):
        lifter = with_plan(rule, 55, 60)
        assert seen(work(1, 40, role="ramp"), work(2, 55), work(3, 55), lifter=lifter) == [None, "bad-before", None]


def test_the_first_set_at_a_new_stage_is_seen() -> None:
    assert seen(work(1, 60, 2, "done"), work(2, 60, 3), work(3, 60, 3)) == ["new-stage", None]
    assert seen(work(1, 60, 3, "done"), work(2, 60, 2)) == [None]


def test_a_lift_that_is_new_to_the_lifter_is_seen_at_its_first_work_set() -> None:
    nobody = Lifter(1, sessions=80)
    assert seen(work(1, 20, 1, role="ramp"), work(2, 30, 1), work(3, 30, 1), lifter=nobody) == [None, "new-stage", None]


def test_a_stage_set_by_the_coach_tonight_makes_the_next_work_set_one_to_see() -> None:
    scene = evening(came(1, PLATFORM, "clean", clean=40)).given(SetStage(1, "clean", 4, sure=True))
    first = next(s for s in scene.of(1).sets if s.role != "ramp")
    assert eyes_on(scene.state, {})[1, first.no].rule == "new-stage"


def test_a_first_try_well_above_the_last_load_is_seen() -> None:
    assert seen(work(1, 70), work(2, 70), lifter=with_plan("by-hand", 70, 60)) == ["heavy-try", None]
    assert seen(work(1, 60, status="done"), work(2, 60), work(3, 75)) == [None, "heavy-try"]


def test_the_lifters_own_step_says_what_a_heavy_try_is() -> None:
    small = replace(with_plan("by-hand", 22.5, 20), steps={"squat": kg(1)})
    assert seen(work(1, 22.5), lifter=small) == ["heavy-try"]
    wide = replace(with_plan("by-hand", 65, 60), steps={"squat": kg(5)})
    assert seen(work(1, 65), lifter=wide) == [None]


def seasoned(scene: Scene, lifter: int = 1) -> Scene:
    """The same evening, of a lifter who has come for years."""
    old = replace(scene.state.lifters[lifter], sessions=80)
    return replace(scene, state=replace(scene.state, lifters={**scene.state.lifters, lifter: old}))


def test_the_first_work_set_after_pain_was_cleared_tonight_is_seen_and_the_one_after_it_is_not() -> None:
    scene = seasoned(evening(ready(squat=60))).given(a_set(), ReportPain(1), ClearPain(1))
    assert {no: found.why for (_, no), found in eyes_on(scene.state, {}).items()} == {4: "after pain"}
    assert eyes_on(scene.given(a_set()).state, {}) == {}


def test_after_a_drill_stop_overruled_the_next_set_is_seen_then_the_first_work_set() -> None:
    scene = seasoned(evening(came(squat=60))).given(StartDrill("squat", 4), DrillRep(), DrillFault(1, "x"), EndDrill())
    scene = scene.given(Overrule(1, "squat", "keep", sure=True))
    assert {no: found.why for (_, no), found in eyes_on(scene.state, {}).items()} == {1: "after a stop"}
    ramped = scene.given(RampDone(1))
    first = ramped.coming(1)
    assert first.role != "ramp"
    assert {no: found.why for (_, no), found in eyes_on(ramped.state, {}).items()} == {first.no: "after a stop"}


def test_a_dangerous_fault_last_time_is_seen_though_time_away_has_eased_the_load_since() -> None:
    scene = seasoned(evening(ready(squat=60))).given(a_set(faults="x"))
    back = next_evening(scene, days=20).given(Arrive(1, RACK))
    plan = back.state.lifters[1].plans["squat"]
    assert plan.rule == "lay-off"
    first = next(s for s in back.of(1).sets if s.role != "ramp")
    assert eyes_on(back.state, {})[1, first.no].why == "a bad fault or pain last time"


def test_one_step_up_is_no_heavy_try() -> None:
    step = SQUAT.step / 100
    assert seen(work(1, 60 + step), lifter=with_plan("all-made", 60 + step, 60)) == [None]
    assert seen(work(1, 20 + step), lifter=with_plan("all-made", 20 + step, 20)) == [None]


def test_a_young_lifters_work_sets_are_seen_and_the_ramp_is_not() -> None:
    young = replace(SEASONED, youth=True)
    assert seen(work(1, 40, role="ramp"), work(2, 60), lifter=young) == [None, "youth"]


def test_work_sets_of_the_first_weeks_are_seen() -> None:
    for sessions, rule in ((1, "first-weeks"), (FIRST_SESSIONS, "first-weeks"), (FIRST_SESSIONS + 1, None)):
        assert seen(work(1, 60), lifter=replace(SEASONED, sessions=sessions)) == [rule]


def test_what_fell_apart_goes_before_a_new_stage_a_heavy_try_youth_and_first_weeks() -> None:
    assert [rule.id for rule in EYES] == [
        "after-pain", "after-stop", "bad-before", "new-stage", "heavy-try", "youth", "first-weeks",
    ]
    ranks = [rule.rank for rule in EYES]
    assert ranks == sorted(set(ranks), reverse=True) and min(ranks) == 1
    assert all(rule.sentence and rule.origin for rule in EYES)


def beginners(many: int) -> Scene:
    return evening(*(came(n, RACK, squat=40) for n in range(1, many + 1)))


def test_in_a_group_of_beginners_few_sets_remain() -> None:
    scene = beginners(6)
    to_do = sum(len(p.sets) for p in scene.state.evening.here.values())
    assert 0 < len(eyes_on(scene.state, {})) <= to_do // ONE_IN


def test_everybodys_first_comes_before_anybodys_second() -> None:
    scene = beginners(6)
    kept = eyes_on(scene.state, {})
    assert len(kept) >= 6
    assert {lifter for lifter, _ in kept} == set(range(1, 7))


def test_the_higher_rank_is_kept_when_there_are_too_many() -> None:
    scene = evening(*(came(n, RACK, squat=40) for n in range(1, 5)), came(5, RACK, youth=True, squat=40))
    kept = eyes_on(scene.state, {})
    ranks = sorted((seen.rank for seen in kept.values()), reverse=True)
    theirs = [seen for (lifter, _), seen in kept.items() if lifter == 5]
    assert len(theirs) == 3 and ranks[:3] == [2, 2, 2]


def test_who_has_left_or_is_held_needs_no_eyes_and_who_comes_late_does() -> None:
    scene = beginners(2)
    gone = replace(scene.state.evening.here[1], gone=True)
    state = replace(scene.state, evening=replace(scene.state.evening, here={**scene.state.evening.here, 1: gone}))
    held = replace(state, lifters={**state.lifters, 2: replace(state.lifters[2], held_since=SIX)})
    assert {lifter for lifter, _ in eyes_on(state, {})} == {2}
    assert eyes_on(held, {}) == {}
    late = replace(held, lifters={**held.lifters, 9: Lifter(9, youth=True)})
    assert eyes_on(late, {9: [work(1, 30)]}) == {(9, 1): Seen(2, "youth", "a young lifter")}


def test_the_set_on_the_bar_is_still_to_be_seen() -> None:
    scene = evening(ready(1, RACK, youth=True, squat=40)).later(seconds=200).given(StartSet(RACK))
    running = scene.of(1).running()
    assert running is not None and running.status == RUNNING
    assert (1, running.no) in eyes_on(scene.state, {})


def test_a_dangerous_fault_tonight_leaves_nothing_of_the_lift_to_see() -> None:
    letter = next(f.letter for f in SQUAT.faults if f.severity is Severity.END)
    scene = evening(ready(1, squat=60)).later(seconds=200).given(StartSet(RACK), CountRep(RACK, True))
    scene = scene.given(SeeFault(RACK, letter), EndSet(RACK))
    assert not [s for s in scene.of(1).sets if s.status == PLANNED]
    assert eyes_on(scene.state, {}) == {}
    assert scene.now - SIX > timedelta(0)
