"""A gym file, a log or a tail that was damaged: told, kept, never read as something else."""

from __future__ import annotations

import shutil
from pathlib import Path

import duckdb
import pytest

from floor.core.people import PersonAdded
from floor.journal.errors import GymDamaged, NotAGym
from tests.journal.helpers import (
    EVENING,
    append_each,
    ev,
    joined,
    killed,
    open_gym,
    opened,
    rep,
    tail,
    wal,
)


def test_a_byte_gone_bad_anywhere_in_the_log_costs_nothing_and_is_told(tmp_path: Path) -> None:
    path = tmp_path / "killed" / "a.gym"
    killed(EVENING, path)
    size = wal(path).stat().st_size
    for place in range(0, size, size // 16):
        copy = tmp_path / str(place)
        shutil.copytree(path.parent, copy)
        data = bytearray(wal(path).read_bytes())
        data[place] ^= 0xFF
        (copy / "a.gym.wal").write_bytes(data)
        journal = open_gym(copy / "a.gym")
        assert len(journal.read().tonight) == 11
        assert journal.opening.missing is not None and journal.opening.missing.restored
        assert "put back" in journal.opening.words
        assert (copy / "a.gym.before-crash-1.wal").read_bytes() == data
        journal.close()


def test_a_damaged_log_with_no_tail_to_prove_it_whole_is_refused_and_left_alone(tmp_path: Path) -> None:
    path = tmp_path / "a.gym"
    killed(EVENING, path)
    data = bytearray(wal(path).read_bytes())
    data[100] ^= 0xFF
    wal(path).write_bytes(data)
    tail(path).unlink()
    with pytest.raises(GymDamaged, match="before-crash-1"):
        open_gym(path)
    assert wal(path).read_bytes() == data


def test_a_tail_damaged_in_the_middle_is_kept_and_told(tmp_path: Path) -> None:
    path = tmp_path / "a.gym"
    journal = open_gym(path)
    append_each(journal, [opened(), rep(7, 1, 1, 5), rep(7, 1, 2, 6)])
    journal.close()
    lines = tail(path).read_bytes().splitlines(keepends=True)
    lines[1] = lines[1].replace(b'"rep":1', b'"rep":3')
    tail(path).write_bytes(b"".join(lines))
    report = open_gym(path).opening
    assert report.kept_copy is not None and report.kept_copy.exists()
    assert "second copy of the evening was damaged" in report.words


def test_a_byte_gone_bad_in_the_gym_file_is_never_read_as_something_else(tmp_path: Path) -> None:
    path = tmp_path / "whole" / "a.gym"
    journal = open_gym(path)
    journal.append([joined(7)], [PersonAdded(7, "Ada Example", "Ada")])
    append_each(journal, [opened(), *(rep(7, 1, no, no) for no in range(1, 40))])
    whole = journal.read()
    journal.close()
    size, refused = path.stat().st_size, 0
    for place in range(0, size, size // 50):
        copy = tmp_path / str(place) / "a.gym"
        shutil.copytree(path.parent, copy.parent)
        data = bytearray(path.read_bytes())
        data[place] ^= 0xFF
        copy.write_bytes(data)
        try:
            read = open_gym(copy)
        except (GymDamaged, NotAGym) as error:
            refused += 1
            assert str(error).startswith("a.gym ") and str(error).endswith(".")
        else:
            assert read.read() == whole
            read.close()
    assert refused > 0


def damaged(path: Path, sql: str) -> None:
    connection = duckdb.connect(str(path))
    connection.execute(sql)
    connection.close()


@pytest.mark.parametrize(
    ("sql", "what"),
    [
        ("DELETE FROM event WHERE seq = 5", "holds"),
        ("UPDATE event SET load = 9000 WHERE kind = 'set_planned'", "not what was written"),
        ("UPDATE event SET chain = 'x' WHERE seq = 4", "not what was written"),
    ],
)
def test_a_record_that_was_tampered_with_is_not_opened(tmp_path: Path, sql: str, what: str) -> None:
    path = tmp_path / "a.gym"
    journal = open_gym(path)
    planned = ev("set_planned", 1, lifter=7, lift="squat", set_no=1, role="work", reps=3, load=6000)
    append_each(journal, [opened(), planned, rep(7, 1, 1, 5), rep(7, 1, 2, 6)])
    journal.close()
    damaged(path, sql)
    with pytest.raises(GymDamaged, match=what):
        open_gym(path)


def test_a_file_of_another_kind_is_named_as_such(tmp_path: Path) -> None:
    text = tmp_path / "notes.gym"
    text.write_text("squat 60 kg\n" * 4000)
    with pytest.raises((NotAGym, GymDamaged), match=r"notes\.gym"):
        open_gym(text)
    assert text.read_text().startswith("squat")
    other = tmp_path / "other.gym"
    damaged(other, "CREATE TABLE t (a INTEGER)")
    with pytest.raises(NotAGym, match="not a gym file"):
        open_gym(other)
    newer = tmp_path / "newer.gym"
    open_gym(newer).close()
    damaged(newer, "UPDATE meta SET value = '99' WHERE key = 'schema'")
    with pytest.raises(NotAGym, match="newer version"):
        open_gym(newer)


def test_a_file_of_an_older_program_gets_the_columns_it_lacks(tmp_path: Path) -> None:
    path = tmp_path / "a.gym"
    journal = open_gym(path)
    journal.append([opened()])
    journal.close()
    damaged(path, "DROP VIEW IF EXISTS faults")
    connection = duckdb.connect(str(path))
    names = [n for (n,) in connection.execute("SELECT view_name FROM duckdb_views() WHERE NOT internal").fetchall()]
    for name in names:
        connection.execute(f'DROP VIEW IF EXISTS "{name}"')
    connection.execute("DELETE FROM meta WHERE key = 'views'")
    connection.execute("ALTER TABLE event DROP COLUMN bench")
    connection.close()
    journal = open_gym(path)
    journal.append([ev("heights_set", 5, lifter=7, lift="bench_press", bench=4)])
    journal.close()
    assert open_gym(path).read().tonight[-1].events[0].bench == 4
