"""A coach's views: the record as tables a question can be asked of.

All are SQL over `event` and `person`, undone commands left out and corrections
taken in. Loads are exact decimals in the gym's unit; times are the gym's own
wall clock; lifters go by their board name; faults, lifts and rules by their id.

    sets    one row a set that was lifted (grade empty while it still runs)
    reps    one row a rep; `faults` names what was seen in it
    faults  one row a fault that stands; rep 0 is somewhere in the set; in drills there is no set
    loads   per session, lifter and lift: the heaviest set, and what next time brings
    rests   seconds between the bar down and the next set, where both are known, and how many were planned
    week    per lifter and lift: the seven days up to the latest evening with sets, as on the week screen

and, from more_views, proposals, plans, people, changes and cues.

The other views here are their parts and stay in the gym file.
"""

from __future__ import annotations

from hashlib import blake2b

import duckdb

from floor.journal.more_views import MORE_VIEWS
from floor.journal.more_views import NAME as _NAME
from floor.journal.more_views import load as _load
from floor.journal.more_views import local as _local
from floor.journal.schema import read_meta, write_meta

COACH_VIEWS: tuple[str, ...] = ("sets", "reps", "faults", "loads", "rests", "week", *MORE_VIEWS)
"""The views a question may use."""

PLANNING = ("set_planned", "load_changed")
"""The kinds that say which sets are to come."""

COUNTING = ("rep_made", "rep_missed", "reps_made")
"""The kinds that count a set's reps while it runs."""

LIFTING = ("set_started", *COUNTING, "set_ended", "set_called_off", "set_recorded", "set_put_right")
"""The kinds that say how a set went."""

PROPOSING = ("set_proposed", "proposal_overruled")
"""The kinds that give the sets to come another load."""

MARKING = ("fault_seen", "fault_withdrawn")
"""The kinds that mark faults on it."""

_STANDING = """
SELECT * FROM event
WHERE kind <> 'undone'
  AND cmd NOT IN (SELECT undoes FROM event WHERE kind = 'undone' AND undoes IS NOT NULL)
"""

_EVENINGS = f"""
SELECT session, CAST({_local("min(happened)")} AS DATE) AS evening
FROM standing WHERE kind = 'session_opened' GROUP BY session
"""

_PLANNED_SETS = f"""
SELECT session, lifter, set_no,
       arg_max(lift, seq) AS lift, arg_max("role", seq) AS "role", arg_max(reps, seq) AS reps,
       arg_max("load", seq) FILTER (kind = 'set_planned' OR kind = 'load_changed') AS "load",
       arg_max(stage, seq) AS stage, min(seq) FILTER (kind = 'set_planned') AS seq, max(seq) AS told,
       arg_max("seconds", seq) AS owed
FROM standing WHERE kind IN {PLANNING} AND set_no IS NOT NULL
GROUP BY session, lifter, set_no HAVING count(*) FILTER (kind = 'set_planned') > 0
"""

_LIFTED = f"""
WITH told AS (
    SELECT session, lifter, set_no,
        arg_max(lift, seq) FILTER (kind IN ('set_started', 'set_ended', 'set_recorded')) AS lift,
        arg_max(station, seq) FILTER (kind IN ('set_started', 'set_recorded')) AS station,
        arg_max(stage, seq) FILTER (kind IN ('set_started', 'set_ended', 'set_recorded')) AS stage,
        arg_max("load", seq) FILTER (kind IN ('set_started', 'set_ended', 'set_recorded', 'set_put_right')) AS "load",
        arg_max(grade, seq) FILTER (kind IN ('set_ended', 'set_recorded', 'set_put_right')) AS grade,
        arg_max(reps, seq) FILTER (kind IN ('set_ended', 'set_recorded', 'set_put_right')) AS made,
        arg_max(missed, seq) FILTER (kind IN ('set_ended', 'set_recorded', 'set_put_right')) AS missed,
        coalesce(sum(CASE WHEN kind = 'reps_made' THEN reps ELSE 1 END)
            FILTER (kind IN ('rep_made', 'reps_made')), 0) AS counted,
        count(*) FILTER (kind = 'rep_missed') AS counted_missed,
        arg_max(happened, seq) FILTER (kind = 'set_started') AS started,
        arg_max(happened, seq) FILTER (kind IN ('rep_made', 'rep_missed', 'reps_made')) AS last_rep,
        arg_max(happened, seq) FILTER (kind = 'set_ended') AS ended,
        arg_max(happened - to_seconds("seconds"), seq) FILTER (kind = 'set_recorded') AS recorded,
        min(seq) FILTER (kind IN ('set_started', 'set_ended', 'set_recorded')) AS seq
    FROM standing
    WHERE kind IN {LIFTING}
    GROUP BY session, lifter, set_no
    HAVING count(*) FILTER (kind IN ('set_started', 'set_ended', 'set_recorded'))
         > count(*) FILTER (kind = 'set_called_off')
), ramped AS (
    SELECT p.session, p.lifter, p.set_no, min_by(r.happened, r.seq) AS happened,
           min_by(r.station, r.seq) AS station, min(r.seq) AS seq
    FROM planned_sets AS p
    JOIN standing AS r ON r.kind = 'ramp_done' AND r.session = p.session AND r.lifter = p.lifter
                      AND r.lift = p.lift AND r.seq > p.seq
    WHERE p."role" = 'ramp'
    GROUP BY p.session, p.lifter, p.set_no
), given AS (
    SELECT r.session, r.lifter, r.set_no, arg_max(g."load", g.seq) AS "load",
           arg_max(g.stage, g.seq) FILTER (g."action" <> 'step_up') AS stage
    FROM ramped AS r JOIN planned_sets AS p USING (session, lifter, set_no)
    JOIN standing AS g ON g.kind IN {PROPOSING} AND g.session = p.session AND g.lifter = p.lifter AND g.lift = p.lift
                      AND g.seq > p.told AND g.seq < r.seq AND g."action" <> 'stop'
                      AND p.set_no >= g.set_no AND p.set_no < g.set_no + g."count"
    GROUP BY r.session, r.lifter, r.set_no
)
SELECT t.session, t.lifter, coalesce(t.lift, p.lift) AS lift, t.set_no, p."role", p.reps AS planned,
       coalesce(t.made, t.counted)::INTEGER AS made, coalesce(t.missed, t.counted_missed)::INTEGER AS missed,
       t.counted, t.counted_missed, coalesce(t."load", p."load") AS "load", t.grade, t.started,
       coalesce(t.recorded, t.last_rep, t.ended) AS down, coalesce(t.started, t.recorded, t.ended) AS began,
       t.station, coalesce(t.stage, p.stage) AS stage, t.seq, p.owed
FROM told AS t LEFT JOIN planned_sets AS p USING (session, lifter, set_no)
UNION ALL
SELECT p.session, p.lifter, p.lift, p.set_no, p."role", p.reps,
       coalesce(c.made, p.reps), coalesce(c.missed, 0), 0, 0, coalesce(c."load", g."load", p."load"),
       coalesce(c.grade, 'unseen'), NULL, NULL, r.happened, r.station, coalesce(g.stage, p.stage), r.seq, p.owed
FROM ramped AS r JOIN planned_sets AS p USING (session, lifter, set_no)
LEFT JOIN given AS g USING (session, lifter, set_no)
ANTI JOIN told USING (session, lifter, set_no)
LEFT JOIN (
    SELECT session, lifter, set_no, arg_max(reps, seq) AS made, arg_max(missed, seq) AS missed,
           arg_max("load", seq) AS "load", arg_max(grade, seq) AS grade
    FROM standing WHERE kind = 'set_put_right' GROUP BY session, lifter, set_no
) AS c USING (session, lifter, set_no)
"""

_MARKS = f"""
SELECT session, lifter, set_no, kind <> 'rep_missed' AS made,
       row_number() OVER (PARTITION BY session, lifter, set_no ORDER BY seq) AS rep
FROM (SELECT *, unnest(range(CASE WHEN kind = 'reps_made' THEN reps ELSE 1 END)) AS n
      FROM standing WHERE kind IN {COUNTING})
"""

_SEEN_FAULTS = f"""
SELECT session, lifter, set_no, rep, fault,
       arg_max(lift, seq) FILTER (kind = 'fault_seen') AS lift, max(happened) FILTER (kind = 'fault_seen') AS happened
FROM standing WHERE kind IN {MARKING}
GROUP BY session, lifter, set_no, rep, fault
HAVING count(*) FILTER (kind = 'fault_seen') > count(*) FILTER (kind = 'fault_withdrawn')
"""

_SETS = f"""
SELECT l.session, e.evening, {_NAME.format("l")} AS lifter, l.lift, l.set_no, l."role", l.planned, l.made, l.missed,
       {_load('l."load"')} AS "load", l.grade, l.grade <> 'unseen' AS seen,
       {_local("l.started")} AS started, {_local("l.down")} AS down, l.station, l.stage
FROM lifted AS l LEFT JOIN person AS p ON p.id = l.lifter LEFT JOIN evenings AS e USING (session)
ORDER BY l.session, l.began, l.seq, l.set_no
"""

_REPS = f"""
WITH every AS (
    SELECT l.session, l.lifter, l.set_no, m.rep, m.made
    FROM lifted AS l JOIN marks AS m USING (session, lifter, set_no)
    WHERE l.made = l.counted AND l.missed = l.counted_missed
    UNION ALL
    SELECT session, lifter, set_no, rep, rep <= tried.made
    FROM (SELECT *, unnest(range(1, lifted.made + lifted.missed + 1)) AS rep FROM lifted
          WHERE lifted.made <> counted OR lifted.missed <> counted_missed) AS tried
), seen AS (
    SELECT session, lifter, set_no, rep, string_agg(fault, ', ' ORDER BY fault) AS faults
    FROM seen_faults GROUP BY session, lifter, set_no, rep
)
SELECT l.session, e.evening, {_NAME.format("l")} AS lifter, l.lift, l.set_no, l."role", r.rep::INTEGER AS rep, r.made,
       {_load('l."load"')} AS "load", l.grade, l.grade <> 'unseen' AS seen, f.faults, l.stage
FROM every AS r JOIN lifted AS l USING (session, lifter, set_no)
LEFT JOIN seen AS f ON f.session = r.session AND f.lifter = r.lifter AND f.set_no = r.set_no AND f.rep = r.rep
LEFT JOIN person AS p ON p.id = l.lifter LEFT JOIN evenings AS e ON e.session = l.session
ORDER BY l.session, l.began, l.seq, l.set_no, r.rep
"""

_FAULTS = f"""
WITH every AS (
    SELECT f.session, f.lifter, coalesce(l.lift, f.lift) AS lift, f.set_no, f.rep, f.fault, l."load", l.grade,
           l.stage, f.happened, false AS drill
    FROM seen_faults AS f LEFT JOIN lifted AS l USING (session, lifter, set_no)
    UNION ALL
    SELECT session, lifter, lift, NULL, rep, fault, NULL, NULL, stage, happened, true
    FROM standing WHERE kind = 'drill_fault'
)
SELECT f.session, e.evening, {_NAME.format("f")} AS lifter, f.lift, f.set_no, f.rep, f.fault,
       {_load('f."load"')} AS "load", f.grade, f.stage, f.drill, {_local("f.happened")} AS happened
FROM every AS f LEFT JOIN person AS p ON p.id = f.lifter LEFT JOIN evenings AS e USING (session)
ORDER BY f.happened, f.set_no, f.rep
"""

_LOADS = f"""
WITH top AS (
    SELECT session, lifter, lift, max("load") AS "load" FROM lifted WHERE made > 0 GROUP BY session, lifter, lift
), best AS (
    SELECT t.session, t.lifter, t.lift, t."load", max(l.made) AS reps, count(*) AS "sets"
    FROM top AS t JOIN lifted AS l
      ON l.session = t.session AND l.lifter = t.lifter AND l.lift = t.lift AND l."load" = t."load" AND l.made > 0
    GROUP BY ALL
), planned AS (
    SELECT coalesce(session, 0) AS session, lifter, lift, arg_max("load", seq) AS "load", arg_max("rule", seq) AS "rule"
    FROM standing WHERE kind = 'next_planned' GROUP BY ALL
)
SELECT b.session, e.evening, {_NAME.format("b")} AS lifter, b.lift, {_load('b."load"')} AS top, b.reps,
       b."sets"::INTEGER AS "sets", {_load('n."load"')} AS next, n."rule"
FROM best AS b
LEFT JOIN planned AS n ON n.session = b.session AND n.lifter = b.lifter AND n.lift = b.lift
LEFT JOIN person AS p ON p.id = b.lifter LEFT JOIN evenings AS e ON e.session = b.session
ORDER BY b.session, 3, b.lift
"""

_RESTS = f"""
WITH followed AS (
    SELECT *, lag(down) OVER turns AS before, lag(owed) OVER turns AS planned_rest
    FROM lifted WINDOW turns AS (PARTITION BY session, lifter ORDER BY began, seq, set_no)
)
SELECT l.session, e.evening, {_NAME.format("l")} AS lifter, l.lift, l.set_no, l."role", {_load('l."load"')} AS "load",
       date_diff('second', l.before, l.started)::INTEGER AS rest, l.planned_rest AS planned
FROM followed AS l LEFT JOIN person AS p ON p.id = l.lifter LEFT JOIN evenings AS e USING (session)
WHERE l.before IS NOT NULL AND l.started IS NOT NULL
ORDER BY l.session, l.began, l.seq
"""

_WEEK = f"""
WITH dated AS (
    SELECT l.*, e.evening FROM lifted AS l JOIN evenings AS e USING (session)
), recent AS (
    SELECT * FROM dated WHERE evening > (SELECT max(evening) FROM dated) - 7
), best AS (
    SELECT lifter, lift, max("load") AS "load", arg_max(made, ("load", made)) AS reps
    FROM recent WHERE made > 0 GROUP BY lifter, lift
), seen AS (
    SELECT r.lifter, r.lift, count(*) AS faults
    FROM seen_faults AS f JOIN recent AS r USING (session, lifter, set_no) GROUP BY r.lifter, r.lift
)
SELECT {_NAME.format("r")} AS lifter, r.lift, count(*)::INTEGER AS "sets", sum(r.made)::INTEGER AS made,
       sum(r.missed)::INTEGER AS missed, CAST(sum(r."load"::BIGINT * r.made) * 0.01 AS DECIMAL(12, 2)) AS moved,
       coalesce(any_value(s.faults), 0)::INTEGER AS faults,
       {_load('any_value(b."load")')} AS best_load, any_value(b.reps)::INTEGER AS best_reps
FROM recent AS r LEFT JOIN best AS b USING (lifter, lift) LEFT JOIN seen AS s USING (lifter, lift)
LEFT JOIN person AS p ON p.id = r.lifter
GROUP BY r.lifter, p.board, r.lift
ORDER BY 1, r.lift
"""

VIEWS: dict[str, str] = {
    "standing": _STANDING,
    "evenings": _EVENINGS,
    "planned_sets": _PLANNED_SETS,
    "lifted": _LIFTED,
    "marks": _MARKS,
    "seen_faults": _SEEN_FAULTS,
    "sets": _SETS,
    "reps": _REPS,
    "faults": _FAULTS,
    "loads": _LOADS,
    "rests": _RESTS,
    "week": _WEEK,
    **MORE_VIEWS,
}
"""Every view in the gym file, parts first."""


def keep(connection: duckdb.DuckDBPyConnection) -> None:
    """Make the views, or make them again when the file has older ones; within the caller's transaction."""
    mark = blake2b(repr(VIEWS).encode(), digest_size=8).hexdigest()
    if read_meta(connection).get("views") == mark:
        return
    for name, query in VIEWS.items():
        connection.execute(f'CREATE OR REPLACE VIEW "{name}" AS {query}')
    write_meta(connection, "views", mark)
