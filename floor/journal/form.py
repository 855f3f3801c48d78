"""The watched reps of one lifter, read as they arrive: narrower than the whole record, because a key waits for it.

It asks the event table itself and not the coach's views: only the kinds that a
watched set is made of, of one lifter, some lifts and the days that still weigh.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from datetime import UTC, date, datetime, time, timedelta
from typing import Any

import duckdb

from floor.core.course import watched_cells
from floor.core.evidence.formlimit import FORGOTTEN, HALF_LIFE, Cell
from floor.core.gym import Grade
from floor.core.past import SetPast
from floor.journal.definitions import UNDONE
from floor.journal.more_views import local
from floor.journal.past import ReadOnly

_OPENED = f"""
SELECT cmd, session, CAST({local("happened")} AS DATE) FROM event WHERE kind = 'session_opened' AND happened >= ?
"""

_SAID = """
SELECT cmd, session, set_no, kind, lift, "load", grade, reps, missed, rep, fault FROM event
WHERE lifter = ? AND kind IN ('set_ended', 'set_recorded', 'set_put_right', 'fault_seen', 'fault_withdrawn')
  AND lift IN ({}) AND happened >= ? ORDER BY seq
"""
"""Rows as they were recorded: put together here, which is ten times quicker than in the statement."""


def read_form(
    cursor: duckdb.DuckDBPyConnection, lifter: int, lifts: Sequence[str], today: date
) -> tuple[tuple[str, tuple[Cell, ...]], ...]:
    """The watched reps of a lifter on some lifts, counted by day and load: what a form limit rests on.

    Raises JournalError; the caller closes the cursor.
    """
    oldest = today - timedelta(days=int(HALF_LIFE * FORGOTTEN))
    since = _midnight(oldest)
    with ReadOnly(cursor) as reading:
        undone = {cmd for (cmd,) in reading.rows(UNDONE, [])}
        opened = ((session, day) for cmd, session, day in reading.rows(_OPENED, [since]) if cmd not in undone)
        days = {session: day for session, day in opened if day >= oldest}
        said = reading.rows(_SAID.format(", ".join("?" for _ in lifts)), [lifter, *lifts, since])
        rows = [row for cmd, *row in said if cmd not in undone and row[0] in days]
    sets = _put_together(rows, lifter, days)
    return tuple((lift, watched_cells((s for s in sets if s.lift == lift), today)) for lift in lifts)


def _midnight(day: date) -> datetime:
    """A moment no later than the day begins anywhere."""
    return datetime.combine(day - timedelta(days=1), time(), UTC)


def _put_together(rows: Iterable[Sequence[Any]], lifter: int, days: Mapping[int, date]) -> list[SetPast]:
    """The watched sets these rows leave: what was said last holds, a fault withdrawn is gone."""
    told: dict[tuple[int, int], tuple[str, int, int, int, str]] = {}
    marked: dict[tuple[int, int], Counter[tuple[int, str]]] = {}
    for session, set_no, kind, lift, load, grade, reps, missed, rep, fault in rows:
        key = (session, set_no)
        if kind in ("fault_seen", "fault_withdrawn"):
            marked.setdefault(key, Counter())[rep, fault] += 1 if kind == "fault_seen" else -1
        elif load is not None and grade is not None:
            told[key] = (lift, load, reps or 0, missed or 0, grade)
    return [
        SetPast(
            session, days[session], lifter, lift, set_no, None, load, made, missed, Grade(grade),
            faults=tuple(seen for seen, times in marked.get((session, set_no), Counter()).items() if times > 0),
        )
        for (session, set_no), (lift, load, made, missed, grade) in told.items()
    ]
