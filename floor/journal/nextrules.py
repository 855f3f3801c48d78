"""How often each rule between sessions planned next time, and how often the coach planned otherwise."""

from __future__ import annotations

from floor.core.nexttime import BY_HAND, IMPORTED, VERSION
from floor.core.past import RuleCount
from floor.journal.past import ReadOnly

_COUNTS = f"""
WITH told AS (
    SELECT lifter, lift, "rule", "definition", "action", suggested, seq,
           count(*) FILTER ("rule" NOT IN ('{BY_HAND}', '{IMPORTED}'))
               OVER (PARTITION BY lifter, lift ORDER BY seq) AS turn
    FROM event
    WHERE kind = 'next_planned' AND seq >= ? AND (session >= ? OR session IS NULL) AND cmd NOT IN (
        SELECT undoes FROM event WHERE kind = 'undone' AND undoes IS NOT NULL AND seq >= ?
    )
), one AS (
    SELECT arg_min("rule", seq) AS "rule", arg_min("definition", seq) AS version,
           arg_max("action", seq) FILTER ("rule" = '{BY_HAND}' AND suggested IS NOT NULL) AS overruled
    FROM told WHERE turn > 0 GROUP BY lifter, lift, turn
)
SELECT "rule", overruled, count(*) FROM one WHERE version = ? GROUP BY ALL ORDER BY ALL
"""
"""A turn is a rule's plan and whatever the coach planned in its place, tonight or on a later day without a session."""


def next_counts(reading: ReadOnly, first: int) -> tuple[RuleCount, ...]:
    """The answers to the rules between sessions as they are now, over the sessions from number `first` on."""
    low = next(reading.rows("SELECT min(seq) FROM event WHERE session >= ?", [first]))[0] or 0
    return tuple(RuleCount(*row) for row in reading.rows(_COUNTS, [low, first, low, VERSION]))
