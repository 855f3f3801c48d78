"""A set put right says which set, from what and to what, and undoing it says the same."""

from __future__ import annotations

import pytest

from floor.core.commands import PutRight, RecordWhole
from floor.core.decide import decide
from floor.core.gym import Grade
from floor.core.words import command_words
from tests.core.scenes import Scene, evening, kg, ready


def squat() -> Scene:
    """Work sets of 5 at 60 kg are 3, 4 and 5 of the evening; the first is on record."""
    return evening(ready(squat=60)).given(RecordWhole(1, 3, 5, grade=Grade.SOUND))


@pytest.mark.parametrize(
    ("command", "words"),
    [
        (PutRight(1, 3, load=kg(62.5)), "Noor: set 1 put right: 60 to 62.5 kg"),
        (PutRight(1, 3, made=4), "Noor: set 1 put right: reps 5 to 4"),
        (PutRight(1, 3, made=4, missed=1), "Noor: set 1 put right: reps 5 to 4 (1 missed)"),
        (PutRight(1, 3, grade=Grade.ROUGH), "Noor: set 1 put right: sound to rough"),
        (PutRight(1, 3, made=3, load=kg(65), grade=Grade.SHARP),
         "Noor: set 1 put right: 60 to 65 kg, reps 5 to 3, sound to sharp"),
    ],
)  # fmt: skip
def test_what_was_put_right_is_said_from_what_to_what(command: PutRight, words: str) -> None:
    scene = squat()
    events = decide(scene.state, command, scene.now)
    assert isinstance(events, tuple)
    assert command_words(events, scene.state.gym, {1: "Noor"}, scene.state) == words


def test_without_the_state_before_it_is_said_that_a_set_was_put_right() -> None:
    scene = squat()
    events = decide(scene.state, PutRight(1, 3, made=4), scene.now)
    assert isinstance(events, tuple)
    assert command_words(events, scene.state.gym, {1: "Noor"}) == "Noor: a set put right"
