"""More of the coach's views: what was proposed, what was planned, who belongs to the gym, plates moved.

    proposals  one row a proposal after a set, with what the coach said instead, if anything
    plans      one row a time that next time was planned; `latest` marks the one that stands
    people     one row a lifter: the board name, since when, how often, when last
    changes    one row a set whose stack was recorded: plates off and on since the stack before
    cues       one row a time that what a lifter works on in a lift changed; fault empty when there is nothing more

They read `standing` and `evenings`, like those in views.py.
"""

from __future__ import annotations

NAME = "coalesce(p.board, 'Lifter ' || {}.lifter)"
"""A lifter's board name, or their number where the name was erased; `{}` is the table with the number."""


def local(time: str) -> str:
    """A time as the gym's own wall clock."""
    return f"timezone((SELECT value FROM meta WHERE key = 'zone'), {time})"


def load(column: str) -> str:
    """Hundredths as an exact decimal: a DECIMAL product stays one, a quotient would not."""
    return f"CAST({column} * 0.01 AS DECIMAL(9, 2))"


_PROPOSALS = f"""
WITH told AS (
    SELECT *, count(*) FILTER (kind = 'set_proposed') OVER (PARTITION BY session, lifter, lift ORDER BY seq) AS turn
    FROM standing WHERE kind IN ('set_proposed', 'proposal_overruled')
), made AS (
    SELECT session, lifter, lift, turn, min(seq) AS seq,
           arg_max(set_no, seq) FILTER (kind = 'set_proposed') AS set_no,
           arg_max("action", seq) FILTER (kind = 'set_proposed') AS "action",
           arg_max(was, seq) FILTER (kind = 'set_proposed') AS was,
           arg_max("load", seq) FILTER (kind = 'set_proposed') AS "load",
           arg_max("rule", seq) FILTER (kind = 'set_proposed') AS "rule",
           arg_max("action", seq) FILTER (kind = 'proposal_overruled') AS overruled,
           arg_max("load", seq) FILTER (kind = 'proposal_overruled') AS coach_load
    FROM told GROUP BY session, lifter, lift, turn
)
SELECT m.session, e.evening, {NAME.format("m")} AS lifter, m.lift, m.set_no, m."action", {load("m.was")} AS was,
       {load('m."load"')} AS "load", m."rule", m.overruled, {load("m.coach_load")} AS coach_load
FROM made AS m LEFT JOIN person AS p ON p.id = m.lifter LEFT JOIN evenings AS e USING (session)
ORDER BY m.session, m.seq
"""

_PLANS = f"""
SELECT n.session, CAST({local("n.happened")} AS DATE) AS evening, {NAME.format("n")} AS lifter, n.lift,
       n."sets", n.reps, {load('n."load"')} AS "load", {load("n.was")} AS was, n."rule", n."count" AS repeats,
       n.suggested AS instead_of,
       n.seq = max(n.seq) OVER (PARTITION BY n.lifter, n.lift) AS latest
FROM standing AS n LEFT JOIN person AS p ON p.id = n.lifter
WHERE n.kind = 'next_planned'
ORDER BY n.seq
"""

PEOPLE_OVER = f"""
WITH told AS (
    SELECT lifter, min(happened) FILTER (kind IN ('lifter_joined', 'lifter_arrived')) AS joined,
           arg_max("definition", seq) FILTER (kind = 'programme_given') AS programme,
           count(DISTINCT session) FILTER (kind = 'lifter_arrived') AS sessions,
           max(happened) FILTER (kind = 'lifter_arrived') AS came
    FROM {{facts}} AS f WHERE kind IN ('lifter_joined', 'programme_given', 'lifter_arrived') GROUP BY lifter
)
SELECT {NAME.format("f")} AS lifter, f.programme, CAST({{joined}} AS DATE) AS joined,
       f.sessions::INTEGER AS sessions, CAST({{came}} AS DATE) AS last_came
FROM told AS f LEFT JOIN {{person}} AS p ON p.id = f.lifter
ORDER BY 1
"""
"""One row a lifter, over any table of the three kinds; whoever a history brings in came before they had a number."""

_PEOPLE = PEOPLE_OVER.format(facts="standing", person="person", joined=local("f.joined"), came=local("f.came"))

_CHANGES = f"""
WITH stood AS (
    SELECT *, coalesce(lag(stack) OVER bars, []) AS before
    FROM standing WHERE kind IN ('set_started', 'set_recorded', 'bar_found') AND stack IS NOT NULL
    WINDOW bars AS (PARTITION BY session, station, bar ORDER BY seq)
), kept AS (
    SELECT *, len(list_filter(range(1, least(len(before), len(stack)) + 1), lambda n: before[1:n] = stack[1:n])) AS same
    FROM stood WHERE kind <> 'bar_found'
)
SELECT k.session, e.evening, k.station, {NAME.format("k")} AS lifter, k.lift, k.set_no, {load('k."load"')} AS "load",
       (2 * (len(k.before) - k.same))::INTEGER AS plates_off, (2 * (len(k.stack) - k.same))::INTEGER AS plates_on
FROM kept AS k LEFT JOIN person AS p ON p.id = k.lifter LEFT JOIN evenings AS e USING (session)
ORDER BY k.session, k.seq
"""

_CUES = f"""
SELECT c.session, e.evening, {NAME.format("c")} AS lifter, c.lift, coalesce(c.set_no, 0)::SMALLINT AS set_no, c.fault
FROM standing AS c LEFT JOIN person AS p ON p.id = c.lifter LEFT JOIN evenings AS e USING (session)
WHERE c.kind = 'cue_set'
ORDER BY c.seq
"""

MORE_VIEWS: dict[str, str] = {
    "proposals": _PROPOSALS,
    "plans": _PLANS,
    "people": _PEOPLE,
    "changes": _CHANGES,
    "cues": _CUES,
}
"""Name and query of each, after those they read."""
