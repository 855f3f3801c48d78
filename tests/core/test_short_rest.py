"""A miss after a short rest: the bar stays, the rest grows."""

from __future__ import annotations

import pytest

from floor.core.commands import Overrule, PutRight, RampDone, RecordWhole
from floor.core.gym import Grade
from floor.core.rests import rest_left
from tests.core.scenes import RACK, Scene, a_set, came, evening, kg, ready


def second_set(rested: int, made: int = 4, missed: int = 1, faults: str = "") -> Scene:
    """Two squat sets, the second begun `rested` seconds after the first was down (its grade is ten seconds later)."""
    scene = evening(ready(squat=60)).given(a_set())
    scene = scene.later(seconds=rested - 20)
    return scene.given(a_set(made=made, missed=missed, faults=faults))


def rule(scene: Scene) -> tuple[str, str, int]:
    proposal = scene.state.evening.proposals[1, "squat"]
    return proposal.action, proposal.rule, proposal.load


def test_a_missed_rep_after_a_short_rest_first_gets_rest_and_the_same_load() -> None:
    assert rule(second_set(rested=60)) == ("rest", "rest-first", kg(60))
    assert rule(second_set(rested=60, made=3, missed=2)) == ("rest", "rest-first", kg(60))


def test_after_a_full_rest_the_same_miss_is_a_miss() -> None:
    assert rule(second_set(rested=180)) == ("keep", "one-rep-short", kg(60))
    assert rule(second_set(rested=180, made=3, missed=2)) == ("lighten", "two-reps-short", kg(54))


@pytest.mark.parametrize(("rested", "said"), [(134, "rest-first"), (135, "one-rep-short")])
def test_short_is_under_three_quarters_of_the_rest_owed(rested: int, said: str) -> None:
    assert rule(second_set(rested=rested))[1] == said


def test_the_rest_before_the_next_set_is_longer_by_half() -> None:
    scene = second_set(rested=60)
    assert 180 < rest_left(scene.state.gym, scene.of(1), scene.now) <= 270
    assert scene.state.evening.proposals[1, "squat"].rest == 270


def test_a_second_miss_running_is_not_put_down_to_rest_again() -> None:
    scene = evening(came(1, RACK, "clean", clean=30), RampDone(1), a_set(made=3))
    scene = scene.given(a_set(made=2, missed=1))
    assert scene.state.evening.proposals[1, "clean"].rule == "rest-first"
    assert scene.given(a_set(made=2, missed=1)).state.evening.proposals[1, "clean"].rule == "one-rep-short"


def test_form_goes_before_rest() -> None:
    assert rule(second_set(rested=60, faults="k"))[1] == "lighten-fault"


def test_the_coach_may_overrule_the_longer_rest() -> None:
    scene = second_set(rested=60).given(Overrule(1, "squat", "keep"))
    assert rest_left(scene.state.gym, scene.of(1), scene.now) <= 180


def test_a_miss_taken_back_takes_the_longer_rest_back() -> None:
    scene = second_set(rested=60).given(PutRight(1, 4, made=5, missed=0))
    assert rest_left(scene.state.gym, scene.of(1), scene.now) <= 180


def test_a_ramp_ticked_off_and_a_set_seen_late_tell_nothing_of_rest() -> None:
    first = evening(ready(squat=60)).given(a_set(made=4, missed=1))
    assert rule(first)[1] == "one-rep-short"
    late = evening(came(squat=60), RampDone(1)).given(a_set(), RecordWhole(1, 4, 4, 1, Grade.SOUND))
    assert rule(late)[1] == "one-rep-short"


# --- jumps by hand
