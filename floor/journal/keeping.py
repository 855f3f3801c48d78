"""The kept copy: what a large gym's questions may read of its past, in a file beside it, so that it is made once.

A small gym has none. The copy goes by lifters' numbers and has no name and no
note in it. It says up to which row of the record it goes; what was written to
since, or undone, is left to the new half (`snapshot`), whichever evening it
belongs to. A copy of another record, of other views, or damaged, is made anew;
one that was interrupted goes on where it stopped.
"""

from __future__ import annotations

import threading
from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, contextmanager
from pathlib import Path

import duckdb

from floor.journal import parts, views
from floor.journal.attaching import alias, attached, looked_in_first
from floor.journal.database import transaction
from floor.journal.errors import JournalError

LARGE = 60_000
"""Rows of a record from which on a copy is kept: below, all of it is copied in less than a second."""

OLD = 30_000
"""Rows written since, from which on the kept copy takes them in."""

SLOW = 1_000_000
"""Rows of a record whose first copy takes seconds: then whoever waits is told."""

VERY_SLOW = 10_000_000
"""Rows of a record whose first copy takes a minute and more: 31 million took 135 s on two busy cores."""

AT_ONCE = 400
"""Evenings put together at a time."""

ONE_AT_A_TIME = threading.RLock()
"""Held while the halves are made: they are attached under fixed names."""

Connection = duckdb.DuckDBPyConnection

COPY, WORK = alias("kept"), alias("work")
"""What the kept copy and the place to put evenings together are called where they are attached to a gym."""

_ABOUT = (
    f"CREATE TABLE {COPY}.about "
    "(mark VARCHAR, seq BIGINT, chain VARCHAR, goal BIGINT, goal_chain VARCHAR, done BIGINT)"
)


class Stopped(JournalError):
    """Whoever wanted the copy is gone."""


def kept_path(gym: Path) -> Path:
    """The kept copy beside a gym file."""
    return gym.with_name(gym.name + ".questions")


def remove(gym: Path) -> None:
    """Remove the kept copy and its log."""
    for name in (kept_path(gym), kept_path(gym).with_name(kept_path(gym).name + ".wal")):
        name.unlink(missing_ok=True)


def opened(cursor: Connection, gym: Path, write: bool = False) -> AbstractContextManager[None]:
    """The kept copy as COPY."""
    return attached(cursor, kept_path(gym), COPY, read_only=not write)


@contextmanager
def workplace(cursor: Connection) -> Iterator[None]:
    """An empty database in memory, WORK, that is looked in before the gym."""
    with attached(cursor, ":memory:", WORK), looked_in_first(cursor, WORK):
        yield


def first_words(head: int) -> str:
    """What is said while the first copy of a record of so many rows is made; "" when that is soon done."""
    if head < SLOW:
        return ""
    how_long = "a minute or two" if head >= VERY_SLOW else "some seconds"
    return f"First question on this gym: putting the record in order, {how_long}; keys go on."


def is_good(cursor: Connection, gym: Path) -> bool:
    """Whether there is a kept copy of this record, made whole once, by these views."""
    return _about(cursor, gym) > 0


def _about(cursor: Connection, gym: Path) -> int:
    """The row the kept copy goes up to; 0 when it was never whole, -1 when it is of no use at all."""
    if not kept_path(gym).exists():
        return -1
    try:
        with opened(cursor, gym):
            rows = cursor.execute(f"SELECT mark, seq, chain, goal, goal_chain FROM {COPY}.about").fetchall()
    except duckdb.Error:
        return -1
    if len(rows) != 1 or rows[0][0] != parts.MARK:
        return -1
    _, seq, chain, goal, goal_chain = rows[0]
    for number, link in ((seq, chain), (goal, goal_chain)):
        if number and cursor.execute("SELECT chain FROM event WHERE seq = ?", [number]).fetchall() != [(link,)]:
            return -1
    return int(seq)


def bring_up(cursor: Connection, gym: Path, head: int, stop: Callable[[], bool]) -> bool:
    """Make the kept copy, or take in what is old enough. Whether there is one now.

    It takes minutes for the first copy of a record of millions of sets, and is
    not done while a question reads it. `stop` is asked between the evenings;
    Stopped is raised when it says so. Raises duckdb.Error.
    """
    found = _about(cursor, gym)
    if found < 0:
        remove(gym)
    elif found and head - found < OLD:
        return True
    try:
        with workplace(cursor), opened(cursor, gym, write=True):
            if found < 0:
                _empty(cursor)
            kept_path(gym).chmod(0o600)
            _take_in(cursor, stop)
    except duckdb.IOException as error:
        if found > 0 and "lock" in str(error):  # a question still reads it
            return True
        raise
    return True


def _empty(cursor: Connection) -> None:
    cursor.execute(_ABOUT)
    cursor.execute(f"INSERT INTO {COPY}.about VALUES (?, 0, '', 0, '', -1)", [parts.MARK])
    cursor.execute(f"CREATE TABLE {COPY}.undone (cmd BIGINT)")
    cursor.execute(f"CREATE TABLE {COPY}.lifters (id INTEGER)")


def _take_in(cursor: Connection, stop: Callable[[], bool]) -> None:
    """All evenings written to since, a few at a time, each lot in a transaction of its own."""
    seq, goal, done = cursor.execute(f"SELECT seq, goal, done FROM {COPY}.about").fetchall()[0]
    if not goal:
        done = -1
        goal = cursor.execute("SELECT max(seq) FROM event").fetchall()[0][0]
        cursor.execute(
            f"UPDATE {COPY}.about SET goal = $goal, done = -1, "
            "goal_chain = (SELECT chain FROM event WHERE seq = $goal)", {"goal": goal},
        )  # fmt: skip
    tell_undone(cursor, 0)
    sessions = [s for s in touched(cursor, seq) if s > done]
    for at in range(0, len(sessions), AT_ONCE):
        if stop():
            raise Stopped("The copy for questions is not finished.")
        lot = sessions[at : at + AT_ONCE]
        put_together(cursor, lot)
        with transaction(cursor):
            listed = ", ".join(map(str, lot))
            for name, query in parts.STORED.items():
                cursor.execute(f'CREATE TABLE IF NOT EXISTS {COPY}."{name}" AS FROM ({query}) LIMIT 0')
                if seq:
                    cursor.execute(f'DELETE FROM {COPY}."{name}" WHERE coalesce(session, 0) IN ({listed})')
                cursor.execute(f'INSERT INTO {COPY}."{name}" {query}')
            cursor.execute(f"INSERT INTO {COPY}.lifters {new_lifters()}")
            cursor.execute(f"UPDATE {COPY}.about SET done = ?", [lot[-1]])
    with transaction(cursor):
        cursor.execute(f"DELETE FROM {COPY}.undone")
        cursor.execute(f"INSERT INTO {COPY}.undone FROM {WORK}.undone")
        cursor.execute(f"UPDATE {COPY}.about SET seq = goal, chain = goal_chain, goal = 0, goal_chain = '', done = -1")


def new_lifters() -> str:
    """The numbers met in the evenings at work that the kept copy does not know."""
    return (
        f"SELECT DISTINCT lifter FROM {WORK}.standing WHERE lifter IS NOT NULL "
        f"AND lifter NOT IN (SELECT id FROM {COPY}.lifters)"
    )


def tell_undone(cursor: Connection, seq: int) -> None:
    """WORK.undone: the commands taken back, those up to row `seq` from the kept copy."""
    before = f"SELECT cmd FROM {COPY}.undone UNION ALL " if seq else ""
    cursor.execute(
        f"CREATE OR REPLACE TABLE {WORK}.undone AS {before}SELECT undoes AS cmd FROM event "
        f"WHERE seq > {int(seq)} AND kind = 'undone' AND undoes IS NOT NULL"
    )


def touched(cursor: Connection, seq: int) -> list[int]:
    """The sessions written to after row `seq`, or with a command undone after it; 0 is what belongs to none."""
    rows = cursor.execute(
        f"""
        SELECT DISTINCT coalesce(session, 0) FROM event WHERE seq > {int(seq)}
        {"UNION SELECT DISTINCT coalesce(session, 0) FROM event WHERE cmd IN "
         f"(SELECT undoes FROM event WHERE seq > {int(seq)} AND kind = 'undone')" if seq else ""}
        ORDER BY 1
        """
    ).fetchall()
    return [session for (session,) in rows]


def put_together(cursor: Connection, sessions: list[int]) -> None:
    """WORK.standing for these sessions, and the views' parts over it."""
    real = [session for session in sessions if session]
    which = []
    if len(real) < len(sessions):
        which.append("session IS NULL")
    if real:
        whole = real[-1] - real[0] + 1 == len(real)
        some = "" if whole else f" AND session IN ({', '.join(map(str, real))})"
        which.append(f"(session BETWEEN {real[0]} AND {real[-1]}{some})")
    gone = f"kind <> 'undone' AND cmd NOT IN (FROM {WORK}.undone)"
    those = " OR ".join(which or ["false"])
    cursor.execute(f"CREATE OR REPLACE TABLE {WORK}.standing AS SELECT * FROM event WHERE ({those}) AND {gone}")
    for name in parts.WORK:
        cursor.execute(f'CREATE OR REPLACE TABLE {WORK}."{name}" AS {views.VIEWS[name]}')
