"""What opening needs to lose nothing: copies from before a crash, checks, and putting back from the tail."""

from __future__ import annotations

import re
import shutil
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from zoneinfo import ZoneInfo

import duckdb

from floor.core.apply.brought import BROUGHT
from floor.core.events import check
from floor.journal.definitions import UNDONE, by_command, insert_definitions
from floor.journal.errors import GymDamaged
from floor.journal.people import add_nameless, noted_by_command
from floor.journal.rows import COLUMNS, Head, Row, insert_rows, link, row_from
from floor.journal.tail import Line, lines_of

COPIES = 3
"""How many copies from before a crash are kept."""


@dataclass(frozen=True, slots=True)
class Missing:
    """Commands the tail has and the gym file had not.

    `count` commands, the first of them at `first_happened`, with events of
    these `kinds`. `restored`: they have been put back. `unnamed` are lifters
    whose name or notes were written with one of them; those can't come back.
    """

    count: int
    first_happened: datetime
    kinds: tuple[str, ...]
    restored: bool
    unnamed: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True)
class OpeningReport:
    """What opening found. `words` is a sentence for the screen, empty when there is nothing to tell."""

    missing: Missing | None = None
    kept_copy: Path | None = None
    words: str = ""


def copy_aside(path: Path) -> Path | None:
    """Copy a gym file that was not closed, and its log, to `<gym>.before-crash-N`; None when it was closed.

    Opening consumes the log, so this comes first.
    """
    log = path.with_name(path.name + ".wal")
    if not log.exists() or log.stat().st_size == 0:
        return None
    numbers = [int(p.name.rpartition("-")[2]) for p in _copies(path)]
    copy = path.with_name(f"{path.name}.before-crash-{max(numbers, default=0) + 1}")
    if path.exists():
        try:
            shutil.copy2(path, copy)
            shutil.copy2(log, copy.with_name(copy.name + ".wal"))
        except OSError:
            drop_copy(copy)
            raise
    else:
        log.replace(copy.with_name(copy.name + ".wal"))
    return copy


def _copies(path: Path) -> list[Path]:
    """The copies from before a crash, oldest first, without their logs."""
    pattern = re.compile(re.escape(path.name) + r"\.before-crash-(\d+)(\.wal)?$")
    found = {p.with_name(p.name.removesuffix(".wal")) for p in path.parent.iterdir() if pattern.match(p.name)}
    return sorted(found, key=lambda p: int(p.name.rpartition("-")[2]))


def drop_copies(path: Path, keep: int = COPIES) -> None:
    """Delete all but the latest `keep` copies from before a crash."""
    for copy in _copies(path)[: -keep or None]:
        drop_copy(copy)


def drop_copy(copy: Path) -> None:
    """Delete one copy and its log."""
    copy.unlink(missing_ok=True)
    copy.with_name(copy.name + ".wal").unlink(missing_ok=True)


def boundary(connection: duckdb.DuckDBPyConnection) -> int:
    """The command of the latest opening of a session that stands; 0 when there was none.

    Days of the past that were brought in from elsewhere open no evening.
    """
    rows = connection.execute(
        f"SELECT max(cmd) FROM event WHERE kind = 'session_opened' AND \"rule\" IS DISTINCT FROM '{BROUGHT}' "
        f"AND cmd NOT IN ({UNDONE})"
    ).fetchall()
    return int(rows[0][0] or 0)


def proved_from(connection: duckdb.DuckDBPyConnection) -> int:
    """The command from which the chain is checked and the second copy kept.

    The latest evening's opening, or what follows a history brought in after it:
    that is whole in the gym file itself, and may be a hundred thousand rows.
    """
    rows = connection.execute("SELECT coalesce(max(cmd), -1) FROM event WHERE kind = 'history_brought'").fetchall()
    return max(boundary(connection), int(rows[0][0]) + 1)


def running_rows(connection: duckdb.DuckDBPyConnection, first: int) -> list[Row]:
    """All rows, standing or not, of the commands from `first` on."""
    rows = connection.execute(f"SELECT {COLUMNS} FROM event WHERE cmd >= ? ORDER BY seq", [first]).fetchall()
    return [row_from(cells) for cells in rows]


def head_before(connection: duckdb.DuckDBPyConnection, first: int) -> Head:
    """Where the record stood before command `first`."""
    rows = connection.execute(
        "SELECT seq, cmd, chain FROM event WHERE seq = (SELECT max(seq) FROM event WHERE cmd < ?)", [first]
    ).fetchall()
    return Head(*rows[0]) if rows else Head()


def verify(
    connection: duckdb.DuckDBPyConnection, path: Path, first: int, rows: Sequence[Row], kept: Path | None
) -> None:
    """Raise GymDamaged when a number is missing anywhere or the chain breaks from command `first` on."""
    if not _as_written(connection):
        numbers = connection.execute(
            "SELECT count(*), count(DISTINCT seq), coalesce(min(seq), 1), coalesce(max(seq), 0) FROM event"
        ).fetchall()[0]
        if numbers != (numbers[3], numbers[3], 1, numbers[3]):
            raise GymDamaged(path, f"it should hold {numbers[3]} events and holds {numbers[0]}", kept)
    before = head_before(connection, first)
    chain = before.chain
    for row in rows:
        chain = link(chain, row.seq, row.cmd, row.event)
        if chain != row.chain:
            raise GymDamaged(path, f"event {row.seq} is not what was written", kept)


def _as_written(connection: duckdb.DuckDBPyConnection) -> bool:
    """Whether the rows stand in the file as 1, 2, 3 to the last: seen in one pass that keeps nothing in memory."""
    rows = connection.execute(
        "SELECT count(*) FILTER (seq <> no) FROM (SELECT seq, row_number() OVER () AS no FROM event)"
    ).fetchall()
    return bool(rows[0][0] == 0)


def session_lines(connection: duckdb.DuckDBPyConnection, first: int, rows: Sequence[Row]) -> list[Line]:
    """The running session as the lines its tail should have."""
    noted = noted_by_command(connection, first)
    lines = lines_of(head_before(connection, first), rows, by_command(connection, first))
    return [
        Line(line.before, line.after, line.rows, line.definitions, people_of(line.rows, noted.get(line.after.cmd, ())))
        for line in lines
    ]


def people_of(rows: Sequence[Row], noted: Sequence[int]) -> tuple[int, ...]:
    """The lifters whose name or notes came with these rows."""
    joined = [row.event.lifter for row in rows if row.event.kind == "lifter_joined" and row.event.lifter is not None]
    return tuple(sorted({*joined, *noted}))


def absent(connection: duckdb.DuckDBPyConnection, lines: Sequence[Line]) -> list[Line]:
    """The tail's lines that the gym file does not hold as they were written."""
    if not lines:
        return []
    rows = connection.execute("SELECT seq, chain FROM event WHERE seq > ?", [lines[0].before.seq]).fetchall()
    held = dict(rows)
    return [line for line in lines if held.get(line.after.seq) != line.after.chain]


def restore(connection: duckdb.DuckDBPyConnection, lines: Sequence[Line]) -> tuple[int, ...]:
    """Put the lines' commands back, within the caller's transaction; returns lifters whose words are lost."""
    unnamed: set[int] = set()
    joined: list[int] = []
    for line in lines:
        for event in line.events:
            check(event)
            if event.kind == "lifter_joined" and event.lifter is not None:
                joined.append(event.lifter)
        insert_rows(connection, line.rows)
        insert_definitions(connection, line.definitions)
        unnamed.update(line.people)
    add_nameless(connection, joined)
    return tuple(sorted(unnamed))


def keep_aside(tail: Path) -> Path:
    """Rename a tail that can't be used to the next free `<tail>.kept-N`."""
    number = 1
    while (kept := tail.with_name(f"{tail.name}.kept-{number}")).exists():
        number += 1
    tail.replace(kept)
    return kept


def describe(lines: Sequence[Line], restored: bool, unnamed: tuple[int, ...] = ()) -> Missing:
    """The lines as a report."""
    kinds = tuple(dict.fromkeys(event.kind for line in lines for event in line.events))
    return Missing(len(lines), lines[0].events[0].happened, kinds, restored, unnamed)


def sentence(missing: Missing | None, kept: Path | None, zone: str, bad_log: Path | None = None) -> str:
    """What the coach is told, in the gym's own time."""
    if bad_log is not None:
        rest = sentence(missing, kept, zone)
        return f"The log of the gym file was damaged and is kept as {bad_log.name}.{' ' + rest if rest else ''}"
    if missing is None:
        if kept is None:
            return ""
        return f"The second copy of the evening was damaged; it is kept as {kept.name}. The gym file itself is whole."
    when = missing.first_happened.astimezone(ZoneInfo(zone)).strftime("%H:%M on %d %B").replace(" 0", " ")
    what = ", ".join(kind.replace("_", " ") for kind in missing.kinds)
    one = missing.count == 1
    entries = "1 entry" if one else f"{missing.count} entries"
    words = f"{entries} from {when} {'was' if one else 'were'} missing from the gym file"
    if not missing.restored:
        where = f" {'It is' if one else 'They are'} kept in {kept.name}." if kept is not None else ""
        return f"{words} and can't be put back.{where} ({what})"
    words += f" and {'has' if one else 'have'} been put back from the second copy."
    if missing.unnamed:
        numbers = ", ".join(str(number) for number in missing.unnamed)
        words += f" A name or note written then is lost for lifter number {numbers}."
    return f"{words} ({what})"
