"""The tables of a gym file, how a new one is made and an older one brought up to date.

    event       one row an event, only ever added to; no key (it would treble the file)
    person      names and notes; the only rows that change, the only ones that can be erased
    definition  lifts, plates, programmes, settings as text; only ever added to
    meta        schema number, unit, zone

A newer program adds columns; a new meaning is a new kind of event.
"""

from __future__ import annotations

from pathlib import Path

import duckdb

from floor.core.events import FIELDS
from floor.journal.errors import NotAGym

SCHEMA = 1
"""The number of this layout; a file with a higher one was made by a newer program."""

_TYPES = {
    "happened": "TIMESTAMPTZ",
    "stack": "VARCHAR[]",
    "youth": "BOOLEAN",
    "undoes": "BIGINT",
    **dict.fromkeys(("session", "lifter", "other", "load", "was", "count", "seconds"), "INTEGER"),
    **dict.fromkeys(("station", "set_no", "rep", "sets", "reps", "missed", "stage", "day"), "SMALLINT"),
    **dict.fromkeys(("rack", "safety", "bench"), "SMALLINT"),
}

EVENT_COLUMNS: dict[str, str] = {
    "seq": "BIGINT",
    "cmd": "BIGINT",
    **{name: _TYPES.get(name, "VARCHAR") for name in FIELDS},
    "chain": "VARCHAR",
}
"""Every column of `event` with its type, in the order they are written."""

_NEVER_EMPTY = {"seq", "cmd", "kind", "happened", "chain"}

TABLES: dict[str, str] = {
    "event": ", ".join(
        f'"{name}" {kind}{" NOT NULL" if name in _NEVER_EMPTY else ""}' for name, kind in EVENT_COLUMNS.items()
    ),
    "person": "id INTEGER NOT NULL, name VARCHAR NOT NULL, board VARCHAR NOT NULL, "
    "notes STRUCT(cmd BIGINT, kind VARCHAR, text VARCHAR)[] NOT NULL",
    "definition": "id VARCHAR NOT NULL, kind VARCHAR NOT NULL, version INTEGER NOT NULL, text VARCHAR NOT NULL",
    "meta": "key VARCHAR NOT NULL, value VARCHAR NOT NULL",
}
"""The columns of each table, as SQL."""


def create_tables(connection: duckdb.DuckDBPyConnection, prefix: str = "") -> None:
    """Make the empty tables; `prefix` names another attached file ("fresh.")."""
    for table, columns in TABLES.items():
        connection.execute(f"CREATE TABLE {prefix}{table} ({columns})")


def tables(connection: duckdb.DuckDBPyConnection) -> set[str]:
    """The names of the tables in the file."""
    rows = connection.execute("SELECT table_name FROM duckdb_tables() WHERE NOT internal").fetchall()
    return {name for (name,) in rows}


def read_meta(connection: duckdb.DuckDBPyConnection) -> dict[str, str]:
    """Everything in `meta`."""
    return dict(connection.execute("SELECT key, value FROM meta").fetchall())


def write_meta(connection: duckdb.DuckDBPyConnection, key: str, value: str) -> None:
    """Put one value into `meta`, in place of the one before."""
    connection.execute("DELETE FROM meta WHERE key = ?", [key])
    connection.execute("INSERT INTO meta VALUES (?, ?)", [key, value])


def bring_up_to_date(connection: duckdb.DuckDBPyConnection, path: Path) -> None:
    """Add the columns an older program did not know, within the caller's transaction.

    Raises NotAGym for a file of a newer program or of something else.
    """
    found = tables(connection)
    if not set(TABLES) <= found:
        raise NotAGym(path)
    number = read_meta(connection).get("schema", "")
    if not number.isdigit():
        raise NotAGym(path)
    if int(number) > SCHEMA:
        raise NotAGym(path, "it was made by a newer version of floor")
    rows = connection.execute("SELECT column_name FROM duckdb_columns() WHERE table_name = 'event'").fetchall()
    present = {name for (name,) in rows}
    for name, kind in EVENT_COLUMNS.items():
        if name not in present:
            connection.execute(f'ALTER TABLE event ADD COLUMN "{name}" {kind}')
    if int(number) < SCHEMA:
        write_meta(connection, "schema", str(SCHEMA))
