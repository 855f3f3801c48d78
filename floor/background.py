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
from dataclasses import dataclass
from pathlib import Path
from typing import Any

Cell = str | int | float | bool | None


@dataclass(frozen=True, slots=True)
class Column:
    """A column of an answer: its name and DuckDB's word for its type."""

    name: str
    type: str


@dataclass(frozen=True, slots=True)
class Table:
    """An answer. `more` says that there are rows beyond the limit."""

    columns: tuple[Column, ...]
    rows: tuple[tuple[Cell, ...], ...]
    more: bool


@dataclass(frozen=True, slots=True)
class Refused:
    """No answer, and why in one sentence; `place` is the character of the question it is about, or None."""

    sentence: str
    place: int | None = None


@dataclass(frozen=True, slots=True)
class Stopped:
    """The question was stopped before it was answered."""


Answer = Table | Refused | Stopped

DIED = Refused("That question took more than it may and was ended; ask for less.")


class Question:
    """One question on its way. Made by `start`; the caller is never held up by it."""

    def __init__(self, process: subprocess.Popen[bytes], request: bytes) -> None:
        self._process = process
        self._lock = threading.Lock()
        self._answered = threading.Event()
        self._answer: Answer | None = None
        threading.Thread(target=self._listen, args=(request,), name="question", daemon=True).start()

    @classmethod
    def start(cls, snapshot: Path, sql: str, limit: int = 1000, seconds: float = 10) -> Question:
        """Ask `sql` of a snapshot: at most `limit` rows, at most `seconds` seconds."""
        folder = str(Path(__file__).resolve().parent.parent)
        process = subprocess.Popen(
            [sys.executable, "-P", "-m", "floor.journal.question", str(snapshot)],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.DEVNULL,  # a traceback could hold people's data
            env={**os.environ, "PYTHONPATH": folder},
            start_new_session=True,
        )
        return cls(process, json.dumps({"sql": sql, "limit": limit, "seconds": seconds}).encode())

    def _listen(self, request: bytes) -> None:
        try:
            output, _ = self._process.communicate(request)
        except (OSError, ValueError):
            output = b""
        self._settle(understand(output))

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
        if self._process.poll() is not None:
            return
        try:
            if os.name == "posix":
                os.killpg(self._process.pid, signal.SIGKILL)
            else:
                self._process.kill()
        except ProcessLookupError:
            pass  # it ended by itself in between


def understand(output: bytes) -> Answer:
    """What the child wrote, as an answer; a child that died without a word is a refusal."""
    try:
        words: dict[str, Any] = json.loads(output)
    except ValueError:
        return DIED
    if "error" in words:
        return Refused(words["error"], words["place"])
    columns = tuple(Column(column["name"], column["type"]) for column in words["columns"])
    return Table(columns, tuple(tuple(row) for row in words["rows"]), words["more"])
