"""The terminal is left whole, a small one is told what it needs, a second copy is told who has the file."""

from __future__ import annotations

import signal
from pathlib import Path

import pytest

from tests.terminal.evening_keys import run_floor
from tests.terminal.terminal import Terminal, python_floor

OPEN = "no session is open"


def assert_whole(term: Terminal) -> None:
    """The other screen left, the cursor shown, the mouse and the paste marks let go, the modes as a shell had them."""
    written = bytes(term.raw)
    for on, off in ((b"\x1b[?1049h", b"\x1b[?1049l"), (b"\x1b[?25l", b"\x1b[?25h"), (b"\x1b[?2004h", b"\x1b[?2004l")):
        assert on in written, "the app took the terminal over"
        assert written.rindex(off) > written.rindex(on), (on, off)
    if b"\x1b[?1000h" in written:
        assert written.rindex(b"\x1b[?1000l") > written.rindex(b"\x1b[?1000h")
    assert term.modes_now() == term.modes


@pytest.mark.parametrize("number", [signal.SIGTERM, signal.SIGHUP, signal.SIGINT])
def test_a_signal_leaves_the_terminal_whole(demo: Path, number: signal.Signals) -> None:
    with Terminal(python_floor("--gym", demo)) as term:
        term.wait_for(OPEN)
        term.press("enter")
        term.wait_for("1 here")
        term.signal(number)
        assert term.ended() == 128 + number
        assert_whole(term)
        assert b"Traceback" not in term.raw
    with Terminal(python_floor("--gym", demo)) as again:
        again.wait_for("1 here")


def test_leaving_by_the_key_leaves_the_terminal_whole(demo: Path) -> None:
    with Terminal(python_floor("--gym", demo)) as term:
        term.wait_for(OPEN)
        term.press("ctrl+q")
        assert term.ended() == 0
        assert_whole(term)


def test_a_window_closed_under_it_ends_the_app_and_keeps_the_evening(demo: Path) -> None:
    with Terminal(python_floor("--gym", demo)) as term:
        term.wait_for(OPEN)
        term.press("enter")
        term.wait_for("1 here")
        term.hang_up()
        # 120 is Python's own word for an output that could not be written to the end: there was nobody to write to.
        assert term.ended() in (128 + signal.SIGHUP, 120)
    with Terminal(python_floor("--gym", demo)) as again:
        again.wait_for("1 here")


def test_a_second_copy_is_told_in_one_sentence_who_has_the_file(demo: Path) -> None:
    with Terminal(python_floor("--gym", demo)) as term:
        term.wait_for(OPEN)
        second = run_floor("--gym", demo)
        assert second.returncode == 1
        assert len(second.stderr.strip().splitlines()) == 1, second.stderr
        assert f"process {term.pid};" in second.stderr and demo.name in second.stderr
        # In a terminal as well, without taking it over.
        with Terminal(python_floor("--gym", demo)) as other:
            other.wait_for(f"process {term.pid}")
            assert other.ended() == 1
            assert b"\x1b[?1049h" not in other.raw
        # The first goes on as if nothing had happened.
        term.press("enter")
        term.wait_for("1 here")


def test_a_terminal_too_small_says_what_it_needs(demo: Path) -> None:
    with Terminal(python_floor("--gym", demo), 60, 18) as term:
        term.wait_for("needs 80x24, has 60x18")
        # No key of the evening acts behind the words.
        term.press("enter", "ctrl+q")
        assert term.ended() == 0
        assert_whole(term)
    with Terminal(python_floor("--gym", demo)) as again:
        again.wait_for(OPEN)


def test_a_commit_that_fails_is_told_stays_and_changes_nothing(demo: Path) -> None:
    with Terminal(python_floor("--gym", demo)) as term:
        term.wait_for(OPEN)
        for file in demo.parent.glob(demo.name + "*"):
            file.unlink()
        term.press("enter")
        term.wait_for("was deleted, moved or replaced")
        told = term.line_with("was deleted, moved or replaced").strip()
        assert told.startswith("! ")
        assert OPEN in term.text() and "here: Platform" not in term.text()
        # A key that only looks about does not take the sentence away.
        term.press("down", "down", "up")
        term.wait_until(lambda: term.lines()[2].startswith("▶ "), 10, "the second lifter marked")
        assert told in term.text(), term.text()
        term.press("1")
        term.wait_for("was deleted, moved or replaced")
        assert OPEN in term.text() and "here: Platform" not in term.text()
        term.press("ctrl+q")
        assert term.ended() == 0
        assert_whole(term)


def test_an_empty_gym_says_what_to_do(tmp_path: Path) -> None:
    with Terminal(python_floor("--gym", tmp_path / "new.duckdb"), 80, 24) as term:
        term.wait_for("Nobody belongs to this gym yet.")
        assert term.line_with("adds a lifter now") and term.line_with("floor import FILE.csv")
        term.press("w")
        term.wait_for("A walk-in")
        term.type("Wanda Invented")
        term.wait_for("on the board: Wanda")
        term.press("enter")
        term.wait_for("1 here")
        assert term.line_with("Wanda")
