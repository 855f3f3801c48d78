"""An event as a row, as plain JSON values, and as one more link of the chain.

Each row's `chain` is a digest of the chain before it and of the row itself, so
that a row lost, changed or put in between shows.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from hashlib import blake2b
from typing import Any

import duckdb

from floor.core.events import FIELDS, Event
from floor.journal.schema import EVENT_COLUMNS

COLUMNS: str = ", ".join(f'"{name}"' for name in EVENT_COLUMNS)
"""All columns of `event` for a SELECT or INSERT, in the order of a Row."""


@dataclass(frozen=True, slots=True)
class Head:
    """Where the record stands: the last row's numbers and chain. All zero when it is empty."""

    seq: int = 0
    cmd: int = 0
    chain: str = ""


@dataclass(frozen=True, slots=True)
class Row:
    """One row of `event`."""

    seq: int
    cmd: int
    event: Event
    chain: str

    def cells(self) -> list[Any]:
        """The values in the order of COLUMNS."""
        values = [getattr(self.event, name) for name in FIELDS]
        if self.event.stack is not None:
            values[_STACK] = list(self.event.stack)
        return [self.seq, self.cmd, *values, self.chain]


_encode = json.JSONEncoder(sort_keys=True, separators=(",", ":")).encode
_STACK = FIELDS.index("stack")
_HAPPENED = FIELDS.index("happened")


def row_from(cells: Sequence[Any]) -> Row:
    """The row with these cells, in the order of COLUMNS."""
    values = list(cells[2:-1])
    values[_HAPPENED] = values[_HAPPENED].astimezone(UTC)
    if values[_STACK] is not None:
        values[_STACK] = tuple(values[_STACK])
    return Row(cells[0], cells[1], Event(**dict(zip(FIELDS, values, strict=True))), cells[-1])


def to_plain(event: Event) -> dict[str, Any]:
    """The event as JSON values, what is empty left out."""
    plain = {name: value for name in FIELDS if (value := getattr(event, name)) is not None}
    plain["happened"] = event.happened.astimezone(UTC).isoformat(timespec="microseconds")
    if event.stack is not None:
        plain["stack"] = list(event.stack)
    return plain


def from_plain(plain: Mapping[str, Any]) -> Event:
    """The event `to_plain` was given. Raises ValueError, TypeError or KeyError for anything else."""
    values = dict(plain)
    values["happened"] = datetime.fromisoformat(values["happened"]).astimezone(UTC)
    if "stack" in values:
        values["stack"] = tuple(values["stack"])
    return Event(**values)


def link(chain: str, seq: int, cmd: int, event: Event) -> str:
    """The chain after this row: 32 hexadecimal digits."""
    row = _encode([seq, cmd, to_plain(event)])
    return blake2b(f"{chain}\n{row}".encode(), digest_size=16).hexdigest()


def rows_after(head: Head, events: Iterable[Event]) -> tuple[list[Row], Head]:
    """The rows of one command that follows `head`, and the head after it."""
    seq, cmd, chain = head.seq, head.cmd + 1, head.chain
    rows = []
    for event in events:
        seq += 1
        chain = link(chain, seq, cmd, event)
        rows.append(Row(seq, cmd, event, chain))
    return rows, Head(seq, cmd, chain)


def insert_rows(connection: duckdb.DuckDBPyConnection, rows: Sequence[Row]) -> None:
    """Add rows, within the caller's transaction. Columns empty in all of them are left out: it is faster."""
    cells = [row.cells() for row in rows]
    used = [i for i in range(len(EVENT_COLUMNS)) if any(values[i] is not None for values in cells)]
    names = list(EVENT_COLUMNS)
    columns = ", ".join(f'"{names[i]}"' for i in used)
    one = "(" + ", ".join("?" * len(used)) + ")"
    connection.execute(
        f"INSERT INTO event ({columns}) VALUES {', '.join([one] * len(rows))}",
        [values[i] for values in cells for i in used],
    )
