"""A gym file may be called anything, and one copy for questions that failed stands in the way of none after it."""

from __future__ import annotations

import stat
from pathlib import Path

import duckdb
import pytest

from floor.core.people import PersonAdded
from floor.journal import keeping, parts
from floor.journal.errors import JournalError
from floor.journal.log import Journal
from floor.journal.quoting import identifier, inside, literal, outside
from floor.journal.snapshot import snapshot
from tests.journal.helpers import append_each, ended, joined, open_gym, opened, planned, rep, started

NAMES = ["coach's", 'the "old"', "fresh", "work", "kept", "views", "two words"]


def a_gym(folder: Path, name: str = "a") -> Journal:
    journal = open_gym(folder / f"{name}.duckdb")
    append_each(journal, [joined(7), opened(), planned(7, 1, 6250), started(7, 1, 6250, 100), rep(7, 1, 1, 103)])
    append_each(journal, [ended(7, 1, 6250, 110, reps=1)])
    return journal


def attached(journal: Journal) -> set[str]:
    found = journal.cursor().execute("SELECT database_name FROM duckdb_databases() WHERE NOT internal").fetchall()
    return {name for (name,) in found}


@pytest.mark.parametrize("large", [False, True], ids=["small", "large"])
@pytest.mark.parametrize("name", NAMES)
def test_a_gym_file_of_any_name_can_be_asked(
    tmp_path: Path, name: str, large: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    journal = a_gym(tmp_path, name)
    before = attached(journal)
    if large:
        monkeypatch.setattr(keeping, "LARGE", 1)
    copy = snapshot(journal, tmp_path / "questions")
    assert attached(journal) == before
    assert copy.with_suffix(parts.KEPT).exists() == large
    journal.close()
    with duckdb.connect(str(copy), read_only=True) as found:
        counted = found.execute("SELECT count(*) FROM sets").fetchone()
    assert counted is not None and (large or counted == (1,))


@pytest.mark.parametrize("large", [False, True], ids=["small", "large"])
def test_a_copy_that_fails_once_is_made_the_next_time(
    tmp_path: Path, large: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    journal = a_gym(tmp_path)
    before = attached(journal)
    if large:
        monkeypatch.setattr(keeping, "LARGE", 1)
        snapshot(journal, tmp_path / "questions")
        append_each(journal, [rep(7, 1, 2, 120)])
    with monkeypatch.context() as patched:
        patched.setitem(parts.STORED, "reps", "SELECT nosuch FROM standing")
        patched.setattr("floor.journal.snapshot.VIEWS", {"sets": "SELECT nosuch"})
        with pytest.raises(JournalError):
            snapshot(journal, tmp_path / "questions")
    assert attached(journal) == before
    assert snapshot(journal, tmp_path / "questions").exists()
    journal.close()


def test_quotes_in_a_name_are_part_of_it() -> None:
    for words in ("it's", 'so "called"', "'", ""):
        assert duckdb.sql(f"SELECT {literal(words)} AS {identifier(words or 'x')}").fetchall() == [(words,)]
        assert outside(inside(words)) == words


def test_a_new_gym_file_and_its_log_are_their_owners_alone(tmp_path: Path) -> None:
    journal = a_gym(tmp_path)
    files = [tmp_path / "a.duckdb", tmp_path / "a.duckdb.wal", tmp_path / "a.duckdb.tail"]
    assert [stat.S_IMODE(file.stat().st_mode) for file in files] == [0o600] * 3
    journal.append([joined(8)], [PersonAdded(8, "Ada Example", "Ada")])
    journal.forget(8)
    append_each(journal, [rep(7, 1, 2, 120)])
    assert [stat.S_IMODE(file.stat().st_mode) for file in files] == [0o600] * 3
    journal.close()


def test_a_gym_file_that_was_opened_to_others_stays_so(tmp_path: Path) -> None:
    a_gym(tmp_path).close()
    path = tmp_path / "a.duckdb"
    path.chmod(0o640)
    journal = open_gym(path)
    append_each(journal, [rep(7, 1, 2, 120)])
    modes = {stat.S_IMODE(file.stat().st_mode) for file in (path, path.with_name("a.duckdb.wal"))}
    assert modes == {0o640}
    journal.close()
