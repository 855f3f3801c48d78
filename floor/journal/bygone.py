"""What the record holds of the days a history is brought in for: so that nothing is taken twice."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import date, datetime
from typing import Any

import duckdb

from floor.core.apply.brought import BROUGHT
from floor.core.gym import Grade
from floor.core.pastdays import PastDay, PastSet
from floor.journal.database import first_line
from floor.journal.errors import JournalError

Known = tuple[date, int, str, int, int, int]
"""Day, lifter, lift, load in hundredths, reps made, reps missed."""


@dataclass(frozen=True, slots=True)
class Bygone:
    """`counts` says how often a set is recorded; `sessions` which session an import made for a day.

    `came` and `last_set` are of those sessions: who came, and the number of the
    lifter's last set. `heaviest` is over the whole record, by lifter and lift.
    `rest_on` are the days that plans made by an earlier history rest on, with the
    sets of those lifts.
    """

    counts: dict[Known, int] = field(default_factory=dict)
    sessions: dict[date, int] = field(default_factory=dict)
    came: dict[int, tuple[int, ...]] = field(default_factory=dict)
    last_set: dict[tuple[int, int], int] = field(default_factory=dict)
    heaviest: dict[tuple[int, str], int] = field(default_factory=dict)
    rest_on: tuple[PastDay, ...] = ()


_REST_ON = """
WITH plan AS (
    SELECT lifter, lift, session, "rule" FROM standing WHERE kind = 'next_planned'
    QUALIFY seq = max(seq) OVER (PARTITION BY lifter, lift)
)
SELECT s.session, s.happened, s.lifter, s.lift, s.set_no, s."load", s.reps, s.missed, s.grade
FROM standing AS s JOIN plan AS p USING (session, lifter, lift)
WHERE s.kind = 'set_ended' AND s."rule" = $brought AND p."rule" = $brought
ORDER BY s.session, s.seq
"""


def read_bygone(cursor: duckdb.DuckDBPyConnection, first: date, last: date) -> Bygone:
    """The record of the days from `first` to `last`. Raises JournalError; the caller closes the cursor."""
    try:
        sets = cursor.execute(
            """
            SELECT e.evening, l.lifter, l.lift, l."load", l.made, l.missed, count(*)
            FROM lifted AS l JOIN evenings AS e USING (session)
            WHERE e.evening BETWEEN ? AND ? AND l.grade IS NOT NULL AND l."load" IS NOT NULL GROUP BY ALL
            """,
            [first, last],
        ).fetchall()
        opened = cursor.execute(
            """
            SELECT e.evening, e.session FROM standing AS s JOIN evenings AS e USING (session)
            WHERE s.kind = 'session_opened' AND s."rule" = ? AND e.evening BETWEEN ? AND ?
            """,
            [BROUGHT, first, last],
        ).fetchall()
        came = cursor.execute(
            "SELECT session, lifter FROM standing WHERE kind = 'lifter_arrived' AND \"rule\" = ? ORDER BY seq",
            [BROUGHT],
        ).fetchall()
        numbers = cursor.execute(
            "SELECT session, lifter, max(set_no) FROM standing WHERE kind = 'set_ended' AND \"rule\" = ? "
            "GROUP BY session, lifter",
            [BROUGHT],
        ).fetchall()
        heaviest = cursor.execute(
            'SELECT lifter, lift, max("load") FROM lifted WHERE lift IS NOT NULL AND "load" IS NOT NULL GROUP BY ALL'
        ).fetchall()
        rest_on = cursor.execute(_REST_ON, {"brought": BROUGHT}).fetchall()
    except duckdb.Error as error:
        raise JournalError(f"The record can't be read: {first_line(error)}.") from error
    arrived: dict[int, list[int]] = {}
    for session, lifter in came:
        arrived.setdefault(session, []).append(lifter)
    return Bygone(
        counts={tuple(row[:-1]): row[-1] for row in sets},
        sessions=dict(opened),
        came={session: tuple(lifters) for session, lifters in arrived.items()},
        last_set={(session, lifter): number for session, lifter, number in numbers},
        heaviest={(lifter, lift): load for lifter, lift, load in heaviest},
        rest_on=_days(rest_on),
    )


def _days(rows: Iterable[tuple[Any, ...]]) -> tuple[PastDay, ...]:
    sets: dict[tuple[datetime, int], list[PastSet]] = {}
    for session, noon, lifter, lift, number, load, made, missed, grade in rows:
        one = PastSet(lifter, lift, number, load, made, missed, Grade(grade))
        sets.setdefault((noon, session), []).append(one)
    return tuple(PastDay(noon, tuple(done), session) for (noon, session), done in sets.items())
