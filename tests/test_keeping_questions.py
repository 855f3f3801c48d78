"""Questions kept in the gym file: there when it is opened again, in the evening's middle, out of undo's way."""

from __future__ import annotations

from datetime import timedelta
from pathlib import Path

from floor.core import commands as c
from floor.core.questions import Kept
from floor.journal.log import Journal
from floor.session import Done, Refused, Session
from tests.tui.house import EVENING, check_in, done, new_clock, open_session


def reopened(folder: Path, session: Session) -> Session:
    session.journal.close()
    journal = Journal.open(folder / "gym.duckdb", now=EVENING, zone="UTC", unit="kg", templates={})
    return Session(journal, new_clock())


def test_a_question_kept_while_a_set_runs_is_there_after_a_restart_and_so_is_the_set(tmp_path: Path) -> None:
    session = open_session(tmp_path)
    check_in(session, 1)
    done(session, c.StartSet(1))
    assert isinstance(session.keep_question("mine", "SELECT 'é\\n' -- \"x\""), Done)
    state = session.state
    session = reopened(tmp_path, session)
    assert session.kept_questions() == (Kept("mine", "SELECT 'é\\n' -- \"x\""),)
    assert session.state == state
    session.journal.close()


def test_undo_goes_past_a_kept_question_before_and_after_a_restart(tmp_path: Path) -> None:
    session = open_session(tmp_path)
    check_in(session, 1)
    done(session, c.StartSet(1))
    session.keep_question("mine", "SELECT 1")
    session = reopened(tmp_path, session)
    assert isinstance(session.undo(), Done)
    assert session.state.evening.here[1].running() is None
    assert len(session.kept_questions()) == 1
    session.journal.close()


def test_a_gym_with_kept_questions_still_adopts_its_documents(tmp_path: Path) -> None:
    session = open_session(tmp_path)
    session.keep_question("mine", "SELECT 1")
    text = session.journal.read().definitions["settings"][1]
    assert isinstance(session.adopt("settings", text), Done)
    assert len(session.kept_questions()) == 1
    session.journal.close()


def test_nothing_and_nameless_are_not_kept(tmp_path: Path) -> None:
    session = open_session(tmp_path)
    head = session.journal.head
    assert isinstance(session.keep_question(" ", "SELECT 1"), Refused)
    assert isinstance(session.keep_question("mine", " \n"), Refused)
    assert session.journal.head == head
    session.journal.close()


def test_a_question_dropped_is_gone_and_the_others_stay(tmp_path: Path) -> None:
    session = open_session(tmp_path)
    for name in ("a", "b"):
        session.keep_question(name, f"SELECT '{name}'")
        session.clock.on(timedelta(seconds=1).total_seconds())  # type: ignore[attr-defined]
    session.drop_question("a")
    assert [q.name for q in session.kept_questions()] == ["b"]
    session.journal.close()
