"""A copy of the coach's views in a file of its own, for a question to be asked of in a child process."""

from __future__ import annotations

import os
import tempfile
from contextlib import suppress
from pathlib import Path

import duckdb

from floor.journal.errors import JournalError
from floor.journal.log import Journal
from floor.journal.views import COACH_VIEWS, VIEWS


def snapshot(journal: Journal, folder: Path) -> Path:
    """Write the coach's views as tables into a fresh file in `folder`; returns the file.

    The folder is closed to other users, because the file holds names. Earlier
    snapshots in it are deleted. Needs no more of the journal than a cursor, so
    it may run in a thread while keys are recorded. Raises JournalError.
    """
    folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    folder.chmod(0o700)
    earlier = list(folder.glob("views-*.duckdb"))
    handle, name = tempfile.mkstemp(prefix="views-", suffix=".duckdb", dir=folder)
    os.close(handle)
    path = Path(name)
    path.unlink()
    cursor = journal.cursor()
    try:
        _materialise(cursor, path)
    except duckdb.Error as error:
        path.unlink(missing_ok=True)
        raise JournalError(f"The record can't be copied for a question: {error}") from error
    finally:
        cursor.close()
    for old in earlier:
        # a system that locks open files keeps one a question still reads; the next snapshot deletes it
        with suppress(PermissionError):
            old.unlink(missing_ok=True)
    return path


def _materialise(cursor: duckdb.DuckDBPyConnection, path: Path) -> None:
    """Each view once, as a table over the tables before it; the parts are dropped when they have served."""
    alias = path.stem.replace("-", "_")
    place = str(path).replace("'", "''")
    gym = cursor.execute("SELECT current_database()").fetchall()[0][0].replace('"', '""')
    cursor.execute(f"ATTACH '{place}' AS \"{alias}\"")
    try:
        cursor.execute(f"SET search_path = '{alias},\"{gym}\"'")
        cursor.execute("BEGIN TRANSACTION")
        try:
            for view, query in VIEWS.items():
                cursor.execute(f'CREATE TABLE "{alias}"."{view}" AS {query}')
            for view in VIEWS:
                if view not in COACH_VIEWS:
                    cursor.execute(f'DROP TABLE "{alias}"."{view}"')
            cursor.execute("COMMIT")
        except duckdb.Error:
            cursor.execute("ROLLBACK")
            raise
    finally:
        cursor.execute(f"SET search_path = '\"{gym}\"'")
        cursor.execute(f'DETACH "{alias}"')
    path.chmod(0o600)
