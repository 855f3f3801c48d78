"""Many commands at once: a history that was made elsewhere, in one transaction."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any

import duckdb

from floor.core.events import Event, check
from floor.journal.rows import COLUMNS, Head, Row, rows_after
from floor.journal.schema import EVENT_COLUMNS

MANY = 200
"""With more rows than this at once Arrow is the quicker way in, its import included."""


def number_all(head: Head, commands: Iterable[Sequence[Event]]) -> tuple[list[Row], Head]:
    """Rows with the numbers and the chain they would have had if appended one by one."""
    rows: list[Row] = []
    for events in commands:
        for event in events:
            check(event)
        if not events:
            raise ValueError("a command needs at least one event")
        mine, head = rows_after(head, events)
        rows.extend(mine)
    return rows, head


def arrow_types() -> dict[str, Any]:
    """The Arrow type of every column of `event`, by name."""
    import pyarrow as pa

    types = {
        "BIGINT": pa.int64(),
        "INTEGER": pa.int32(),
        "SMALLINT": pa.int16(),
        "BOOLEAN": pa.bool_(),
        "VARCHAR": pa.string(),
        "VARCHAR[]": pa.list_(pa.field("element", pa.string())),  # the name Parquet gives it
        "TIMESTAMPTZ": pa.timestamp("us", tz="UTC"),
    }
    return {name: types[kind] for name, kind in EVENT_COLUMNS.items()}


def insert_all(connection: duckdb.DuckDBPyConnection, rows: Sequence[Row]) -> None:
    """Add the rows through Arrow, within the caller's transaction."""
    import pyarrow as pa  # 50 ms; only a history needs it

    types = arrow_types()
    columns: list[Sequence[Any]] = list(zip(*(row.cells() for row in rows), strict=True))
    table = pa.table(
        [pa.array(column, types[name]) for column, name in zip(columns, EVENT_COLUMNS, strict=True)],
        names=list(EVENT_COLUMNS),
    )
    connection.register("bulk_rows", table)
    try:
        connection.execute(f"INSERT INTO event ({COLUMNS}) SELECT {COLUMNS} FROM bulk_rows ORDER BY seq")
    finally:
        connection.unregister("bulk_rows")
