"""The same walls around a large gym's two files: neither is written to, and no file but these can be reached."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest

from floor.background import Question, Refused, Table
from floor.core.people import NoteAdded, PersonAdded
from floor.journal import keeping
from floor.journal.snapshot import snapshot
from tests.journal.helpers import append_each, ended, joined, open_gym, opened, planned, rep, started

NOW = datetime(2026, 11, 25, 17, 0, tzinfo=UTC)

ATTACKS = [
    "SELECT * FROM kept.event",
    "SELECT notes FROM person",
    "SELECT * FROM {gym_name}.event",
    "FROM read_blob('{gym}')",
    "FROM read_text('{beside}')",
    "FROM duckdb_secrets() WHERE (SELECT count(*) FROM '{gym}') > 0",
    "CREATE OR REPLACE VIEW sets AS SELECT 1",
    "CREATE TABLE memory.main.mine AS SELECT 1",
    "ATTACH '{kept}' AS again",
    "DETACH kept",
    "INSERT INTO kept.sets SELECT * FROM kept.sets",
    "DELETE FROM fresh.name",
    "UPDATE kept.about SET seq = 0",
    "COPY fresh.name TO '{out}'",
    "COPY FROM DATABASE fresh TO kept",
    "SELECT * FROM query('ATTACH ''{gym}'' AS g')",
    "FROM parquet_scan('{gym}')",
    "SET search_path = 'kept'",
    "CHECKPOINT kept",
    "SELECT 1; DETACH fresh",
    "EXPLAIN ANALYZE INSERT INTO kept.sets FROM kept.sets",
    "WITH gone AS (DELETE FROM kept.sets RETURNING 1) FROM gone",
    "MERGE INTO kept.about USING (SELECT 1) AS s ON true WHEN MATCHED THEN DELETE",
    "COMMENT ON VIEW sets IS 'mine'",
]


@pytest.fixture(scope="module")
def halves(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[Path, Path]]:
    path = tmp_path_factory.mktemp("gym") / "a.gym"
    journal = open_gym(path)
    journal.append([joined(7)], [PersonAdded(7, "Ada Example", "Ada"), NoteAdded(7, "caution", "old shoulder")])
    append_each(journal, [opened(), planned(7, 1, 6250), started(7, 1, 6250, 100), rep(7, 1, 1, 103)])
    with pytest.MonkeyPatch.context() as m:
        m.setattr(keeping, "LARGE", 1)
        snapshot(journal, tmp_path_factory.mktemp("first"))
        append_each(journal, [ended(7, 1, 6250, 110, reps=1)])
        copy = snapshot(journal, tmp_path_factory.mktemp("questions"))
    yield copy, path
    journal.close()


@pytest.mark.parametrize("attack", ATTACKS)
def test_nothing_but_the_views_is_reached_and_nothing_is_changed(
    halves: tuple[Path, Path], tmp_path: Path, attack: str
) -> None:
    copy, gym = halves
    files = [copy, keeping.kept_path(gym), copy.with_suffix(".kept")]
    before = [file.read_bytes() for file in files]
    sql = attack.format(
        gym=gym, gym_name=gym.stem, beside=files[2], kept=files[1], out=tmp_path / "out",
    )  # fmt: skip
    answer = Question.start(copy, sql, seconds=20).wait(60)
    assert isinstance(answer, Refused), answer
    assert "shoulder" not in answer.sentence
    assert [file.read_bytes() for file in files] == before
    assert not list(tmp_path.iterdir())


def test_what_stands_in_both_files_has_neither_full_names_nor_notes(halves: tuple[Path, Path]) -> None:
    copy, gym = halves
    for file in (copy, keeping.kept_path(gym)):
        data = file.read_bytes()
        assert b"Ada Example" not in data and b"shoulder" not in data
    answer = Question.start(copy, "SELECT lifter, made, grade FROM sets").wait(60)
    assert isinstance(answer, Table) and answer.rows == (("Ada", 1, "sound"),)


BEHIND = [
    "FROM kept.facts",
    'SELECT (SELECT count(*) FROM "KEPT".main.about)',
    "WITH x AS (FROM kept.undone) FROM x",
    "SELECT 1 ORDER BY (SELECT max(board) FROM fresh.name)",
    "DESCRIBE kept.facts",
    "SUMMARIZE SELECT * FROM fresh.name",
    "SHOW TABLES FROM kept",
    "FROM query('FROM ke' || 'pt.facts')",
    "FROM query_table('kept.facts')",
    "FROM query_table(['sets', 'kept.facts'])",
    "FROM json_execute_serialized_sql(json_serialize_sql('FROM kept.facts'))",
    "FROM duckdb_databases()",
    "FROM duckdb_databases",
    "FROM system.main.duckdb_settings()",
    "FROM pragma_database_list",
    "FROM pragma_database_size()",
]


@pytest.mark.parametrize("sql", BEHIND)
def test_what_the_tables_are_put_together_from_is_not_shown(halves: tuple[Path, Path], sql: str) -> None:
    answer = Question.start(halves[0], sql, seconds=20).wait(60)
    assert answer == Refused("A question reads the gym's own tables, not what lies behind them.")


@pytest.mark.parametrize(
    "sql",
    [
        "FROM sets",
        "DESCRIBE sets",
        "WITH kept AS (SELECT 1 AS facts) SELECT kept.facts FROM kept",
        "SELECT 1 AS facts FROM sets AS fresh WHERE fresh.made >= 0",
        """SELECT '"path":["kept","facts"] duckdb_databases()'""",
    ],
)
def test_a_word_that_only_looks_like_what_lies_behind_is_answered(halves: tuple[Path, Path], sql: str) -> None:
    answer = Question.start(halves[0], sql, seconds=20).wait(60)
    assert isinstance(answer, Table) and answer.rows, answer
