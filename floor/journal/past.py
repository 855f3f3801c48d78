"""The record as the lifter's screen needs it: a few statements in one transaction.

They use the coach's views' own text over fewer events: what stands is first cut
to one lifter, or to the latest sessions, and only then put together, which is
several times faster than asking the views and then leaving most of it out.
Still tens of milliseconds: for a thread of its own, with `journal.cursor()`.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from datetime import date
from typing import Any

import duckdb

from floor.core.gym import Grade
from floor.core.past import (
    CuePast,
    LifterPast,
    PlanPast,
    ProposalPast,
    SetPast,
    StagePast,
)  # fmt: skip
from floor.journal.database import first_line
from floor.journal.errors import JournalError
from floor.journal.more_views import local
from floor.journal.views import COUNTING, LIFTING, MARKING, PLANNING, PROPOSING, VIEWS

_AT_ONCE = 1000
"""Rows fetched at a time, so that other threads get their turn."""

PARTS = ", ".join(f'"{name}" AS ({VIEWS[name]})' for name in ("planned_sets", "lifted", "seen_faults"))
"""The views' parts that sets are made of, to stand after `standing` in a WITH."""

GRADED = tuple(kind for kind in (*PLANNING, *LIFTING) if kind not in COUNTING)
"""The kinds that tell of a graded work set: the grade comes with the reps, so that those counted are not needed."""

DONE = (*GRADED, *PROPOSING, "ramp_done", *MARKING)
"""The kinds that tell of all sets that were done, ramps and faults too."""

IS_DONE = 'l.grade IS NOT NULL AND l."load" IS NOT NULL'
"""A row of `lifted AS l` is a set that was done, not one that still runs."""

WORK = "coalesce(\"role\", '') <> 'ramp'"
"""Not SetPast.ramp."""

STRONG = "grade NOT IN ('rough', 'broken') AND missed = 0 AND made > 0"
"""SetPast.strong."""

SETS = f"""
SELECT l.session, l.lifter, l.lift, l.set_no, l."role", l."load", l.made, l.missed, l.grade, l.stage, f.reps, f.faults
FROM lifted AS l LEFT JOIN (
    SELECT session, lifter, set_no, list(rep ORDER BY rep, fault) AS reps, list(fault ORDER BY rep, fault) AS faults
    FROM seen_faults GROUP BY session, lifter, set_no
) AS f USING (session, lifter, set_no)
WHERE {IS_DONE}
ORDER BY l.session, l.began, l.seq, l.set_no
"""

_DAY = f"CAST({local('happened')} AS DATE)"

_CAME = """
SELECT DISTINCT session, lifter FROM main.standing WHERE kind = 'lifter_arrived' AND {} ORDER BY session, lifter
"""

_STAGES = f"""
SELECT {_DAY}, lift, stage FROM main.standing WHERE kind = 'stage_set' AND lifter = ? ORDER BY seq
"""

_PLANS = f"""
SELECT {_DAY}, lift, "sets", reps, "load", was, "rule", "count", suggested, CASE WHEN suggested <> '' THEN "action" END
FROM main.standing WHERE kind = 'next_planned' AND lifter = ? ORDER BY seq
"""

_PROPOSALS = """
WITH told AS (
    SELECT session, lift, set_no, "action", was, "load", "rule", seq, kind,
           count(*) FILTER (kind = 'set_proposed') OVER (PARTITION BY session, lift ORDER BY seq) AS turn
    FROM main.standing WHERE kind IN ('set_proposed', 'proposal_overruled') AND lifter = ?
)
SELECT session, lift,
       arg_max(set_no, seq) FILTER (kind = 'set_proposed'), arg_max("action", seq) FILTER (kind = 'set_proposed'),
       arg_max(was, seq) FILTER (kind = 'set_proposed'), arg_max("load", seq) FILTER (kind = 'set_proposed'),
       arg_max("rule", seq) FILTER (kind = 'set_proposed'),
       arg_max("action", seq) FILTER (kind = 'proposal_overruled'),
       arg_max("load", seq) FILTER (kind = 'proposal_overruled')
FROM told WHERE turn > 0 GROUP BY session, lift, turn ORDER BY min(seq)
"""


_CUES = """
SELECT session, lift, set_no, fault FROM main.standing WHERE kind = 'cue_set' AND lifter = ? ORDER BY seq
"""


def read_lifter(cursor: duckdb.DuckDBPyConnection, lifter: int) -> LifterPast:
    """Everything recorded of one lifter. Raises JournalError; the caller closes the cursor."""
    with ReadOnly(cursor) as reading:
        days = reading.days()
        return LifterPast(
            lifter,
            came=tuple(sorted(days[session] for session, _ in reading.rows(_CAME.format("lifter = ?"), [lifter]))),
            sets=by_day(one_set(row, days) for row in reading.rows(_over("lifter = ?") + SETS, [lifter])),
            proposals=tuple(
                ProposalPast(session, days[session], *row)
                for session, *row in reading.rows(_PROPOSALS, [lifter])
            ),
            stages=tuple(StagePast(*row) for row in reading.rows(_STAGES, [lifter])),
            plans=tuple(PlanPast(*row) for row in reading.rows(_PLANS, [lifter])),
            cues=tuple(
                CuePast(session, days[session], *row) for session, *row in reading.rows(_CUES, [lifter])
            ),
        )


def _over(condition: str) -> str:
    """The views' parts of sets, over the standing events that meet a condition with one parameter."""
    return f"WITH standing AS (SELECT * FROM main.standing WHERE {condition} AND kind IN {DONE}), {PARTS}"


def by_day(sets: Iterator[SetPast]) -> tuple[SetPast, ...]:
    """Oldest day first: days brought in later have later session numbers."""
    return tuple(sorted(sets, key=lambda one: one.evening))


def one_set(row: Sequence[Any], days: Mapping[int, date]) -> SetPast:
    """A row of SETS as a value."""
    session, lifter, lift, set_no, role, load, made, missed, grade, stage, reps, faults = row
    seen = tuple(zip(reps or (), faults or (), strict=True))
    return SetPast(session, days[session], lifter, lift, set_no, role, load, made, missed, Grade(grade), stage, seen)


class ReadOnly:
    """One read-only transaction; DuckDB's errors leave it as a JournalError."""

    def __init__(self, cursor: duckdb.DuckDBPyConnection) -> None:
        self._cursor = cursor

    def __enter__(self) -> ReadOnly:
        try:
            self._cursor.execute("BEGIN TRANSACTION READ ONLY")
        except duckdb.Error as error:
            raise JournalError(f"The record can't be read: {first_line(error)}.") from error
        return self

    def days(self) -> dict[int, date]:
        """The gym's own date of every session, by its number."""
        return dict(self.rows("SELECT session, evening FROM main.evenings ORDER BY session", []))

    def rows(self, sql: str, parameters: Sequence[object]) -> Iterator[tuple[Any, ...]]:
        """The rows, a thousand at a time."""
        self._cursor.execute(sql, parameters)
        while rows := self._cursor.fetchmany(_AT_ONCE):
            yield from rows

    def __exit__(self, kind: object, error: BaseException | None, trace: object) -> None:
        if isinstance(error, duckdb.Error):
            raise JournalError(f"The record can't be read: {first_line(error)}.") from error
        if error is None:
            self._cursor.execute("ROLLBACK")
