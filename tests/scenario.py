"""The demo gym at a set time, brought to known moments: for snapshots and for the pictures in screenshots/."""

from __future__ import annotations

import functools
import shutil
from datetime import UTC, datetime
from pathlib import Path
from tempfile import TemporaryDirectory

from floor.clock import SetClock
from floor.core import commands as c
from floor.core.groups import place_for
from floor.core.gym import Grade
from floor.core.queue import lifting
from floor.demo import make_demo
from floor.journal.log import Journal
from floor.session import Done, Session
from floor.templates import templates

EVENING = datetime(2026, 11, 25, 17, 30, tzinfo=UTC)
ZONE = "Europe/Lisbon"
STATIONS = (1, 2, 3)


@functools.cache
def _made(now: datetime, zone: str) -> tuple[TemporaryDirectory[str], Path]:
    """The demo gym, made once for all tests; the folder goes when the interpreter does."""
    folder = TemporaryDirectory(prefix="floor-tests-")
    path = Path(folder.name) / "demo.duckdb"
    make_demo(path, now, zone)
    return folder, path


def demo_file(path: Path, now: datetime = EVENING, zone: str = ZONE) -> None:
    """The demo gym of that moment, copied to `path`: making it takes seconds."""
    shutil.copyfile(_made(now, zone)[1], path)


def demo_session(folder: Path) -> tuple[Session, SetClock]:
    """The demo gym, made for this evening, nobody checked in yet."""
    path = folder / "demo.duckdb"
    demo_file(path)
    clock = SetClock(EVENING)
    journal = Journal.open(path, now=EVENING, zone=ZONE, unit="kg", templates=templates(demo=True))
    return Session(journal, clock), clock


def must(session: Session, command: c.Command) -> Done:
    """Run a command that has to be done."""
    outcome = session.do(command)
    assert isinstance(outcome, Done), outcome
    return outcome


def everyone_in(session: Session, clock: SetClock) -> None:
    """Check in everyone but the late one, each where check-in suggests."""
    must(session, c.OpenSession())
    late = next(i for i, name in session.names.items() if name == "Kwame")
    must(session, c.ExpectLate(late))
    for lifter in sorted(session.state.lifters):
        if lifter != late:
            now = clock.on(20)
            station = place_for(session.state, session.state.lifters[lifter], now).station
            assert station is not None
            must(session, c.Arrive(lifter, station.id))


def lift_on(session: Session, clock: SetClock, rounds: int) -> None:
    """A few rounds at every station: ramps ticked off, clean sets, now and then a fault."""
    for turn in range(rounds):
        for station in STATIONS:
            up = session.state.evening.stations[station].up
            if up is None:
                continue
            coming = session.state.evening.here[up].pending()
            if coming is not None and coming.role == "ramp":
                must(session, c.RampDone(up))
            clock.on(25)
            must(session, c.StartSet(station))
            clock.on(20)
            must(session, c.CountRep(station, True))
            on = lifting(session.state, station)
            assert on is not None
            running = on.running()
            if turn % 3 == 1 and running is not None and running.lift == "clean":
                must(session, c.SeeFault(station, "a"))
            if running is not None and not running.full:
                must(session, c.AllMade(station))
            clock.on(8)
            must(session, c.EndSet(station, Grade.SOUND if turn % 3 == 2 else None))
