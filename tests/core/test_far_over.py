"""What was lifted far over the plan, or typed so, is no reason for more: it is asked about, and the plan stays."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from floor.core.commands import (
    AllMade,
    BarFound,
    CloseSession,
    EndSet,
    Overrule,
    PutRight,
    RecordWhole,
    SetStage,
    StartSet,
)
from floor.core.gym import Grade
from floor.core.steps import most_after
from tests.core.scenes import PLATFORM, RACK, Scene, a_set, came, evening, gym, kg, ready


def cleans(load: float = 40) -> Scene:
    """Four build sets of the clean to come, the ramp done."""
    return evening(ready(1, PLATFORM, "clean", clean=load))


def recorded(scene: Scene, load: float, *, sure: bool = False) -> RecordWhole:
    """The next set as sharp at that load."""
    return RecordWhole(1, scene.coming(1).no, 3, grade=Grade.SHARP, load=kg(load), sure=sure)


def on_the_bar(load: float, grade: Grade = Grade.SHARP) -> Scene:
    """The first set planned at 40 kg, lifted with what was really on the bar."""
    scene = cleans().given(StartSet(PLATFORM), BarFound(PLATFORM, kg(load)), AllMade(PLATFORM))
    return scene.when(EndSet(PLATFORM, grade))


def left(scene: Scene) -> set[int]:
    return {s.load for s in scene.of(1).sets if s.status == "planned"}


def test_a_load_typed_far_over_the_plan_is_recorded_only_when_the_coach_is_sure() -> None:
    asked = cleans().when(recorded(cleans(), 90))
    assert asked.refusal is not None and asked.refusal.unless_sure
    assert asked.why == "{lifter}: 90 kg is 50 kg more than planned. Are you sure?"
    assert cleans().when(recorded(cleans(), 44)).event("set_recorded").load == kg(44)


def test_a_load_far_over_the_plan_leaves_the_rest_as_planned() -> None:
    sure = cleans().when(recorded(cleans(), 90, sure=True))
    assert (sure.event("set_proposed").rule, left(sure)) == ("far-over", {kg(40)})


@pytest.mark.parametrize("load", [45, 60, 90])
def test_a_bar_found_far_heavier_than_planned_leaves_the_rest_as_planned(load: float) -> None:
    scene = on_the_bar(load)
    assert (scene.event("set_proposed").action, scene.event("set_proposed").rule) == ("keep", "far-over")
    assert left(scene) == {kg(40)}


def test_a_bar_found_a_little_heavier_brings_no_more_than_a_tenth_over_the_plan() -> None:
    assert (on_the_bar(42.5).event("set_proposed").rule, left(on_the_bar(42.5))) == ("build-adds", {kg(44)})


def test_a_set_that_fell_apart_far_over_the_plan_is_no_reason_for_more_either() -> None:
    assert left(on_the_bar(60, Grade.BROKEN)) == {kg(40)}


def test_another_step_on_top_of_a_load_far_over_the_plan_is_asked_about() -> None:
    asked = on_the_bar(60).when(Overrule(1, "clean", "add"))
    assert asked.refusal is not None and asked.refusal.unless_sure


def test_a_load_put_right_to_one_far_over_the_plan_is_asked_about() -> None:
    first = cleans().coming(1).no
    done = cleans().given(recorded(cleans(), 40))
    asked = done.when(PutRight(1, first, load=kg(90)))
    assert asked.refusal is not None and asked.refusal.unless_sure
    sure = done.when(PutRight(1, first, load=kg(90), sure=True))
    assert left(sure) == {kg(40)}
    assert done.when(PutRight(1, first, load=kg(37))).refusal is None


def test_a_slip_put_right_to_what_was_planned_counts_as_planned_again() -> None:
    slip = cleans().given(recorded(cleans(), 90, sure=True))
    assert left(slip.given(PutRight(1, cleans().coming(1).no, load=kg(40)))) == {kg(40)}
    later = slip.given(PutRight(1, cleans().coming(1).no, load=kg(40)))
    assert left(later.given(recorded(later, 40))) == {kg(42.5)}


def test_a_first_load_typed_far_over_is_not_what_next_time_starts_from() -> None:
    who = came(1, RACK, "squat")
    last = SetStage(1, "squat", gym().lifts["squat"].stages[-1].no, sure=True)
    scene = evening(who[:-1], last, who[-1])
    first = RecordWhole(1, scene.coming(1).no, 5, grade=Grade.SHARP, load=kg(90), sure=True)
    scene = scene.given(first, a_set(), a_set(), CloseSession())
    assert scene.state.lifters[1].plans["squat"].load == kg(22)


@given(planned=st.integers(25, 100), lifted=st.integers(20, 200))
def test_no_proposal_is_ever_more_than_a_tenth_over_what_was_planned(planned: int, lifted: int) -> None:
    scene = cleans(planned)
    assert max(left(scene.given(recorded(scene, lifted, sure=True)))) <= most_after(kg(planned))
