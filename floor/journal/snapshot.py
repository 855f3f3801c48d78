"""A copy of the coach's views in a file of its own, for a question to be asked of in a child process.

Of a small gym it holds everything. Of a large one it holds what was written
since the kept copy, and a file beside it says where that is.
"""

from __future__ import annotations

import json
import os
import tempfile
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path

import duckdb

from floor.journal import keeping, parts
from floor.journal.attaching import alias, attached, looked_in_first
from floor.journal.database import transaction
from floor.journal.errors import JournalError
from floor.journal.keeping import COPY
from floor.journal.log import Journal
from floor.journal.naming import read_names, with_names
from floor.journal.parts import KEPT
from floor.journal.views import COACH_VIEWS, VIEWS

FRESH = alias("fresh")
"""What the new file is called where it is attached to a gym."""


def _unheard(words: str) -> None:
    """Nobody wants to be told."""


def snapshot(
    journal: Journal, folder: Path, fold: bool = False, stop: Callable[[], bool] = lambda: False,
    tell: Callable[[str], None] = _unheard,
) -> Path:  # fmt: skip
    """Write the coach's views as tables into a fresh file in `folder`; returns the file.

    The folder is closed to other users, because the file holds names. Earlier
    snapshots in it are deleted. Needs no more of the journal than a cursor, so
    it may run in a thread while keys are recorded. `fold` lets the kept copy of
    a large gym be made or brought up first, if no question reads it, which may
    take long and ends when `stop` says so; `tell` is given a sentence before the first
    copy of a very large gym is made. Raises JournalError.
    """
    folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    folder.chmod(0o700)
    earlier = list(folder.glob("views-*.*"))
    handle, name = tempfile.mkstemp(prefix="views-", suffix=".duckdb", dir=folder)
    os.close(handle)
    path = Path(name)
    path.unlink()
    cursor = journal.cursor()
    try:
        with keeping.ONE_AT_A_TIME:
            if not (journal.head.seq >= keeping.LARGE and _halves(cursor, journal, path, fold, stop, tell)):
                _materialise(cursor, path)
    except duckdb.Error as error:
        path.unlink(missing_ok=True)
        path.with_suffix(KEPT).unlink(missing_ok=True)
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
    with attached(cursor, path, FRESH), looked_in_first(cursor, FRESH), transaction(cursor):
        names = read_names(cursor)
        for view, query in VIEWS.items():
            cursor.execute(f'CREATE TABLE {FRESH}."{view}" AS {with_names(view, query, names)}')
        for view in VIEWS:
            if view not in COACH_VIEWS:
                cursor.execute(f'DROP TABLE {FRESH}."{view}"')
    path.chmod(0o600)


def _halves(
    cursor: duckdb.DuckDBPyConnection, journal: Journal, path: Path, fold: bool, stop: Callable[[], bool],
    tell: Callable[[str], None],
) -> bool:  # fmt: skip
    """The new half in a file at `path`, and what it needs of the kept copy beside it; False without a kept copy."""
    gym, head = journal.path, journal.head.seq
    good = keeping.is_good(cursor, gym)
    if not good and (words := keeping.first_words(head)):
        tell(words)
    if not good or fold:
        keeping.bring_up(cursor, gym, head, stop)
    with keeping.workplace(cursor), keeping.opened(cursor, gym):
        seq = cursor.execute(f"SELECT seq FROM {COPY}.about").fetchall()[0][0]
        keeping.tell_undone(cursor, seq)
        sessions = keeping.touched(cursor, seq)
        keeping.put_together(cursor, sessions)
        known = f"SELECT DISTINCT coalesce(session, 0) FROM {COPY}.told ORDER BY 1"
        old = sorted({session for (session,) in cursor.execute(known).fetchall()} & set(sessions))
        with attached(cursor, path, FRESH), transaction(cursor):
            for name, query in parts.STORED.items():
                cursor.execute(f'CREATE TABLE {FRESH}."{name}" AS {query}')
            cursor.execute(
                f"CREATE TABLE {FRESH}.name AS SELECT ids.id, coalesce(p.board, 'Lifter ' || ids.id) AS board FROM "
                f"(SELECT id FROM {COPY}.lifters UNION SELECT id FROM person UNION {keeping.new_lifters()})"
                " AS ids LEFT JOIN person AS p USING (id)"
            )
            cursor.execute(f"CREATE TABLE {FRESH}.latest_plan AS {parts.latest_plan(old, COPY, FRESH)}")
            cursor.execute(f"CREATE TABLE {FRESH}.gym AS SELECT value AS zone FROM meta WHERE key = 'zone'")
    path.chmod(0o600)
    names = [[*key, name] for key, name in read_names(cursor).items()]
    beside = {"kept": str(keeping.kept_path(gym)), "touched": old, "names": names}
    path.with_suffix(KEPT).write_text(json.dumps(beside), encoding="utf-8")
    return True
