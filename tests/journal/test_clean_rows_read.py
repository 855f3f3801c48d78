"""The clean reps of the evenings before are read as the record stands, and what was read is what the rules go by."""

from __future__ import annotations

from pathlib import Path

import pytest

from floor.clock import SetClock
from floor.core import commands as c
from floor.core.gym import Grade
from floor.core.state import PLANNED, CleanRow
from floor.session import Done, Session
from tests.tui.house import done, new_clock, open_session

ADA, DAY = 1, 24 * 3600
CLEAN_DAY = 1


@pytest.fixture
def clock() -> SetClock:
    return new_clock()


@pytest.fixture
def session(tmp_path: Path, clock: SetClock) -> Session:
    """Ada on the older lifter's programme, on stage 9 of the clean, the day with the clean next."""
    made = open_session(tmp_path, clock)
    done(made, c.SetStage(ADA, "clean", 9))
    done(made, c.GiveProgramme(ADA, "back", CLEAN_DAY))
    return made


def arrives(session: Session) -> CleanRow | None:
    """Ada checks in; the row that was read and written down."""
    done(session, c.OpenSession())
    outcome = session.do(c.Arrive(ADA, 1))
    assert isinstance(outcome, Done), outcome
    rows = {e.lift: e for e in outcome.events if e.kind == "row_found"}
    assert set(rows) <= {"clean"}
    found = session.state.evening.here[ADA].rows.get("clean")
    assert (found is None) == (not rows)
    return found


def cleans(session: Session, *grades: Grade, closes: bool = True) -> None:
    """The work sets of the clean with these grades, the rest left undone."""
    present = session.state.evening.here[ADA]
    work = [s for s in present.of_lift("clean") if s.role != "ramp" and s.status == PLANNED]
    for s, grade in zip(work, grades, strict=False):
        done(session, c.RecordWhole(ADA, s.no, s.reps, grade=grade))
    if closes:
        done(session, c.CloseSession())


def again(session: Session, clock: SetClock, days: int) -> CleanRow | None:
    """Some days later, the day with the clean once more."""
    clock.on(days * DAY)
    done(session, c.GiveProgramme(ADA, "back", CLEAN_DAY))
    return arrives(session)


SHARP = (Grade.SHARP,) * 3


def test_two_evenings_show_a_stage_that_no_evening_of_the_programme_can(session: Session, clock: SetClock) -> None:
    assert arrives(session) is None
    cleans(session, *SHARP)
    assert again(session, clock, 7) == CleanRow(9, 6, 3, 1)
    cleans(session, *SHARP[:2], closes=False)
    assert session.state.evening.proposals[ADA, "clean"].rule == "stage-shown"
    assert session.state.lifters[ADA].stages["clean"] == 9, "the coach signs"
    session.journal.close()


def test_the_row_is_frozen_though_the_evening_before_is_read_no_more(session: Session, clock: SetClock) -> None:
    arrives(session)
    cleans(session, *SHARP)
    again(session, clock, 7)
    assert Session(session.journal, clock).state == session.state
    session.journal.close()


def test_a_rough_evening_and_a_long_break_leave_nothing_to_go_on_from(session: Session, clock: SetClock) -> None:
    arrives(session)
    cleans(session, *SHARP)
    again(session, clock, 7)
    cleans(session, Grade.SHARP, Grade.SHARP, Grade.ROUGH)
    assert again(session, clock, 7) is None
    cleans(session, *SHARP)
    assert again(session, clock, 15) is None
    session.journal.close()


def test_what_was_undone_or_put_right_is_read_as_it_stands(session: Session, clock: SetClock) -> None:
    arrives(session)
    cleans(session, *SHARP, closes=False)
    last = max(s.no for s in session.state.evening.here[ADA].of_lift("clean"))
    done(session, c.PutRight(ADA, last, add=((1, "arms-bent-early"),)))
    done(session, c.CloseSession())
    assert again(session, clock, 7) == CleanRow(9, 1, 1, 1)  # the rep after the fault
    session.journal.close()


def test_another_programmes_evening_reads_none(session: Session, clock: SetClock) -> None:
    arrives(session)
    cleans(session, *SHARP)
    clock.on(7 * DAY)
    done(session, c.GiveProgramme(ADA, "week3", 0))
    assert arrives(session) is None
    session.journal.close()
