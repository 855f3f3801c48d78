"""Names and notes in the gym file: changed with a command, read, and forgotten for good."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from pathlib import Path

import duckdb

from floor.core.people import FORGOTTEN, Note, NoteAdded, Person, PersonAdded, PersonChange, check_change
from floor.journal.attaching import alias, attached
from floor.journal.database import OWNERS
from floor.journal.definitions import UNDONE
from floor.journal.schema import TABLES, create_tables

_NEVER_CAME = f"""
SELECT lifter FROM event WHERE kind = 'lifter_joined' GROUP BY lifter
HAVING count(*) FILTER (cmd NOT IN ({UNDONE})) = 0
"""
"""The numbers whose joining was undone: out of sight, and free for the next one who joins."""


def _never_came(connection: duckdb.DuckDBPyConnection) -> set[int]:
    return {number for (number,) in connection.execute(_NEVER_CAME).fetchall()}


def write_changes(connection: duckdb.DuckDBPyConnection, cmd: int, changes: Sequence[PersonChange]) -> None:
    """Make the changes that go along with command `cmd`, within the caller's transaction."""
    for change in changes:
        if isinstance(change, NoteAdded):
            connection.execute(
                "UPDATE person SET notes = list_append(notes, struct_pack(cmd := ?::BIGINT, kind := ?, text := ?)) "
                "WHERE id = ?",
                [cmd, change.kind, change.text, change.id],
            )
        elif isinstance(change, PersonAdded):
            connection.execute("DELETE FROM person WHERE id = ?", [change.id])
            connection.execute("INSERT INTO person VALUES (?, ?, ?, [])", [change.id, change.name, change.board])
        else:
            connection.execute(
                "UPDATE person SET name = ?, board = ? WHERE id = ?", [change.name, change.board, change.id]
            )


def check_changes(connection: duckdb.DuckDBPyConnection, changes: Sequence[PersonChange]) -> None:
    """Refuse changes that can't be kept: no name, a number taken, or nobody with that number (ValueError)."""
    if not changes:
        return
    known = {number for (number,) in connection.execute("SELECT id FROM person").fetchall()}
    known -= _never_came(connection)
    for change in changes:
        check_change(change)
        if isinstance(change, PersonAdded):
            if change.id in known:
                raise ValueError(f"the number {change.id} is taken")
            known.add(change.id)
        elif change.id not in known:
            raise ValueError(f"nobody has the number {change.id}")


def read_people(connection: duckdb.DuckDBPyConnection) -> dict[int, Person]:
    """Everyone whose joining stands, with the notes whose command stands; notes of no command (0) always do."""
    never_came = _never_came(connection)
    undone = {cmd for (cmd,) in connection.execute(UNDONE).fetchall()}
    rows = connection.execute("SELECT id, name, board, notes FROM person ORDER BY id").fetchall()
    people = {}
    for number, name, board, notes in rows:
        if number in never_came:
            continue
        standing = tuple(Note(n["cmd"], n["kind"], n["text"]) for n in notes if n["cmd"] not in undone or n["cmd"] == 0)
        people[number] = Person(number, name, board, standing)
    return people


def noted_by_command(connection: duckdb.DuckDBPyConnection, first: int) -> dict[int, list[int]]:
    """Command number -> the lifters whose notes were written with it, from command `first` on."""
    rows = connection.execute(
        "SELECT note.cmd, id FROM (SELECT id, unnest(notes) AS note FROM person) WHERE note.cmd >= ?", [max(first, 1)]
    ).fetchall()
    found: dict[int, list[int]] = {}
    for cmd, number in rows:
        found.setdefault(cmd, []).append(number)
    return found


def add_nameless(connection: duckdb.DuckDBPyConnection, numbers: Iterable[int]) -> list[int]:
    """Give lifters whose name was lost a row to be named in again; returns who needed one."""
    known = {number for (number,) in connection.execute("SELECT id FROM person").fetchall()}
    lost = sorted(set(numbers) - known)
    for number in lost:
        connection.execute(
            "INSERT INTO person VALUES (?, ?, ?, [])", [number, f"Lifter {number}", f"Lifter {number}"]
        )
    return lost


def erase(connection: duckdb.DuckDBPyConnection, number: int) -> None:
    """Take a name and its notes out of `person`. The bytes stay in the file until it is copied.

    Raises ValueError when nobody has that number.
    """
    if not connection.execute("SELECT 1 FROM person WHERE id = ?", [number]).fetchall():
        raise ValueError(f"nobody has the number {number}")
    connection.execute(
        "UPDATE person SET name = ?, board = ?, notes = [] WHERE id = ?", [FORGOTTEN, FORGOTTEN, number]
    )


def copy_fresh(connection: duckdb.DuckDBPyConnection, fresh: Path) -> None:
    """Write every row into a new file, which then holds nothing that was erased.

    The new file has no views; opening it makes them. It is its owner's alone.
    """
    fresh.unlink(missing_ok=True)
    new = alias("fresh")
    with attached(connection, fresh, new):
        create_tables(connection, f"{new}.")
        for table in TABLES:
            rest = " ORDER BY seq" if table == "event" else " WHERE key <> 'views'" if table == "meta" else ""
            connection.execute(f"INSERT INTO {new}.{table} BY NAME SELECT * FROM main.{table}{rest}")
    fresh.chmod(OWNERS)
