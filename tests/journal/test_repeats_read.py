"""What a check-in reads of a load that stands repeated: the evenings as they are on record now."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from floor.core import commands as c
from floor.core.gym import Grade
from floor.core.state import Repeat
from floor.journal.repeats import read_repeats
from floor.session import Session
from tests.tui.house import check_in, done, new_clock, open_session

DAYS = 2 * 86_400
"""From one evening to the next, s."""


class Gym:
    """A gym whose Dov squats three sets of five at 70 kg, evening after evening."""

    def __init__(self, folder: Path) -> None:
        self.clock = new_clock()
        self.session: Session = open_session(folder, self.clock)
        done(self.session, c.GiveProgramme(4, "start3"))

    def evening(self, *made: int, grade: Grade = Grade.SOUND) -> None:
        """Checked in, the ramp done, the squats made so often, closed; two days go by."""
        self.begins()
        for no, reps in zip(self.work(), made, strict=True):
            done(self.session, c.RecordWhole(4, no, reps, 5 - reps, grade))
        done(self.session, c.CloseSession())
        self.clock.on(DAYS)
        done(self.session, c.GiveProgramme(4, "start3"))

    def begins(self) -> None:
        check_in(self.session, 4)
        done(self.session, c.RampDone(4))

    def work(self) -> list[int]:
        return [s.no for s in self.session.state.evening.here[4].of_lift("squat") if s.role != "ramp"]

    def read(self) -> dict[str, tuple[Repeat, ...]]:
        cursor = self.session.journal.cursor()
        try:
            return dict(read_repeats(cursor, 4, ("squat", "press")))
        finally:
            cursor.close()


@pytest.fixture
def gym(tmp_path: Path) -> Iterator[Gym]:
    found = Gym(tmp_path)
    yield found
    found.session.journal.close()


def test_the_evenings_of_the_run_are_read_with_their_misses(gym: Gym) -> None:
    gym.evening(5, 5, 5)
    gym.evening(5, 4, 4)
    gym.evening(5, 5, 4)
    assert gym.read() == {"squat": (Repeat(7250, 13, 15, Grade.SOUND), Repeat(7250, 14, 15, Grade.SOUND))}


def test_a_check_in_freezes_them_and_the_stall_shows_them(gym: Gym) -> None:
    gym.evening(5, 4, 4)
    gym.evening(5, 5, 4)
    gym.begins()
    expected = (Repeat(7000, 13, 15, Grade.SOUND), Repeat(7000, 14, 15, Grade.SOUND))
    assert gym.session.state.evening.here[4].repeats == {"squat": expected}


def test_a_gym_that_is_opened_again_still_has_them(gym: Gym, tmp_path: Path) -> None:
    gym.evening(5, 4, 4)
    gym.begins()
    kept = gym.session.state.evening.here[4].repeats
    again = Session(gym.session.journal, gym.clock)
    assert kept and again.state.evening.here[4].repeats == kept


def test_an_evening_that_was_taken_back_is_not_read(gym: Gym) -> None:
    gym.begins()
    for no in gym.work():
        done(gym.session, c.RecordWhole(4, no, 4, 1, Grade.SOUND))
    done(gym.session, c.CloseSession())
    assert gym.read() == {"squat": (Repeat(7000, 12, 15, Grade.SOUND),)}
    gym.session.undo()
    assert gym.read() == {}


def test_a_set_put_right_is_read_as_it_stands_now(gym: Gym) -> None:
    gym.begins()
    for no in gym.work():
        done(gym.session, c.RecordWhole(4, no, 4, 1, Grade.SOUND))
    done(gym.session, c.PutRight(4, gym.work()[0], made=5, missed=0, grade=Grade.ROUGH))
    done(gym.session, c.CloseSession())
    assert gym.read() == {"squat": (Repeat(7000, 13, 15, Grade.ROUGH),)}


def test_a_lifter_whose_loads_move_has_nothing_read(gym: Gym) -> None:
    gym.evening(5, 5, 5)
    gym.begins()
    assert gym.read() == {} and gym.session.state.evening.here[4].repeats == {}
