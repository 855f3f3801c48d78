"""The same fault two sets running: back to the stage that works on it, at no more load."""

from __future__ import annotations

from floor.core.commands import AllMade, CloseSession, EndSet, Overrule, RecordWhole, SeeFault, SetStage, StartSet
from floor.core.gym import Grade
from tests.core.scenes import RACK, Scene, a_set, kg
from tests.core.test_tonights_rules import proposed, staged

# The clean's letters: h hips rising first, a arms bent early, j jump cut short (all to fix), r back rounding (lighten).


def test_the_same_fault_twice_goes_back_to_its_stage_at_no_more_load() -> None:
    scene = staged().given(a_set(made=3, faults="h"), StartSet(RACK), AllMade(RACK), SeeFault(RACK, "h"))
    scene = scene.when(EndSet(RACK))
    event = scene.event("set_proposed")
    assert (event.action, event.rule, event.stage, event.load) == ("step_down", "twice-step-down", 8, kg(30))
    assert [s.stage for s in scene.of(1).sets[1:]] == [9, 9, 8, 8]


def test_each_fault_goes_back_to_a_stage_of_its_own_and_under_that_stages_load() -> None:
    arms = staged().given(a_set(made=3, faults="a"))
    assert proposed(arms, *a_set(made=3, faults="a")) == ("step_down", "twice-step-down", kg(20))
    scene = arms.given(a_set(made=3, faults="a"))
    assert (scene.coming(1).stage, scene.coming(1).load) == (6, kg(20))
    both = staged().given(a_set(made=3, faults="ja"), a_set(made=3, faults="aj"))
    assert both.coming(1).stage == 4  # the jump is taught before the knee


def test_a_bad_fault_twice_goes_back_a_stage_and_lighter() -> None:
    scene = staged().given(a_set(made=3, faults="r"), a_set(made=3, faults="r"))
    assert (scene.coming(1).stage, scene.coming(1).load) == (7, kg(24))


def test_a_fault_that_sends_nowhere_from_this_stage_lightens_the_second_time() -> None:
    scene = staged(6, load=20).given(a_set(made=3, faults="h"))
    assert proposed(scene, *a_set(made=3, faults="h"))[:2] == ("lighten", "twice-lighten")


def test_a_fault_carried_over_from_the_stage_before_is_not_twice_on_this_one() -> None:
    scene = staged().given(a_set(made=3, faults="h"), a_set(made=3, faults="h"))
    assert scene.coming(1).stage == 8
    assert proposed(scene, *a_set(made=3, faults="h"))[1] == "twice-lighten"


def test_a_set_nobody_saw_between_two_with_the_same_fault_does_not_part_them() -> None:
    scene = staged().given(a_set(made=3, faults="h"), a_set(made=3, grade=Grade.UNSEEN))
    assert proposed(scene, *a_set(made=3, faults="h"))[:2] == ("step_down", "twice-step-down")


def test_a_clean_set_between_them_does() -> None:
    scene = staged().given(a_set(made=3, faults="h"), a_set(made=3, grade=Grade.SOUND))
    assert proposed(scene, *a_set(made=3, faults="h"))[:2] == ("keep", "rough-keeps")


# --- what the close makes of it


def stage_after(scene: Scene) -> int | None:
    """The stage the lifter comes back to."""
    return scene.given(CloseSession()).state.lifters[1].stages.get("clean")


def test_a_stage_down_that_was_proposed_and_not_lifted_stands_next_time() -> None:
    scene = staged().given(a_set(made=3, faults="h"), a_set(made=3, faults="h"))
    assert (scene.coming(1).stage, stage_after(scene)) == (8, 8)


def test_one_the_coach_overruled_or_signed_another_over_does_not() -> None:
    scene = staged().given(a_set(made=3, faults="h"), a_set(made=3, faults="h"))
    assert stage_after(scene.given(Overrule(1, "clean", "keep"))) == 9
    assert stage_after(scene.given(SetStage(1, "clean", 9))) == 9


def test_the_same_fault_in_the_last_two_sets_sends_back_though_none_is_left_to_propose_it_for() -> None:
    scene = staged().given(a_set(made=3), a_set(made=3), a_set(made=3, faults="h"), a_set(made=3, faults="h"))
    assert scene.of(1).pending() is None
    assert stage_after(scene) == 8
    apart = staged().given(a_set(made=3), a_set(made=3, faults="h"), a_set(made=3), a_set(made=3, faults="h"))
    assert stage_after(apart) == 9


def test_a_last_set_nobody_saw_leaves_the_stage_where_it_is() -> None:
    scene = staged().given(a_set(made=3), a_set(made=3, faults="h"), a_set(made=3))
    last = scene.coming(1).no
    assert stage_after(scene.given(RecordWhole(1, last, 3))) == 9
