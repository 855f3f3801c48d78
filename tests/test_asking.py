"""Asking a gym: the tables told of are the tables there are, and nobody else can read the copies."""

from __future__ import annotations

import os
import stat
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path

import pytest

from floor import asking
from floor.asking import FIRST_QUESTION, VIEWS, Asker, count_words, header, place_of, pointed, shown
from floor.background import Answer, Column, Question, Refused, Table
from floor.core import commands as c
from floor.journal.views import COACH_VIEWS
from floor.session import Session
from tests.tui.house import check_in, done, open_session


@pytest.fixture
def session(tmp_path: Path) -> Iterator[Session]:
    gym = open_session(tmp_path)
    check_in(gym, 1, 2)
    yield gym
    gym.journal.close()


@pytest.fixture
def here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    folder = tmp_path / "temporary"
    folder.mkdir()
    monkeypatch.setattr(tempfile, "tempdir", str(folder))
    return folder


def answer(asker: Asker, sql: str) -> Answer | None:
    question = asker.ask(sql)
    assert isinstance(question, Question), question
    return question.wait(30)


def lifted(session: Session) -> None:
    done(session, c.StartSet(1))
    done(session, c.AllMade(1))
    done(session, c.EndSet(1))


def test_the_tables_told_of_are_the_tables_there_are_column_by_column(session: Session) -> None:
    assert tuple(view.name for view in VIEWS) == COACH_VIEWS
    asker = Asker(session)
    for view in VIEWS:
        found = answer(asker, f"SELECT column_name FROM (DESCRIBE {view.name})")
        assert isinstance(found, Table)
        assert tuple((name,) for name, _ in view.columns) == found.rows
    asker.close()


def test_every_column_of_load_in_the_tables_has_the_gyms_unit_in_its_header(session: Session) -> None:
    cursor = session.journal.cursor()
    for view in VIEWS:
        for name, kind, *_ in cursor.execute(f"DESCRIBE {view.name}").fetchall():
            assert (header(Column(name, kind), "lb") == f"{name} (lb)") == kind.startswith("DECIMAL"), (view.name, name)
    cursor.close()


def test_a_count_called_load_is_not_given_a_unit_of_load() -> None:
    assert header(Column("planned", "DECIMAL(9,2)"), "kg") == "planned (kg)", "a load in the ready questions"
    assert header(Column("load", "BIGINT"), "kg") == "load"


def test_the_first_question_runs_as_it_is_typed(session: Session, here: Path) -> None:
    asker = Asker(session)
    found = answer(asker, FIRST_QUESTION)
    asker.close()
    assert isinstance(found, Table)
    assert [column.name for column in found.columns] == ["lift", "fault", "seen"]


def test_what_was_recorded_since_is_in_the_next_answer(session: Session, here: Path) -> None:
    asker = Asker(session)
    before = answer(asker, "SELECT count(*) FROM sets")
    lifted(session)
    after = answer(asker, "SELECT count(*) FROM sets")
    asker.close()
    assert isinstance(before, Table) and isinstance(after, Table)
    assert (before.rows, after.rows) == (((0,),), ((1,),))


def test_the_copy_is_taken_anew_only_when_something_was_recorded(session: Session, here: Path) -> None:
    asker = Asker(session)
    files = []
    for record in (False, True, False):
        if record:
            lifted(session)
        answer(asker, "SELECT 1")
        files.append(list(here.glob("*/views-*.duckdb")))
    asker.close()
    assert [len(found) for found in files] == [1, 1, 1]
    assert files[0] != files[1] == files[2]


def test_the_copies_are_closed_to_others_and_gone_at_the_end(session: Session, here: Path) -> None:
    asker = Asker(session)
    answer(asker, "SELECT 1")
    (folder,) = here.iterdir()
    (file,) = folder.iterdir()
    assert stat.S_IMODE(folder.stat().st_mode) == 0o700
    assert stat.S_IMODE(file.stat().st_mode) == 0o600
    asker.close()
    assert list(here.iterdir()) == []
    assert asker.ask("SELECT 1") == Refused("The record is closed.")
    assert list(here.iterdir()) == []


def test_closing_stops_what_runs(session: Session, here: Path) -> None:
    asker = Asker(session, seconds=600)
    question = asker.ask("SELECT count(*) FROM range(10000000000000) AS a")
    assert isinstance(question, Question)
    asker.close()
    assert type(question.wait(10)).__name__ == "Stopped"


def test_a_copy_that_cannot_be_taken_is_a_sentence_and_not_a_crash(session: Session, here: Path) -> None:
    here.rmdir()
    refused = Asker(session).ask("SELECT 1")
    assert isinstance(refused, Refused)
    assert refused.sentence.startswith("That can't be asked now: ")


@pytest.mark.skipif(os.name != "posix", reason="process numbers are looked up the POSIX way")
def test_copies_of_a_process_that_was_killed_go_when_the_next_one_asks(session: Session, here: Path) -> None:
    ended = subprocess.Popen([sys.executable, "-c", ""])
    ended.wait()
    left, others = here / f"{asking.PREFIX}{ended.pid}-x", here / "something-else"
    alive = here / f"{asking.PREFIX}{os.getpid()}-x"
    for folder in (left, others, alive):
        folder.mkdir()
        (folder / "views-1.duckdb").touch()
    asker = Asker(session)
    answer(asker, "SELECT 1")
    assert not left.exists() and others.exists() and alive.exists()
    asker.close()
    assert alive.exists()


def test_an_error_is_pointed_at_in_the_line_it_is_in() -> None:
    sql = "SELECT lifter,\n       lod\nFROM sets"
    place = sql.index("lod")
    assert place_of(sql, place) == (1, 7)
    assert pointed(sql, place, 60) == ("       lod", "       ^")


def test_in_a_long_line_the_place_is_still_seen() -> None:
    sql = "SELECT " + "lifter, " * 40 + "lod FROM sets"
    line, mark = pointed(sql, sql.index("lod"), 40)
    assert len(line) <= 40
    assert line[mark.index("^") :].startswith("lod")


def test_a_mark_stands_under_its_sign_behind_wide_letters() -> None:
    line, mark = pointed("SELECT '力', x", 12, 60)
    assert line[12] == "x" and len(mark) == len(line) + 1


def test_nothing_in_a_cell_reaches_the_terminal_as_a_command() -> None:
    assert shown("\x1b[2Ja\nb\x07") == " [2Ja b "


def test_cells_are_shown_in_words() -> None:
    cells = (None, True, False, 3, "62.50", 0.1 + 0.2)
    assert [shown(cell) for cell in cells] == ["–", "yes", "no", "3", "62.50", "0.3"]


@pytest.mark.parametrize(
    ("number", "told"),
    [
        (1_234_567.8, "1234568"), (999_999.7, "1000000"), (-123_456_789_012.0, "-123456789012"),
        (1e15, "1e+15"), (62.5, "62.5"), (1 / 3, "0.333333"), (-0.0, "0"), (float("inf"), "inf"),
    ],
)  # fmt: skip
def test_a_large_number_is_shown_in_whole_figures_as_long_as_each_is_known(number: float, told: str) -> None:
    assert shown(number) == told


def test_no_more_of_a_long_cell_is_looked_at_than_asked_for_and_it_says_so() -> None:
    assert shown("x" * 4000, 5) == "xxxxx…" and shown("xxxxx", 5) == "xxxxx"


def test_rows_are_counted_and_a_cut_is_said() -> None:
    rows = tuple((n,) for n in range(1000))
    assert count_words(Table((), rows, True)) == "first 1,000 rows; there are more"
    assert [count_words(Table((), rows[:n], False)) for n in (0, 1, 2)] == ["no rows", "1 row", "2 rows"]
