"""The evenings a lift's load was repeated after, read as the lifter arrives: two narrow statements, for a key waits.

Like the watched reps it asks the event table itself, and puts the rows together here.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from typing import Any

import duckdb

from floor.core.gym import Grade
from floor.core.repeats import counted, evening
from floor.core.state import Repeat
from floor.journal.definitions import UNDONE
from floor.journal.past import ReadOnly

_PLANS = """
SELECT cmd, lift, session, "count", "rule" FROM event
WHERE lifter = ? AND kind = 'next_planned' AND lift IN ({}) ORDER BY seq
"""

_SETS = """
SELECT cmd, session, lift, set_no, kind, "role", "load", reps, grade FROM event
WHERE lifter = ? AND kind IN ('set_planned', 'set_ended', 'set_recorded', 'set_put_right')
  AND lift IN ({}) AND session IN ({}) ORDER BY seq
"""


def read_repeats(
    cursor: duckdb.DuckDBPyConnection, lifter: int, lifts: Sequence[str]
) -> tuple[tuple[str, tuple[Repeat, ...]], ...]:
    """Lift and the evenings that its load was repeated after, oldest first; lifts without any are left out.

    Loads are hundredths of the gym's unit. Raises JournalError; the caller closes the cursor.
    """
    with ReadOnly(cursor) as reading:
        undone = {cmd for (cmd,) in reading.rows(UNDONE, [])}
        plans: dict[str, list[tuple[int | None, int, str]]] = defaultdict(list)
        for cmd, lift, *plan in reading.rows(_PLANS.format(_marks(lifts)), [lifter, *lifts]):
            if cmd not in undone:
                plans[lift].append((plan[0], plan[1], plan[2]))
        runs = {lift: counted(told) for lift, told in plans.items()}
        sessions = sorted({session for run in runs.values() for session in run})
        rows: list[Sequence[Any]] = []
        if sessions:
            told = reading.rows(_SETS.format(_marks(lifts), _marks(sessions)), [lifter, *lifts, *sessions])
            rows = [row for cmd, *row in told if cmd not in undone]
    evenings = _put_together(rows)
    found = ((lift, tuple(evenings[lift, s] for s in run if (lift, s) in evenings)) for lift, run in runs.items())
    return tuple((lift, told) for lift, told in found if told)


def _marks(values: Sequence[object]) -> str:
    return ", ".join("?" for _ in values)


def _put_together(rows: Iterable[Sequence[Any]]) -> dict[tuple[str, int], Repeat]:
    """The evening by (lift, session): of each planned work set what was said last holds."""
    asked: dict[tuple[int, int], int] = {}
    done: dict[tuple[int, int], tuple[str, int, int, Grade]] = {}
    for session, lift, set_no, kind, role, load, reps, grade in rows:
        if kind == "set_planned":
            if role != "ramp":
                asked[session, set_no] = reps
        elif load is not None and grade is not None:
            done[session, set_no] = (lift, load, reps or 0, Grade(grade))
    sets: dict[tuple[str, int], list[tuple[int, int, int, Grade | None]]] = defaultdict(list)
    for key, (lift, load, made, grade) in done.items():
        if key in asked:
            sets[lift, key[0]].append((load, min(made, asked[key]), asked[key], grade))
    return {key: found for key, told in sets.items() if (found := evening(told)) is not None}
