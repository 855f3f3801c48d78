"""The whole gym as a folder of Parquet files that any engine reads.

    schema.json                                      what it is, and every column with its unit
    event/gym=<id>/month=2026-03/part-0.parquet      the record, by month where the gym stands
    person/gym=<id>/part-0.parquet                   definition/ and meta/ likewise

The gym's id is the beginning of its first row's chain: it says nothing, and
stays the same when the gym goes out and comes back. Without `names` the export
holds numbers in place of names, no notes and no kept questions, which may hold
names; with them it can come back as the same gym.
"""

from __future__ import annotations

import json
import os
import shutil
import tempfile
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, datetime
from hashlib import blake2b
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

import duckdb

from floor.core.events import NEEDS
from floor.core.people import FORGOTTEN
from floor.core.questions import DOCUMENT as QUESTIONS
from floor.journal.bulk import arrow_types
from floor.journal.database import first_line, read_head
from floor.journal.errors import JournalError
from floor.journal.export_words import COLUMNS, SAYS
from floor.journal.log import Journal
from floor.journal.rows import COLUMNS as EVENT_SELECT
from floor.journal.schema import SCHEMA, read_meta

FORMAT, VERSION = "floor export", 1
SCHEMA_FILE = "schema.json"
PART = "part-0.parquet"


class CannotExport(JournalError):
    """The export was not written; nothing is left of it."""


@dataclass(frozen=True, slots=True)
class Written:
    """What was written: how many events, over how many months, under which gym's id."""

    events: int
    months: int
    gym: str


def write_export(journal: Journal, folder: Path, *, names: bool) -> Written:
    """Write everything to a new folder, all of it or nothing. Raises CannotExport."""
    folder = folder.resolve()
    there = folder.exists()
    if there and (not folder.is_dir() or any(folder.iterdir())):
        raise CannotExport(f"{folder} is there already: name a new folder.")
    coming: Path | None = None
    cursor = journal.cursor()
    try:
        room = folder if there else folder.parent
        room.mkdir(parents=True, exist_ok=True)
        coming = Path(tempfile.mkdtemp(prefix=".floor-writing-", dir=room))
        cursor.execute("BEGIN TRANSACTION READ ONLY")
        written = _write(cursor, coming, names)
        cursor.execute("ROLLBACK")
        _put_in_place(coming, folder, there)
    except duckdb.Error as error:
        raise CannotExport(f"The record can't be read: {first_line(error)}.") from error
    except OSError as error:
        raise CannotExport(f"{folder} can't be written: {error.strerror or error}.") from error
    finally:
        cursor.close()
        if coming is not None:
            shutil.rmtree(coming, ignore_errors=True)
    return written


def _put_in_place(coming: Path, folder: Path, there: bool) -> None:
    """The written folder becomes `folder`; into an empty one that is there its parts go, what says what it is last."""
    if not there:
        os.rename(coming, folder)
        return
    folder.chmod(0o700)
    for part in sorted(coming.iterdir(), key=lambda part: part.name == SCHEMA_FILE):
        part.rename(folder / part.name)


def _write(cursor: duckdb.DuckDBPyConnection, folder: Path, names: bool) -> Written:
    head, meta = read_head(cursor), read_meta(cursor)
    first = cursor.execute("SELECT chain FROM event WHERE seq = 1").fetchall()
    gym = str(first[0][0])[:12] if first else "empty"
    files: dict[str, str] = {}
    rows: dict[str, int] = {"event": 0}
    months = _months(cursor, meta["zone"])
    for month, start, end in months:
        table = _fetch(
            cursor, f"SELECT {EVENT_SELECT} FROM event WHERE happened >= ? AND happened < ? ORDER BY seq", [start, end]
        )
        rows["event"] += table.num_rows
        where = Path("event", f"gym={gym}", f"month={month}", PART)
        files[where.as_posix()] = _put(table, folder / where, "event", meta["unit"])
    if rows["event"] != head.seq:
        raise CannotExport(f"The record should hold {head.seq} events and {rows['event']} were found.")
    for name, query in _others(names).items():
        table = _fetch(cursor, query, [])
        rows[name] = table.num_rows
        where = Path(name, f"gym={gym}", PART)
        files[where.as_posix()] = _put(table, folder / where, name, meta["unit"])
    about = {
        "format": FORMAT, "version": VERSION, "schema": SCHEMA, "gym": gym, "unit": meta["unit"], "zone": meta["zone"],
        "names": names, "rows": rows, "last": {"seq": head.seq, "cmd": head.cmd, "chain": head.chain},
        "tables": {name: _about(name, meta["unit"]) for name in SAYS},
        "kinds": {kind: list(needs) for kind, needs in NEEDS.items()}, "files": files,
    }  # fmt: skip
    (folder / SCHEMA_FILE).write_text(json.dumps(about, indent=1, ensure_ascii=False) + "\n", encoding="utf-8")
    return Written(head.seq, len(months), gym)


def _others(names: bool) -> dict[str, str]:
    """The queries of the small tables."""
    person, text = "name, board, notes", "text"
    if not names:
        called = f"CASE WHEN name = '{FORGOTTEN}' THEN name ELSE 'Lifter ' || id END"
        person = f"{called} AS name, {called} AS board, notes[1:0] AS notes"
        text = f"CASE WHEN id = '{QUESTIONS}' THEN '' ELSE text END AS text"
    return {
        "person": f"SELECT id, {person} FROM person ORDER BY id",
        "definition": f"SELECT id, kind, version, {text} FROM definition ORDER BY id, version",
        "meta": "SELECT key, value FROM meta WHERE key <> 'views' ORDER BY key",
    }


def _months(cursor: duckdb.DuckDBPyConnection, zone: str) -> list[tuple[str, datetime, datetime]]:
    """The months in which anything happened, where the gym stands: name, beginning, end."""
    rows = cursor.execute(
        "SELECT DISTINCT strftime(timezone(?, happened), '%Y-%m') FROM event ORDER BY 1", [zone]
    ).fetchall()
    return [(month, *_bounds(month, ZoneInfo(zone))) for (month,) in rows]


def _bounds(month: str, zone: ZoneInfo) -> tuple[datetime, datetime]:
    year, number = int(month[:4]), int(month[5:])
    after = (year + 1, 1) if number == 12 else (year, number + 1)
    return (
        datetime(year, number, 1, tzinfo=zone).astimezone(UTC),
        datetime(*after, 1, tzinfo=zone).astimezone(UTC),
    )


def _fetch(cursor: duckdb.DuckDBPyConnection, query: str, values: list[Any]) -> Any:
    return cursor.sql(query, params=values).to_arrow_table()


def types_of(name: str) -> dict[str, Any]:
    """The Arrow type of every column of a table."""
    import pyarrow as pa

    if name == "event":
        return arrow_types()
    note = pa.struct([("cmd", pa.int64()), ("kind", pa.string()), ("text", pa.string())])
    notes = pa.list_(pa.field("element", note))
    special = {"person.id": pa.int32(), "person.notes": notes, "definition.version": pa.int32()}
    return {c.name: special.get(f"{name}.{c.name}", pa.string()) for c in COLUMNS[name]}


def _put(table: Any, path: Path, name: str, unit: str) -> str:
    """Write one file, its columns typed and described; returns the digest of its bytes."""
    import pyarrow as pa
    import pyarrow.parquet as pq

    types = types_of(name)
    described = pa.schema(
        [pa.field(c.name, types[c.name], metadata={"unit": c.unit.format(unit=unit), "says": c.says})
         for c in COLUMNS[name]]
    )  # fmt: skip
    path.parent.mkdir(parents=True)
    pq.write_table(table.cast(described), path, compression="zstd")
    return digest(path)


def digest(path: Path) -> str:
    """32 hexadecimal digits of a file's bytes."""
    found = blake2b(digest_size=16)
    with path.open("rb") as file:
        for block in iter(lambda: file.read(1 << 20), b""):
            found.update(block)
    return found.hexdigest()


def _about(name: str, unit: str) -> dict[str, Any]:
    types = types_of(name)
    columns = [
        {"name": c.name, "type": str(types[c.name]), "unit": c.unit.format(unit=unit), "says": c.says}
        for c in COLUMNS[name]
    ]
    return {"says": SAYS[name], "partitions": list(_partitions(name)), "columns": columns}


def _partitions(name: str) -> Iterator[str]:
    yield "gym"
    if name == "event":
        yield "month"
