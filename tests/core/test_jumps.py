"""A load by the coach's hand that is far over what was lifted or planned is set only when the coach is sure."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from floor.core.commands import BringRoster, ChangeLoad, Overrule, PlanNext, PutRight, RecordWhole, RosterRow, SetStep
from floor.core.gym import Grade
from floor.core.jumps import GUARD
from tests.core.scenes import Scene, a_set, belongs, came, evening, kg, ready


def squats(grade: Grade | None = None) -> Scene:
    """A squat set of 60 kg done, two to come."""
    return evening(ready(squat=60)).given(a_set(grade=grade))


def test_a_load_more_than_a_fifth_over_the_last_set_needs_the_coach_to_be_sure() -> None:
    assert squats().when(ChangeLoad(1, kg(72))).event("load_changed").load == kg(72)
    asked = squats().when(ChangeLoad(1, kg(72.5)))
    assert asked.why == "{lifter}: 72.5 kg is 12.5 kg more than planned. Are you sure?"
    assert asked.refusal is not None and asked.refusal.unless_sure and asked.refusal.lifter == 1
    assert squats().when(ChangeLoad(1, kg(72.5), sure=True)).event("load_changed").load == kg(72.5)


def test_the_ramps_own_jump_is_planned_and_one_past_it_counts_from_the_last_set() -> None:
    ramp = evening(came(squat=60)).given(a_set())  # 20 kg done, 40 planned next
    assert ramp.when(ChangeLoad(1, kg(39))).event("load_changed").load == kg(39)
    assert "22.5 kg more than the last set" in ramp.when(ChangeLoad(1, kg(42.5))).why


def test_after_a_lightened_set_the_jump_counts_from_the_lighter_load() -> None:
    assert "11 kg more than planned" in squats(Grade.BROKEN).when(ChangeLoad(1, kg(65))).why


def test_before_the_first_set_the_plan_is_what_a_jump_is_from() -> None:
    assert "20 kg more than planned" in evening(came(squat=60)).when(ChangeLoad(1, kg(40))).why


def test_a_step_more_than_a_fifth_is_asked_about_too() -> None:
    wide = squats().given(SetStep(1, "squat", kg(15)))
    asked = wide.when(Overrule(1, "squat", "add"))
    assert asked.refusal is not None and asked.refusal.unless_sure
    assert wide.when(Overrule(1, "squat", "add", sure=True)).event("proposal_overruled").load == kg(75)


def test_next_time_jumps_no_further_than_tonight() -> None:
    scene = Scene().given(belongs(1, squat=60))
    assert scene.when(PlanNext(1, "squat", 3, 5, kg(72))).event("next_planned").load == kg(72)
    asked = scene.when(PlanNext(1, "squat", 3, 5, kg(72.5)))
    assert asked.why == "{lifter}: 72.5 kg is 12.5 kg more than planned. Are you sure?"
    assert scene.when(PlanNext(1, "squat", 3, 5, kg(72.5), sure=True)).event("next_planned").load == kg(72.5)


def test_a_first_plan_has_nothing_to_jump_from() -> None:
    assert Scene().given(belongs(1)).when(PlanNext(1, "squat", 3, 5, kg(200))).event("next_planned").load == kg(200)


def test_what_was_lifted_is_recorded_however_heavy() -> None:
    scene = squats().given(RecordWhole(1, 5, 5, load=kg(100)))
    assert scene.of(1).sets[4].load == kg(100)
    assert scene.given(PutRight(1, 5, load=kg(120))).of(1).sets[4].load == kg(120)


def test_a_roster_is_brought_in_however_far_its_loads_are_from_the_plans() -> None:
    scene = Scene().given(belongs(1, squat=60), BringRoster((RosterRow(1, "squat", 3, 5, kg(100)),), ()))
    assert scene.state.lifters[1].plans["squat"].load == kg(100)


@given(wanted=st.integers(kg(20), kg(250)), grade=st.sampled_from([None, Grade.ROUGH, Grade.BROKEN]))
def test_no_load_by_hand_is_ever_far_over_plan_and_last_set_unless_the_coach_is_sure(
    wanted: int, grade: Grade | None
) -> None:
    scene = squats(grade)
    before = scene.coming(1).load
    low = min(before, kg(60))
    after = scene.when(ChangeLoad(1, wanted))
    if after.refusal is None:
        load = after.coming(1).load
        assert load <= before or load * 100 <= low * (100 + GUARD)
    elif after.refusal.unless_sure:
        assert scene.when(replace(ChangeLoad(1, wanted), sure=True)).coming(1).load * 100 > low * (100 + GUARD)


@pytest.mark.parametrize("load", [0, 40, 59])
def test_less_is_never_asked_about(load: float) -> None:
    scene = Scene().given(belongs(1, squat=60))
    assert scene.when(PlanNext(1, "squat", 3, 5, kg(load))).event("next_planned").load == kg(load)
