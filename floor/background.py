"""Child processes: work that must not hold up a key.

A question runs in a process of its own, on a snapshot, because a busy thread
makes every key slower and because nothing inside one process can stop a query
for certain. Stopping is killing.
"""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
import threading
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path
from typing import IO, Any

from floor.journal import frames
from floor.journal.refusing import too_long

Cell = str | int | float | bool | None


@dataclass(frozen=True, slots=True)
class Column:
    """A column of an answer: its name and DuckDB's word for its type."""

    name: str
    type: str


@dataclass(frozen=True, slots=True)
class Table:
    """An answer, or a page of it.

    `more` says that there are rows beyond the limit. `first` is the number of
    the first row here, from 0, `total` how many the child holds, `wide` how
    many columns it holds.
    """

    columns: tuple[Column, ...]
    rows: tuple[tuple[Cell, ...], ...]
    more: bool
    first: int = 0
    total: int = 0
    wide: int = 0


@dataclass(frozen=True, slots=True)
class Refused:
    """No answer, and why in one sentence; `place` is the character of the question it is about, or None."""

    sentence: str
    place: int | None = None


@dataclass(frozen=True, slots=True)
class Saved:
    """The whole answer went out as a file of so many rows; `told` is a sentence about them, or ""."""

    rows: int
    told: str = ""


@dataclass(frozen=True, slots=True)
class Stopped:
    """The question was stopped before it was answered."""


Answer = Table | Refused | Stopped

GRACE = 5.0
"""Seconds a child may be late with its answer before it is ended from here: it may be too busy to look at its time."""

DIED = Refused("That question took more than it may and was ended; ask for less.")


class Question:
    """One question on its way. Made by `start`; the caller is never held up by it."""

    def __init__(
        self, process: subprocess.Popen[bytes], request: bytes, keep: bool = False, seconds: float = 10
    ) -> None:
        self._process = process
        self._keep = keep
        self._seconds = seconds
        self._lock = threading.Lock()
        self._pipe = threading.Lock()
        self._answered = threading.Event()
        self._answer: Answer | None = None
        threading.Thread(target=self._listen, args=(request,), name="question", daemon=True).start()

    @classmethod
    def start(
        cls, snapshot: Path, sql: str, limit: int = 1000, seconds: float = 10, keep: bool = False
    ) -> Question:
        """Ask `sql` of a snapshot: at most `limit` rows, at most `seconds` seconds.

        With `keep` the child holds the answer, as large as it may be, until
        `stop`: `limit` rows are a page, `page` gives the others, `save` all.
        """
        folder = str(Path(__file__).resolve().parent.parent)
        process = subprocess.Popen(
            [sys.executable, "-P", "-m", "floor.journal.question", str(snapshot)],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.DEVNULL,  # a traceback could hold people's data
            env={**os.environ, "PYTHONPATH": folder, "MALLOC_ARENA_MAX": "2"},  # each more reserves address space
            start_new_session=True,
        )
        request = {"sql": sql, "limit": limit, "seconds": seconds, "keep": keep}
        return cls(process, json.dumps(request).encode(), keep, seconds)

    def _listen(self, request: bytes) -> None:
        with self._pipe:
            answer = self._in_time(request)
            self._settle(answer)
        if not self._keep or not isinstance(answer, Table):
            self._hang_up()
        else:
            self._let_go()

    def _exchange(self, request: bytes, write: Callable[[bytes], object]) -> Answer | Saved:
        """Send one request and read what comes of it; pieces of a file go to `write`, whose errors are raised."""
        source, sink = self._process.stdout, self._process.stdin
        assert source is not None and sink is not None
        try:
            sink.write(request + b"\n")
            sink.flush()
        except (BrokenPipeError, ValueError):
            return DIED  # the child is gone, or its pipes are
        while (message := _received(source)) is not None:
            if message[0] == frames.WORDS:
                return understand(message[1])
            write(message[1])
        return DIED

    def _in_time(self, request: bytes) -> Answer:
        """The answer to a request; a child that is too late with it is killed."""
        late = threading.Event()

        def end() -> None:
            late.set()
            self._kill()

        timer = threading.Timer(self._seconds + GRACE, end)
        timer.daemon = True
        timer.start()
        try:
            answer = self._exchange(request, _no_pieces)
        except frames.BadFrame:
            answer = DIED
        finally:
            timer.cancel()
        assert not isinstance(answer, Saved)
        return Refused(too_long(self._seconds)) if late.is_set() and answer == DIED else answer

    def _hang_up(self) -> None:
        """Close the pipes, which ends the child, and see it off."""
        for pipe in (self._process.stdin, self._process.stdout):
            if pipe is not None:
                with suppress(BrokenPipeError):
                    pipe.close()
        self._process.wait()

    def _let_go(self) -> None:
        """Close the pipes of a child that is gone; who still reads them does it instead, when done."""
        if self.ended and self._pipe.acquire(blocking=False):
            try:
                self._hang_up()
            finally:
                self._pipe.release()

    def page(self, first: int, count: int, sort: int | None = None, descending: bool = False) -> Answer:
        """Rows of a kept answer from number `first` on, sorted by a column. It waits: call it in a thread."""
        wish = {"first": first, "count": count, "sort": sort, "descending": descending}
        with self._pipe:
            answer = self._in_time(json.dumps(wish).encode())
        self._let_go()
        return answer

    def save(
        self, kind: str, write: Callable[[bytes], object], sort: int | None = None, descending: bool = False
    ) -> Saved | Answer:
        """Give a kept answer to `write` as the bytes of a "csv", "json", "parquet" or "arrow" file.

        Waits for the child: call it in a thread. What `write` raises is raised,
        and the child is stopped then.
        """
        wish = {"save": kind, "sort": sort, "descending": descending}
        try:
            with self._pipe:
                answer = self._exchange(json.dumps(wish).encode(), write)
        except BaseException:
            self.stop()
            raise
        self._let_go()
        return answer

    def _settle(self, answer: Answer) -> None:
        with self._lock:
            if self._answer is None:
                self._answer = answer
        self._answered.set()

    def poll(self) -> Answer | None:
        """The answer if there is one by now."""
        with self._lock:
            return self._answer

    def wait(self, timeout: float | None = None) -> Answer | None:
        """The answer, waiting up to `timeout` seconds for it; None when it has not come."""
        self._answered.wait(timeout)
        return self.poll()

    def stop(self) -> None:
        """Kill the child and all it may have started, at once. An answer that is there already stays."""
        self._settle(Stopped())
        self._kill()
        self._let_go()

    def _kill(self) -> None:
        if self._process.poll() is not None:
            return
        try:
            if os.name == "posix":
                os.killpg(self._process.pid, signal.SIGKILL)
            else:
                self._process.kill()
        except ProcessLookupError:
            pass  # it ended by itself in between
        with suppress(subprocess.TimeoutExpired):
            self._process.wait(0.5)  # milliseconds; it can't refuse

    @property
    def ended(self) -> bool:
        """Whether the child is gone, and with it the pages of a kept answer."""
        return self._process.poll() is not None


def _received(source: IO[bytes]) -> tuple[bytes, bytes] | None:
    """The next message of a child; None when no more comes, or what comes is none."""
    try:
        return frames.receive(source)
    except (ValueError, frames.BadFrame):
        return None


def _no_pieces(data: bytes) -> None:
    raise frames.BadFrame("a piece of a file nobody asked for")


def understand(output: bytes) -> Answer | Saved:
    """What the child wrote, as an answer; a child that died without a word is a refusal."""
    try:
        words: dict[str, Any] = json.loads(output)
    except ValueError:
        return DIED
    if "error" in words:
        return Refused(words["error"], words["place"])
    if "saved" in words:
        return Saved(words["saved"], words["told"])
    columns = tuple(Column(column["name"], column["type"]) for column in words["columns"])
    rows = tuple(tuple(row) for row in words["rows"])
    return Table(columns, rows, words["more"], words["first"], words["total"], words["wide"])
