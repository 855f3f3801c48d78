"""Whatever is typed: it is stopped within a second, its memory and its answer have an end, the app stays whole."""

from __future__ import annotations

import sys
import time
from collections.abc import Iterator
from pathlib import Path

import pytest

from floor.background import Question, Refused, Stopped, Table
from floor.journal import frames
from floor.journal.question import MEMORY
from floor.journal.snapshot import snapshot
from tests.journal.helpers import append_each, open_gym, opened, planned, started

STUBBORN = [
    "SELECT count(*) FROM range(10000000000000) AS a",
    "WITH RECURSIVE r AS (SELECT 1 AS n UNION ALL SELECT n + 1 FROM r) SELECT count(*) FROM r",
    "WITH RECURSIVE r AS (SELECT repeat('x', 1000) AS n UNION ALL SELECT n || n FROM r) SELECT * FROM r",
    "FROM (PIVOT (SELECT range % 20000 AS k, range AS v FROM range(2000000)) ON k USING sum(v))",
    "SELECT a.range FROM range(100000) a, range(100000) b, range(1000) c ORDER BY hash(a.range + b.range + c.range)",
    "SELECT sum(hash(a.range, b.range)) FROM range(10000000) a, range(10000000) b",
    "SELECT list_sum(list_transform(range(1000000), lambda x: list_sum(range(x))))",
    "SELECT regexp_matches(repeat('a', 100000), '(a*)*b' || repeat('(a|a)*', 200))",
    "SELECT count(*) FROM sets a, sets b, range(100000000) c, range(100000) d WHERE c.range * d.range % 7 = 3",
    "SELECT " + " + ".join(["(SELECT count(*) FROM range(100000000))"] * 60),
    "SELECT " + "(" * 3000 + "1" + ")" * 3000,
    "SELECT " + ", ".join(f"range AS c{n}" for n in range(20000)) + " FROM range(1000000)",
    "SELECT repeat('x', 4000000) FROM range(100000)",
    "SELECT repeat(repeat('x', 1000000), 900)",
]


@pytest.fixture(scope="module")
def copy(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Path]:
    journal = open_gym(tmp_path_factory.mktemp("gym") / "a.gym")
    append_each(journal, [opened(), planned(7, 1, 6250), started(7, 1, 6250, 100)])
    yield snapshot(journal, tmp_path_factory.mktemp("questions"))
    journal.close()


@pytest.mark.parametrize("sql", STUBBORN, ids=range(len(STUBBORN)))
def test_it_is_stopped_within_a_second_of_the_key(copy: Path, sql: str) -> None:
    question = Question.start(copy, sql, seconds=60, keep=True)
    question.wait(0.7)
    before = time.perf_counter()
    question.stop()
    question._process.wait(1)
    assert time.perf_counter() - before < 1
    assert isinstance(question.poll(), Stopped | Refused | Table)


@pytest.mark.parametrize("sql", STUBBORN, ids=range(len(STUBBORN)))
def test_left_alone_it_ends_by_itself_with_a_sentence_or_a_bounded_answer(copy: Path, sql: str) -> None:
    question = Question.start(copy, sql, seconds=1.5, keep=True)
    answer = question.wait(30)
    question.stop()
    assert isinstance(answer, Refused | Table), "it neither answered nor gave up"
    if isinstance(answer, Table):
        assert sum(len(c) for row in answer.rows for c in row if isinstance(c, str)) <= 8_100_000
        assert len(answer.rows) * len(answer.columns) <= 20_000


@pytest.mark.skipif(sys.platform != "linux", reason="looks into /proc")
def test_the_childs_memory_is_bounded_and_so_is_what_it_may_write(copy: Path) -> None:
    question = Question.start(copy, STUBBORN[0], seconds=60, keep=True)
    question.wait(1)
    limits = Path(f"/proc/{question._process.pid}/limits").read_text()
    question.stop()
    found = {line[:26].strip(): line[26:].split()[0] for line in limits.splitlines()}
    assert found["Max address space"] == str(MEMORY)
    assert found["Max file size"] == "0" and found["Max core file size"] == "0"


def test_a_message_longer_than_the_app_takes_is_not_read(tmp_path: Path) -> None:
    file = tmp_path / "pipe"
    file.write_bytes(b"W" + (frames.MOST + 1).to_bytes(8, "little"))
    with file.open("rb") as pipe, pytest.raises(frames.BadFrame):
        frames.receive(pipe)


def test_a_message_goes_through_in_pieces_of_any_size(tmp_path: Path) -> None:
    file = tmp_path / "pipe"
    with file.open("wb") as out:
        frames.send(lambda data: out.write(data[:7]), frames.PIECE, b"0123456789" * 10)
    with file.open("rb") as pipe:
        assert frames.receive(pipe) == (frames.PIECE, b"0123456789" * 10)
        assert frames.receive(pipe) is None
