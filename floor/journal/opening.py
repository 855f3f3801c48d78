"""Opening a gym file: nothing that was acknowledged may be missing without a word.

A log that was cut short opens silently without its last transactions. So the
file and its log are copied aside first, the numbers and the chain of the
running session are checked, and the record is compared with its tail.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import datetime
from pathlib import Path

import duckdb

from floor.core.events import Event
from floor.journal import recovery, views
from floor.journal.database import OWNERS, connect, first_line, read_head, transaction
from floor.journal.definitions import insert_definitions
from floor.journal.errors import GymBusy, GymDamaged, JournalError, NotAGym
from floor.journal.recovery import Missing, OpeningReport
from floor.journal.rows import Head, insert_rows, rows_after
from floor.journal.schema import SCHEMA, bring_up_to_date, create_tables, read_meta, tables, write_meta
from floor.journal.tail import Line, read_tail

__all__ = ["Missing", "OpeningReport", "create", "open_checked", "tail_of"]

Connection = duckdb.DuckDBPyConnection
Maker = Callable[[Connection], None]
Opened = tuple[Connection, OpeningReport, list[Line]]
"""The open file, what was found, and the lines its tail should now have."""


def open_checked(path: Path, make: Maker) -> Opened:
    """Open the file, `make` it when it is new, check it and put back what its tail has more. JournalError."""
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        kept = recovery.copy_aside(path)
    except OSError as error:
        raise NotAGym(path, error.strerror or str(error)) from error
    try:
        connection = connect(path, kept)
    except GymBusy:
        if kept is not None:
            recovery.drop_copy(kept)
        raise
    except GymDamaged:
        opened = _without_log(path, kept) if kept is not None else None
        if opened is None:
            raise
    else:
        opened = _checked(connection, path, kept, make)
    recovery.drop_copies(path)
    return opened


def create(connection: Connection, now: datetime, zone: str, unit: str, templates: Mapping[str, str]) -> None:
    """Make the tables and adopt the templates as command 1, within the caller's transaction."""
    create_tables(connection)
    for key, value in (("schema", str(SCHEMA)), ("unit", unit), ("zone", zone)):
        write_meta(connection, key, value)
    definitions = [(identity, 1, text) for identity, text in templates.items()]
    insert_definitions(connection, definitions)
    events = [
        Event(kind="definition_adopted", happened=now, definition=identity, count=1) for identity in templates
    ]
    rows, _ = rows_after(Head(), events)
    if rows:
        insert_rows(connection, rows)


def tail_of(path: Path) -> Path:
    """The tail beside a gym file."""
    return path.with_name(path.name + ".tail")


def _checked(connection: Connection, path: Path, kept: Path | None, make: Maker) -> Opened:
    """Make what a new file needs, check the rest; closes the connection when it raises."""
    try:
        with transaction(connection):
            if not tables(connection):
                make(connection)
                path.chmod(OWNERS)
            bring_up_to_date(connection, path)
            views.keep(connection)
        return connection, *_compare(connection, path, kept)
    except duckdb.Error as error:
        connection.close()
        raise GymDamaged(path, first_line(error), kept) from error
    except OSError as error:
        connection.close()
        raise NotAGym(path, error.strerror or str(error)) from error
    except BaseException:
        connection.close()
        raise


def _without_log(path: Path, kept: Path) -> Opened | None:
    """Open a file whose log is damaged from the file and the tail alone.

    Only when together they hold every command that was acknowledged: the tail
    follows the file without a gap. Otherwise the log is left where it was.
    """
    log = path.with_name(path.name + ".wal")
    aside = path.with_name(path.name + ".wal.aside")
    lines, whole = read_tail(tail_of(path))
    log.replace(aside)
    connection = None
    try:
        connection = connect(path)
        if whole and lines and tables(connection):
            lost = recovery.absent(connection, lines)
            if not lost or lost[0].before == read_head(connection):
                report, new_lines = _compare(connection, path, kept, bad_log=True)
                aside.unlink()
                return connection, report, new_lines
    except (duckdb.Error, JournalError):
        pass  # it can't be read without its log either; the first error is the one to show
    if connection is not None:
        connection.close()
    aside.replace(log)
    return None


def _compare(
    connection: Connection, path: Path, kept: Path | None, bad_log: bool = False
) -> tuple[OpeningReport, list[Line]]:
    """Check the record, compare it with its tail, put back what can be; returns the tail's new lines as well."""
    tail = tail_of(path)
    first = recovery.proved_from(connection)
    rows = recovery.running_rows(connection, first)
    recovery.verify(connection, path, first, rows, kept)
    unproved = kept is not None and not tail.exists()
    lines, whole = read_tail(tail)
    lost = recovery.absent(connection, lines)
    missing, copy = None, None
    if lost and lost[0].before == read_head(connection) and lost == lines[-len(lost) :]:
        try:
            with transaction(connection):
                unnamed = recovery.restore(connection, lost)
            missing = recovery.describe(lost, True, unnamed)
        except (duckdb.Error, ValueError):
            missing = recovery.describe(lost, False)
    elif lost:
        missing = recovery.describe(lost, False)
    if (missing is not None and not missing.restored) or not whole:
        copy = recovery.keep_aside(tail)
    if missing is not None and missing.restored:
        first = recovery.proved_from(connection)
        rows = recovery.running_rows(connection, first)
    zone = read_meta(connection)["zone"]
    log = kept.with_name(kept.name + ".wal") if bad_log and kept is not None else None
    words = recovery.sentence(missing, copy, zone, log)
    if unproved:
        words = f"There was no second copy beside {path.name}; nothing proves that its last entries are all there."
    report = OpeningReport(missing, copy or log, words)
    return report, recovery.session_lines(connection, first, rows)

