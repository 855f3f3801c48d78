"""A real pseudo-terminal with a program in it: keys go in as bytes, the screen is read as a terminal shows it.

Nothing here sleeps: every wait is a `select` on the terminal, ended by what was waited for.
"""

from __future__ import annotations

import fcntl
import os
import re
import select
import signal
import struct
import subprocess
import sys
import termios
import time
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from types import TracebackType

import pyte

from floor.shell_open import HELD_DOWN

HOUSE = Path(__file__).resolve().parents[2]
"""The folder `python -m floor` runs in."""

KEYS: Mapping[str, bytes] = {
    "enter": b"\r", "tab": b"\t", "escape": b"\x1b", "backspace": b"\x7f", "space": b" ",
    "up": b"\x1b[A", "down": b"\x1b[B", "right": b"\x1b[C", "left": b"\x1b[D",
    "pageup": b"\x1b[5~", "pagedown": b"\x1b[6~", "ctrl+q": b"\x11", "ctrl+k": b"\x0b", "ctrl+a": b"\x01",
    "f1": b"\x1bOP", "f2": b"\x1bOQ", "f3": b"\x1bOR", "f4": b"\x1bOS", "f5": b"\x1b[15~", "f6": b"\x1b[17~",
    "f7": b"\x1b[18~", "f8": b"\x1b[19~", "f9": b"\x1b[20~", "f10": b"\x1b[21~", "f12": b"\x1b[24~",
}  # fmt: skip
"""What a terminal sends for the keys that are more than one letter, as xterm does."""

_OWN_SESSION = "import fcntl,os,sys,termios; fcntl.ioctl(0, termios.TIOCSCTTY, 0); os.execv(sys.argv[1], sys.argv[1:])"
"""Makes the pseudo-terminal the program's own, so that closing it hangs the program up, then becomes the program."""

_TIME = re.compile(r"\d{2}:\d{2}:\d{2}|\d+:\d{2}")
_UNKNOWN = re.compile(rb"\x1b\[[<=>][0-9;]*[a-zA-Z]|\x1b\[\?[0-9;]*\$p|\x1bP[^\x1b]*\x1b\\")
"""Questions to the terminal (keyboard protocol, modes) that the emulator would print as letters."""
_UNFINISHED = re.compile(rb"\x1b(?:\[[<=>?]?[0-9;]*\$?|P[^\x1b]*\x1b?)?\Z")

_FRAMES_ASKED, _FRAMES_YES = b"\x1b[?2026$p", b"\x1b[?2026;2$y"
_FRAME, _FRAME_END = b"\x1b[?2026h", b"\x1b[?2026l"
"""The app asks whether the terminal can hold a frame back until it is whole, as most can, and is told yes."""

TURN = 0.05
"""Seconds of one look at the terminal; a wait is many of them."""


def python_floor(*arguments: str | Path) -> list[str]:
    """The command line of the app, by this Python."""
    return [sys.executable, "-m", "floor", *map(str, arguments)]


def plain_environment(extra: Mapping[str, str] | None = None) -> dict[str, str]:
    """The environment of a coach's terminal in UTC, without what a test runner leaves in it."""
    kept = {k: v for k, v in os.environ.items() if k in ("PATH", "HOME", "VIRTUAL_ENV", "LD_LIBRARY_PATH")}
    return {
        **kept, "TZ": "UTC", "LANG": "C.UTF-8", "TERM": "xterm-256color", "COLORTERM": "truecolor",
        "PYTHONPATH": str(HOUSE), **(extra or {}),
    }  # fmt: skip


class Terminal:
    """`argv` running in a terminal of `cols` by `rows`. Use it in a `with`: leaving kills what still runs."""

    def __init__(
        self, argv: Sequence[str], cols: int = 120, rows: int = 40, env: Mapping[str, str] | None = None
    ) -> None:
        self.screen = pyte.Screen(cols, rows)
        self.raw = bytearray()
        self._stream = pyte.ByteStream(self.screen)
        self._held = b""
        # When output was last taken in, before the emulator's own work on it.
        self.read_at = 0.0
        self._entered = 0.0
        self._fd, theirs = os.openpty()
        fcntl.ioctl(theirs, termios.TIOCSWINSZ, struct.pack("HHHH", rows, cols, 0, 0))
        # The modes before anything ran: what a shell would get back.
        self.modes = termios.tcgetattr(theirs)
        self._theirs = theirs
        self.process = subprocess.Popen(
            [sys.executable, "-S", "-E", "-c", _OWN_SESSION, *argv],
            stdin=theirs, stdout=theirs, stderr=theirs, start_new_session=True, cwd=HOUSE,
            env=plain_environment(env),
        )  # fmt: skip

    def __enter__(self) -> Terminal:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.kill()
        for fd in (self._fd, self._theirs):
            if fd >= 0:
                os.close(fd)

    @property
    def pid(self) -> int:
        """The program's process number."""
        return self.process.pid

    # --- in

    def press(self, *keys: str) -> None:
        """Send keys by name ("enter", "f9", "a"), as fast as a terminal takes them; Enter as a hand presses it."""
        for key in keys:
            self.let_go(key)
            self._send(KEYS[key] if key in KEYS else key.encode())
            if key == "enter":
                self._entered = time.monotonic()

    def let_go(self, key: str) -> None:
        """Before an Enter, wait as long as makes it another one and not the last, held down."""
        if key == "enter":
            time.sleep(max(0.0, self._entered + 2 * HELD_DOWN - time.monotonic()))

    def type(self, text: str) -> None:
        """Send the letters of a text."""
        self._send(text.encode())

    def _send(self, data: bytes) -> None:
        os.write(self._fd, data)

    # --- out

    def pump(self, seconds: float = 0.0) -> bytes:
        """Wait up to so long for output; take in all there is. Returns what came, b"" when nothing did."""
        came = bytearray()
        wait = seconds
        while self._fd >= 0 and select.select([self._fd], [], [], wait)[0]:
            try:
                piece = os.read(self._fd, 65536)
            except OSError:  # Linux says so when the last program at the other side is gone
                break
            if not piece:
                break
            self.read_at = time.perf_counter()
            came += piece
            wait = 0.0
        self._feed(bytes(came))
        return bytes(came)

    def _feed(self, data: bytes) -> None:
        """Show what came: whole frames only, so that the screen is never read half painted."""
        self.raw += data
        whole = self._held + data
        if _FRAMES_ASKED in data:
            self._send(_FRAMES_YES)
        cut = _UNFINISHED.search(whole)
        end = cut.start() if cut else len(whole)
        begun = whole.rfind(_FRAME, 0, end)
        if begun > whole.rfind(_FRAME_END, 0, end):
            end = begun
        self._held = whole[end:]
        self._stream.feed(_UNKNOWN.sub(b"", whole[:end]))

    def lines(self) -> list[str]:
        """The screen's lines, without blanks at their ends."""
        return [line.rstrip() for line in self.screen.display]

    def text(self) -> str:
        """The screen as one text."""
        return "\n".join(self.lines())

    def timeless(self) -> str:
        """The screen with every clock blanked: what a key changed, not what a second did."""
        return _TIME.sub("-:--", self.text())

    def line_with(self, words: str) -> str:
        """The first line that holds the words, "" when none does."""
        return next((line for line in self.lines() if words in line), "")

    def wait_until(self, there: Callable[[], bool], seconds: float, what: str) -> None:
        """Take in output until `there()`; AssertionError with the screen when the time is over."""
        until = time.monotonic() + seconds
        while not there():
            left = until - time.monotonic()
            if left <= 0:
                state = "still runs" if self.process.poll() is None else f"ended with {self.process.returncode}"
                raise AssertionError(f"waited {seconds} s for {what}; the program {state}; the screen:\n{self.text()}")
            self.pump(min(left, TURN))

    def wait_for(self, words: str, seconds: float = 20.0) -> None:
        """Wait until the words stand in one line of the screen."""
        self.wait_until(lambda: bool(self.line_with(words)), seconds, repr(words))

    def wait_gone(self, words: str, seconds: float = 20.0) -> None:
        """Wait until the words are on the screen no more."""
        self.wait_until(lambda: not self.line_with(words), seconds, f"{words!r} to go")

    def step(self, key: str, seconds: float = 2.0, still: float = 0.02) -> bool:
        """Press one key and wait until it changed more than a clock and the screen is still again.

        False when nothing but clocks changed in that time.
        """
        before = self.timeless()
        self.press(key)
        until = time.monotonic() + seconds
        while time.monotonic() < until and self.process.poll() is None:
            if self.pump(TURN) and self.timeless() != before:
                while self.pump(still):
                    pass
                return True
        return self.timeless() != before

    # --- the end

    def signal(self, number: signal.Signals) -> None:
        """Send a signal to the program."""
        os.kill(self.pid, number)

    def kill(self) -> None:
        """Kill the program, as pulling the plug does (SIGKILL); nothing of it gets to run."""
        if self.process.poll() is None:
            self.process.send_signal(signal.SIGKILL)
        self.process.wait(10)

    def hang_up(self) -> None:
        """Close the terminal's window under the program."""
        for fd in (self._fd, self._theirs):
            os.close(fd)
        self._fd = self._theirs = -1

    def ended(self, seconds: float = 10.0) -> int:
        """Wait for the end, taking in what is still written; the exit status."""
        self.wait_until(lambda: self.process.poll() is not None, seconds, "the program to end")
        while self.pump(0.0):
            pass
        return self.process.returncode

    def modes_now(self) -> list[object]:
        """The terminal's modes (echo, line mode and so on) as they are now."""
        return list(termios.tcgetattr(self._theirs))
