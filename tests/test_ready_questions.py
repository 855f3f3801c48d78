"""The ready questions: readable on one screen, and each says what the record says, added up without SQL."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest

from floor.asking import Asker
from floor.background import Question, Table
from floor.clock import SetClock
from floor.core.evidence.trend import WINDOW_DAYS
from floor.core.maxima import bests, estimates
from floor.core.questions import parse_questions, write_questions
from floor.core.sameload import same_load, tops_of
from floor.journal.log import Journal
from floor.journal.past import read_lifter
from floor.journal.rows import COLUMNS, row_from
from floor.session import Session
from floor.templates import ready_questions
from tests.ready_world import MUST, World
from tests.scenario import demo_file

NOW = datetime(2026, 11, 25, 17, 0, tzinfo=UTC)
READY = {q.name: q.sql for q in ready_questions()}


@pytest.fixture(scope="module")
def session(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Session]:
    path = tmp_path_factory.mktemp("demo") / "demo.duckdb"
    demo_file(path, NOW, "Europe/Berlin")
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
    assert len(lines) <= 17 and max(map(len, lines)) <= 76
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


def test_the_question_and_the_screens_say_the_same_of_a_maximum(session: Session, asker: Asker) -> None:
    question = {tuple(row[:2]): float(row[2]) for row in answer(asker, READY["best estimated maximum"]).rows}
    rule: dict[tuple[str, str], float] = {}
    for lifter, name in session.names.items():
        cursor = session.journal.cursor()
        past = read_lifter(cursor, lifter)
        cursor.close()
        for lift in past.lifts():
            every = bests(s for s in past.sets if s.lift == lift)
            if said := [e.value for e in estimates(every)]:
                rule[name, lift] = max(*said, *(b.load for b in every if b.reps)) / 100
    assert question.keys() == rule.keys() and rule
    assert [key for key in rule if abs(question[key] - rule[key]) > 0.051] == []


def test_the_question_and_the_rule_say_the_same_of_a_load_that_stands(session: Session, asker: Asker) -> None:
    question = {tuple(row[:3]): row[4] for row in answer(asker, READY["same load, evening after evening"]).rows}
    pasts = {}
    for lifter, name in session.names.items():
        cursor = session.journal.cursor()
        pasts[name] = read_lifter(cursor, lifter)
        cursor.close()
    start = max(s.evening for past in pasts.values() for s in past.sets) - timedelta(days=WINDOW_DAYS)
    rule = {}
    for name, past in pasts.items():
        for lift in past.lifts():
            found = same_load(tops_of(b for b in bests(s for s in past.sets if s.lift == lift) if b.evening > start))
            if found is not None and found.stalled:
                rule[name, lift, f"{found.load / 100:.2f}"] = found.evenings
    assert question == rule and rule
