"""The child process that answers one typed question: `python -m floor.journal.question SNAPSHOT`.

It reads one JSON request, {"sql", "limit", "seconds", "keep"}, a line of its
input, and sends one message: {"columns", "rows", "more", ...} or {"error",
"place"}. Asked to keep the answer it stays, the database closed, and sends
further pages, {"first", "count", "sort", "descending"}, or the whole answer as
a file's bytes, {"save", ...}, until its input ends. It has only a snapshot to
lose. Before anything large is loaded it limits its own memory, its time and the
files it may write; then it takes exactly one SELECT, in a read-only
transaction, with files and settings out of reach.
"""

from __future__ import annotations

import json
import math
import os
import sys
import threading
from contextlib import suppress
from datetime import date, time, timedelta
from decimal import Decimal
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Any

from floor.journal import frames
from floor.journal.held import Held
from floor.journal.parts import KEPT, coach_views
from floor.journal.quoting import literal
from floor.journal.refusing import BEHIND, NO_TEXT, TOO_MUCH, first_word, refusal, too_long

if TYPE_CHECKING:
    import duckdb

MEMORY = 1 << 30
"""Bytes of address space the child may have while it asks; starting takes most of it."""

MEMORY_AFTER = 3 << 29
"""The same once the database is closed: writing an answer as a file needs a library of its own."""

CELLS = 2_000_000
"""Cells of a kept answer, beyond which rows are left off."""

TEXT = 32_000_000
"""Characters of an answer, beyond which rows are left off."""

STACK = 256 << 10
"""Bytes of stack of the thread that keeps the time: the usual eight megabytes count as taken."""

_SIMPLE = (type(None), bool, int, float, str, bytes, Decimal, date, time, timedelta)
"""Values kept as they are, datetimes among the dates."""

_NESTED = (list, tuple, dict)
"""Values kept for their order; they take several times the room of their words. Any other is kept as its words."""


def limit_process(seconds: float) -> None:
    """Bound memory, processor time and file writing, where the system can."""
    try:
        import resource
    except ImportError:  # no such limits on this system; DuckDB's own still hold
        return
    cpu = math.ceil(seconds) * 2 + 60
    for what, now, most in (
        (resource.RLIMIT_AS, MEMORY, MEMORY_AFTER),
        (resource.RLIMIT_CPU, cpu, cpu),
        (resource.RLIMIT_FSIZE, 0, 0),
        (resource.RLIMIT_CORE, 0, 0),
    ):
        with suppress(ValueError, OSError):  # this system knows the limit but will not set it
            resource.setrlimit(what, (now, most))


def ease_memory() -> None:
    """The larger bound, for when no question runs any more."""
    with suppress(ImportError, ValueError, OSError):
        import resource

        resource.setrlimit(resource.RLIMIT_AS, (MEMORY_AFTER, MEMORY_AFTER))


def connect(snapshot: Path, seconds: float) -> duckdb.DuckDBPyConnection:
    """Open the snapshot for reading, with the kept copy it needs, and lock every door that can be locked."""
    import duckdb

    config: dict[str, str | bool | int | float | list[str]] = {
        "threads": 2, "memory_limit": "256MB", "temp_directory": "", "python_enable_replacements": False,
    }  # fmt: skip
    beside = snapshot.with_suffix(KEPT)
    if not beside.exists():
        connection = duckdb.connect(str(snapshot), read_only=True, config=config)
    else:
        words = json.loads(beside.read_text(encoding="utf-8"))
        connection = duckdb.connect(":memory:", config=config)
        for name, file in (("kept", words["kept"]), ("fresh", str(snapshot))):
            connection.execute(f"ATTACH {literal(file)} AS {name} (READ_ONLY)")
        connection.execute("SET TimeZone = 'UTC'")
        names = {(lift, fault): name for lift, fault, name in words["names"]}
        for view, query in coach_views(words["touched"], names).items():
            connection.execute(f'CREATE VIEW "{view}" AS {query}')
    for setting in (
        "TimeZone = 'UTC'",
        f"max_execution_time = {max(1, int(seconds * 1000))}",
        "errors_as_json = true",
        "enable_external_access = false",
        "lock_configuration = true",
    ):
        connection.execute(f"SET GLOBAL {setting}")
    return connection


def ask(connection: duckdb.DuckDBPyConnection, sql: str, limit: int, seconds: float) -> Held | dict[str, Any]:
    """The answer to one question, or the refusal as it goes over the pipe."""
    import duckdb

    from floor.journal.gate import reaches_behind

    try:
        sql.encode()
    except UnicodeEncodeError:
        return {"error": NO_TEXT, "place": None}
    try:
        kinds = [str(statement.type).rpartition(".")[2] for statement in connection.extract_statements(sql)]
    except duckdb.Error as error:
        return refusal(error, sql, seconds)
    except ValueError:  # a kind of statement the library has no name for
        return {"error": f"Only a SELECT can be asked here; this is {first_word(sql)}.", "place": None}
    if not kinds:
        return {"error": "There is no question here.", "place": None}
    if len(kinds) > 1:
        return {"error": f"Ask one question at a time; this is {len(kinds)}.", "place": None}
    if kinds[0] != "SELECT":
        return {"error": f"Only a SELECT can be asked here; this is {first_word(sql)}.", "place": None}
    cursor = connection.cursor()
    try:
        if reaches_behind(cursor, sql):
            return {"error": BEHIND, "place": None}
        cursor.execute("BEGIN TRANSACTION READ ONLY")
        cursor.execute(sql)
        return collect(cursor, limit)
    except MemoryError:
        return {"error": TOO_MUCH, "place": None}
    except duckdb.Error as error:
        return refusal(error, sql, seconds)
    finally:
        with suppress(duckdb.Error):  # the transaction may have ended with the error; the process ends next
            cursor.execute("ROLLBACK")
        cursor.close()


def collect(cursor: duckdb.DuckDBPyConnection, limit: int) -> Held:
    """Fetch at most `limit` rows, and no more of them than an answer may have."""
    held = Held([{"name": str(name), "type": str(kind)} for name, kind, *_ in cursor.description or ()], [])
    wide = max(1, len(held.columns))
    most = min(limit, max(1, CELLS // wide))
    size = 0
    while True:
        chunk = cursor.fetchmany(max(1, min(1000, 50_000 // wide, most + 1 - len(held.rows))))
        if not chunk:
            return held
        for row in chunk:
            if len(held.rows) == most or size > TEXT:
                held.more = True
                return held
            held.rows.append(tuple(v if isinstance(v, _SIMPLE + _NESTED) else str(v) for v in row))
            size += sum(map(_size, held.rows[-1]))


def _size(value: Any) -> int:
    """Characters a value counts for."""
    if isinstance(value, _NESTED):
        return 4 * len(str(value))
    return len(value) if isinstance(value, str | bytes) else 0


class Voice:
    """What the parent hears: one message at a time, and a sentence with the end when time runs out.

    One thread keeps the time of every wish: a thread each would take up the address
    space that an answer and its file need.
    """

    def __init__(self) -> None:
        self._told = threading.Condition()
        self._turn = 0
        self._wished: tuple[float, str] | None = None
        watching = threading.Thread(target=self._keep_time, name="time", daemon=True)
        before = threading.stack_size(STACK)
        with suppress(RuntimeError):  # no room for it: the parent has a limit of its own
            watching.start()
        threading.stack_size(before)

    def watch(self, seconds: float, sentence: str) -> None:
        """End the process with `sentence` unless something is said within so many seconds."""
        with self._told:
            self._wished = seconds, sentence
            self._told.notify()

    def _keep_time(self) -> None:
        with self._told:
            while True:
                self._told.wait_for(lambda: self._wished is not None)
                assert self._wished is not None
                (seconds, sentence), turn = self._wished, self._turn
                if not self._told.wait_for(partial(self._answered, turn), seconds):
                    self._send(frames.WORDS, json.dumps({"error": sentence, "place": None}).encode())
                    os._exit(0)

    def _answered(self, turn: int) -> bool:
        return self._turn != turn

    def _speak(self, kind: bytes, data: bytes) -> None:
        with self._told:
            self._turn += 1
            self._wished = None
            self._told.notify()
            self._send(kind, data)

    def say(self, words: dict[str, Any]) -> None:
        """Send a message; what was watched has been answered."""
        self._speak(frames.WORDS, json.dumps(words).encode())

    def piece(self, data: bytes) -> None:
        """Send a piece of a file."""
        self._speak(frames.PIECE, data)

    def _send(self, kind: bytes, data: bytes) -> None:
        try:
            frames.send(partial(os.write, 1), kind, data)
        except BrokenPipeError:
            os._exit(1)  # nobody is waiting any more


def serve(held: Held, voice: Voice, seconds: float) -> None:
    """Send further pages, or the answer as a file, until the parent asks no more."""
    ease_memory()
    for line in sys.stdin.buffer:
        wish = json.loads(line)
        order = {"sort": wish.get("sort"), "descending": bool(wish.get("descending"))}
        voice.watch(seconds, too_long(seconds))
        try:
            if "save" in wish:
                rows, told = held.save(str(wish["save"]), voice.piece, **order)
                voice.say({"saved": rows, "told": told})
            else:
                voice.say(held.page(int(wish["first"]), int(wish["count"]), **order))
        except MemoryError:
            voice.say({"error": TOO_MUCH, "place": None})
        except (ValueError, OverflowError, TypeError) as error:
            voice.say({"error": f"That can't be saved: {error}", "place": None})


def main() -> None:
    """Answer the request on the standard input, and stay for more of it when asked to."""
    request = json.loads(sys.stdin.buffer.readline())
    seconds, limit, keep = float(request["seconds"]), int(request["limit"]), bool(request.get("keep"))
    voice = Voice()
    limit_process(seconds)
    voice.watch(seconds + 0.5, too_long(seconds))
    try:
        connection = connect(Path(sys.argv[1]), seconds)
        held = ask(connection, str(request["sql"]), CELLS if keep else limit, seconds)
        words = held.page(0, limit) if isinstance(held, Held) else held
    except MemoryError:
        held = words = {"error": TOO_MUCH, "place": None}
    if keep and isinstance(held, Held):
        connection.close()
        voice.say(words)
        serve(held, voice, seconds)
    else:
        voice.say(words)
    os._exit(0)


if __name__ == "__main__":
    main()
