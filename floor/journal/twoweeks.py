"""The record as the week's screen needs it, in two readings: the two weeks, then what trends are judged by.

A session's rows stand together and an undoing comes after what it undoes, so
both look at the rows from the first session of theirs on and at no others: how
many years lie before makes hardly a difference.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime, timedelta

import duckdb

from floor.core.course import bests
from floor.core.evidence.trend import WINDOW_DAYS
from floor.core.past import NO_PAST, Best, Came, RuleCount, WeekPast
from floor.core.proposals import RULES_VERSION
from floor.journal.past import PARTS, SETS, STRONG, ReadOnly, by_day, one_set
from floor.journal.views import VIEWS

TWO_WEEKS = 14
"""Days of the two weeks, the latest evening among them."""

BACK = WINDOW_DAYS + TWO_WEEKS
"""Days of evenings that are looked through for the latest: more than are needed, if the very latest was undone."""

EVENINGS = 500
"""How many of the latest evenings the rules are counted over: three years of three a week."""

_BESTS = f"""
SELECT session, lifter, lift, made, max("load") FROM lifted WHERE {STRONG}
GROUP BY session, lifter, lift, made ORDER BY session, lifter, lift, made
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
        last = max(days.values(), default=None)
        if last is None:
            return NO_PAST
        days = {session: day for session, day in days.items() if day > last - timedelta(days=TWO_WEEKS)}
        over = _standing(reading, min(days))
        came = tuple(
            Came(session, days[session], lifter)
            for session, lifter in reading.rows(over + _CAME, [])
            if session in days
        )
        rows = reading.rows(f"{over}, {PARTS} {SETS}", [])
        sets = by_day(one_set(row, days) for row in rows if row[0] in days)
        return WeekPast(last=last, evenings=tuple(days.items()), came=came, sets=sets, bests=bests(sets))


def read_trends(cursor: duckdb.DuckDBPyConnection, past: WeekPast) -> WeekPast:
    """The same two weeks with the bests of WINDOW_DAYS and the rules' answers. Raises JournalError."""
    if past.last is None:
        return past
    with ReadOnly(cursor) as reading:
        start = past.last - timedelta(days=WINDOW_DAYS)
        days = {session: day for session, day in _late_days(reading).items() if day > start}
        latest = list(reading.rows("SELECT max(session) FROM event", []))[0][0]
        rules = reading.rows(_standing(reading, latest - EVENINGS + 1) + _RULES, [RULES_VERSION])
        counts = tuple(RuleCount(*row) for row in rules)
        rows = reading.rows(f"{_standing(reading, min(days, default=0))}, {PARTS} {_BESTS}", [])
        strong = tuple(Best(days[session], *row) for session, *row in rows if session in days)
        return replace(past, rules=counts, bests=strong)


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
    since = (latest - timedelta(days=BACK)).isoformat()
    undone = (
        "SELECT undoes FROM event WHERE kind = 'undone' AND undoes IS NOT NULL "
        f"AND seq > (SELECT min(seq) FROM event WHERE kind = 'session_opened' AND happened > '{since}')"
    )
    recent = (
        "(SELECT * FROM event WHERE kind = 'session_opened' "
        f"AND happened > '{since}' AND cmd NOT IN ({undone}))"
    )
    query = VIEWS["evenings"].replace("FROM standing", f"FROM {recent}")
    return dict(reading.rows(f"{query} ORDER BY session", [])) or reading.days()


def _moment(reading: ReadOnly, sql: str) -> datetime | None:
    found: datetime | None = list(reading.rows(sql, []))[0][0]
    return found


def _standing(reading: ReadOnly, first: int) -> str:
    """WITH standing: what stands of the sessions from number `first` on, of any lifter."""
    low = list(reading.rows(f"SELECT min(seq) FROM event WHERE session >= {int(first)}", []))[0][0] or 0
    return (
        f"WITH standing AS (SELECT * FROM event WHERE seq >= {low} AND session >= {int(first)} "
        "AND lifter IS NOT NULL AND kind <> 'undone' AND cmd NOT IN (SELECT undoes FROM event "
        f"WHERE kind = 'undone' AND undoes IS NOT NULL AND seq >= {low}))"
    )
