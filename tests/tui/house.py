"""A small gym for the screens' tests: a temp gym file, a set clock, a few lifters."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path

from textual.screen import Screen

from floor.clock import SetClock
from floor.core import commands as c
from floor.core.people import PersonAdded
from floor.journal.log import Journal
from floor.session import Done, Session
from floor.templates import templates
from floor.tui.widgets.lines import Lines

EVENING = datetime(2026, 11, 25, 17, 0, tzinfo=UTC)
"""A Wednesday, 18:00 in the gym's zone."""
ZONE = "Europe/Berlin"

PEOPLE: tuple[tuple[str, bool, dict[str, int]], ...] = (
    ("Ada", False, {"clean": 4000, "squat": 6250, "bench": 4000}),
    ("Bo", False, {"clean": 5000, "squat": 8000, "bench": 5500}),
    ("Cleo", True, {"clean": 3000, "squat": 4000, "bench": 2500}),
    ("Dov", False, {"squat": 7000}),
)
"""Board name, youth, the loads brought along (hundredths of a kg)."""


def new_clock() -> SetClock:
    """A clock that stands at the evening's start."""
    return SetClock(EVENING)


def empty_session(folder: Path, clock: SetClock) -> Session:
    """A gym file with the demo gym's equipment and nobody in it."""
    journal = Journal.open(
        folder / "gym.duckdb", now=clock.now(), zone=ZONE, unit="kg", templates=templates(demo=True)
    )
    return Session(journal, clock)


def open_session(folder: Path, clock: SetClock | None = None) -> Session:
    """A gym with PEOPLE in it, numbered from 1, nobody checked in."""
    session = empty_session(folder, clock or new_clock())
    for number, (name, youth, plans) in enumerate(PEOPLE, 1):
        done(session, c.JoinLifter(number, youth), [PersonAdded(number, f"{name} Example", name)])
        for lift, load in plans.items():
            done(session, c.PlanNext(number, lift, 3, 5, load))
    return session


def done(session: Session, command: c.Command, people: list[PersonAdded] | None = None) -> Done:
    """Run a command that must be done."""
    outcome = session.do(command, people or [])
    assert isinstance(outcome, Done), outcome
    return outcome


def check_in(session: Session, *lifters: int, station: int = 1) -> None:
    """Open the session if need be and check these lifters in at one station."""
    if not session.state.open:
        done(session, c.OpenSession())
    for lifter in lifters:
        done(session, c.Arrive(lifter, station))


def read(screen: Screen[object], where: str = "") -> str:
    """The words a screen shows now in its line blocks; with `where`, of one of them."""
    blocks = screen.query(where or Lines)
    return "\n".join(line for block in blocks if isinstance(block, Lines) for line in block.words[: block.size.height])
