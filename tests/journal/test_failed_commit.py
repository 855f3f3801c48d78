"""A command that could not be written changes nothing, and the next one works."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path
from typing import Any

import duckdb
import pytest

from floor.core.people import NoteAdded, PersonAdded
from floor.journal import log as log_module
from floor.journal.database import connect, why_not
from floor.journal.errors import CommitFailed, GymGone, NotAGym
from tests.journal.helpers import joined, open_gym, opened, rep

ROOT = Path(__file__).parent.parent.parent

FULL_DISK = """
import resource, signal, sys
from pathlib import Path
sys.path.insert(0, {root!r})
from tests.journal.helpers import *
from floor.core.people import *
from floor.journal.errors import CommitFailed

gym = Path({path!r})
journal = open_gym(gym)
journal.append([opened()])
journal.append([joined(7)], [PersonAdded(7, "Ada Example", "Ada")])
size = max(p.stat().st_size for p in gym.parent.iterdir())
signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
resource.setrlimit(resource.RLIMIT_FSIZE, (size + 3000, resource.RLIM_INFINITY))
done, refused = [], []
for no in range(1, 400):
    before = journal.head
    try:
        done.append(journal.append([rep(7, 1, 1, no)] * {rows}, [NoteAdded(7, "pain", f"note {{no}}")]))
    except CommitFailed as error:
        assert journal.head == before
        assert str(error).startswith("Nothing was recorded: "), error
        refused.append(no)
        if len(refused) == 3:
            break
assert len(refused) == 3, (done, refused)
{more}
resource.setrlimit(resource.RLIMIT_FSIZE, (resource.RLIM_INFINITY, resource.RLIM_INFINITY))
done.append(journal.append([rep(7, 1, 1, 500)], [NoteAdded(7, "pain", "note 500")]))
done.append(journal.append([rep(7, 1, 1, 501)], [NoteAdded(7, "pain", "note 501")]))
assert journal.warning == "", journal.warning
reading = journal.read()
assert [c.cmd for c in reading.tonight] == [2, 3, *done], (reading.tonight, done)
assert [n.cmd for n in reading.people[7].notes] == done
journal.close()
journal = open_gym(gym)
assert journal.opening.words == "", journal.opening.words
assert journal.read() == reading
print("whole", len(done))
"""


@pytest.mark.skipif(sys.platform == "win32", reason="a limit on file sizes is a POSIX thing")
@pytest.mark.parametrize("rows", [1, 2000])
@pytest.mark.parametrize("more", ["pass", "journal._database.checkpoint()"])
def test_on_a_full_disk_nothing_is_recorded_until_there_is_room_again(tmp_path: Path, rows: int, more: str) -> None:
    text = FULL_DISK.format(root=str(ROOT), path=str(tmp_path / "a.gym"), rows=rows, more=more)
    done = subprocess.run([sys.executable, "-c", text], capture_output=True, text=True, check=False)
    assert done.stdout.startswith("whole"), done.stderr


def test_an_error_halfway_takes_the_whole_command_back(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    journal = open_gym(tmp_path / "a.gym")
    journal.append([joined(7), opened()], [PersonAdded(7, "Ada Example", "Ada")])
    before, head = journal.read(), journal.head
    tail = (tmp_path / "a.gym.tail").read_bytes()

    def fails(connection: Any, cmd: int, changes: Any) -> None:
        connection.execute("UPDATE person SET name = 'half'")
        raise duckdb.IOException("IO Error: the disk is gone")

    with monkeypatch.context() as patched:
        patched.setattr(log_module, "write_changes", fails)
        with pytest.raises(CommitFailed, match=r"^Nothing was recorded: the disk is gone\.$"):
            journal.append([rep(7, 1, 1, 5)], [NoteAdded(7, "pain", "left knee")])
    assert journal.read() == before
    assert journal.head == head
    assert (tmp_path / "a.gym.tail").read_bytes() == tail
    assert journal.append([rep(7, 1, 1, 5)]) == head.cmd + 1


def test_a_connection_that_died_is_opened_again_for_the_next_key(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    journal = open_gym(tmp_path / "a.gym")
    journal.append([opened()])
    head = journal.head

    def dies(connection: Any, cmd: int, changes: Any) -> None:
        connection.close()
        raise duckdb.FatalException("FATAL Error: the database was invalidated")

    with monkeypatch.context() as patched:
        patched.setattr(log_module, "write_changes", dies)
        with pytest.raises(CommitFailed):
            journal.append([rep(7, 1, 1, 5)])
    assert journal.head == head
    assert journal.append([rep(7, 1, 1, 5)]) == head.cmd + 1
    assert len(journal.read().tonight) == 2


def test_a_value_that_does_not_fit_is_a_failed_commit_and_no_more(tmp_path: Path) -> None:
    journal = open_gym(tmp_path / "a.gym")
    journal.append([opened()])
    with pytest.raises(CommitFailed):
        journal.append([rep(7, 1, 1, 5), rep(7, 40_000, 1, 5)])
    assert journal.append([rep(7, 1, 1, 5)]) == 3


def test_a_deleted_file_is_not_made_anew_behind_the_coachs_back(tmp_path: Path) -> None:
    path = tmp_path / "a.gym"
    journal = open_gym(path)
    journal.append([opened()])
    path.unlink()
    for _ in range(2):
        with pytest.raises(GymGone):
            journal.append([rep(7, 1, 1, 5)])
    assert not path.exists()


def test_a_folder_that_cannot_be_written_is_said_and_no_file_is_called_damaged(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """DuckDB's words on a file system mounted read-only, where root too can't write (had from a real one)."""

    def refuse(path: str) -> None:
        raise duckdb.IOException(f'IO Error: Cannot open file "{path}": Read-only file system')

    monkeypatch.setattr("floor.journal.database.duckdb.connect", refuse)
    with pytest.raises(NotAGym) as told:
        connect(tmp_path / "a.gym")
    assert str(told.value) == (
        "a.gym can't be opened: Read-only file system; a gym has to stand where it can be written."
    )


def test_of_a_full_disk_the_reason_is_said_and_not_the_path() -> None:
    error = duckdb.IOException(
        'TransactionContext Error: Failed to commit: Could not write file "/a/b.wal": No space left'
    )
    assert why_not(error) == "No space left"
    assert why_not(duckdb.Error("Constraint Error: twice")) == "twice"
