"""Reading in another thread: it never stands in the way of a commit, and closing breaks it off."""

from __future__ import annotations

from pathlib import Path
from threading import Event as Flag
from threading import Thread

import duckdb
import pytest

from floor.core import commands as c
from floor.session import Done, Session
from tests.tui.house import empty_session, new_clock

LONG = "SELECT count(*) FROM range(1000000000) AS a, range(1000000) AS b"


@pytest.fixture
def session(tmp_path: Path) -> Session:
    return empty_session(tmp_path, new_clock())


def reading(session: Session) -> tuple[Thread, list[str]]:
    """A thread in the middle of a question that would take for ever; what became of it is told in the list."""
    told: list[str] = []
    begun = Flag()
    cursor = session.journal.cursor()

    def read() -> None:
        begun.set()
        try:
            cursor.execute(LONG).fetchall()
        except duckdb.Error as error:
            told.append(type(error).__name__)

    thread = Thread(target=read, daemon=True)
    thread.start()
    assert begun.wait(10)
    return thread, told


def test_a_commit_does_not_wait_for_a_thread_that_reads(session: Session) -> None:
    thread, told = reading(session)
    assert isinstance(session.do(c.JoinLifter(1)), Done)
    assert thread.is_alive() and not told
    session.journal.close()


def test_closing_breaks_off_what_another_thread_still_reads(session: Session) -> None:
    thread, told = reading(session)
    session.journal.close()
    thread.join(10)
    assert not thread.is_alive() and told
