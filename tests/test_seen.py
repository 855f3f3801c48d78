"""What a check-in asks of the past may be read before the key: it says the same, and never what is no longer true."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from floor import seen
from floor.core import commands as c
from floor.core.events import Event
from floor.core.gym import Grade
from floor.journal.errors import JournalError
from floor.session import Session
from tests.scenario import EVENING, demo_session, must
from tests.tui.house import check_in, done, open_session

ALWAYS: Callable[[], bool] = lambda: True  # noqa: E731


def read_ahead(session: Session, *lifters: int) -> None:
    reader = session.evidence_reader(lifters)
    assert reader is not None
    reader(ALWAYS)


class Asking:
    """Counts what is asked of the record."""

    def __init__(self, monkeypatch: pytest.MonkeyPatch) -> None:
        self.lifters: list[int] = []
        self._read = seen.read
        monkeypatch.setattr(seen, "read", self._watched)

    def _watched(self, cursor: object, question: seen.Asked) -> seen.Answer:
        self.lifters.append(question.lifter)
        return self._read(cursor, question)


def came_before(folder: Path) -> Session:
    """A gym in which lifter 1 cleaned with a fault in a session that is over, and a new session is open."""
    session = open_session(folder)
    check_in(session, 1)
    done(session, c.RampDone(1))
    done(session, c.StartSet(1))
    done(session, c.AllMade(1))
    done(session, c.SeeFault(1, "a"))
    done(session, c.EndSet(1, Grade.SOUND))
    done(session, c.CloseSession())
    done(session, c.OpenSession())
    return session


def arrival(session: Session, lifter: int, station: int = 1) -> list[Event]:
    return [e for e in must(session, c.Arrive(lifter, station)).events if e.lifter == lifter]


def test_what_is_recorded_at_a_check_in_is_the_same_read_ahead_or_on_the_key(tmp_path: Path) -> None:
    said: list[list[Event]] = []
    for ahead in (False, True):
        folder = tmp_path / str(ahead)
        folder.mkdir()
        session, _ = demo_session(folder)
        lifters = sorted(session.state.lifters)
        if ahead:
            read_ahead(session, *lifters)  # before a session is open, as the coach looks at the list
        must(session, c.OpenSession())
        said.append([event for lifter in lifters for event in arrival(session, lifter)])
        session.journal.close()
    assert said[0] == said[1]
    assert {"limit_found", "repeat_found"} <= {event.kind for event in said[0]}


def test_a_check_in_read_ahead_asks_the_record_nothing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    session = came_before(tmp_path)
    asking = Asking(monkeypatch)
    read_ahead(session, 1, 2)
    assert asking.lifters == [1]  # lifter 2 never came: there is nothing to read
    assert session.evidence_reader([1, 2]) is None
    asking.lifters.clear()
    assert "limit_found" in [event.kind for event in arrival(session, 1)]
    assert asking.lifters == []


def told(kind: str, **fields: int) -> Event:
    return Event(kind=kind, happened=EVENING, **fields)


@pytest.mark.parametrize(
    ("since", "again"),
    [
        (told("fault_withdrawn", lifter=1), True),
        (told("lifters_swapped", lifter=2, other=1), True),
        (told("undone", undoes=1), True),
        (told("history_brought", count=3), True),
        (told("fault_withdrawn", lifter=2), False),
        (told("station_cleared", station=1), False),
    ],
)
def test_what_was_recorded_since_is_read_again(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, since: Event, again: bool
) -> None:
    session = came_before(tmp_path)
    asking = Asking(monkeypatch)
    read_ahead(session, 1)
    session._seen.recorded([since])
    asking.lifters.clear()
    arrival(session, 1)
    assert asking.lifters == ([1] if again else [])


def test_a_reading_that_began_before_something_was_recorded_is_not_used(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    session = came_before(tmp_path)
    reader = session.evidence_reader([1])
    assert reader is not None
    done(session, c.PlanNext(1, "squat", 3, 5, 6000))
    asking = Asking(monkeypatch)
    reader(ALWAYS)
    arrival(session, 1)
    assert asking.lifters == [1, 1]


def test_reading_ahead_stops_when_it_is_no_longer_wanted(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    session = came_before(tmp_path)
    asking = Asking(monkeypatch)
    reader = session.evidence_reader([1])
    assert reader is not None
    reader(lambda: False)
    assert asking.lifters == []


def test_a_record_that_cannot_be_read_ends_the_reading_and_the_check_in_says_so(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    session = came_before(tmp_path)

    def broken(cursor: object, question: seen.Asked) -> seen.Answer:
        raise JournalError("The record can't be read: broken.")

    monkeypatch.setattr(seen, "read", broken)
    read_ahead(session, 1)
    outcome = session.do(c.Arrive(1, 1))
    assert outcome.words == "The record can't be read: broken."
    assert 1 not in session.state.evening.here
