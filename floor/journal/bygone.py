"""What the record holds of the days a history is brought in for: so that nothing is taken twice."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date

import duckdb

from floor.core.apply.brought import BROUGHT
from floor.journal.database import first_line
from floor.journal.errors import JournalError

Known = tuple[date, int, str, int, int, int]
"""Day, lifter, lift, load in hundredths, reps made, reps missed."""


@dataclass(frozen=True, slots=True)
class Bygone:
    """`counts` says how often a set is recorded; `sessions` which session an import made for a day.

    `came` and `last_set` are of those sessions: who came, and the number of the
    lifter's last set. `heaviest` is over the whole record, by lifter and lift.
    """

    counts: dict[Known, int] = field(default_factory=dict)
    sessions: dict[date, int] = field(default_factory=dict)
    came: dict[int, tuple[int, ...]] = field(default_factory=dict)
    last_set: dict[tuple[int, int], int] = field(default_factory=dict)
    heaviest: dict[tuple[int, str], int] = field(default_factory=dict)


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
    )
