"""Faults in the tables by the name the lifts document has for them now, and by their id where it has none."""

from __future__ import annotations

from pathlib import Path

import duckdb

from floor.asking import Asker
from floor.background import Question, Table
from floor.core import commands as c
from floor.core.gym import Grade
from floor.journal.naming import with_names
from floor.session import Done, Session
from tests.tui.house import check_in, done, new_clock, open_session


def rows(session: Session, sql: str) -> tuple[tuple[object, ...], ...]:
    asker = Asker(session)
    started = asker.ask(sql)
    assert isinstance(started, Question)
    found = started.wait(30)
    asker.close()
    assert isinstance(found, Table), found
    return found.rows


def test_a_fault_has_its_name_beside_its_id_and_a_new_name_at_once(tmp_path: Path) -> None:
    session = open_session(tmp_path, new_clock())
    check_in(session, 1)
    first = next(s for s in session.state.evening.here[1].of_lift("squat") if s.role != "ramp")
    seen = ((2, "heels-lifting"), (2, "diving-down"))
    done(session, c.RecordWhole(1, first.no, 5, grade=Grade.ROUGH, faults=seen))
    done(session, c.CloseSession())
    asked = "SELECT fault, fault_name FROM faults ORDER BY fault DESC"
    assert rows(session, asked)[0] == ("heels-lifting", "heels lifting")
    (one,) = rows(session, "SELECT faults, fault_names FROM reps WHERE faults > ''")
    assert str(one[0]).startswith("diving-down") and str(one[1]).endswith(", heels lifting")
    text = session.journal.document("lifts").replace('name = "heels lifting"', 'name = "the coach\'s heels"')
    assert isinstance(session.adopt("lifts", text), Done)
    assert rows(session, asked)[0] == ("heels-lifting", "the coach's heels")
    session.journal.close()


def test_a_fault_nobody_named_goes_by_its_id_and_none_by_nothing() -> None:
    views = "SELECT * FROM (VALUES (1, 'squat', 'knees'), (2, 'squat', 'odd'), (3, 'squat', NULL)) AS t(n, lift, fault)"
    for names, must in (({("squat", "knees"): "knees in"}, "knees in"), ({}, "knees")):
        found = duckdb.sql(f"SELECT fault_name FROM ({with_names('cues', views, names)}) ORDER BY n").fetchall()
        assert found == [(must,), ("odd",), (None,)]
