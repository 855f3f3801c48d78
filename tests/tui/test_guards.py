"""When it breaks or is told to go: the terminal is left whole, and no one's data is printed."""

from __future__ import annotations

import fcntl
import os
import pty
import select
import signal
import stat
import struct
import subprocess
import sys
import termios
from collections.abc import Iterator
from pathlib import Path

import pytest
from textual.app import App
from textual.geometry import Size

from floor.clock import stopwatch
from floor.tui.app import FloorApp
from floor.tui.guards import (
    SizeGuard,
    TooSmall,
    crash_words,
    plain_report,
    small_words,
    too_small,
    write_report,
)
from floor.tui.screens.floor import Floor
from floor.tui.screens.keyshelp import KeysHelp
from tests.tui.guarded_app import SECRET, fail
from tests.tui.house import check_in, open_session

ROOT = Path(__file__).resolve().parents[2]
LEFT_ALTERNATE, CURSOR_SHOWN = b"\x1b[?1049l", b"\x1b[?25h"


class Terminal:
    """A real pseudo-terminal with the app in it; what it prints is kept in `seen`."""

    def __init__(self, how: str, folder: Path) -> None:
        self.master, slave = pty.openpty()
        fcntl.ioctl(slave, termios.TIOCSWINSZ, struct.pack("HHHH", 24, 80, 0, 0))
        self.before = termios.tcgetattr(slave)
        self.slave = slave
        self.seen = b""
        self.process = subprocess.Popen(
            [sys.executable, str(ROOT / "tests/tui/guarded_app.py"), how, str(folder)],
            stdin=slave, stdout=slave, stderr=slave, start_new_session=True,
            env={**os.environ, "PYTHONPATH": str(ROOT), "TERM": "xterm-256color", "COLUMNS": "80", "LINES": "24"},
        )  # fmt: skip

    def until(self, words: bytes, seconds: float = 30) -> None:
        """Read until these bytes were printed."""
        end = stopwatch() + seconds
        while words not in self.seen:
            left = end - stopwatch()
            assert left > 0, f"{words!r} never came: {self.seen[-2000:]!r}"
            ready, _, _ = select.select([self.master], [], [], left)
            if ready:
                self.seen += os.read(self.master, 65536)

    def leave(self, seconds: float = 30) -> int:
        """Read until the process has ended; its exit code."""
        end = stopwatch() + seconds
        while self.process.poll() is None:
            assert stopwatch() < end, f"it does not end: {self.seen[-2000:]!r}"
            ready, _, _ = select.select([self.master], [], [], 0.05)
            if ready:
                self.seen += os.read(self.master, 65536)
        while select.select([self.master], [], [], 0)[0]:
            self.seen += os.read(self.master, 65536)
        return self.process.returncode

    def press(self, key: str) -> None:
        os.write(self.master, key.encode())

    def hang_up(self) -> None:
        """Close the terminal's window."""
        os.close(self.slave)
        os.close(self.master)
        self.master = self.slave = -1

    def close(self) -> None:
        if self.process.poll() is None:
            self.process.kill()
            self.process.wait()
        for descriptor in (self.master, self.slave):
            if descriptor >= 0:
                os.close(descriptor)


@pytest.fixture
def terminals(tmp_path: Path) -> Iterator[list[Terminal]]:
    opened: list[Terminal] = []
    yield opened
    for terminal in opened:
        terminal.close()


def start(terminals: list[Terminal], how: str, folder: Path) -> Terminal:
    terminal = Terminal(how, folder)
    terminals.append(terminal)
    terminal.until(b"ready to break")
    return terminal


def whole(terminal: Terminal) -> bool:
    """The screen given back, the cursor shown, lines and echo as they were."""
    after = termios.tcgetattr(terminal.slave)
    return LEFT_ALTERNATE in terminal.seen and CURSOR_SHOWN in terminal.seen and after[:4] == terminal.before[:4]


@pytest.mark.parametrize("key", ["h", "w", "t"], ids=["handler", "worker", "timer"])
def test_a_crash_leaves_the_terminal_whole_and_names_nobody(
    key: str, tmp_path: Path, terminals: list[Terminal]
) -> None:
    folder = tmp_path / "crashes"
    terminal = start(terminals, "guarded", folder)
    terminal.press(key)
    assert terminal.leave() == 1
    assert whole(terminal)
    printed = terminal.seen.decode(errors="replace")
    assert "floor stopped" in printed and "ValueError" in printed
    (file,) = folder.iterdir()
    told = file.read_text(encoding="utf-8")
    assert "raise ValueError" in told and "in fail" in told
    assert SECRET not in printed and SECRET not in told
    assert stat.S_IMODE(file.stat().st_mode) == 0o600
    assert stat.S_IMODE(folder.stat().st_mode) == 0o700


def test_without_the_guard_the_same_crash_prints_the_name(tmp_path: Path, terminals: list[Terminal]) -> None:
    terminal = start(terminals, "bare", tmp_path)
    terminal.press("h")
    terminal.leave()
    assert SECRET.encode() in terminal.seen


@pytest.mark.parametrize("name", ["SIGTERM", "SIGHUP", "SIGINT"])
def test_a_signal_ends_it_with_the_terminal_whole(name: str, tmp_path: Path, terminals: list[Terminal]) -> None:
    terminal = start(terminals, "guarded", tmp_path)
    number = getattr(signal, name)
    terminal.process.send_signal(number)
    assert terminal.leave() == 128 + number
    assert whole(terminal)


def test_a_closed_window_ends_it(tmp_path: Path, terminals: list[Terminal]) -> None:
    terminal = start(terminals, "guarded", tmp_path)
    terminal.hang_up()
    assert terminal.process.wait(30) == 128 + signal.SIGHUP
    assert list(tmp_path.iterdir()) == [], "going with the window is not a crash"


def test_a_window_closed_while_it_ends_does_not_wake_it_again(tmp_path: Path, terminals: list[Terminal]) -> None:
    terminal = start(terminals, "guarded", tmp_path)
    terminal.press("l")
    terminal.until(LEFT_ALTERNATE)
    terminal.process.send_signal(signal.SIGCONT)
    terminal.hang_up()
    assert terminal.process.wait(30) in (0, 128 + signal.SIGHUP)


def test_the_report_has_the_places_and_the_causes_but_no_values() -> None:
    try:
        try:
            fail()
        except ValueError as error:
            raise KeyError(SECRET) from error
    except KeyError as error:
        report = plain_report(error)
    assert SECRET not in report
    assert report.index("builtins.ValueError") < report.index("builtins.KeyError")
    assert "tests/tui/guarded_app.py" in report and str(ROOT) not in report


def test_words_that_only_name_code_are_kept() -> None:
    try:
        None.lift  # type: ignore[attr-defined]  # noqa: B018
    except AttributeError as error:
        assert "'NoneType' object has no attribute 'lift'" in plain_report(error)


def test_every_part_of_a_group_of_errors_is_told() -> None:
    report = plain_report(ExceptionGroup(SECRET, [ValueError(SECRET), KeyError(SECRET)]))
    assert "ValueError" in report and "KeyError" in report and SECRET not in report


def test_where_no_file_can_be_written_the_places_are_printed_instead(tmp_path: Path) -> None:
    blocked = tmp_path / "a-file"
    blocked.touch()
    assert write_report("x", blocked) is None
    try:
        fail()
    except ValueError as error:
        words = crash_words(error, None)
    assert "in fail" in words and SECRET not in words


@pytest.mark.parametrize(
    ("width", "height", "small"), [(80, 24, False), (79, 24, True), (80, 23, True), (200, 60, False)]
)
def test_eighty_by_twenty_four_is_enough(width: int, height: int, small: bool) -> None:
    assert too_small(Size(width, height)) is small


def test_it_says_what_it_needs_and_what_it_has() -> None:
    assert small_words(Size(60, 20)) == "terminal too small: needs 80x24, has 60x20"


class Sized(SizeGuard, App[None]):
    """An app that opens a screen at once, as the real one does."""

    def on_mount(self) -> None:
        """A screen with keys of its own."""
        self.push_screen(KeysHelp())


def told(app: App[None]) -> str:
    return str(app.screen.query_one("#small-words").render())


async def test_a_terminal_too_small_from_the_start_is_told_over_the_first_screen() -> None:
    app = Sized()
    async with app.run_test(size=(60, 20)) as pilot:
        await pilot.pause()
        assert isinstance(app.screen, TooSmall)
        assert "needs 80x24, has 60x20" in told(app)
        await pilot.press("escape")
        assert isinstance(app.screen, TooSmall), "no key acts behind it"
        await pilot.resize_terminal(80, 24)
        await pilot.pause()
        assert isinstance(app.screen, KeysHelp)


async def test_it_comes_and_goes_with_the_size_once_over_whatever_is_open() -> None:
    app = Sized()
    async with app.run_test(size=(100, 30)) as pilot:
        await pilot.pause()
        assert isinstance(app.screen, KeysHelp)
        for width in (70, 50, 20):
            await pilot.resize_terminal(width, 10)
            await pilot.pause()
            assert f"has {width}x10" in told(app)
        assert [type(screen) for screen in app.screen_stack[-2:]] == [KeysHelp, TooSmall]
        assert sum(isinstance(screen, TooSmall) for screen in app.screen_stack) == 1
        await pilot.resize_terminal(100, 30)
        await pilot.pause()
        assert isinstance(app.screen, KeysHelp)


async def test_covered_by_another_screen_it_still_goes_when_there_is_room() -> None:
    app = Sized()
    async with app.run_test(size=(60, 20)) as pilot:
        await pilot.pause()
        app.push_screen(KeysHelp())
        await pilot.pause()
        await pilot.resize_terminal(90, 30)
        await pilot.pause()
        app.pop_screen()
        await pilot.pause()
        assert not any(isinstance(screen, TooSmall) for screen in app.screen_stack)


async def test_the_evening_is_untouched_by_keys_pressed_blind_on_a_small_terminal(tmp_path: Path) -> None:
    session = open_session(tmp_path)
    check_in(session, 1, 2)
    app = FloorApp(session, ticking=False)
    async with app.run_test(size=(60, 20)) as pilot:
        await pilot.pause()
        assert isinstance(app.screen, TooSmall)
        before = session.state
        await pilot.press("enter", "space", "backspace", "f12", "!")
        app.tick()
        assert session.state is before
        await pilot.resize_terminal(80, 24)
        await pilot.pause()
        assert isinstance(app.screen, Floor)
        await pilot.press("enter")
        assert session.state is not before
    session.journal.close()
