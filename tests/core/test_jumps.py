"""A load by the coach's hand that is far over what was lifted or planned is set only when the coach is sure."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from floor.core.commands import BringRoster, ChangeLoad, Overrule, PlanNext, PutRight, RecordWhole, RosterRow, SetStep
from floor.core.gym import Grade
from floor.core.steps import MOST_PERCENT
from tests.core.scenes import Scene, a_set, belongs, came, evening, kg, next_evening, ready


def squats(grade: Grade | None = None) -> Scene:
    """A squat set of 60 kg done, two to come."""
    return evening(ready(squat=60)).given(a_set(grade=grade))


def test_a_load_more_than_a_tenth_over_the_last_set_needs_the_coach_to_be_sure() -> None:
    assert squats().when(ChangeLoad(1, kg(66))).event("load_changed").load == kg(66)
    asked = squats().when(ChangeLoad(1, kg(67.5)))
    assert asked.why == "{lifter}: 67.5 kg is 7.5 kg more than planned. Are you sure?"
    assert asked.refusal is not None and asked.refusal.unless_sure and asked.refusal.lifter == 1
    assert squats().when(ChangeLoad(1, kg(67.5), sure=True)).event("load_changed").load == kg(67.5)


def test_the_ramps_own_jump_is_planned_and_one_past_it_counts_from_the_plan() -> None:
    ramp = evening(came(squat=60)).given(a_set())  # 20 kg done, 40 planned next
    assert ramp.when(ChangeLoad(1, kg(44))).event("load_changed").load == kg(44)
    assert "5 kg more than planned" in ramp.when(ChangeLoad(1, kg(45))).why


def test_after_a_lightened_set_the_load_just_lifted_is_no_jump_and_a_tenth_over_it_is() -> None:
    broken = squats(Grade.BROKEN)
    assert broken.coming(1).load == kg(54)
    assert broken.when(ChangeLoad(1, kg(60))).event("load_changed").load == kg(60)
    assert "7.5 kg more than the last set" in broken.when(ChangeLoad(1, kg(67.5))).why


def test_a_load_just_lifted_is_no_jump_though_the_coach_planned_less() -> None:
    scene = squats().given(ChangeLoad(1, kg(50)))
    assert scene.when(ChangeLoad(1, kg(66))).event("load_changed").load == kg(66)
    assert "7.5 kg more than the last set" in scene.when(ChangeLoad(1, kg(67.5))).why


def test_before_the_first_set_the_plan_is_what_a_jump_is_from() -> None:
    assert "20 kg more than planned" in evening(ready(squat=60)).when(ChangeLoad(1, kg(80))).why


def test_a_step_more_than_a_tenth_is_asked_about_too() -> None:
    wide = squats().given(SetStep(1, "squat", kg(10)))
    asked = wide.when(Overrule(1, "squat", "add"))
    assert asked.refusal is not None and asked.refusal.unless_sure
    assert wide.when(Overrule(1, "squat", "add", sure=True)).event("proposal_overruled").load == kg(70)


def test_next_time_jumps_no_further_than_tonight() -> None:
    scene = Scene().given(belongs(1, squat=107.5))
    assert scene.when(PlanNext(1, "squat", 3, 5, kg(117.5))).event("next_planned").load == kg(117.5)
    asked = scene.when(PlanNext(1, "squat", 3, 5, kg(125)))
    assert asked.why == "{lifter}: 125 kg is 17.5 kg more than planned. Are you sure?"
    assert scene.when(PlanNext(1, "squat", 3, 5, kg(125), sure=True)).event("next_planned").load == kg(125)


def test_next_time_what_was_lifted_tonight_is_no_jump_though_the_coach_planned_less() -> None:
    scene = squats().given(a_set(), a_set(), PlanNext(1, "squat", 3, 5, kg(50)))
    assert scene.when(PlanNext(1, "squat", 3, 5, kg(65))).event("next_planned").load == kg(65)
    assert "7.5 kg more than the last set" in scene.when(PlanNext(1, "squat", 3, 5, kg(67.5))).why


def test_what_was_lifted_on_another_evening_is_no_measure() -> None:
    scene = next_evening(squats().given(a_set(), a_set())).given(PlanNext(1, "squat", 3, 5, kg(50)))
    assert "10 kg more than planned" in scene.when(PlanNext(1, "squat", 3, 5, kg(60))).why


def test_a_first_plan_has_nothing_to_jump_from() -> None:
    assert Scene().given(belongs(1)).when(PlanNext(1, "squat", 3, 5, kg(200))).event("next_planned").load == kg(200)


def test_what_was_lifted_is_recorded_however_heavy_once_the_coach_is_sure() -> None:
    asked = squats().when(RecordWhole(1, 5, 5, load=kg(100)))
    assert asked.why == "{lifter}: 100 kg is 40 kg more than planned. Are you sure?"
    scene = squats().given(RecordWhole(1, 5, 5, load=kg(100), sure=True))
    assert scene.of(1).sets[4].load == kg(100)
    assert scene.when(PutRight(1, 5, load=kg(120))).refusal is not None
    assert scene.given(PutRight(1, 5, load=kg(120), sure=True)).of(1).sets[4].load == kg(120)


def test_a_load_far_over_its_plan_is_no_measure_for_the_next() -> None:
    typed = squats().given(RecordWhole(1, 4, 5, load=kg(100), sure=True))
    assert "kg more than planned" in typed.when(ChangeLoad(1, kg(100))).why


def test_a_roster_is_brought_in_however_far_its_loads_are_from_the_plans() -> None:
    scene = Scene().given(belongs(1, squat=60), BringRoster((RosterRow(1, "squat", 3, 5, kg(100)),), ()))
    assert scene.state.lifters[1].plans["squat"].load == kg(100)


@given(wanted=st.integers(kg(20), kg(250)), grade=st.sampled_from([None, Grade.ROUGH, Grade.BROKEN]))
def test_no_load_by_hand_is_ever_far_over_plan_and_last_set_unless_the_coach_is_sure(
    wanted: int, grade: Grade | None
) -> None:
    scene = squats(grade)
    before = scene.coming(1).load
    known = max(before, kg(60))
    after = scene.when(ChangeLoad(1, wanted))
    if after.refusal is None:
        assert after.coming(1).load * 100 <= known * (100 + MOST_PERCENT)
    elif after.refusal.unless_sure:
        assert scene.when(replace(ChangeLoad(1, wanted), sure=True)).coming(1).load * 100 > known * (100 + MOST_PERCENT)


@pytest.mark.parametrize("load", [0, 40, 59])
def test_less_is_never_asked_about(load: float) -> None:
    scene = Scene().given(belongs(1, squat=60))
    assert scene.when(PlanNext(1, "squat", 3, 5, kg(load))).event("next_planned").load == kg(load)
