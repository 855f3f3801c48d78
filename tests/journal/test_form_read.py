"""What a check-in reads of a lifter's form: the same reps as the whole record holds, counted and written down."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest

from floor.clock import SetClock
from floor.core import commands as c
from floor.core.course import form, watched_cells
from floor.core.evidence.formlimit import FORGOTTEN, HALF_LIFE, Where
from floor.core.gym import Grade
from floor.core.limits import form_lifts
from floor.journal.form import read_form
from floor.journal.log import Journal
from floor.journal.past import read_lifter
from floor.session import Done, Session
from tests.scenario import demo_file
from tests.tui.house import check_in, done, open_session

NOW = datetime(2026, 11, 25, 17, 0, tzinfo=UTC)
TODAY = NOW.astimezone(ZoneInfo("Europe/Berlin")).date()


@pytest.fixture(scope="module")
def session(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Session]:
    path: Path = tmp_path_factory.mktemp("form") / "demo.duckdb"
    demo_file(path, NOW, "Europe/Berlin")
    journal = Journal.open(path, now=NOW, zone="Europe/Berlin", unit="kg", templates={})
    yield Session(journal, SetClock(NOW))
    journal.close()


def test_a_narrow_reading_counts_the_same_reps_as_the_whole_record(session: Session) -> None:
    cursor = session.journal.cursor()
    seen = 0
    for lifter in session.state.lifters:
        past = read_lifter(cursor, lifter)
        for lift, cells in read_form(cursor, lifter, ("clean", "squat"), TODAY):
            assert cells == watched_cells((s for s in past.sets if s.lift == lift), TODAY)
            seen += len(cells)
    cursor.close()
    assert seen > 100


def test_a_set_put_right_and_a_fault_withdrawn_are_read_as_they_stand_now(tmp_path: Path) -> None:
    session = open_session(tmp_path)
    check_in(session, 1)
    done(session, c.RampDone(1))
    for _ in range(2):
        done(session, c.StartSet(1))
        done(session, c.AllMade(1))
        done(session, c.SeeFault(1, "a"))
        done(session, c.EndSet(1, Grade.SOUND))
    first = next(s for s in session.state.evening.here[1].sets if s.faults)
    done(session, c.PutRight(1, first.no, made=2, withdraw=first.faults))
    session.do(c.EndSet(1))
    cursor = session.journal.cursor()
    ((_, cells),) = read_form(cursor, 1, ("clean",), TODAY)
    cursor.close()
    assert (sum(cell.clean for cell in cells), sum(cell.faulty for cell in cells)) == (2 + 2, 1)
    session.undo()
    cursor = session.journal.cursor()
    ((_, cells),) = read_form(cursor, 1, ("clean",), TODAY)
    cursor.close()
    session.journal.close()
    assert (sum(cell.clean for cell in cells), sum(cell.faulty for cell in cells)) == (2 + 2, 2)


def test_days_that_no_longer_weigh_are_not_read(session: Session) -> None:
    cursor = session.journal.cursor()
    long_after = TODAY + timedelta(days=int(HALF_LIFE * FORGOTTEN) + 200)
    try:
        assert read_form(cursor, 1, ("clean",), long_after) == (("clean", ()),)
    finally:
        cursor.close()


def test_a_check_in_writes_down_the_limit_the_lifters_screen_shows(session: Session) -> None:
    assert isinstance(session.do(c.OpenSession()), Done)
    cursor = session.journal.cursor()
    shown = 0
    for lifter in list(session.state.lifters.values()):
        lifts = form_lifts(session.state.gym, lifter)
        past = read_lifter(cursor, lifter.id)
        outcome = session.do(c.Arrive(lifter.id, 1))
        assert isinstance(outcome, Done), outcome
        found = {e.lift: e for e in outcome.events if e.kind == "limit_found"}
        assert set(found) == (set(lifts) if lifter.sessions else set())
        for lift, event in found.items():
            screen = form([s for s in past.sets if s.lift == lift], "kg", TODAY).limit
            assert (event.count, event.day) == (screen.n, screen.days)
            if screen.where is Where.ABOVE:  # form held everywhere: a step past it is open too
                assert event.load is not None and screen.load is not None and event.load >= screen.load
            else:
                assert event.load == screen.load
            shown += screen.where is Where.WITHIN
        assert session.undo()
    cursor.close()
    assert shown


def test_a_walk_in_has_no_record_to_read(session: Session) -> None:
    number = session.free_number()
    outcome = session.do(c.Arrive(number, 1, new=True))
    assert isinstance(outcome, Done)
    assert "limit_found" not in {e.kind for e in outcome.events}
    session.undo()
