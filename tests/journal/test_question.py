"""A typed question: one SELECT on a copy, and nothing else gets through."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from floor.background import Question, Refused, Stopped, Table
from floor.core.people import PersonAdded
from floor.journal.log import Journal
from floor.journal.refusing import first_word
from floor.journal.snapshot import snapshot
from floor.journal.views import COACH_VIEWS
from tests.ending import ends
from tests.journal.helpers import append_each, ended, fault, joined, open_gym, opened, planned, rep, started

ENDLESS = "SELECT count(*) FROM range(10000000000) a, range(10000000) b WHERE a.range * b.range % 7 = 3"
LIMITS = pytest.mark.skipif(sys.platform != "linux", reason="the address space can be limited on Linux")


@pytest.fixture(scope="module")
def gym(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Journal]:
    journal = open_gym(tmp_path_factory.mktemp("gym") / "a.gym")
    journal.append([joined(7)], [PersonAdded(7, "Ada Example", "Ada")])
    append_each(
        journal,
        [
            opened(),
            planned(7, 1, 6250),
            started(7, 1, 6250, 100),
            rep(7, 1, 1, 103),
            fault(7, 1, 1, "knees_in", 104),
            ended(7, 1, 6250, 110, reps=1),
        ],
    )
    yield journal
    journal.close()


@pytest.fixture(scope="module")
def copy(gym: Journal, tmp_path_factory: pytest.TempPathFactory) -> Path:
    return snapshot(gym, tmp_path_factory.mktemp("questions"))


def asked(copy: Path, sql: str, limit: int = 1000, seconds: float = 20) -> Table | Refused:
    answer = Question.start(copy, sql, limit, seconds).wait(60)
    assert isinstance(answer, Table | Refused)
    return answer


def refused(copy: Path, sql: str, seconds: float = 20) -> Refused:
    answer = asked(copy, sql, seconds=seconds)
    assert isinstance(answer, Refused), answer
    assert answer.sentence[-1] in ".!?" and "\n" not in answer.sentence
    return answer


def table(copy: Path, sql: str, limit: int = 1000) -> Table:
    answer = asked(copy, sql, limit)
    assert isinstance(answer, Table), answer
    return answer


def test_the_fault_of_the_evening_is_found_with_a_question(copy: Path) -> None:
    answer = table(copy, "SELECT lifter, fault, load FROM faults ORDER BY 1;")
    assert [(c.name, c.type) for c in answer.columns] == [
        ("lifter", "VARCHAR"), ("fault", "VARCHAR"), ("load", "DECIMAL(9,2)"),
    ]  # fmt: skip
    assert answer.rows == (("Ada", "knees_in", "62.50"),)
    assert not answer.more


def test_the_copy_has_the_six_views_and_nothing_else(copy: Path) -> None:
    rows = table(copy, "SELECT name FROM (SHOW ALL TABLES) ORDER BY 1").rows
    assert rows == tuple((name,) for name in sorted(COACH_VIEWS))


@pytest.mark.parametrize(
    "sql", ["FROM sets", "DESCRIBE sets", "SUMMARIZE sets", "VALUES (1)", "WITH a AS (SELECT 1) FROM a"]
)
def test_what_reads_and_no_more_is_answered(copy: Path, sql: str) -> None:
    assert table(copy, sql).rows


def test_values_json_does_not_have_come_as_words(copy: Path) -> None:
    answer = table(
        copy,
        "SELECT 9007199254740993, 'nan'::DOUBLE, 1.50::DECIMAL(5,2), DATE '2026-03-02', "
        "TIMESTAMP '2026-03-02 18:01:40', [1, 2], {'a': 1}, NULL, true, 1.5::DOUBLE, 'é'",
    )
    assert answer.rows == (
        (
            "9007199254740993", "nan", "1.50", "2026-03-02", "2026-03-02 18:01:40", "[1, 2]", "{'a': 1}", None, True,
            1.5, "é",
        ),
    )  # fmt: skip


@pytest.mark.parametrize(("rows", "shown", "more"), [(9, 9, False), (10, 10, False), (11, 10, True), (5000, 10, True)])
def test_no_more_rows_than_the_limit_and_it_says_so(copy: Path, rows: int, shown: int, more: bool) -> None:
    answer = table(copy, f"SELECT * FROM range({rows})", limit=10)
    assert (len(answer.rows), answer.more) == (shown, more)


def test_a_very_long_value_is_cut(copy: Path) -> None:
    value = table(copy, "SELECT repeat('x', 1000000)").rows[0][0]
    assert isinstance(value, str) and len(value) == 4001 and value.endswith("…")


@pytest.mark.parametrize(
    ("sql", "place"),
    [("selec 1", 0), ("SELECT lood FROM sets", 7), ("SELECT 'ü', lood FROM sets", 12), ("SELECT 1 FROM nowhere", 14)],
)
def test_a_mistake_is_told_with_its_place(copy: Path, sql: str, place: int) -> None:
    answer = refused(copy, sql)
    assert answer.place == place
    assert answer.sentence[0].isupper()


ATTACKS = [
    "INSERT INTO sets SELECT * FROM sets",
    "UPDATE sets SET load = 1",
    "DELETE FROM sets",
    "DROP TABLE sets",
    "CREATE TABLE t (a INTEGER)",
    "CREATE TEMP TABLE sets AS SELECT 1",
    "CREATE OR REPLACE MACRO upper(x) AS 'no'",
    "CREATE TEMP VIEW sets AS SELECT 1",
    "ALTER TABLE sets RENAME TO gone",
    "TRUNCATE sets",
    "WITH x AS (INSERT INTO sets SELECT * FROM sets RETURNING 1) SELECT * FROM x",
    "SELECT 1; SELECT 2",
    "COMMIT; INSERT INTO sets SELECT * FROM sets",
    "SELECT 1; DROP TABLE sets",
    "BEGIN TRANSACTION",
    "COMMIT",
    "ROLLBACK",
    "EXPLAIN SELECT 1",
    "EXPLAIN ANALYZE COMMIT",
    "EXPLAIN ANALYZE DELETE FROM sets",
    "PRAGMA database_list",
    "PRAGMA enable_profiling",
    "CALL pragma_version()",
    "CHECKPOINT",
    "VACUUM",
    "ANALYZE",
    "SET lock_configuration = false",
    "SET GLOBAL enable_external_access = true",
    "RESET lock_configuration",
    "USE memory",
    "ATTACH ':memory:' AS o",
    "ATTACH '{file}' AS o",
    "DETACH views",
    "COPY sets TO '{out}'",
    "COPY (SELECT 1) TO '{out}' (FORMAT parquet)",
    "COPY sets FROM '{file}'",
    "EXPORT DATABASE '{out}'",
    "IMPORT DATABASE '{out}'",
    "INSTALL httpfs",
    "LOAD httpfs",
    "LOAD '{file}'",
    "UPDATE EXTENSIONS",
    "PREPARE p AS SELECT 1",
    "EXECUTE p",
    "PIVOT sets ON lifter",
    "SELECT * FROM read_csv('{file}')",
    "SELECT * FROM read_text('{file}')",
    "SELECT * FROM read_blob('{file}')",
    "SELECT * FROM read_parquet('{file}')",
    "SELECT * FROM read_json('{file}')",
    "SELECT * FROM '{file}'",
    "SELECT * FROM glob('{folder}/*')",
    "SELECT * FROM sniff_csv('{file}')",
    "SELECT * FROM parquet_metadata('{file}')",
    "SELECT * FROM 'https://example.org/a.csv'",
    "SELECT * FROM query('DROP TABLE sets')",
    "SELECT * FROM query('COPY sets TO ''{out}''')",
    "SELECT * FROM query_table('{file}')",
    "SELECT getenv('HOME')",
    "SELECT * FROM sys",
    "SELECT * FROM connection",
    "SELECT nextval('s')",
    "CREATE SECRET s (TYPE s3)",
    "GRANT ALL ON sets TO me",
    "",
    "   -- nothing",
    ";;",
]


@pytest.mark.parametrize("attack", ATTACKS)
def test_nothing_but_one_select_gets_through(copy: Path, tmp_path: Path, attack: str) -> None:
    file = tmp_path / "secret.csv"
    file.write_text("a,b\nhidden words,2\n")
    before = copy.read_bytes()
    answer = refused(copy, attack.format(file=file, out=tmp_path / "out", folder=tmp_path))
    assert "hidden words" not in answer.sentence
    assert sorted(p.name for p in tmp_path.iterdir()) == ["secret.csv"]
    assert copy.read_bytes() == before
    assert sorted(p.name for p in copy.parent.iterdir()) == [copy.name]


@pytest.mark.parametrize(
    ("sql", "words"),
    [
        ("EXPLAIN SELECT 1", "Only a SELECT can be asked here; this is EXPLAIN."),
        ("/* a */ checkpoint -- b", "Only a SELECT can be asked here; this is CHECKPOINT."),
        ("PIVOT sets ON lifter", "Only a SELECT can be asked here; this is PIVOT."),
        ("SELECT '\udcff'", "The question has bytes that are no letters: save or paste it as UTF-8."),
        ("COPY sets TO 'x'", "Only a SELECT can be asked here; this is COPY."),
        ("SELECT 1; SELECT 2", "Ask one question at a time; this is 2."),
        ("", "There is no question here."),
        ("FROM read_csv('/x')", "A question can't reach files, settings or other databases."),
        ("WITH x AS (DELETE FROM sets RETURNING 1) FROM x", "A question can only read."),
    ],
)
def test_the_refusal_is_a_plain_sentence(copy: Path, sql: str, words: str) -> None:
    assert refused(copy, sql).sentence == words


def test_the_word_of_a_statement_is_found_in_one_pass_over_a_million_comments() -> None:
    assert first_word("-- a\n/* b */ drop") == "DROP"
    ends("from floor.journal.refusing import first_word; first_word('/*' * 1_000_000)")


BOMBS = [
    "SELECT repeat('x', 1000000000)",
    "SELECT md5(repeat('x', 2000000000))",
    "SELECT len(range(200000000))",
    "SELECT list_transform(range(100000000), lambda x: x + 1)",
    "SELECT string_agg(repeat('x', 1000), '') FROM range(10000000)",
    "SELECT repeat('x', 100000000) FROM range(1000)",
    "SELECT list(a.range) FROM range(100000) a, range(100000) b",
    "SELECT * FROM range(1000000000) ORDER BY random()",
    "SELECT range, count(*) FROM range(1000000000) GROUP BY 1",
]


@LIMITS
@pytest.mark.parametrize("sql", BOMBS)
def test_a_question_that_eats_memory_ends_in_a_sentence(copy: Path, sql: str) -> None:
    assert "ask for less" in refused(copy, sql).sentence


def test_a_question_that_takes_too_long_ends_in_a_sentence(copy: Path) -> None:
    assert refused(copy, ENDLESS, seconds=0.5).sentence == "That took longer than 0.5 seconds and was stopped."


def test_waiting_has_an_end_and_a_stopped_question_is_dead_within_a_second(copy: Path) -> None:
    question = Question.start(copy, ENDLESS, seconds=60)
    assert question.poll() is None
    assert question.wait(0.5) is None
    question.stop()
    assert question._process.wait(1) != 0
    assert question.poll() == Stopped()


def test_stopping_an_answered_question_keeps_the_answer(copy: Path) -> None:
    question = Question.start(copy, "SELECT 1")
    answer = question.wait(60)
    question.stop()
    assert isinstance(answer, Table) and question.poll() == answer


def test_two_questions_at_once_do_not_meet(copy: Path) -> None:
    both = [Question.start(copy, f"SELECT {n}") for n in (1, 2)]
    assert [q.wait(60) for q in both] == [table(copy, "SELECT 1"), table(copy, "SELECT 2")]


def test_a_missing_copy_is_a_refusal(tmp_path: Path) -> None:
    assert isinstance(Question.start(tmp_path / "none.duckdb", "SELECT 1").wait(60), Refused)


def test_a_copy_is_closed_to_others_and_the_one_before_is_deleted(gym: Journal, tmp_path: Path) -> None:
    folder = tmp_path / "q"
    first = snapshot(gym, folder)
    second = snapshot(gym, folder)
    assert list(folder.iterdir()) == [second] and first != second
    assert folder.stat().st_mode & 0o777 == 0o700
    assert second.stat().st_mode & 0o777 == 0o600


def test_the_gym_file_goes_on_recording_while_a_copy_is_made_and_asked(tmp_path: Path) -> None:
    journal = open_gym(tmp_path / "a.gym")
    append_each(journal, [opened(), planned(7, 1, 6000)])
    first = snapshot(journal, tmp_path / "q")
    question = Question.start(first, "SELECT count(*) FROM sets")
    journal.append([started(7, 1, 6000, 5)])
    answer = question.wait(60)
    assert isinstance(answer, Table) and answer.rows == ((0,),)
    assert table(snapshot(journal, tmp_path / "q"), "SELECT count(*) FROM sets").rows == ((1,),)
