"""What keeps the terminal whole and people's data private when things go wrong.

    class FloorApp(CrashGuard, SizeGuard, App[None]): ...      # mixins first, App last
        def on_mount(self): ...; leave_on_signals(self)

`CrashGuard` ends the app with a report that holds no one's data, `SizeGuard`
says what a too small terminal needs, `leave_on_signals` leaves cleanly when
the system or a closed terminal asks for it.
"""

from __future__ import annotations

import asyncio
import os
import signal
import sys
import tempfile
import traceback
from collections.abc import Iterator
from contextlib import suppress
from functools import partial
from pathlib import Path
from types import FrameType
from typing import TYPE_CHECKING, Any, ClassVar

from textual import events
from textual.app import App, ComposeResult
from textual.binding import Binding, BindingType
from textual.geometry import Size
from textual.screen import ModalScreen
from textual.widgets import Static
from textual.worker import WorkerFailed

WIDTH, HEIGHT = 80, 24
"""Columns and rows every screen needs."""

SAFE_WORDS: tuple[type[BaseException], ...] = (
    AttributeError, NameError, UnboundLocalError, ImportError, ModuleNotFoundError, ZeroDivisionError, RecursionError,
)  # fmt: skip
"""Errors whose own words only name things in the code; the words of any other may quote a name or a note."""

# --- signals

SIGNALS: tuple[str, ...] = ("SIGTERM", "SIGHUP", "SIGINT")


def leave_on_signals(app: App[Any]) -> list[str]:
    """Make SIGTERM, SIGHUP and SIGINT end the app as its own key does, the terminal put back as it was.

    Call it from the app's `on_mount`: it needs the running loop of the main
    thread. `app.run()` then returns and `app.return_code` is 128 plus the
    signal's number. Returns the names of the signals that are handled; none on
    a system whose loop can't (there the terminal's own end still ends us).
    """
    loop = asyncio.get_running_loop()
    handled = []
    for name in SIGNALS:
        number = getattr(signal, name, None)
        if number is None:
            continue
        try:
            loop.add_signal_handler(number, partial(app.exit, return_code=128 + number))
        except (NotImplementedError, RuntimeError, ValueError):
            continue  # not this loop, or not the main thread
        handled.append(name)
    if hasattr(signal, "SIGCONT"):
        _end_for_good(app)
    return handled


def _end_for_good(app: App[Any]) -> None:
    """A window that is closed sends SIGCONT as well, which Textual takes for coming back from the background.

    After the app's end that would take the gone terminal over again and wait for its keys for ever.
    """
    come_back = signal.getsignal(signal.SIGCONT)

    def continued(number: int, frame: FrameType | None) -> None:
        if app.is_running and callable(come_back):
            come_back(number, frame)

    with suppress(ValueError):  # not the main thread
        signal.signal(signal.SIGCONT, continued)


# --- a crash


def plain_report(error: BaseException) -> str:
    """The places in the code that led to `error`, oldest first, with causes; no variables, no words that may hold data.

    Only errors of `SAFE_WORDS` keep their own words.
    """
    return "\n".join(_report(error, set()))


def _report(error: BaseException, told: set[int]) -> Iterator[str]:
    if isinstance(error, WorkerFailed):
        error = error.error
    if id(error) in told:
        return
    told.add(id(error))
    before = error.__cause__ or (None if error.__suppress_context__ else error.__context__)
    if before is not None:
        yield from _report(before, told)
        yield "\nthen, because of it:\n" if error.__cause__ else "\nthen, while handling it:\n"
    yield "".join(traceback.format_list(_frames(error))).rstrip("\n")
    kind = type(error)
    words = f": {error}" if kind in SAFE_WORDS else " (its own words are left out: they may hold a name or a note)"
    yield f"{kind.__module__}.{kind.__qualname__}{words}"
    if isinstance(error, BaseExceptionGroup):
        for n, part in enumerate(error.exceptions, 1):
            yield f"\npart {n}:\n"
            yield from _report(part, told)


def _frames(error: BaseException) -> list[traceback.FrameSummary]:
    """Where it was, without variables, files named from their package on (a home folder is a name as well)."""
    found = traceback.extract_tb(error.__traceback__)
    return [traceback.FrameSummary(_from_package(f.filename), f.lineno, f.name, line=f.line) for f in found]


def _from_package(filename: str) -> str:
    parts = Path(filename).parts
    for at in range(len(parts) - 2, -1, -1):
        if parts[at] in ("site-packages", "floor", "tests"):
            return "/".join(parts[at + (parts[at] == "site-packages") :])
    return parts[-1] if parts else filename


def write_report(report: str, folder: Path | None = None) -> Path | None:
    """Write the report to a new file only this user can read, in `folder` (made when missing) or the temp folder.

    Returns the file, or None when it can't be written.
    """
    try:
        if folder is not None:
            folder.mkdir(mode=0o700, parents=True, exist_ok=True)
        handle, name = tempfile.mkstemp(prefix="floor-crash-", suffix=".txt", dir=folder)
        with os.fdopen(handle, "w", encoding="utf-8") as file:
            file.write(report + "\n")
    except OSError:
        return None
    return Path(name)


def crash_words(error: BaseException, file: Path | None) -> str:
    """What is printed after a crash: what kind of error, where in the code, and where the rest is."""
    if isinstance(error, WorkerFailed):
        error = error.error
    frames = _frames(error)
    ours = [f for f in frames if f.filename.startswith("floor/")] or frames
    where = f" in {ours[-1].filename}, line {ours[-1].lineno}" if ours else ""
    rest = f"Where it happened is in {file}; it holds no names and no notes." if file else plain_report(error)
    return (
        f"floor stopped: an error of its own ({type(error).__name__}{where}).\n"
        "Everything acknowledged on screen is in the gym file; start floor again to go on.\n" + rest
    )


if TYPE_CHECKING:
    _App = App[None]
else:
    _App = object


class CrashGuard(_App):
    """Mixin before `App`: an unhandled exception ends the app with `crash_words`, never with local variables.

    `crash_folder` is where the report's file goes (None: the temp folder).
    `crash_file` is that file after a crash. `return_code` is 1.
    """

    crash_folder: Path | None = None
    crash_file: Path | None = None
    _crashed = False

    def _handle_exception(self, error: Exception) -> None:
        self._return_code = 1
        if self._exception is None:
            self._exception = error
            self._exception_event.set()
        self._end_with(error)

    def _fatal_error(self) -> None:
        error = sys.exc_info()[1]
        self._end_with(error if error is not None else RuntimeError())

    def panic(self, *renderables: Any) -> None:
        """End the app; only plain words are printed, for a traceback made elsewhere may quote people's data."""
        words = [r for r in renderables if isinstance(r, str)]
        if words:
            super().panic(*words)
        else:
            self._end_with(RuntimeError())

    def _end_with(self, error: BaseException) -> None:
        """The first crash is the one that is told; what follows from it is not."""
        if not self._crashed:
            self._crashed = True
            self.crash_file = write_report(plain_report(error), self.crash_folder)
            from rich.text import Text

            super().panic(Text(crash_words(error, self.crash_file)))
        else:
            self._close_messages_no_wait()


# --- a terminal too small


def too_small(size: Size) -> bool:
    """True for a terminal below WIDTH columns or HEIGHT rows."""
    return size.width < WIDTH or size.height < HEIGHT


def small_words(size: Size) -> str:
    """What it needs and what it has."""
    return f"terminal too small: needs {WIDTH}x{HEIGHT}, has {size.width}x{size.height}"


class TooSmall(ModalScreen[None]):
    """Over everything while the terminal is too small; goes by itself. No key of the evening acts behind it."""

    CSS_PATH = "guards.tcss"
    BINDINGS: ClassVar[list[BindingType]] = [Binding("ctrl+q", "app.quit", show=False)]

    def compose(self) -> ComposeResult:
        """One sentence, and the way out."""
        yield Static(id="small-words", markup=False)

    def on_mount(self) -> None:
        """Say the size there is."""
        self._look(self.app.size)

    def on_resize(self, event: events.Resize) -> None:
        """Say the new size, or go."""
        self._look(event.size)

    def on_screen_resume(self) -> None:
        """Back on top after something covered it."""
        self._look(self.app.size)

    def _look(self, size: Size) -> None:
        if not too_small(size):
            if self.app.screen is self:
                self.dismiss()
            return
        words = f"{small_words(size)}\nMake the window larger, or the letters smaller.\nCtrl+Q leaves; nothing is lost."
        self.query_one("#small-words", Static).update(words)


class SizeGuard(_App):
    """Mixin before `App`: shows `TooSmall` on top while the terminal is below 80x24, from the start on."""

    def on_resize(self, event: events.Resize) -> None:
        """After every change of size, once the screens that open now are there."""
        if too_small(event.size):
            self.call_later(self._cover)

    def _cover(self) -> None:
        if too_small(self.size) and not any(isinstance(screen, TooSmall) for screen in self.screen_stack[-1:]):
            self.push_screen(TooSmall())
