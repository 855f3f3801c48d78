"""What a gym file says: the carried past, and tonight command by command."""

from __future__ import annotations

from dataclasses import dataclass, field

import duckdb

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
    maps an id to the version adopted and its text.
    """

    past: tuple[Event, ...] = ()
    tonight: tuple[Recorded, ...] = ()
    people: dict[int, Person] = field(default_factory=dict)
    definitions: dict[str, tuple[int, str]] = field(default_factory=dict)
    unit: str = "kg"
    zone: str = "UTC"


def read(connection: duckdb.DuckDBPyConnection) -> Reading:
    """Read it all, on a connection nobody else is using."""
    first = boundary(connection)
    kinds = ", ".join(f"'{kind}'" for kind in CARRIED)
    past = connection.execute(
        f"SELECT {COLUMNS} FROM event WHERE cmd < ? AND kind IN ({kinds}) AND cmd NOT IN ({UNDONE}) ORDER BY seq",
        [first],
    ).fetchall()
    rows = connection.execute(
        f"SELECT {COLUMNS} FROM event WHERE cmd >= ? AND kind <> 'undone' AND cmd NOT IN ({UNDONE}) ORDER BY seq",
        [first],
    ).fetchall()
    commands: dict[int, list[Event]] = {}
    for cells in rows:
        row = row_from(cells)
        commands.setdefault(row.cmd, []).append(row.event)
    meta = read_meta(connection)
    return Reading(
        past=tuple(row_from(cells).event for cells in past),
        tonight=tuple(Recorded(cmd, tuple(events)) for cmd, events in commands.items()),
        people=read_people(connection),
        definitions=adopted(connection),
        unit=meta["unit"],
        zone=meta["zone"],
    )
