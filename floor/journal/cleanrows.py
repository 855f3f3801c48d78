"""The clean reps that a lifter's evenings before ended with, read as they arrive: the views' own sets, few of them."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import UTC, date, datetime, time, timedelta

import duckdb

from floor.core.cleanrows import earlier_row
from floor.core.gym import Lift
from floor.core.state import CleanRow
from floor.core.timeaway import FORTNIGHT
from floor.journal.past import DONE, PARTS, SETS, ReadOnly, one_set

EVENINGS = 4
"""Evenings that lie as far apart as can be are looked through for so many."""


def read_rows(
    cursor: duckdb.DuckDBPyConnection, lifter: int, asks: Sequence[tuple[Lift, int]], today: date
) -> tuple[tuple[str, CleanRow], ...]:
    """Lift and row for each (lift, stage) asked for; those without a clean rep are left out.

    Raises JournalError; the caller closes the cursor.
    """
    if not asks:
        return ()
    since = datetime.combine(today - timedelta(days=EVENINGS * FORTNIGHT), time(), UTC)
    lifts = [lift.id for lift, _ in asks]
    over = (
        "WITH standing AS (SELECT * FROM main.standing WHERE lifter = ? AND happened >= ? "
        f"AND lift IN ({', '.join('?' for _ in lifts)}) AND kind IN {DONE})"
    )
    with ReadOnly(cursor) as reading:
        days = reading.days()
        rows = reading.rows(f"{over}, {PARTS} {SETS}", [lifter, since, *lifts])
        past = [one_set(row, days) for row in rows if row[0] in days]
    found = ((lift.id, earlier_row(lift, stage, past, today)) for lift, stage in asks)
    return tuple((lift, row) for lift, row in found if row is not None)

