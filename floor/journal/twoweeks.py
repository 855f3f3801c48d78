"""The record as the week's screen needs it, in two readings: the two weeks, then what trends are judged by.

A session's rows stand together and an undoing comes after what it undoes, so
both look at the rows from the first session of theirs on and at no others: how
many years lie before makes hardly a difference.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date, datetime, timedelta

import duckdb

from floor.core.evidence.trend import WINDOW_DAYS
from floor.core.maxima import heaviest
from floor.core.past import NO_PAST, WEEK, Best, Came, LiftSum, RuleCount, Top, WeekPast
from floor.core.proposals import RULES_VERSION
from floor.journal.nextrules import next_counts
from floor.journal.past import DONE, GRADED, IS_DONE, PARTS, STRONG, WORK, ReadOnly
from floor.journal.views import PROPOSING, VIEWS

BACK = WINDOW_DAYS + 2 * WEEK.days
"""Days of evenings that are looked through for the latest: more than are needed, if the very latest was undone."""

EVENINGS = 500
"""How many of the latest evenings the rules are counted over: three years of three a week."""

_BESTS = f"""
SELECT session, lifter, lift, made, max("load"), {STRONG} AS strong FROM lifted AS l WHERE {IS_DONE} AND {WORK}
GROUP BY session, lifter, lift, made, strong ORDER BY session, lifter, lift, made, strong
"""

_SUMS = f"""
, seen AS (
    SELECT session, lifter, set_no, greatest(count(DISTINCT rep) FILTER (rep > 0), 1) AS reps
    FROM seen_faults GROUP BY ALL
), done AS (
    SELECT l.*, l.made + l.missed AS tried, least(coalesce(f.reps, 0), tried) AS faulty
    FROM lifted AS l LEFT JOIN seen AS f USING (session, lifter, set_no) WHERE {IS_DONE}
), by_reps AS (
    SELECT "before", session, lifter, lift, made, max("load") FILTER ({WORK} AND made > 0) AS top,
           max("load") FILTER ({WORK} AND {STRONG}) AS best, max("load") FILTER ({WORK} AND NOT ({STRONG})) AS other,
           sum("load"::BIGINT * made) AS moved, sum(missed) AS missed,
           sum(faulty) FILTER (grade <> 'unseen') AS faulty, sum(tried) FILTER (grade <> 'unseen') AS watched
    FROM done JOIN weeks USING (session) GROUP BY ALL
)
SELECT lifter, lift, "before", max((top, made)) FILTER (top IS NOT NULL), sum(moved)::BIGINT, sum(missed)::BIGINT,
       coalesce(sum(faulty), 0)::BIGINT, coalesce(sum(watched), 0)::BIGINT,
       coalesce(list((session, made, best, true)) FILTER (best IS NOT NULL), [])
       || coalesce(list((session, made, other, false)) FILTER (other IS NOT NULL), [])
FROM by_reps GROUP BY lifter, lift, "before" ORDER BY lifter, lift, "before"
"""
"""A row a LiftSum, the bests of its week with it. `faulty` of a set is SetPast.faulty, `tried` is SetPast.tried.

Added up by number of reps first, so that the sets are put together once for the sums and for the bests.
"""

_CAME = "SELECT DISTINCT session, lifter FROM standing WHERE kind = 'lifter_arrived' ORDER BY session, lifter"

_RULES = """
, told AS (
    SELECT session, lifter, lift, "action", "rule", "definition", seq, kind,
           count(*) FILTER (kind = 'set_proposed') OVER (PARTITION BY session, lifter, lift ORDER BY seq) AS turn
    FROM standing WHERE kind IN ('set_proposed', 'proposal_overruled')
), one AS (
    SELECT arg_max("rule", seq) FILTER (kind = 'set_proposed') AS "rule",
           arg_max("definition", seq) FILTER (kind = 'set_proposed') AS version,
           arg_max("action", seq) FILTER (kind = 'proposal_overruled') AS overruled
    FROM told WHERE turn > 0 GROUP BY session, lifter, lift, turn
)
SELECT "rule", overruled, count(*) FROM one WHERE version = ? GROUP BY ALL ORDER BY ALL
"""


def read_week(cursor: duckdb.DuckDBPyConnection) -> WeekPast:
    """The two weeks up to the latest evening, and the bests of WINDOW_DAYS. Raises JournalError."""
    return read_trends(cursor, read_two_weeks(cursor))


def read_two_weeks(cursor: duckdb.DuckDBPyConnection) -> WeekPast:
    """The two weeks and the bests in them, enough for all but the trends. Raises JournalError."""
    with ReadOnly(cursor) as reading:
        days = _late_days(reading)
        if not days:
            return NO_PAST
        past = WeekPast(last=max(days.values()), evenings=tuple(days.items()))
        weeks = {session: before for before in (False, True) for session in past.sessions(before)}
        first = min(weeks)
        arrived = reading.rows(_standing(reading, first, ("lifter_arrived",)) + _CAME, [])
        came = tuple(Came(session, days[session], lifter) for session, lifter in arrived if session in weeks)
        listed = ", ".join(f"({session}, {before})" for session, before in weeks.items())
        weekly = f'weeks(session, "before") AS (VALUES {listed})'
        lifts, bests = [], []
        for lifter, lift, before, top, *sums, best in reading.rows(
            f"{_standing(reading, first, DONE)}, {weekly}, {PARTS} {_SUMS}", []
        ):
            lifts.append(LiftSum(lifter, lift, before, Top(*top) if top else None, *sums))
            bests += [Best(days[session], lifter, lift, *one) for session, *one in best]
        return replace(past, came=came, lifts=tuple(lifts), bests=tuple(bests))


def read_trends(cursor: duckdb.DuckDBPyConnection, past: WeekPast) -> WeekPast:
    """The same two weeks with the bests of WINDOW_DAYS and the rules' answers. Raises JournalError."""
    if past.last is None:
        return past
    start = past.last - timedelta(days=WINDOW_DAYS)
    days = {session: day for session, day in past.evenings if day > start}
    with ReadOnly(cursor) as reading:
        latest = list(reading.rows("SELECT max(session) FROM event", []))[0][0]
        told = _standing(reading, latest - EVENINGS + 1, PROPOSING)
        counts = tuple(RuleCount(*row) for row in reading.rows(told + _RULES, [RULES_VERSION]))
        counts += next_counts(reading, latest - EVENINGS + 1)
        rows = reading.rows(f"{_standing(reading, min(days), GRADED)}, {PARTS} {_BESTS}", [])
        bests = (Best(days[session], *row) for session, *row in rows if session in days)
        return replace(past, rules=counts, bests=heaviest(bests))


def _late_days(reading: ReadOnly) -> dict[int, date]:
    """The gym's own date of the evenings of the last BACK days; of all when none of those stands.

    Counted from the latest evening that was ever opened, undone or not.
    """
    opened = "SELECT max(happened) FROM event WHERE kind = 'session_opened'"
    moment = _moment(reading, "SELECT max(happened) FROM event")
    if moment is None:
        return {}
    near = f"{opened} AND happened > '{(moment - timedelta(days=BACK)).isoformat()}'"
    latest = _moment(reading, near) or _moment(reading, opened)
    if latest is None:
        return {}
    late = f"kind = 'session_opened' AND happened > '{(latest - timedelta(days=BACK)).isoformat()}'"
    low = list(reading.rows(f"SELECT min(seq) FROM event WHERE {late}", []))[0][0] or 0
    recent = f"(SELECT * FROM event WHERE {late} AND seq >= {low} AND cmd NOT IN ({_undone(low)}))"
    query = VIEWS["evenings"].replace("FROM standing", f"FROM {recent}")
    return dict(reading.rows(f"{query} ORDER BY session", [])) or reading.days()


def _moment(reading: ReadOnly, sql: str) -> datetime | None:
    found: datetime | None = list(reading.rows(sql, []))[0][0]
    return found


def _standing(reading: ReadOnly, first: int, kinds: Sequence[str]) -> str:
    """WITH standing: what stands of the sessions from number `first` on, of any lifter, these kinds alone."""
    low = list(reading.rows(f"SELECT min(seq) FROM event WHERE session >= {int(first)}", []))[0][0] or 0
    some = ", ".join(f"'{kind}'" for kind in kinds)
    return (
        f"WITH standing AS (SELECT * FROM event WHERE seq >= {low} AND session >= {int(first)} "
        f"AND lifter IS NOT NULL AND kind IN ({some}) AND cmd NOT IN ({_undone(low)}))"
    )


def _undone(low: int) -> str:
    """The commands taken back from row `low` on: an undoing comes after what it undoes."""
    return f"SELECT undoes FROM event WHERE kind = 'undone' AND undoes IS NOT NULL AND seq >= {low}"
