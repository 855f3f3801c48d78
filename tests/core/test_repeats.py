"""A stall is shown with the evenings it rests on: read once at arrival, frozen, tonight's the last."""

from __future__ import annotations

from dataclasses import replace

import pytest

from floor.core.commands import Arrive, CloseSession, OpenSession, RampDone
from floor.core.events import check
from floor.core.gym import Grade
from floor.core.repeats import counted, evening, evenings_words, repeated
from floor.core.state import NextPlan, Repeat
from floor.core.summary import lifter_lines, summarise
from floor.core.whynext import why_next
from tests.core.scenes import RACK, Scene, a_set, belongs, kg

GOOD, MISSED = a_set(), a_set(made=4, missed=1)
TWO_SHORT, ONE_SHORT = Repeat(kg(95), 13, 15, Grade.SOUND), Repeat(kg(95), 14, 15, Grade.SOUND)


def stalling(*before: Repeat) -> Scene:
    """Someone at 95 kg, repeated as often before, who misses a rep tonight."""
    scene = Scene().given(belongs(1, "squat", squat=95))
    lifter = scene.state.lifters[1]
    plan = replace(lifter.plans["squat"], rule="miss-repeats", repeats=len(before) or 2)
    scene = replace(scene, state=replace(scene.state, lifters={1: replace(lifter, plans={"squat": plan})}))
    arrives = Arrive(1, RACK, repeats=(("squat", before),) if before else ())
    return scene.given(OpenSession(), arrives, RampDone(1), GOOD, GOOD, MISSED)


def told(scene: Scene) -> str:
    """The summary's lines of the lifter, on one line."""
    gym = scene.state.gym
    (came,) = summarise(scene.state, scene.events).came
    return " ".join(" ".join(lifter_lines(came, gym, {1: "Ada"}, 78)).split())


def test_a_stall_shows_the_loads_and_the_misses_of_its_evenings() -> None:
    said = "lighter, then up again (3 evenings at 95 kg: 13 of 15, 14 of 15, 14 of 15 reps)"
    scene = stalling(TWO_SHORT, ONE_SHORT)
    assert said in told(scene), "before the close"
    closed = scene.when(CloseSession())
    assert closed.event("next_planned").rule == "three-repeats-ease" and said in told(closed), "and after it"


def test_a_second_miss_running_shows_the_first() -> None:
    scene = stalling(TWO_SHORT)
    assert why_next(scene.state, scene.of(1), "squat", "miss-repeats").endswith(
        "same load (2 evenings at 95 kg: 13 of 15, 14 of 15 reps)"
    )


def test_a_first_miss_has_no_evenings_to_show() -> None:
    scene = stalling()
    assert why_next(scene.state, scene.of(1), "squat", "miss-repeats") == "not every rep made: same load"


def test_where_the_record_tells_of_no_evening_the_repeats_are_at_least_counted() -> None:
    assert "(the load repeated 3 evenings running)" in told(stalling())


def test_a_step_up_shows_no_evenings() -> None:
    scene = stalling(TWO_SHORT)
    assert "evenings" not in why_next(scene.state, scene.of(1), "squat", "all-made")


def test_the_evenings_are_written_down_at_arrival() -> None:
    scene = Scene().given(belongs(1, "squat", squat=95), OpenSession())
    scene = scene.when(Arrive(1, RACK, repeats=(("squat", (TWO_SHORT, Repeat(kg(90), 15, 15, Grade.ROUGH))),)))
    first, second = (e for e in scene.events if e.kind == "repeat_found")
    assert (first.load, first.reps, first.missed, first.count) == (kg(95), 13, 2, 1)
    assert (second.load, second.reps, second.missed, second.grade, second.count) == (kg(90), 15, 0, "rough", 2)
    check(first)
    assert scene.of(1).repeats == {"squat": (TWO_SHORT, Repeat(kg(90), 15, 15, Grade.ROUGH))}


def test_loads_that_differ_are_each_said_and_rough_form_is_named() -> None:
    rough, lowered = Repeat(kg(95), 15, 15, Grade.ROUGH), Repeat(kg(90), 15, 15, Grade.SHARP)
    assert evenings_words((ONE_SHORT, rough), "kg") == "2 evenings at 95 kg: 14 of 15, 15 of 15 rough reps"
    said = "3 evenings: reps 14 of 15, 15 of 15 rough at 95 kg; 15 of 15 at 90 kg"
    assert evenings_words((ONE_SHORT, rough, lowered), "kg") == said


def test_an_evening_counts_its_heaviest_load_all_its_reps_and_its_worst_grade() -> None:
    sets = ((kg(95), 5, 5, Grade.UNSEEN), (kg(95), 4, 5, Grade.ROUGH), (kg(90), 5, 5, Grade.SHARP))
    assert evening(sets) == Repeat(kg(95), 14, 15, Grade.ROUGH)
    assert evening(()) is None and evening(((kg(60), 5, 5, Grade.UNSEEN),)) == Repeat(kg(60), 5, 5, None)


@pytest.mark.parametrize(
    ("plans", "run"),
    [
        ([(1, 1, "miss-repeats"), (2, 2, "miss-repeats")], (1, 2)),
        ([(1, 1, "miss-repeats"), (2, 0, "all-made"), (3, 1, "rough-repeats")], (3,)),
        ([(1, 1, "miss-repeats"), (2, 1, "light-day"), (3, 2, "miss-repeats")], (1, 3)),
        ([(1, 1, "miss-repeats"), (2, 1, "form-limit-caps"), (2, 2, "miss-repeats")], (1, 2)),
        ([(1, 2, "miss-repeats"), (2, 0, "lay-off"), (2, 1, "miss-repeats")], (2,)),
        ([(1, 1, "miss-repeats"), (2, 2, "x"), (2, 0, "by-hand"), (2, 2, "x")], (1, 2)),
        ([(1, 1, "miss-repeats"), (2, 2, "x"), (2, 0, "by-hand")], ()),
        ([(1, 1, "miss-repeats"), (None, 0, "by-hand"), (2, 1, "miss-repeats")], (2,)),
    ],
)
def test_only_the_evenings_of_the_run_that_goes_on_are_counted(
    plans: list[tuple[int | None, int, str]], run: tuple[int, ...]
) -> None:
    assert counted(plans) == run


def test_only_lifts_that_stand_repeated_have_evenings_to_read() -> None:
    scene = Scene().given(belongs(1, "squat", squat=95, bench=60))
    lifter = scene.state.lifters[1]
    once = NextPlan("bench", 3, 5, kg(60), "miss-repeats", 1)
    assert repeated(lifter) == () and repeated(replace(lifter, plans={**lifter.plans, "bench": once})) == ("bench",)
