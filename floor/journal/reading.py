"""What a gym file says: the carried past, and tonight command by command."""

from __future__ import annotations

from dataclasses import dataclass, field

import duckdb

from floor.core.apply.brought import BROUGHT
from floor.core.apply.people import BROUGHT_DOWN
from floor.core.events import CARRIED, Event
from floor.core.people import Person
from floor.journal.definitions import UNDONE, adopted
from floor.journal.people import read_people
from floor.journal.recovery import boundary
from floor.journal.rows import COLUMNS, row_from
from floor.journal.schema import read_meta


@dataclass(frozen=True, slots=True)
class Recorded:
    """One command as it was recorded: its number and its events, in order."""

    cmd: int
    events: tuple[Event, ...]


@dataclass(frozen=True, slots=True)
class Reading:
    """Everything that stands, without the commands that were undone.

    `past` holds the events later sessions need, from before the latest session
    was opened; `tonight` every command from that opening on. `definitions`
    maps an id to the version adopted and its text. Of facts that follow one
    another `past` has the first and the last; the arrivals between them are only
    counted, in `visits` by lifter. `sessions` is the highest number a session of
    the past has, whatever order things were brought in. Sets of days brought in
    are left out: they are no part of any evening.
    """

    past: tuple[Event, ...] = ()
    visits: dict[int, int] = field(default_factory=dict)
    sessions: int = 0
    tonight: tuple[Recorded, ...] = ()
    people: dict[int, Person] = field(default_factory=dict)
    definitions: dict[str, tuple[int, str]] = field(default_factory=dict)
    unit: str = "kg"
    zone: str = "UTC"


_FOLLOWED = ("next_planned", "stage_set", "step_set", "cue_set", "day_done", "lifter_arrived")
"""Kinds of which only the last for a lifter and lift counts; the first keeps the order."""

_CUT = f"""
CREATE OR REPLACE TEMP TABLE cut AS
WITH carried AS (
    SELECT seq, kind, lifter, lift, session, happened, coalesce("rule" = '{BROUGHT}', false) AS brought,
           coalesce("rule" IN {BROUGHT_DOWN}, false) AS lowered FROM event
    WHERE cmd < ? AND kind IN ({{kinds}}) AND cmd NOT IN ({UNDONE})
), held AS (
    SELECT lifter FROM carried WHERE kind IN ('pain_reported', 'pain_cleared')
), told AS (
    SELECT seq, kind, lifter, lift, session,
           count(*) FILTER (kind <> 'lifter_arrived') OVER (PARTITION BY lifter ORDER BY seq) AS turn
    FROM carried
    WHERE kind IN ('lifter_arrived', 'pain_reported', 'pain_cleared') AND lifter IN (FROM held)
          AND NOT brought
), evenings AS (
    SELECT arg_max(session, seq) FROM told WHERE kind = 'lifter_arrived' GROUP BY lifter, turn
    UNION SELECT session FROM told WHERE kind <> 'lifter_arrived' AND session IS NOT NULL
    UNION SELECT arg_max(session, seq) FROM carried WHERE kind = 'session_opened' AND NOT brought HAVING count(*) > 0
), ends AS (
    SELECT min(seq) AS seq FROM carried WHERE kind IN {_FOLLOWED} GROUP BY kind, lifter, lift, brought
    UNION SELECT max(seq) FROM carried WHERE kind IN {_FOLLOWED} GROUP BY kind, lifter, lift, brought
    UNION SELECT max(seq) FROM carried WHERE kind = 'next_planned' AND NOT lowered GROUP BY lifter, lift, brought
    UNION SELECT arg_max(seq, happened) FROM carried WHERE brought GROUP BY kind, lifter
    UNION SELECT max(seq) FROM told WHERE kind = 'lifter_arrived' GROUP BY lifter, turn
)
SELECT seq, kind, lifter, session,
       CASE WHEN kind IN ('session_opened', 'session_closed') THEN session IN (FROM evenings)
            WHEN kind IN {_FOLLOWED} THEN seq IN (FROM ends)
            ELSE true END AS needed
FROM carried
"""
"""The carried events by number, and which of them a fold can't do without.

What an arrival says depends on whether the lifter was held for pain: so the
last one before each report and each clearance is kept, with its evening. The
latest evening is kept too, if there was one (an empty one among `evenings` would
make "not among them" unknown). A plan brought down at check-in says what spoke before, so the
last that was not is kept too. Days brought in count by their date, not their place.
"""


def read(connection: duckdb.DuckDBPyConnection) -> Reading:
    """Read it all, on a connection nobody else is using."""
    first = boundary(connection)
    past, visits, sessions = _past(connection, first)
    rows = connection.execute(
        f"SELECT {COLUMNS} FROM event WHERE cmd >= ? AND kind <> 'undone' AND cmd NOT IN ({UNDONE}) "
        f"AND NOT (kind = 'set_ended' AND \"rule\" IS NOT DISTINCT FROM '{BROUGHT}') ORDER BY seq",
        [first],
    ).fetchall()
    commands: dict[int, list[Event]] = {}
    for cells in rows:
        row = row_from(cells)
        commands.setdefault(row.cmd, []).append(row.event)
    meta = read_meta(connection)
    return Reading(
        past=past,
        visits=visits,
        sessions=sessions,
        tonight=tuple(Recorded(cmd, tuple(events)) for cmd, events in commands.items()),
        people=read_people(connection),
        definitions=adopted(connection),
        unit=meta["unit"],
        zone=meta["zone"],
    )


def _past(connection: duckdb.DuckDBPyConnection, first: int) -> tuple[tuple[Event, ...], dict[int, int], int]:
    """The events before command `first` that a fold needs; visits that were left out; the highest session number."""
    kinds = ", ".join(f"'{kind}'" for kind in CARRIED)
    connection.execute(_CUT.format(kinds=kinds), [first])
    try:
        rows = connection.execute(
            f"SELECT {COLUMNS} FROM event WHERE seq IN (SELECT seq FROM cut WHERE needed) ORDER BY seq"
        ).fetchall()
        left = connection.execute(
            "SELECT lifter, count(*) FROM cut WHERE NOT needed AND kind = 'lifter_arrived' GROUP BY lifter"
        ).fetchall()
        highest = connection.execute("SELECT max(session) FROM cut WHERE kind = 'session_opened'").fetchall()
    finally:
        connection.execute("DROP TABLE cut")
    return tuple(row_from(cells).event for cells in rows), dict(left), int(highest[0][0] or 0)
