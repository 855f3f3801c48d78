"""A newcomer's load is found on the last stage: the light bar of a drill is nobody's plan."""

from __future__ import annotations

import pytest

from floor.core.commands import Arrive, CloseSession, Command, OpenSession, SetStage
from floor.core.gym import Grade
from tests.core.scenes import PLATFORM, Scene, a_set, came, evening, gym, kg

LAST = gym().lifts["deadlift"].stages[-1].no


def newcomer(stage: int = 1, lift: str = "deadlift", programme: str = "pull") -> Scene:
    """The first evening of someone without a plan for the lift, on that stage of it."""
    who = came(1, PLATFORM, programme)
    return evening(who[:-1], SetStage(1, lift, stage), who[-1:])


def worked(scene: Scene, **how: Grade) -> Scene:
    """Every set that is left, and the close."""
    while (coming := scene.of(1).pending()) is not None:
        scene = scene.given(a_set(PLATFORM, made=coming.reps, **how))
    return scene.given(CloseSession())


def test_a_drill_with_the_light_bar_leaves_no_plan_behind() -> None:
    first = newcomer()
    assert first.coming(1).load == kg(20) < gym().lifts["deadlift"].start
    assert "deadlift" not in worked(first).state.lifters[1].plans


def test_on_the_last_stage_the_load_is_found_from_the_lifts_own_start() -> None:
    scene = worked(newcomer()).later(days=2).given(OpenSession(), SetStage(1, "deadlift", LAST), Arrive(1, PLATFORM))
    assert scene.coming(1).load == gym().lifts["deadlift"].start
    plan = worked(scene).state.lifters[1].plans["deadlift"]
    assert plan.rule == "found" and plan.load > gym().lifts["deadlift"].start


def test_the_stage_is_kept_all_the_same() -> None:
    assert worked(newcomer(2)).state.lifters[1].stages["deadlift"] == 2


def test_a_stage_signed_half_way_through_the_evening_finds_nothing_yet() -> None:
    scene = newcomer(LAST - 1).given(a_set(PLATFORM, made=5), SetStage(1, "deadlift", LAST))
    assert "deadlift" not in worked(scene).state.lifters[1].plans


@pytest.mark.parametrize("grade", [Grade.ROUGH, Grade.UNSEEN])
def test_a_rough_or_unwatched_drill_leaves_no_plan_either(grade: Grade) -> None:
    assert "deadlift" not in worked(newcomer(), grade=grade).state.lifters[1].plans


def test_a_drill_that_falls_apart_is_still_eased() -> None:
    plan = worked(newcomer(), grade=Grade.BROKEN).state.lifters[1].plans["deadlift"]
    assert plan.rule == "broken-eases" and plan.load <= kg(20)


def test_a_lift_held_by_its_form_takes_the_drills_load_with_it() -> None:
    assert worked(newcomer(2, "clean", "clean")).state.lifters[1].plans["clean"].load <= kg(20)


def test_someone_sent_back_to_a_stage_keeps_the_plan_they_had() -> None:
    who: tuple[Command, ...] = came(1, PLATFORM, "pull", deadlift=80)
    scene = evening(who[:-1], SetStage(1, "deadlift", 1), who[-1:])
    assert worked(scene).state.lifters[1].plans["deadlift"].load == kg(80)
