"""A small gym and files to bring in: what the tests of the history import share."""

from __future__ import annotations

from datetime import UTC, date, datetime
from pathlib import Path
from typing import Any

from openpyxl import Workbook

from floor.clock import SetClock
from floor.exchange.headings import Asked
from floor.exchange.history import Prepared, prepare
from floor.journal.log import Journal
from floor.session import Done, Refused, Session
from floor.templates import templates

NOW = datetime(2026, 11, 25, 17, 0, tzinfo=UTC)
ZONE = "Europe/Lisbon"
HEAD = "date,lifter,lift,load,reps\n"


def opened(path: Path, at: datetime = NOW) -> Session:
    journal = Journal.open(path, now=at, zone=ZONE, unit="kg", templates=templates())
    return Session(journal, SetClock(at))


def csv(tmp_path: Path, text: str, name: str = "log.csv") -> Path:
    path = tmp_path / name
    path.write_text(text, encoding="utf-8")
    return path


def ready(session: Session, path: Path, **asked: Any) -> Prepared:
    found = prepare(session, path, Asked(**asked))
    assert isinstance(found, Prepared), found.words
    return found


def refused(session: Session, path: Path, **asked: Any) -> str:
    before = session.journal.head
    found = prepare(session, path, Asked(**asked))
    assert isinstance(found, Refused), found
    assert "othing was taken" in found.words and session.journal.head == before
    return found.words


def taken(session: Session, path: Path, **asked: Any) -> Prepared:
    found = ready(session, path, **asked)
    outcome = session.do(found.command, found.people)
    assert isinstance(outcome, Done), outcome
    return found


def asked_of(session: Session, sql: str) -> list[tuple[Any, ...]]:
    cursor = session.journal.cursor()
    try:
        return cursor.execute(sql).fetchall()
    finally:
        cursor.close()


def work(session: Session) -> list[tuple[Any, ...]]:
    return asked_of(session, "SELECT lifter, lift, load::DOUBLE, made FROM sets ORDER BY evening, lifter, set_no")


def came(session: Session) -> dict[str, date | None]:
    return {
        session.names[i]: x.last_came.date() if x.last_came else None for i, x in session.state.lifters.items()
    }


def messy(tmp_path: Path) -> Path:
    book = Workbook()
    one = book.active
    one.title = "Autumn"
    for row in (
        ["Training log of the cellar"], [],
        ["Date", "Athlete", "Exercise", "Weight (kg)", "Sets", "Reps", "Notes"],
        [date(2026, 11, 16), "Oda Invented", "Squat", 60, 3, 5, "nice"],
        [date(2026, 11, 16), "oda  invented", "squat", "62,5", None, "5,5,4"],
        [datetime(2026, 11, 18, 18, 30), "Pim Made-Up", "Bench press", "95 lb", 2, "5"], [],
        [date(2026, 11, 18), "Pim Made-Up", "squat", "bar", 1, 5.0],
    ):
        one.append(row)
    two = book.create_sheet("Pulls")
    two.append(["When", "Who", "Lift", "Work"])
    two.append(["20.11.2026", "Oda Invented", "deadlift", "3x5 80"])
    two.append(["20.11.2026", "Oda Invented", "power clean", "bar x3, 30x3,2"])
    book.create_sheet("empty")
    book.create_sheet("old").sheet_state = "hidden"
    path = tmp_path / "messy.xlsx"
    book.save(path)
    return path
