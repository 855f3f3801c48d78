"""A person who is forgotten is gone from the file, its log and the copies; what was lifted stays."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from floor.core.people import NoteAdded, PersonAdded
from floor.journal import log as log_module
from floor.journal.errors import ErasureUnfinished
from tests.journal.helpers import joined, open_gym, opened, planned, rep, started, view

NAME, NOTE = "Quillon Vexmarsh", "dislocated kneecap 2019"


def lived_in(path: Path) -> None:
    """A gym file that was killed once, with a name and a note in file, log and copy."""
    journal = open_gym(path)
    journal.append([joined(7)], [PersonAdded(7, NAME, "Quillon V"), NoteAdded(7, "caution", NOTE)])
    journal.append([joined(8)], [PersonAdded(8, "Ada Example", "Ada")])
    journal.close()
    copy = path.with_name(path.name + ".before-crash-1")
    shutil.copy(path, copy)
    copy.with_name(copy.name + ".wal").write_bytes(NAME.encode())


def bytes_beside(path: Path) -> bytes:
    return b"".join(p.read_bytes() for p in path.parent.iterdir())


def test_no_byte_of_a_forgotten_name_is_left(tmp_path: Path) -> None:
    path = tmp_path / "a.gym"
    lived_in(path)
    journal = open_gym(path)
    journal.append([opened(), planned(7, 1, 6000)])
    journal.append([started(7, 1, 6000, 10)], [NoteAdded(7, "pain", NOTE + " again")])
    journal.append([rep(7, 1, 1, 12)])
    before = journal.read()
    journal.forget(7)
    after = journal.read()
    assert after.tonight == before.tonight and after.definitions == before.definitions
    assert (after.people[7].name, after.people[7].board, after.people[7].notes) == ("forgotten", "forgotten", ())
    assert after.people[8] == before.people[8]
    assert view(journal, "SELECT lifter, made FROM sets") == [("forgotten", 1)]
    journal.close()
    left = bytes_beside(path)
    for words in (NAME, "Vexmarsh", "Quillon", "kneecap"):
        assert words.encode() not in left
    assert b"Ada Example" in left


def test_the_test_above_would_see_a_name(tmp_path: Path) -> None:
    path = tmp_path / "a.gym"
    lived_in(path)
    assert bytes_beside(path).count(NAME.encode()) >= 2


def test_nobody_can_not_be_forgotten(tmp_path: Path) -> None:
    journal = open_gym(tmp_path / "a.gym")
    journal.append([opened()])
    with pytest.raises(ValueError, match="nobody has the number 9"):
        journal.forget(9)
    assert journal.append([rep(8, 1, 1, 5)]) == 3


def test_after_forgetting_the_evening_goes_on_in_the_same_file(tmp_path: Path) -> None:
    path = tmp_path / "a.gym"
    lived_in(path)
    journal = open_gym(path)
    journal.append([opened()])
    journal.forget(7)
    cmd = journal.append([rep(8, 1, 1, 5)])
    journal.close()
    journal = open_gym(path)
    assert journal.opening.words == ""
    assert journal.head.cmd == cmd
    assert sorted(p.name for p in tmp_path.iterdir()) == ["a.gym", "a.gym.tail"]


def test_a_forgetting_that_fails_says_so_and_can_be_done_again(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "a.gym"
    lived_in(path)
    journal = open_gym(path)

    def full(connection: object, fresh: Path) -> None:
        raise OSError(28, "No space left on device")

    with monkeypatch.context() as patched:
        patched.setattr(log_module, "copy_fresh", full)
        with pytest.raises(ErasureUnfinished, match="not yet out of the file.*`floor forget 7`"):
            journal.forget(7)
    assert journal.append([opened()]) == 4
    journal.forget(7)
    journal.close()
    assert NAME.encode() not in bytes_beside(path)


@pytest.mark.parametrize("name", ["fresh.duckdb", "coach's.duckdb", 'the "old".duckdb'])
def test_a_gym_file_of_any_name_can_forget(tmp_path: Path, name: str) -> None:
    lived_in(tmp_path / name)
    journal = open_gym(tmp_path / name)
    journal.forget(7)
    assert journal.people()[7].name == "forgotten"
    journal.close()
    assert NAME.encode() not in bytes_beside(tmp_path / name)


def test_nothing_half_written_is_left_when_a_forgetting_fails(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    lived_in(tmp_path / "a.gym")
    journal = open_gym(tmp_path / "a.gym")

    def busy(fresh: Path) -> None:
        raise OSError(16, "busy")

    monkeypatch.setattr(journal._database, "swap", busy)
    with pytest.raises(ErasureUnfinished):
        journal.forget(7)
    journal.close()
    assert not (tmp_path / "a.gym.fresh").exists()
