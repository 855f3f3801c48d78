"""How long sets have taken in this gym, by lift and reps: what a plan of tonight rests on."""

from __future__ import annotations

import duckdb

from floor.core.pace import Pace
from floor.journal.definitions import UNDONE
from floor.journal.past import ReadOnly

LEAST, MOST = 5, 300
"""Seconds of a set; what is shorter or longer was keyed in late and says nothing of how long it took."""
FACTOR = 2
"""A set that took more than that many times the median of its lift and reps, or less than that part of it, is left
out too: a key forgotten, a talk at the bar. No source."""

_SETS = f"""
WITH told AS (
    SELECT arg_max(lift, seq) FILTER (kind = 'set_started') AS lift,
           arg_max(reps, seq) FILTER (kind = 'set_started') AS reps,
           arg_max(reps, seq) FILTER (kind IN ('set_ended', 'set_put_right')) AS made,
           arg_max(grade, seq) FILTER (kind IN ('set_ended', 'set_put_right')) AS grade,
           epoch(max(happened) FILTER (kind IN ('rep_made', 'rep_missed', 'reps_made')))
               - epoch(max(happened) FILTER (kind = 'set_started')) AS lasted
    FROM event
    WHERE kind IN ('set_started', 'rep_made', 'rep_missed', 'reps_made', 'set_ended', 'set_put_right')
      AND cmd NOT IN ({UNDONE})
    GROUP BY session, lifter, set_no
), timed AS (
    SELECT lift, reps, lasted, median(lasted) OVER (PARTITION BY lift, reps) AS middle FROM told
    WHERE lift IS NOT NULL AND made = reps AND grade <> 'unseen' AND lasted BETWEEN {LEAST} AND {MOST}
)
SELECT lift, reps, avg(lasted), count(*) FROM timed
WHERE lasted BETWEEN middle / {FACTOR} AND middle * {FACTOR}
GROUP BY lift, reps ORDER BY lift, reps
"""


def read_pace(cursor: duckdb.DuckDBPyConnection) -> Pace:
    """The mean seconds from the start of a set to its last rep, by lift and reps planned, and of how many sets.

    Only watched sets with all their reps count; what was taken back and what lies far out (`FACTOR`) does not.
    Raises JournalError; the caller closes the cursor.
    """
    with ReadOnly(cursor) as reading:
        rows = reading.rows(_SETS, [])
        return Pace(learned={(lift, reps): (float(mean), count) for lift, reps, mean, count in rows})
