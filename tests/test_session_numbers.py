"""Every session has a number of its own, one more than the highest before it, whatever order things are brought in.

Sets are kept under their session's number: an evening under an old number would
take the place of the sets of that day.
"""

from __future__ import annotations

import shutil
from collections.abc import Callable, Iterator
from datetime import date, timedelta
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from floor.asking import FIRST_QUESTION
from floor.core import commands as c
from floor.core.gym import Grade
from floor.core.people import PersonAdded
from floor.core.state import State
from floor.journal.comeback import bring_back
from floor.journal.leaving import write_export
from floor.session import Done, Session
from tests.bringing import HEAD, asked_of, csv, opened, taken

OCTOBER = tuple(date(2026, 10, day) for day in (1, 5, 8, 12, 15, 19, 22))
SET_ROWS = "SELECT session, lifter, set_no, lift, load, made, grade FROM sets ORDER BY ALL"
NUMBERS = "SELECT session FROM standing WHERE kind = 'session_opened' ORDER BY seq"


def history(folder: Path, days: tuple[date, ...]) -> Path:
    """A file of one squat set a day."""
    return csv(folder, HEAD + "".join(f"{day},Oda Invented,squat,{50 + day.day}.5,5\n" for day in days))


def an_evening(session: Session) -> int:
    """Somebody comes and does one set; its session's number."""
    if not session.people:
        assert isinstance(session.do(c.JoinLifter(1), [PersonAdded(1, "Oda Invented", "Oda")]), Done)
    assert isinstance(session.do(c.OpenSession()), Done)
    (lifter,) = session.people
    assert isinstance(session.do(c.Arrive(lifter, 1)), Done)
    first = session.state.evening.here[lifter].sets[0]
    assert isinstance(session.do(c.RecordWhole(lifter, first.no, first.reps, grade=Grade.SOUND)), Done)
    return session.state.evening.session


def reopened(session: Session, days: int = 0) -> Session:
    path, now = session.journal.path, session.clock.now()
    session.journal.close()
    return opened(path, now + timedelta(days=days))


def test_the_second_evening_after_a_history_is_the_next_one_and_leaves_the_days_brought_in(tmp_path: Path) -> None:
    session = opened(tmp_path / "gym.duckdb")
    taken(session, history(tmp_path, OCTOBER))
    past = asked_of(session, SET_ROWS)
    assert an_evening(session) == 8
    session = reopened(session)
    assert session.state.evening.session == 8 and session.state.sessions == 8
    assert isinstance(session.do(c.CloseSession()), Done)
    session = reopened(session, days=2)
    assert an_evening(session) == 9
    session = reopened(session)
    assert session.state.evening.session == 9
    assert asked_of(session, "SELECT session, count(*) FROM sets GROUP BY ALL ORDER BY ALL") == [
        (n, 1) for n in range(1, 10)
    ]
    assert [row for row in asked_of(session, SET_ROWS) if row[0] <= 7] == past
    session.journal.close()


def test_an_older_file_brought_in_between_two_evenings_takes_no_number_of_either(tmp_path: Path) -> None:
    session = opened(tmp_path / "gym.duckdb")
    assert an_evening(session) == 1
    assert isinstance(session.do(c.CloseSession()), Done)
    taken(session, history(tmp_path, OCTOBER[:3]))
    session = reopened(session, days=2)
    assert an_evening(session) == 5
    session = reopened(session)
    assert asked_of(session, NUMBERS) == [(n,) for n in (1, 2, 3, 4, 5)]
    session.journal.close()


def test_older_days_brought_in_later_are_not_asked_about_as_the_latest_evening(tmp_path: Path) -> None:
    session = opened(tmp_path / "gym.duckdb")
    assert an_evening(session) == 1
    (lifter,) = session.people
    done = session.state.evening.here[lifter].sets[0]
    fault = session.state.gym.lifts[done.lift].faults[0].id
    assert isinstance(session.do(c.PutRight(lifter, done.no, add=((1, fault),))), Done)
    assert isinstance(session.do(c.CloseSession()), Done)
    taken(session, history(tmp_path, OCTOBER))
    assert [seen for *_, seen in asked_of(session, FIRST_QUESTION.replace("fault_name", "fault"))] == [1]
    session.journal.close()


WHAT = ("history", "evening", "close", "reopen", "tomorrow", "undo", "elsewhere")
PLAYED = st.lists(st.sampled_from(WHAT), min_size=3, max_size=10)


class Played:
    """A gym to which things are done in any order; after every one it is what its record says."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.session = opened(folder / "1" / "gym.duckdb")
        self.files = self._files()
        self.moved = 1

    def _files(self) -> Iterator[Path]:
        """Files of three days each, every one with days older than the one before."""
        last = date(2026, 11, 20)
        while True:
            yield history(self.folder, tuple(last - timedelta(days=n) for n in (6, 3, 0)))
            last -= timedelta(days=9)

    def do(self, what: str) -> None:
        if what == "history" and not self.session.state.open:
            before = self.session.state.sessions
            taken(self.session, next(self.files))
            assert self.session.state.sessions == before + 3
        elif what == "evening" and not self.session.state.open:
            numbers = [number for (number,) in asked_of(self.session, NUMBERS)]
            assert an_evening(self.session) == max(numbers, default=0) + 1
        elif what == "close" and self.session.state.open:
            assert isinstance(self.session.do(c.CloseSession()), Done)
        elif what in ("reopen", "tomorrow"):
            self.again(lambda: reopened(self.session, days=what == "tomorrow"))
        elif what == "undo":
            self.session.undo()
        elif what == "elsewhere":
            self.again(self.elsewhere)

    def again(self, how: Callable[[], Session]) -> None:
        """The gym closed and opened, here or elsewhere, is the gym that was closed."""
        state: State = self.session.state
        rows = asked_of(self.session, SET_ROWS)
        self.session = how()
        assert self.session.state == state
        assert asked_of(self.session, SET_ROWS) == rows

    def elsewhere(self) -> Session:
        """Exported, and brought into a new gym file."""
        self.moved += 1
        out, path = self.folder / f"out{self.moved}", self.folder / str(self.moved) / "gym.duckdb"
        write_export(self.session.journal, out, names=True)
        now = self.session.clock.now()
        self.session.journal.close()
        bring_back(out, path)
        shutil.rmtree(out)
        return opened(path, now)

    def check(self) -> None:
        numbers = [number for (number,) in asked_of(self.session, NUMBERS)]
        assert len(set(numbers)) == len(numbers), numbers
        assert self.session.state.sessions == max(numbers, default=0)


@settings(max_examples=8, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(PLAYED)
def test_no_number_is_used_twice_whatever_is_brought_in_reopened_or_undone(played: list[str]) -> None:
    with TemporaryDirectory() as folder:
        gym = Played(Path(folder))
        try:
            for what in (*played, "evening", "close", "tomorrow", "evening", "reopen"):
                gym.do(what)
                gym.check()
        finally:
            gym.session.journal.close()


@pytest.mark.parametrize(
    "played",
    [
        ("history", "evening", "close", "tomorrow", "history", "undo", "reopen"),
        ("history", "evening", "undo", "undo", "undo", "reopen", "undo"),
        ("evening", "close", "history", "elsewhere", "undo", "undo", "history"),
    ],
    ids=["history, evening, history taken back", "all of it taken back", "history after an evening, elsewhere"],
)
def test_these_orders_above_all(tmp_path: Path, played: tuple[str, ...]) -> None:
    gym = Played(tmp_path)
    for what in (*played, "evening", "close", "tomorrow", "evening", "reopen"):
        gym.do(what)
        gym.check()
    gym.session.journal.close()


def test_a_reopened_gym_whose_opening_is_undone_has_the_evening_before_it_whole(tmp_path: Path) -> None:
    session = opened(tmp_path / "gym.duckdb")
    an_evening(session)
    assert isinstance(session.do(c.CloseSession()), Done)
    before = session.state
    assert isinstance(session.do(c.OpenSession()), Done)
    session.journal.close()
    again = opened(tmp_path / "gym.duckdb")
    assert isinstance(again.undo(), Done)
    assert again.state == before
    assert isinstance(again.undo(), Done) and again.state.open, "the close too can be taken back"
    again.journal.close()
