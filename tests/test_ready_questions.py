"""The ready questions: readable on one screen, and each says what the record says, added up without SQL."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime
from typing import Any

import pytest

from floor.asking import Asker
from floor.background import Question, Table
from floor.clock import SetClock
from floor.core.questions import parse_questions, write_questions
from floor.demo import make_demo
from floor.journal.log import Journal
from floor.journal.rows import COLUMNS, row_from
from floor.session import Session
from floor.templates import ready_questions
from tests.ready_world import MUST, World

NOW = datetime(2026, 11, 25, 17, 0, tzinfo=UTC)
READY = {q.name: q.sql for q in ready_questions()}


@pytest.fixture(scope="module")
def session(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Session]:
    path = tmp_path_factory.mktemp("demo") / "demo.duckdb"
    make_demo(path, NOW, "Europe/Berlin")
    journal = Journal.open(path, now=NOW, zone="Europe/Berlin", unit="kg", templates={})
    yield Session(journal, SetClock(NOW))
    journal.close()


@pytest.fixture(scope="module")
def asker(session: Session) -> Iterator[Asker]:
    one = Asker(session)
    yield one
    one.close()


@pytest.fixture(scope="module")
def world(session: Session) -> World:
    cursor = session.journal.cursor()
    rows = cursor.execute(f"SELECT {COLUMNS} FROM event ORDER BY seq").fetchall()
    cursor.close()
    events = [row_from(cells).event for cells in rows]
    assert not any(e.kind == "undone" for e in events), "the replay takes every event as standing"
    return World(session.state.gym, session.names, events)


def answer(asker: Asker, sql: str) -> Table:
    question = asker.ask(sql)
    assert isinstance(question, Question)
    found = question.wait(60)
    question.stop()
    assert isinstance(found, Table), found
    return found


def same(found: Any, must: Any) -> bool:
    if isinstance(found, float) or isinstance(must, float):
        return found is not None and must is not None and abs(float(found) - float(must)) < 0.06
    return bool(found == must)


def test_there_are_at_least_twelve_and_each_is_checked() -> None:
    assert len(READY) >= 12 and set(READY) == set(MUST)


@pytest.mark.parametrize("name", READY)
def test_a_ready_question_fits_one_screen_and_says_what_it_asks(name: str) -> None:
    lines = READY[name].split("\n")
    assert len(lines) <= 18 and max(map(len, lines)) <= 80
    assert lines[0].startswith("-- ")


@pytest.mark.parametrize("name", READY)
def test_a_ready_question_says_what_the_record_says(name: str, asker: Asker, world: World) -> None:
    found = answer(asker, READY[name])
    must = MUST[name](world)
    assert must, "the demo gym has something to ask about"
    wide = len(must[0])

    def by_words(rows: Any) -> list[tuple[Any, ...]]:
        cut = [tuple(row[:wide]) for row in rows]
        return sorted(cut, key=lambda row: [str(c) for c in row if not isinstance(c, float)])

    rows = by_words(found.rows)
    assert len(rows) == len(must)
    assert [
        (a, b) for a, b in zip(rows, by_words(must), strict=True) if not all(map(same, a, b))
    ] == []


def test_the_ready_questions_read_back_as_they_are_written() -> None:
    kept = ready_questions()
    assert parse_questions(write_questions(kept)) == kept
