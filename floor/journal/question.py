"""The child process that answers one typed question: `python -m floor.journal.question SNAPSHOT`.

It reads one JSON request, {"sql", "limit", "seconds"}, from its input and
writes one JSON line: {"columns", "rows", "more"} or {"error", "place"}. It has
only a snapshot to lose. Before anything large is loaded it limits its own
memory, its time and the files it may write; then it takes exactly one SELECT,
in a read-only transaction, with files and settings out of reach.
"""

from __future__ import annotations

import json
import math
import os
import re
import sys
import threading
from collections.abc import Callable
from contextlib import suppress
from datetime import date, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    import duckdb

MEMORY = 1 << 30
"""Bytes of address space the child may have; starting takes about half of it."""

CELL = 4_000
"""Characters of one value that are shown."""

ANSWER = 4_000_000
"""Characters of a whole answer, beyond which rows are left off."""

TOO_MUCH = "That needs more memory than a question may use; ask for less."
FILES = "A question can't reach files, settings or other databases."
READ_ONLY = "A question can only read."


def limit_process(seconds: float) -> None:
    """Bound memory, processor time and file writing, where the system can."""
    try:
        import resource
    except ImportError:  # no such limits on this system; DuckDB's own still hold
        return
    cpu = math.ceil(seconds) * 2 + 5
    for what, most in (
        (resource.RLIMIT_AS, MEMORY),
        (resource.RLIMIT_CPU, cpu),
        (resource.RLIMIT_FSIZE, 0),
        (resource.RLIMIT_CORE, 0),
    ):
        try:
            resource.setrlimit(what, (most, most))
        except (ValueError, OSError):
            continue  # this system knows the limit but will not set it


def connect(snapshot: Path, seconds: float) -> duckdb.DuckDBPyConnection:
    """Open the snapshot for reading and lock every door that can be locked."""
    import duckdb

    connection = duckdb.connect(
        str(snapshot),
        read_only=True,
        config={"threads": 2, "memory_limit": "256MB", "temp_directory": "", "python_enable_replacements": False},
    )
    for setting in (
        "TimeZone = 'UTC'",
        f"max_execution_time = {max(1, int(seconds * 1000))}",
        "errors_as_json = true",
        "enable_external_access = false",
        "lock_configuration = true",
    ):
        connection.execute(f"SET GLOBAL {setting}")
    return connection


def ask(connection: duckdb.DuckDBPyConnection, sql: str, limit: int, seconds: float) -> dict[str, Any]:
    """The answer to one question, or the refusal, as it goes over the pipe."""
    import duckdb

    try:
        kinds = [str(statement.type).rpartition(".")[2] for statement in connection.extract_statements(sql)]
    except duckdb.Error as error:
        return refusal(error, sql, seconds)
    except ValueError:  # a kind of statement the library has no name for
        return {"error": f"Only a SELECT can be asked here; this is {_first_word(sql)}.", "place": None}
    if not kinds:
        return {"error": "There is no question here.", "place": None}
    if len(kinds) > 1:
        return {"error": f"Ask one question at a time; this is {len(kinds)}.", "place": None}
    if kinds[0] != "SELECT":
        return {"error": f"Only a SELECT can be asked here; this is {_first_word(sql)}.", "place": None}
    cursor = connection.cursor()
    try:
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


def collect(cursor: duckdb.DuckDBPyConnection, limit: int) -> dict[str, Any]:
    """Fetch at most `limit` rows, and no more text than an answer may have."""
    columns = [{"name": str(name), "type": str(kind)} for name, kind, *_ in cursor.description or ()]
    rows: list[list[Any]] = []
    size = 0
    while True:
        chunk = cursor.fetchmany(min(100, limit + 1 - len(rows)))
        if not chunk:
            return {"columns": columns, "rows": rows, "more": False}
        for row in chunk:
            if len(rows) == limit:
                return {"columns": columns, "rows": rows, "more": True}
            cells = [cell(value) for value in row]
            size += sum(len(c) if isinstance(c, str) else 8 for c in cells)
            if size > ANSWER:
                return {"columns": columns, "rows": rows, "more": True}
            rows.append(cells)


def cell(value: Any) -> Any:
    """A value JSON has, or its words."""
    if value is None or isinstance(value, bool):
        return value
    if isinstance(value, int) and abs(value) < 1 << 53:
        return value
    if isinstance(value, float) and math.isfinite(value):
        return value
    if isinstance(value, datetime):
        text = value.isoformat(sep=" ")
    elif isinstance(value, date):
        text = value.isoformat()
    else:
        text = str(value)
    return text if len(text) <= CELL else text[:CELL] + "…"


def refusal(error: Exception, sql: str, seconds: float) -> dict[str, Any]:
    """A database error as one sentence, and the character it points at."""
    text = str(error)
    message, place = text, None
    found = re.search(r"\{.*\}", text, re.DOTALL)
    if found:
        try:
            told = json.loads(found[0])
            message = str(told.get("exception_message", text))
            if str(told.get("position", "")).isdigit():
                place = _characters(sql, int(told["position"]))
        except ValueError:
            message = text
    kind = type(error).__name__
    if kind == "OutOfMemoryException" or "bad allocation" in text or "Out of Memory" in text:
        return {"error": TOO_MUCH, "place": None}
    if kind == "InterruptException" or "max_execution_time" in text:
        return {"error": too_long(seconds), "place": None}
    if kind == "PermissionException" or "configuration has been locked" in text:
        return {"error": FILES, "place": place}
    if "read-only" in text or "READ ONLY" in text:
        return {"error": READ_ONLY, "place": None}
    lines = [line.strip() for line in message.split("\n\nLINE ")[0].splitlines() if line.strip()]
    sentence = re.sub(r"^[A-Z][A-Za-z ]* Error: ", "", " ".join(lines))[:400]
    if not sentence:
        sentence = "That can't be answered"
    sentence = sentence[0].upper() + sentence[1:]
    return {"error": sentence if sentence[-1] in ".!?" else sentence + ".", "place": place}


def _first_word(sql: str) -> str:
    """The word a statement begins with, comments passed over."""
    found = re.search(r"[A-Za-z]+", re.sub(r"--[^\n]*|/\*.*?\*/", " ", sql, flags=re.DOTALL))
    return found[0].upper() if found else "something else"


def _characters(sql: str, offset: int) -> int:
    """The parser counts bytes; a cursor counts characters."""
    return len(sql.encode()[:offset].decode(errors="ignore"))


def too_long(seconds: float) -> str:
    """The sentence for a question that ran out of time."""
    return f"That took longer than {seconds:g} seconds and was stopped."


def answer_once() -> Callable[[dict[str, Any]], None]:
    """A function that writes the first answer it is given and ends the process."""
    lock = threading.Lock()

    def answer(words: dict[str, Any]) -> None:
        with lock:
            data = json.dumps(words).encode() + b"\n"
            try:
                while data:
                    data = data[os.write(1, data) :]
            except BrokenPipeError:
                os._exit(1)  # nobody is waiting any more
            os._exit(0)

    return answer


def main() -> None:
    """Answer the request on the standard input."""
    request = json.loads(sys.stdin.buffer.read())
    seconds = float(request["seconds"])
    limit_process(seconds)
    answer = answer_once()
    watch = threading.Timer(seconds + 0.5, answer, [{"error": too_long(seconds), "place": None}])
    watch.daemon = True
    watch.start()
    try:
        words = ask(connect(Path(sys.argv[1]), seconds), str(request["sql"]), int(request["limit"]), seconds)
    except MemoryError:
        words = {"error": TOO_MUCH, "place": None}
    answer(words)


if __name__ == "__main__":
    main()
