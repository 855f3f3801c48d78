"""Events and journals for tests: short ways to say what happened on an evening."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Sequence
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

from floor.core.events import Event
from floor.journal.log import Journal

START = datetime(2026, 3, 2, 17, 0, tzinfo=UTC)
"""A Monday evening; 18:00 in the gym's zone."""

ZONE = "Europe/Berlin"
TEMPLATES = {"lifts": "# lifts\n", "plates": "# plates\n"}


def at(seconds: float) -> datetime:
    """So many seconds after START."""
    return START + timedelta(seconds=seconds)


def ev(kind: str, after: float = 0, /, **what: Any) -> Event:
    """An event of session 1 unless said otherwise, so many seconds after START."""
    what.setdefault("session", 1)
    return Event(kind=kind, happened=at(after), **what)


def open_gym(path: Path, **changes: Any) -> Journal:
    """The gym file at `path`, made when missing."""
    options: dict[str, Any] = {"now": START, "zone": ZONE, "unit": "kg", "templates": TEMPLATES}
    return Journal.open(path, **{**options, **changes})


def joined(lifter: int, seconds: float = 0) -> Event:
    """Somebody new."""
    return ev("lifter_joined", seconds, lifter=lifter, youth=False, session=None)


def opened(session: int = 1, seconds: float = 0) -> Event:
    """The evening begins."""
    return ev("session_opened", seconds, session=session)


def planned(lifter: int, set_no: int, load: int, *, role: str = "work", reps: int = 3, lift: str = "squat") -> Event:
    """A set to come."""
    return ev("set_planned", 1, lifter=lifter, lift=lift, set_no=set_no, role=role, reps=reps, load=load)


def started(lifter: int, set_no: int, load: int, seconds: float, lift: str = "squat", station: int = 1) -> Event:
    """The lifter begins."""
    return ev(
        "set_started", seconds, station=station, lifter=lifter, lift=lift, set_no=set_no, load=load, bar="bar20",
        stack=("20", "2.5"),
    )  # fmt: skip


def rep(lifter: int, set_no: int, no: int, seconds: float, made: bool = True) -> Event:
    """One rep counted."""
    return ev("rep_made" if made else "rep_missed", seconds, lifter=lifter, set_no=set_no, rep=no)


def ended(
    lifter: int, set_no: int, load: int, seconds: float, *, reps: int = 3, missed: int = 0, grade: str = "sound",
    lift: str = "squat",
) -> Event:  # fmt: skip
    """The set graded."""
    return ev(
        "set_ended", seconds, lifter=lifter, lift=lift, set_no=set_no, reps=reps, missed=missed, load=load, grade=grade
    )


def fault(lifter: int, set_no: int, no: int, name: str, seconds: float, lift: str = "squat") -> Event:
    """Something seen in a rep."""
    return ev("fault_seen", seconds, lifter=lifter, lift=lift, set_no=set_no, rep=no, fault=name)


def undone(cmd: int, seconds: float = 0) -> Event:
    """A command taken back."""
    return ev("undone", seconds, undoes=cmd)


def append_each(journal: Journal, events: Sequence[Event]) -> list[int]:
    """Each event as a command of its own; the commands' numbers."""
    return [journal.append([event]) for event in events]


def view(journal: Journal, sql: str) -> list[tuple[Any, ...]]:
    """A question straight to the gym file."""
    cursor = journal.cursor()
    try:
        return cursor.execute(sql).fetchall()
    finally:
        cursor.close()


ROOT = Path(__file__).parent.parent.parent
CHILD = """
import sys
from pathlib import Path
sys.path.insert(0, {root!r})
from tests.journal.helpers import *
from floor.core.people import *
"""


def child(body: str, path: Path) -> subprocess.Popen[str]:
    """Python with the helpers, `path` as `gym`, its words read line by line."""
    text = CHILD.format(root=str(ROOT)) + f"gym = Path({str(path)!r})\n" + body
    return subprocess.Popen([sys.executable, "-c", text], stdout=subprocess.PIPE, stdin=subprocess.PIPE, text=True)


def line(process: subprocess.Popen[str]) -> str:
    assert process.stdout is not None
    return process.stdout.readline().strip()


def killed(body: str, path: Path) -> None:
    """Run the body in a process that is killed without closing anything."""
    process = child(body + "\nimport os, signal\nos.kill(os.getpid(), signal.SIGKILL)\n", path)
    process.communicate()
    assert process.returncode == -9


EVENING = """
journal = open_gym(gym)
journal.append([joined(7)], [PersonAdded(7, "Ada Example", "Ada")])
append_each(journal, [opened()] + [rep(7, 1, no, no) for no in range(1, 11)])
"""


def wal(path: Path) -> Path:
    return path.with_name(path.name + ".wal")


def tail(path: Path) -> Path:
    return path.with_name(path.name + ".tail")
