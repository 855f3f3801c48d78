"""`floor ask` at the edges: ended from outside, on a terminal, bytes that are no text."""

from __future__ import annotations

import os
import pty
import signal
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path

import pytest

from tests.tui.house import open_session

TOP = Path(__file__).parent.parent
ENDLESS = "SELECT count(*) FROM range(10000000000) a, range(10000000) b WHERE a.range * b.range % 7 = 3"
ESCAPE = "SELECT 'a' || chr(27) || '[31mb' || chr(10) || 'c' AS x"


@pytest.fixture(scope="module")
def gym(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("gym")
    open_session(folder).journal.close()
    return folder / "gym.duckdb"


def command(gym: Path, *words: str) -> list[str]:
    return [sys.executable, "-m", "floor", "ask", *words, "--gym", str(gym)]


def on_a_terminal(gym: Path, *words: str) -> bytes:
    """What comes out where the output is a terminal."""
    ours, theirs = pty.openpty()
    try:
        subprocess.run(command(gym, *words), cwd=TOP, stdout=theirs, stderr=theirs, timeout=60, check=False)
        return os.read(ours, 100_000)
    finally:
        os.close(ours)
        os.close(theirs)


def until(there: Callable[[], bool]) -> None:
    for _ in range(300):
        if there():
            return
        time.sleep(0.1)
    raise AssertionError("it never came")


def children(pid: int) -> list[int]:
    return [int(word) for word in Path(f"/proc/{pid}/task/{pid}/children").read_text().split()]


def alive(pid: int) -> bool:
    try:
        return " Z " not in Path(f"/proc/{pid}/stat").read_text()
    except FileNotFoundError:
        return False


@pytest.mark.skipif(sys.platform != "linux", reason="children are looked up the Linux way")
@pytest.mark.parametrize("number", [signal.SIGTERM, signal.SIGHUP])
def test_ended_from_outside_it_leaves_no_child_and_no_copy(gym: Path, tmp_path: Path, number: int) -> None:
    asking = subprocess.Popen(
        command(gym, ENDLESS), cwd=TOP, env={**os.environ, "TMPDIR": str(tmp_path)},
        stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL,
    )  # fmt: skip
    until(lambda: bool(children(asking.pid)))
    found = children(asking.pid)
    assert list(tmp_path.iterdir()) and all(map(alive, found))
    asking.send_signal(number)
    assert asking.wait(30) == 128 + number
    until(lambda: not any(map(alive, found)))
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("kind", ["--csv", "--json"])
def test_no_escape_reaches_a_terminal_and_a_pipe_has_every_byte(gym: Path, kind: str) -> None:
    assert b"\x1b" not in (shown := on_a_terminal(gym, ESCAPE, kind)) and b"[31mb" in shown
    piped = subprocess.run(command(gym, ESCAPE, kind), cwd=TOP, capture_output=True, timeout=60, check=True).stdout
    assert (b"\x1b[31mb\nc" if kind == "--csv" else b"\\u001b[31mb\\nc") in piped


def test_no_escape_of_a_question_comes_back_with_its_refusal(gym: Path) -> None:
    shown = on_a_terminal(gym, 'SELECT "lod\x1b[31m" FROM sets')
    assert b"There is no column" in shown and b"\x1b" not in shown


def test_bytes_that_are_no_text_are_told_as_that(gym: Path) -> None:
    for words, typed in ((["SELECT '\udcff'"], b""), (["-"], b"SELECT '\xff'")):
        told = subprocess.run(command(gym, *words), cwd=TOP, input=typed, capture_output=True, timeout=60, check=False)
        assert told.returncode == 1 and b"bytes that are no letters" in told.stderr, told.stderr
