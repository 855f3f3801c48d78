"""A small app for a terminal of its own: `python guarded_app.py HOW FOLDER` breaks in that way when told to.

HOW is "guarded" or "bare". Keys: h a handler fails, w a thread worker fails, t a timer fails,
l a thread is long at work while the app ends.
"""

from __future__ import annotations

import asyncio
import fcntl
import sys
import termios
import time
from pathlib import Path
from typing import Any

from textual import work
from textual.app import App, ComposeResult
from textual.widgets import Static

from floor.tui.guards import CrashGuard, SizeGuard, leave_on_signals

SECRET = "Zenobia Quill"


def fail() -> None:
    """Fail with a name in a variable and in the words."""
    lifter = "Zenobia" + " Quill"
    raise ValueError(f"no such lifter: {lifter}")


class Breaks(App[None]):
    """Breaks on a key."""

    ENABLE_COMMAND_PALETTE = False

    def compose(self) -> ComposeResult:
        """A word to wait for."""
        yield Static("ready to break")

    def key_h(self) -> None:
        """In a handler."""
        fail()

    def key_t(self) -> None:
        """In a timer."""
        self.set_timer(0.01, fail)

    @work(thread=True)
    def key_w(self) -> None:
        """In a thread."""
        fail()

    async def key_l(self) -> None:
        """A thread that ends two seconds after the app."""
        asyncio.get_running_loop().run_in_executor(None, time.sleep, 2)
        self.exit()


class Guarded(CrashGuard, SizeGuard, Breaks):
    """The same with its guards."""

    def on_mount(self) -> None:
        """The signals."""
        leave_on_signals(self)


def main() -> int:
    """Take the terminal and run."""
    fcntl.ioctl(0, termios.TIOCSCTTY, 0)
    app: App[Any] = Guarded() if sys.argv[1] == "guarded" else Breaks()
    if isinstance(app, Guarded):
        app.crash_folder = Path(sys.argv[2])
    app.run()
    return app.return_code or 0


if __name__ == "__main__":
    sys.exit(main())
