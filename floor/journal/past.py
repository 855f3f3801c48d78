"""The record as the week's and the lifter's screens need it: a few statements in one transaction.

They use the coach's views' own text over fewer events: what stands is first cut
to one lifter, or to the latest sessions, and only then put together, which is
several times faster than asking the views and then leaving most of it out.
Still tens of milliseconds: for a thread of its own, with `journal.cursor()`.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from datetime import date, timedelta
from typing import Any

import duckdb

from floor.core.evidence.trend import WINDOW_DAYS
from floor.core.gym import Grade
from floor.core.past import (
    NO_PAST,
    Best,
    Came,
    CuePast,
    LifterPast,
    PlanPast,
    ProposalPast,
    RuleCount,
    SetPast,
    StagePast,
    WeekPast,
)  # fmt: skip
from floor.core.proposals import RULES_VERSION
from floor.journal.database import first_line
from floor.journal.errors import JournalError
from floor.journal.more_views import local
from floor.journal.views import VIEWS

TWO_WEEKS = 14
"""Days of the two weeks, the latest evening among them."""

_AT_ONCE = 1000
"""Rows fetched at a time, so that other threads get their turn."""

_PARTS = ", ".join(f'"{name}" AS ({VIEWS[name]})' for name in ("planned_sets", "lifted", "seen_faults"))

_STRONG = "grade IN ('sharp', 'sound') AND missed = 0 AND made > 0 AND coalesce(\"role\", '') <> 'ramp'"
"""SetPast.strong, of a work set."""

_SETS = """
SELECT l.session, l.lifter, l.lift, l.set_no, l."role", l."load", l.made, l.missed, l.grade, l.stage, f.reps, f.faults
FROM lifted AS l LEFT JOIN (
    SELECT session, lifter, set_no, list(rep ORDER BY rep, fault) AS reps, list(fault ORDER BY rep, fault) AS faults
    FROM seen_faults GROUP BY session, lifter, set_no
) AS f USING (session, lifter, set_no)
WHERE l.grade IS NOT NULL AND l."load" IS NOT NULL
ORDER BY l.session, l.began, l.seq, l.set_no
"""

_BESTS = f"""
SELECT session, lifter, lift, made, max("load") FROM lifted WHERE {_STRONG}
GROUP BY session, lifter, lift, made ORDER BY session, lifter, lift, made
"""

_DAY = f"CAST({local('happened')} AS DATE)"

_CAME = """
SELECT DISTINCT session, lifter FROM main.standing WHERE kind = 'lifter_arrived' AND {} ORDER BY session, lifter
"""

_STAGES = f"""
SELECT {_DAY}, lift, stage FROM main.standing WHERE kind = 'stage_set' AND lifter = ? ORDER BY seq
"""

_PLANS = f"""
SELECT {_DAY}, lift, "sets", reps, "load", was, "rule", "count"
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

EVENINGS = 500
"""How many of the latest evenings the rules are counted over: three years of three a week."""

_RULES = f"""
WITH told AS (
    SELECT session, lifter, lift, "action", "rule", "definition", seq, kind,
           count(*) FILTER (kind = 'set_proposed') OVER (PARTITION BY session, lifter, lift ORDER BY seq) AS turn
    FROM main.standing
    WHERE kind IN ('set_proposed', 'proposal_overruled') AND session > (SELECT max(session) FROM event) - {EVENINGS}
), one AS (
    SELECT arg_max("rule", seq) FILTER (kind = 'set_proposed') AS "rule",
           arg_max("definition", seq) FILTER (kind = 'set_proposed') AS version,
           arg_max("action", seq) FILTER (kind = 'proposal_overruled') AS overruled
    FROM told WHERE turn > 0 GROUP BY session, lifter, lift, turn
)
SELECT "rule", overruled, count(*) FROM one WHERE version = ? GROUP BY ALL ORDER BY ALL
"""


def read_lifter(cursor: duckdb.DuckDBPyConnection, lifter: int) -> LifterPast:
    """Everything recorded of one lifter. Raises JournalError; the caller closes the cursor."""
    with ReadOnly(cursor) as reading:
        days = reading.days()
        return LifterPast(
            lifter,
            came=tuple(sorted(days[session] for session, _ in reading.rows(_CAME.format("lifter = ?"), [lifter]))),
            sets=_by_day(_set(row, days) for row in reading.rows(_over("lifter = ?") + _SETS, [lifter])),
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


def read_week(cursor: duckdb.DuckDBPyConnection) -> WeekPast:
    """The two weeks up to the latest evening, and the bests of WINDOW_DAYS. Raises JournalError."""
    with ReadOnly(cursor) as reading:
        days = reading.late_days(WINDOW_DAYS + TWO_WEEKS)
        last = max(days.values(), default=None)
        if last is None:
            return NO_PAST
        recent = {session: day for session, day in days.items() if day > last - timedelta(days=TWO_WEEKS)}
        trend = {session: day for session, day in days.items() if day > last - timedelta(days=WINDOW_DAYS)}
        first = min(recent)
        over = _over("session >= ? AND lifter IS NOT NULL")
        return WeekPast(
            last=last,
            rules=tuple(RuleCount(*row) for row in reading.rows(_RULES, [RULES_VERSION])),
            evenings=tuple(recent.items()),
            came=tuple(
                Came(session, recent[session], lifter)
                for session, lifter in reading.rows(_CAME.format("session >= ?"), [first])
                if session in recent
            ),
            sets=_by_day(_set(row, recent) for row in reading.rows(over + _SETS, [first]) if row[0] in recent),
            bests=tuple(
                Best(trend[session], *row)
                for session, *row in reading.rows(over + _BESTS, [min(trend)])
                if session in trend
            ),
        )


def _over(condition: str) -> str:
    """The views' parts over the standing events that meet a condition with one parameter."""
    return f"WITH standing AS (SELECT * FROM main.standing WHERE {condition}), {_PARTS}"


def _by_day(sets: Iterator[SetPast]) -> tuple[SetPast, ...]:
    """Oldest day first: days brought in later have later session numbers."""
    return tuple(sorted(sets, key=lambda one: one.evening))


def _set(row: Sequence[Any], days: Mapping[int, date]) -> SetPast:
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

    def late_days(self, back: int) -> dict[int, date]:
        """The same of the evenings of the last so many days; of all when none of those stands."""
        latest = list(self.rows("SELECT max(happened) FROM event WHERE kind = 'session_opened'", []))[0][0]
        if latest is None:
            return {}
        recent = "(SELECT * FROM main.standing WHERE happened > ?)"
        query = VIEWS["evenings"].replace("FROM standing", f"FROM {recent}")
        return dict(self.rows(f"{query} ORDER BY session", [latest - timedelta(days=back)])) or self.days()

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
