"""Reps past the plan: one or two by mistake are counted and said, twice as many as planned are not believed."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from floor.core.commands import CountRep, EndSet, PutRight, RecordWhole, StartSet
from floor.core.gym import Grade
from floor.core.reps import impossible, over_words
from floor.core.words import command_words
from tests.core.scenes import RACK, Scene, a_set, evening, ready


def lifting(reps: int) -> Scene:
    """A squatter with so many reps of a set of five made, the bar still on the back."""
    return evening(ready(squat=60)).given(StartSet(RACK), (CountRep(RACK, True),) * reps)


def words(scene: Scene, before: Scene) -> str:
    return command_words(scene.events, scene.state.gym, {1: "Noor"}, before.state)


def test_a_sixth_rep_of_five_is_counted_and_said() -> None:
    five = lifting(5)
    six = five.when(CountRep(RACK, True))
    assert six.event("rep_made").rep == 6
    assert words(six, five) == "Noor: rep 6 made, one more than planned"
    assert words(five.when(EndSet(RACK)), five) == "Noor: squat 60 kg graded sharp"
    assert "more than planned" not in words(five, lifting(4))


def test_no_set_has_more_than_twice_its_reps() -> None:
    assert lifting(10).when(CountRep(RACK, True)).why == (
        "A set of 5 does not have 11 reps: at most twice as many as planned."
    )
    planned = evening(ready(squat=60))
    assert "does not have 11 reps" in planned.when(RecordWhole(1, 3, 8, 3)).why
    done = planned.given(a_set())
    assert "does not have 11 reps" in done.when(PutRight(1, 3, made=11)).why
    assert "does not have 13 reps" in done.when(PutRight(1, 3, made=8, missed=5)).why
    assert done.when(PutRight(1, 3, made=6)).event("set_put_right").reps == 6


def test_reps_below_none_were_never_lifted() -> None:
    done = evening(ready(squat=60)).given(a_set())
    assert done.when(PutRight(1, 3, made=6, missed=-1)).why.startswith("Say how many reps")
    assert done.when(PutRight(1, 3, made=0, missed=0)).why.startswith("Say how many reps")


def test_a_set_put_right_past_its_reps_says_so() -> None:
    done = evening(ready(squat=60)).given(a_set())
    right = done.when(PutRight(1, 3, made=7))
    assert words(right, done) == "Noor: set 1 put right: reps 5 to 7 of 5: two more than planned"


def test_the_grade_of_a_set_past_its_reps_can_still_be_put_right() -> None:
    done = lifting(10).given(EndSet(RACK))
    assert done.when(PutRight(1, 3, grade=Grade.ROUGH)).event("set_put_right").reps == 10


@given(st.integers(1, 30), st.integers(-2, 90), st.integers(-2, 90))
def test_what_is_believed_is_at_least_one_rep_and_at_most_twice_the_plan(planned: int, made: int, missed: int) -> None:
    believed = not impossible(planned, made, missed)
    assert believed == (made >= 0 and missed >= 0 and 1 <= made + missed <= 2 * planned)
    if believed:
        assert bool(over_words(planned, made + missed)) == (made + missed > planned)
