"""After the last set of a lift the floor says what the next session will ask, and why."""

from __future__ import annotations

from dataclasses import replace

from floor.core import commands as c
from floor.core.gym import Entry, Grade, Programme
from floor.core.state import State
from floor.tui.present_next import next_lines
from tests.core.scenes import RACK, Scene, a_set, belongs, gym

SQUAT, LIGHT = Entry("squat", 2, 5), Entry("squat", 2, 5, percent=80)
BENCH = Entry("bench", 2, 6)


def lifted(
    *days: tuple[Entry, ...], at: int = 0, load: float = 87.5, grades: tuple[Grade | None, ...] = (None, None)
) -> Scene:
    """Someone of a programme of these days, their squats of this one done."""
    mine = replace(gym(), programmes={"mine": Programme("mine", "mine", days)})
    scene = Scene(State(gym=mine)).given(belongs(1, "mine", youth=False, squat=load))
    scene = replace(scene, state=replace(scene.state, lifters={1: replace(scene.state.lifters[1], day=at)}))
    scene = scene.given(c.OpenSession(), c.Arrive(1, RACK), c.RampDone(1))
    return scene.given(*(a_set(grade=grade) for grade in grades))


def told(scene: Scene, width: int = 200) -> list[str]:
    lines = next_lines(scene.state, scene.of(1), "squat", "Ada squat: 5 of 5 made, sharp", width)
    return [line.plain for line in lines]


def test_before_a_full_day_the_load_its_sets_and_the_reason_stand_in_a_line() -> None:
    (line,) = told(lifted((SQUAT,), load=60))
    assert line.endswith("Next time 62.5 kg 2×5: was 60 · all reps made, form held: one step more")


def test_before_a_light_day_its_own_load_is_said() -> None:
    (line,) = told(lifted((SQUAT,), (LIGHT,), load=60))
    assert "Next time 50 kg 2×5: light day: 80 % of the full 62.5 kg, up from 60 · all reps made" in line


def test_after_a_light_day_the_full_load_is_no_jump() -> None:
    (line,) = told(lifted((SQUAT,), (LIGHT,), at=1))
    assert line.endswith("Next time 87.5 kg 2×5: back to the full 87.5 kg after the light day")


def test_after_a_light_day_with_a_thing_to_fix_the_reason_follows() -> None:
    (line,) = told(lifted((SQUAT,), (LIGHT,), at=1, grades=(None, Grade.ROUGH)))
    assert ": back to the full 87.5 kg after the light day · rough on a light day: the full load stays" in line


def test_after_a_light_day_that_fell_apart_the_full_load_goes_down() -> None:
    (line,) = told(lifted((SQUAT,), (LIGHT,), at=1, grades=(None, Grade.BROKEN)))
    assert "light day: the full load goes from 87.5 to " in line and "form fell apart: lighter next time" in line


def test_a_lift_that_comes_on_a_later_day_is_said_with_the_day() -> None:
    (line,) = told(lifted((SQUAT,), (BENCH,), load=60))
    assert "Next time 62.5 kg 2×5 on day 1" in line


def test_in_a_narrow_panel_the_reason_goes_below() -> None:
    first, below = told(lifted((SQUAT,), (LIGHT,), load=60), 92)
    assert first.endswith("Next time 50 kg 2×5")
    assert below == "light day: 80 % of the full 62.5 kg, up from 60 · all reps made, form held: one step more"


def test_where_both_do_not_fit_the_light_day_goes_before_the_reason() -> None:
    first, below, why = told(lifted((SQUAT,), (LIGHT,), load=60), 60)
    assert first.endswith("Next time 50 kg 2×5") and below == "light day: 80 % of the full 62.5 kg, up from 60"
    assert why == "why  all reps made, form held: one step more"
