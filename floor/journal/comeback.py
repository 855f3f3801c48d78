"""An export back into a gym file that is still empty: the same gym, row for row, or nothing.

Every file is compared with its digest, every row's number and chain is worked
out again, and only then does the new gym file take its place.
"""

from __future__ import annotations

import json
import os
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import duckdb

from floor.core.events import check
from floor.journal.database import OWNERS, first_line, read_head
from floor.journal.errors import JournalError
from floor.journal.leaving import FORMAT, SCHEMA_FILE, VERSION, digest, types_of
from floor.journal.opening import open_checked, tail_of
from floor.journal.rows import COLUMNS, Head, link, row_from
from floor.journal.schema import SCHEMA, TABLES, create_tables

_AT_ONCE = 10_000


class NotAnExport(JournalError):
    """The folder is no export, not a whole one, or one of a newer program."""

    def __init__(self, folder: Path, why: str) -> None:
        super().__init__(f"{folder} can't be brought in: {why}. Nothing was changed.")


class NotEmpty(JournalError):
    """The gym file holds something already."""

    def __init__(self, path: Path) -> None:
        super().__init__(f"{path} holds a gym already: name a new file with --gym. Nothing was changed.")


@dataclass(frozen=True, slots=True)
class Back:
    """What came back; `named` is False when the export held no names."""

    events: int
    people: int
    named: bool


def bring_back(folder: Path, path: Path) -> Back:
    """Make the gym file at `path` from an export. Raises JournalError; then nothing has changed."""
    about = _read_about(folder)
    files = _whole_files(folder, about)
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        _must_be_empty(path)
        fresh = path.with_name(path.name + ".coming")
        _drop(fresh)
        try:
            back = _build(fresh, folder, about, files)
            fresh.chmod(OWNERS)
            tail_of(path).unlink(missing_ok=True)
            os.replace(fresh, path)
        finally:
            _drop(fresh)
    except duckdb.Error as error:
        raise NotAnExport(folder, first_line(error)) from error
    except OSError as error:
        raise NotAnExport(folder, error.strerror or str(error)) from error
    return back


def _read_about(folder: Path) -> dict[str, Any]:
    path = folder / SCHEMA_FILE
    no_export = NotAnExport(folder, f"its {SCHEMA_FILE} is missing or is not what `floor export` writes")
    try:
        about = json.loads(path.read_text(encoding="utf-8"))
    except (OSError, ValueError) as error:
        raise no_export from error
    if not isinstance(about, dict) or about.get("format") != FORMAT:
        raise no_export
    version, schema = about.get("version"), about.get("schema")
    if not isinstance(version, int) or not isinstance(schema, int):
        raise no_export
    if version > VERSION or schema > SCHEMA:
        raise NotAnExport(folder, "it was written by a newer version of floor")
    parts = {"rows": dict, "last": dict, "files": dict, "gym": str, "names": bool}
    if not all(isinstance(about.get(key), kind) for key, kind in parts.items()):
        raise no_export
    if set(about["last"]) != {"seq", "cmd", "chain"} or set(about["rows"]) != set(TABLES):
        raise no_export
    return about


def _whole_files(folder: Path, about: dict[str, Any]) -> dict[str, list[Path]]:
    """The files of each table, each the same as when it was written."""
    files: dict[str, list[Path]] = {name: [] for name in TABLES}
    root = folder.resolve()
    for name, was in sorted(about["files"].items()):
        path = folder / name
        table = name.split("/")[0]
        if table not in files or not path.resolve().is_relative_to(root):
            raise NotAnExport(folder, f"{name} is no file of an export")
        try:
            same = digest(path) == was
        except OSError as error:
            raise NotAnExport(folder, f"{name} is missing") from error
        if not same:
            raise NotAnExport(folder, f"{name} is not what was written")
        files[table].append(path)
    return files


def _must_be_empty(path: Path) -> None:
    """A gym file that is not there, or one nothing was done with since it was made."""
    if not path.exists():
        return
    connection, _, _ = open_checked(path, lambda _: None)
    try:
        people = connection.execute("SELECT count(*) FROM person").fetchall()[0][0]
        used = read_head(connection).cmd > 1 or people
    finally:
        connection.close()
    if used:
        raise NotEmpty(path)


def _build(fresh: Path, folder: Path, about: dict[str, Any], files: dict[str, list[Path]]) -> Back:
    connection = duckdb.connect(str(fresh))
    try:
        connection.execute("SET GLOBAL TimeZone = 'UTC'")
        create_tables(connection)
        connection.execute("CREATE TEMP TABLE staged AS SELECT * FROM event")
        for name, paths in files.items():
            into = "staged" if name == "event" else name
            for path in paths:
                _insert(connection, into, _table(folder, path, name))
        connection.execute(f"INSERT INTO event ({COLUMNS}) SELECT {COLUMNS} FROM staged ORDER BY seq")
        connection.execute("DROP TABLE staged")
        for name in TABLES:
            found = connection.execute(f"SELECT count(*) FROM {name}").fetchall()[0][0]
            if found != about["rows"][name]:
                raise NotAnExport(folder, f"{name} should hold {about['rows'][name]} rows and holds {found}")
        _verify(connection, folder, Head(**about["last"]))
        connection.execute("CHECKPOINT")
    finally:
        connection.close()
    return Back(about["last"]["seq"], about["rows"]["person"], about["names"])


def _table(folder: Path, path: Path, name: str) -> Any:
    """One file as an Arrow table with this program's columns; what an older one lacked is empty."""
    import pyarrow as pa
    import pyarrow.parquet as pq

    types = types_of(name)
    try:
        table = pq.ParquetFile(path).read()
        if not set(table.column_names) <= set(types):
            raise NotAnExport(folder, f"{path.name} has columns that this version of floor does not know")
        arrays = [
            table[c].cast(kind) if c in table.column_names else pa.nulls(table.num_rows, kind)
            for c, kind in types.items()
        ]
    except pa.ArrowException as error:
        raise NotAnExport(folder, f"{path.relative_to(folder)} can't be read") from error
    return pa.table(arrays, names=list(types))


def _insert(connection: duckdb.DuckDBPyConnection, into: str, table: Any) -> None:
    connection.register("coming_rows", table)
    try:
        connection.execute(f"INSERT INTO {into} BY NAME SELECT * FROM coming_rows")
    finally:
        connection.unregister("coming_rows")


def _verify(connection: duckdb.DuckDBPyConnection, folder: Path, last: Head) -> None:
    """Every number and every link of the chain again, from the first row to the last."""
    head = Head()
    for cells in _rows(connection):
        row = row_from(cells)
        try:
            check(row.event)
        except ValueError as error:
            raise NotAnExport(folder, f"event {row.seq}: {error}") from error
        follows = row.seq == head.seq + 1 and row.cmd - head.cmd in (0, 1)
        if not follows or link(head.chain, row.seq, row.cmd, row.event) != row.chain:
            raise NotAnExport(folder, f"event {row.seq} is not what was written")
        head = Head(row.seq, row.cmd, row.chain)
    if head != last:
        raise NotAnExport(folder, "its last events are missing")


def _rows(connection: duckdb.DuckDBPyConnection) -> Iterator[tuple[Any, ...]]:
    connection.execute(f"SELECT {COLUMNS} FROM event ORDER BY seq")
    while rows := connection.fetchmany(_AT_ONCE):
        yield from rows


def _drop(fresh: Path) -> None:
    fresh.unlink(missing_ok=True)
    fresh.with_name(fresh.name + ".wal").unlink(missing_ok=True)
