"""A fault on the way up to the work load: the next set stays where the bar is, and the work load is not forgotten."""

from __future__ import annotations

import pytest

from floor.core.commands import (
    AllMade,
    CloseSession,
    CountRep,
    EndSet,
    Overrule,
    PutRight,
    RampDone,
    SeeFault,
    StartSet,
)
from floor.core.gym import Grade
from floor.core.state import Proposal
from tests.core.scenes import PLATFORM, RACK, Scene, a_set, came, evening, kg, whole_set

# The clean's a, arms bent early, is a fault to fix; r, back rounding, asks for less load.


def cleaner(load: float = 43.5, *, youth: bool = False) -> Scene:
    """A power cleaner who walks the ten stages first; with 43.5 kg the ramp is 30 kg, with 28.5 kg there is none."""
    return evening(came(1, RACK, "clean", youth=youth, clean=load))


def walked(scene: Scene, faults: str = "a") -> Scene:
    """The walk done, the faults on its last rep."""
    return scene.given(a_set(made=10, faults=faults))


def loads(scene: Scene, lift: str = "clean") -> list[float]:
    return [s.load / 100 for s in scene.of(1).of_lift(lift)]


def proposal(scene: Scene, lift: str = "clean") -> Proposal:
    return scene.state.evening.proposals[1, lift]


def test_a_fault_in_the_walk_holds_the_next_set_and_leaves_the_work_load() -> None:
    scene = walked(cleaner())
    assert loads(scene) == [20, 20, 43.5, 43.5, 43.5, 43.5]
    assert (proposal(scene).action, proposal(scene).rule, proposal(scene).count) == ("keep", "fix-first", 1)


def test_after_a_clean_set_the_bar_goes_back_up_by_the_ramp_to_the_work_load() -> None:
    scene = walked(cleaner()).given(a_set(made=3))
    assert loads(scene)[2:] == [30, 43.5, 43.5, 43.5]
    scene = scene.given(a_set(made=3))
    assert loads(scene)[2:] == [30, 43.5, 43.5, 43.5]
    assert proposal(scene).rule == "as-planned"
    assert proposal(scene.given(a_set(made=3))).rule == "build-adds"


def test_a_set_nobody_watched_on_the_way_up_repeats_its_load_and_cuts_nothing() -> None:
    scene = walked(cleaner()).given(a_set(made=3), a_set(made=3, grade=Grade.UNSEEN))
    assert loads(scene)[2:] == [30, 30, 43.5, 43.5]
    alone = walked(cleaner()).given(a_set(made=3, grade=Grade.UNSEEN))
    assert loads(alone)[1:] == [20, 20, 43.5, 43.5, 43.5]


def test_without_a_ramp_of_their_own_the_walk_holds_one_work_set_and_no_more() -> None:
    scene = walked(cleaner(28.5))
    assert loads(scene) == [20, 20, 28.5, 28.5, 28.5]
    clean = scene.given(a_set(made=3))
    assert (proposal(clean).rule, loads(clean)[2:]) == ("as-planned", [28.5, 28.5, 28.5])


def test_a_bar_that_stays_faulty_on_the_way_up_stays_down_until_a_clean_set() -> None:
    scene = walked(cleaner(28.5)).given(a_set(made=3, faults="h"))
    assert loads(scene) == [20, 20, 20, 28.5, 28.5]
    scene = scene.given(a_set(made=3, faults="b"))
    assert loads(scene) == [20, 20, 20, 20, 28.5]


def test_what_asks_for_less_load_in_the_ramp_takes_a_tenth_off_the_work_sets_once_the_way_up_is_done() -> None:
    scene = walked(cleaner(), "r")
    assert loads(scene)[1:] == [18, 43.5, 43.5, 43.5, 43.5]
    scene = scene.given(a_set(made=3))
    assert (proposal(scene).rule, loads(scene)[2:]) == ("step-back-up", [30, 43.5, 43.5, 43.5])
    scene = scene.given(a_set(made=3))
    assert (proposal(scene).rule, loads(scene)[3:]) == ("ramp-lightens", [39] * 3)


def test_a_way_up_that_was_bad_in_the_ramp_has_its_work_sets_lightened_though_nobody_watched_the_rest() -> None:
    scene = evening(came(squat=60)).given(a_set(faults="k"), whole_set())
    assert loads(scene, "squat") == [20, 18, 40, 60, 60]
    assert loads(scene.given(whole_set(grade=Grade.UNSEEN)), "squat")[2:] == [40, 40, 60]
    assert loads(scene.given(whole_set()), "squat")[2:] == [40, 54, 54]
    ticked = evening(came(squat=100)).given(a_set(faults="k"), whole_set(), RampDone(1))
    assert loads(ticked, "squat")[4:] == [90, 90, 90]


def test_a_set_on_the_way_up_that_asks_for_less_holds_the_next_one_and_no_more() -> None:
    again = walked(cleaner(28.5)).given(a_set(made=3, faults="r"))
    assert loads(again)[2:] == [18, 28.5, 28.5]
    assert loads(again.given(a_set(made=3)))[3:] == [25.5, 25.5]


def test_a_young_lifters_rough_walk_lightens_the_next_set_alone() -> None:
    scene = walked(cleaner(youth=True).given(), "ah")
    assert loads(scene)[1:3] == [20, 43.5]
    rough = cleaner(youth=True).given(a_set(made=10, faults="a", grade=Grade.ROUGH))
    assert (proposal(rough).rule, loads(rough)[1:3]) == ("youth-rough", [18, 43.5])


def test_a_ramp_ticked_off_after_a_fault_in_the_walk_holds_one_work_set() -> None:
    scene = walked(cleaner()).given(RampDone(1))
    assert loads(scene)[2:] == [20, 43.5, 43.5, 43.5]
    assert loads(scene.given(a_set(made=3)))[2:] == [20, 30, 43.5, 43.5]


def test_a_held_set_put_right_is_still_one_on_the_way_up() -> None:
    scene = walked(cleaner()).given(a_set(made=3), a_set(made=3, grade=Grade.UNSEEN))
    seen = scene.given(PutRight(1, 3, grade=Grade.SHARP))
    assert loads(seen)[2:] == [30, 43.5, 43.5, 43.5]
    rough = scene.given(PutRight(1, 3, grade=Grade.ROUGH))
    assert loads(rough)[2:] == [30, 30, 43.5, 43.5]


def test_lighter_by_the_coachs_word_is_no_held_set() -> None:
    scene = cleaner(28.5).given(a_set(made=10), Overrule(1, "clean", "lighten"))
    assert loads(scene)[1] == 25.5, "a tenth off the set to come, not off the empty bar of the walk"
    clean = scene.given(a_set(made=3))
    assert (proposal(clean).rule, loads(clean)[2:]) == ("build-adds", [28, 28, 28])


def test_a_squatter_goes_back_up_by_the_ramp_and_loses_one_work_set_to_it() -> None:
    scene = evening(came(squat=60)).given(a_set(), a_set(grade=Grade.ROUGH))
    assert loads(scene, "squat") == [20, 40, 40, 60, 60]
    assert loads(scene.given(a_set(grade=Grade.UNSEEN)), "squat") == [20, 40, 40, 40, 60]
    assert loads(scene.given(a_set()), "squat") == [20, 40, 40, 60, 60]


# --- the grade of a walk


@pytest.mark.parametrize(
    ("marked", "grade"), [((3,), Grade.SOUND), ((3, 9), Grade.SOUND), ((1, 3, 9), Grade.ROUGH), ((), Grade.SHARP)]
)
def test_a_walk_with_a_fault_in_one_rep_of_five_is_suggested_sound(marked: tuple[int, ...], grade: Grade) -> None:
    scene = cleaner().given(StartSet(RACK))
    for rep in range(1, 11):
        scene = scene.given(CountRep(RACK, True), SeeFault(RACK, "a") if rep in marked else ())
    ended = scene.when(EndSet(RACK)).event("set_ended")
    assert (ended.suggested, ended.grade) == (grade, grade)


def test_a_work_set_with_one_fault_to_fix_is_suggested_rough_all_the_same() -> None:
    scene = cleaner().given(RampDone(1), StartSet(RACK), AllMade(RACK), SeeFault(RACK, "a"))
    assert scene.when(EndSet(RACK)).event("set_ended").suggested == Grade.ROUGH


def test_a_fault_marked_in_an_unseen_ramp_set_holds_the_bar_over_a_ramp_ticked_off_after_it() -> None:
    seen = evening(came(squat=60)).given(a_set(faults="d", grade=Grade.UNSEEN))
    assert loads(seen.given(RampDone(1)), "squat")[-3:] == [20, 60, 60]
    nothing = evening(came(squat=60)).given(a_set(grade=Grade.UNSEEN))
    assert loads(nothing.given(RampDone(1)), "squat")[-3:] == [60, 60, 60]


# --- what next time makes of an evening that came down


def squats_next(*sets: Grade) -> tuple[str, float]:
    """(rule, kg) of next time's squat after these grades of 3 x 5 at 20 kg."""
    scene = evening(came(squat=20), *(a_set(grade=g) for g in sets), CloseSession())
    plan = scene.state.lifters[1].plans["squat"]
    return plan.rule, plan.load / 100


def test_broken_twice_next_time_is_no_more_than_the_evening_came_down_to() -> None:
    assert squats_next(Grade.BROKEN, Grade.BROKEN, Grade.SHARP) == ("broken-eases", 16)
    assert squats_next(Grade.BROKEN, Grade.BROKEN) == ("broken-eases", 16)  # 16 was proposed, and not lifted


def test_broken_once_next_time_is_a_tenth_under_the_plan() -> None:
    assert squats_next(Grade.BROKEN, Grade.SHARP, Grade.SHARP) == ("broken-eases", 18)
    assert squats_next(Grade.SHARP, Grade.SHARP, Grade.BROKEN) == ("broken-eases", 18)


def test_an_evening_brought_down_from_its_ramp_is_not_forgotten_next_time() -> None:
    scene = evening(came(squat=60)).given(a_set(), a_set(faults="k"), *(a_set() for _ in range(3)))
    assert loads(scene, "squat")[2:] == [36, 54, 54]
    plan = scene.given(CloseSession()).state.lifters[1].plans["squat"]
    assert (plan.rule, plan.load) == ("asked-holds", kg(54))


# --- a rep too many


def test_a_miss_after_the_last_planned_rep_is_refused_in_words() -> None:
    scene = cleaner().given(RampDone(1), StartSet(RACK), AllMade(RACK))
    assert scene.when(CountRep(RACK, False)).why == "All 3 reps are counted; once it is graded, F3 puts it right."


def test_a_rep_made_over_the_plan_may_still_be_counted() -> None:
    scene = cleaner().given(RampDone(1), StartSet(RACK), AllMade(RACK), CountRep(RACK, True))
    running = scene.of(1).running()
    assert running is not None and (running.made, running.missed) == (4, 0)
    assert scene.when(CountRep(RACK, False)).refusal is not None


def test_the_last_planned_rep_may_be_missed() -> None:
    scene = evening(came(1, PLATFORM, "clean", clean=43.5)).given(RampDone(1), StartSet(PLATFORM))
    scene = scene.given(CountRep(PLATFORM, True), CountRep(PLATFORM, True), CountRep(PLATFORM, False))
    assert scene.of(1).running() is not None
