"""What the gym teaches and owns, as versioned text. A version is never changed, only followed by the next."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

import duckdb

from floor.journal.tail import Definition

UNDONE = "SELECT undoes FROM event WHERE kind = 'undone'"
"""The numbers of the commands that were taken back."""


def insert_definitions(connection: duckdb.DuckDBPyConnection, definitions: Iterable[Definition]) -> None:
    """Add versions, within the caller's transaction."""
    for identity, version, text in definitions:
        connection.execute("INSERT INTO definition VALUES (?, ?, ?, ?)", [identity, identity, version, text])


def next_version(connection: duckdb.DuckDBPyConnection, identity: str) -> int:
    """The number the next version of a definition takes: 1 for a new one, and never one that was used."""
    rows = connection.execute("SELECT max(version) FROM definition WHERE id = ?", [identity]).fetchall()
    return int(rows[0][0] or 0) + 1


def adopted(connection: duckdb.DuckDBPyConnection) -> dict[str, tuple[int, str]]:
    """For each definition the version adopted last by a command that stands, and its text."""
    rows: list[Any] = connection.execute(
        f"""
        SELECT d.id, d.version, d.text
        FROM definition AS d
        JOIN (SELECT definition, arg_max("count", seq) AS version FROM event
              WHERE kind = 'definition_adopted' AND cmd NOT IN ({UNDONE}) GROUP BY definition) AS a
          ON a.definition = d.id AND a.version = d.version
        ORDER BY d.id
        """
    ).fetchall()
    return {identity: (version, text) for identity, version, text in rows}


def by_command(connection: duckdb.DuckDBPyConnection, first: int) -> list[tuple[int, Definition]]:
    """Every version adopted from command `first` on, with the command's number."""
    rows = connection.execute(
        """
        SELECT e.cmd, d.id, d.version, d.text FROM event AS e
        JOIN definition AS d ON d.id = e.definition AND d.version = e."count"
        WHERE e.kind = 'definition_adopted' AND e.cmd >= ? ORDER BY e.seq
        """,
        [first],
    ).fetchall()
    return [(cmd, (identity, version, text)) for cmd, identity, version, text in rows]
