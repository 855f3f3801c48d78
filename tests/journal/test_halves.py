"""A large gym's questions read a kept copy and what was written since: the same answers as from a copy of it all."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import duckdb
import pytest

from floor.background import Question, Table
from floor.journal import keeping
from floor.journal.errors import JournalError
from floor.journal.log import Journal
from floor.journal.snapshot import snapshot
from floor.journal.views import COACH_VIEWS
from tests.journal.helpers import ev
from tests.scenario import demo_file

NOW = datetime(2026, 11, 25, 17, 0, tzinfo=UTC)


@pytest.fixture
def gym(tmp_path: Path) -> Iterator[Journal]:
    path = tmp_path / "demo.gym"
    demo_file(path, NOW, "Europe/Berlin")
    journal = Journal.open(path, now=NOW, zone="Europe/Berlin", unit="kg", templates={})
    yield journal
    journal.close()


def answers(copy: Path) -> dict[str, tuple[Any, ...]]:
    """Of every view its columns, how many rows it has, and the sum of their digests, in whatever order they come."""
    parts = [f"(SELECT list((column_name, column_type)) FROM (DESCRIBE {view}))::VARCHAR" for view in COACH_VIEWS]
    parts += [f"(SELECT (count(*), sum(hash(v::VARCHAR))) FROM {view} AS v)::VARCHAR" for view in COACH_VIEWS]
    question = Question.start(copy, f"SELECT {', '.join(parts)}", seconds=60)
    answer = question.wait(90)
    assert isinstance(answer, Table), answer
    question._process.wait(30)  # it has the copy open until it ends
    many = len(COACH_VIEWS)
    return {view: answer.rows[0][at::many] for at, view in enumerate(COACH_VIEWS)}


def halves(gym: Journal, folder: Path, monkeypatch: pytest.MonkeyPatch, fold: bool = False) -> Path:
    with monkeypatch.context() as m:
        m.setattr(keeping, "LARGE", 1)
        m.setattr(keeping, "OLD", 1)
        m.setattr(keeping, "AT_ONCE", 10)
        return snapshot(gym, folder / "halves", fold=fold)


def whole(gym: Journal, folder: Path) -> Path:
    return snapshot(gym, folder / "whole")


def undo(gym: Journal, where: str) -> None:
    cursor = gym.cursor()
    cmd = cursor.execute(f"SELECT max(cmd) FROM event WHERE {where}").fetchall()[0][0]
    cursor.close()
    gym.append([ev("undone", 9e6, session=36, undoes=cmd)])


def test_every_table_says_the_same_in_halves_as_whole(
    gym: Journal, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert answers(halves(gym, tmp_path, monkeypatch)) == answers(whole(gym, tmp_path))
    # a new evening, an old set put right, an old plan and an old fault taken back, a plan by hand
    plan = {"lifter": 1, "lift": "squat", "sets": 3, "reps": 5, "load": 9000, "was": 8750, "rule": "own", "count": 0}
    gym.append([ev("session_opened", 8e6, session=37)])
    gym.append([ev("lifter_arrived", 8e6 + 9, session=37, lifter=2, station=1)])
    the_set = {"session": 37, "lifter": 2, "lift": "squat", "set_no": 1}
    gym.append([ev("set_planned", 8e6 + 10, **the_set, role="work", reps=5, load=9000)])
    done = {"reps": 5, "missed": 0, "load": 9000, "grade": "sound", "seconds": 0}
    gym.append([ev("set_recorded", 8e6 + 99, **the_set, station=1, **done)])
    gym.append([ev("set_put_right", 8e6 + 200, session=3, lifter=1, set_no=4, reps=1, missed=2)])
    gym.append([ev("next_planned", 8e6 + 300, session=None, **plan)])
    undo(gym, "kind = 'next_planned' AND session = 36")
    undo(gym, "kind = 'fault_seen' AND session = 20")
    must = answers(whole(gym, tmp_path))
    assert answers(halves(gym, tmp_path, monkeypatch)) == must
    assert answers(halves(gym, tmp_path, monkeypatch, fold=True)) == must
    undo(gym, "kind = 'next_planned' AND session IS NULL")
    must = answers(whole(gym, tmp_path))
    assert answers(halves(gym, tmp_path, monkeypatch)) == must


def test_the_kept_copy_has_no_name_and_no_note(gym: Journal, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    people = gym.people()
    halves(gym, tmp_path, monkeypatch)
    data = keeping.kept_path(gym.path).read_bytes()
    words = {p.name for p in people.values()} | {n.text for p in people.values() for n in p.notes}
    assert words and not [word for word in words if word.encode() in data]
    connection = duckdb.connect(str(keeping.kept_path(gym.path)), read_only=True)
    kinds = connection.execute(
        "SELECT DISTINCT data_type FROM duckdb_columns() WHERE column_name = 'lifter'"
    ).fetchall()
    connection.close()
    assert kinds == [("INTEGER",)]
    assert keeping.kept_path(gym.path).stat().st_mode & 0o777 == 0o600


@pytest.mark.parametrize("harm", ["cut", "other", "older views"])
def test_a_kept_copy_that_is_damaged_or_of_something_else_is_made_anew(
    gym: Journal, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, harm: str
) -> None:
    must = answers(halves(gym, tmp_path, monkeypatch))
    kept = keeping.kept_path(gym.path)
    if harm == "cut":
        kept.write_bytes(kept.read_bytes()[:9000])
    else:
        connection = duckdb.connect(str(kept))
        connection.execute(f"UPDATE about SET {'chain' if harm == 'other' else 'mark'} = 'x'")
        connection.execute("DELETE FROM sets")
        connection.close()
    assert answers(halves(gym, tmp_path, monkeypatch)) == must


def test_a_copy_that_was_interrupted_goes_on_where_it_stopped(
    gym: Journal, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    asked = iter([False, False, True])
    with monkeypatch.context() as m:
        m.setattr(keeping, "LARGE", 1)
        m.setattr(keeping, "AT_ONCE", 10)
        with pytest.raises(JournalError):
            snapshot(gym, tmp_path / "a", stop=lambda: next(asked))
    gym.append([ev("set_put_right", 8e6 + 200, session=3, lifter=1, set_no=4, reps=1, missed=2)])
    cursor = gym.cursor()
    with keeping.opened(cursor, gym.path):
        assert cursor.execute(f"SELECT seq, done, goal > 0 FROM {keeping.COPY}.about").fetchall() == [(0, 19, True)]
    cursor.close()
    assert answers(halves(gym, tmp_path, monkeypatch)) == answers(whole(gym, tmp_path))


def test_forgetting_someone_takes_the_kept_copy_along(
    gym: Journal, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    halves(gym, tmp_path, monkeypatch)
    assert keeping.kept_path(gym.path).exists()
    gym.forget(1)
    assert not keeping.kept_path(gym.path).exists()


def test_while_a_question_reads_the_kept_copy_it_is_left_as_it_is(
    gym: Journal, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    copy = halves(gym, tmp_path, monkeypatch)
    sql = "SELECT count(*) FROM range(10000000000) a, range(10000000) b WHERE a.range * b.range % 7 = 3"
    endless = Question.start(copy, f"{sql} AND (SELECT count(*) FROM sets) > 0", seconds=60)
    assert endless.wait(2) is None
    cursor = gym.cursor()
    there = "SELECT id, board FROM person JOIN sets ON board = lifter WHERE session = 3 AND set_no = 4 ORDER BY id"
    lifter, name = cursor.execute(there).fetchall()[0]
    cursor.close()
    gym.append([ev("set_put_right", 8e6 + 200, session=3, lifter=lifter, set_no=4, reps=1, missed=2)])
    newer = halves(gym, tmp_path, monkeypatch, fold=True)
    one = f"SELECT missed FROM sets WHERE session = 3 AND set_no = 4 AND lifter = '{name}'"
    answer = Question.start(newer, one).wait(60)
    endless.stop()
    assert isinstance(answer, Table) and answer.rows == ((2,),)


def test_only_the_first_copy_of_a_very_large_gym_is_announced(
    gym: Journal, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    told: list[str] = []
    monkeypatch.setattr(keeping, "LARGE", 1)
    snapshot(gym, tmp_path / "small", tell=told.append)
    assert told == [], "soon done: nothing to say"
    keeping.remove(gym.path)
    monkeypatch.setattr(keeping, "SLOW", 1)
    snapshot(gym, tmp_path / "first", tell=told.append)
    snapshot(gym, tmp_path / "second", tell=told.append)
    assert told == ["First question on this gym: putting the record in order, some seconds; keys go on."]
    assert "a minute or two" in keeping.first_words(keeping.VERY_SLOW)
