"""What the terminal tests share: the demo gym, and reading the floor's screen as a coach would."""

from __future__ import annotations

import re
import shutil
import subprocess
from dataclasses import dataclass
from pathlib import Path

from floor.clock import WallClock
from floor.core.arrivals import sets_tonight
from floor.journal.log import Journal
from floor.session import Session
from floor.tui.widgets.cardframe import frame
from tests.terminal.terminal import HOUSE, Terminal, plain_environment, python_floor

_EDGES = str.maketrans("┏┓┗┛━┃", "╭╮╰╯─│")
_CLOCK = re.compile(r"\d+:\d{2}")
_FAILED = re.compile(r"Nothing was recorded|nothing more is recorded|can't be written|Traceback|error of its own")
_REST = re.compile(r"(\S+(?: \S+)*?) (\d+):(\d\d)(?=  |$)")


def run_floor(*arguments: str | Path) -> subprocess.CompletedProcess[str]:
    """The app's shell command, to its end, without a terminal."""
    return subprocess.run(
        python_floor(*arguments), cwd=HOUSE, env=plain_environment(), capture_output=True, text=True, timeout=120
    )


def copy_gym(gym: Path, folder: Path) -> Path:
    """A gym file and what belongs to it, copied to a folder."""
    for file in gym.parent.glob(gym.name + "*"):
        shutil.copy(file, folder / file.name)
    return folder / gym.name


def open_gym(gym: Path) -> Session:
    """The gym as the app itself would open it, in this process; close its journal."""
    clock = WallClock()
    return Session(Journal.open(gym, now=clock.now(), zone="UTC", unit="kg", templates={}), clock)


@dataclass(frozen=True)
class Cleaner:
    """Somebody whose evening starts with the power clean: where on the check-in list, and what is planned."""

    name: str
    row: int
    work_sets: int
    load: int


def cleaners(session: Session) -> list[Cleaner]:
    """Those on the check-in list whose first lift tonight is the power clean, with a ramp and build sets."""
    from floor.tui.present_checkin import roll

    found = []
    for row, lifter in enumerate(roll(session.state, session.names)):
        sets = sets_tonight(session.state, session.state.lifters[lifter], session.clock.now())
        first = [s for s in sets if s.lift == sets[0].lift]
        if sets and sets[0].lift == "clean" and first[0].role == "ramp":
            work = [s for s in first if s.role != "ramp"]
            found.append(Cleaner(session.names[lifter], row, len(work), work[0].load))
    return found


# --- reading the floor


def card(term: Terminal, title: str) -> list[str]:
    """One station's card as it stands on the board, its clocks blanked: the small ones and the large one."""
    lines = [line.translate(_EDGES) for line in term.screen.display]
    top = next(y for y, line in enumerate(lines) if title in line and "╭" in line)
    at = lines[top].index(title)
    left, right = lines[top].rindex("╭", 0, at), lines[top].index("╮", at)
    bottom = next(y for y in range(top + 1, len(lines)) if lines[y][left] == "╰")
    rows = [line[left : right + 1] for line in term.screen.display[top : bottom + 1]]
    pad = 1 if right + 1 - left < 40 else 2
    now = next(slot for slot in frame(right + 1 - left - 2 * pad, bottom - top - 1) if slot.part == "now")
    for y in range(1 + now.top, 1 + now.top + now.rows):
        rows[y] = "(now)"
    return [_CLOCK.sub("-:--", row) for row in rows]


def rests(term: Terminal) -> dict[str, int]:
    """Seconds of rest left by name, off the RESTING line."""
    words = term.line_with("RESTING").replace("RESTING", "").strip()
    return {name.strip(" ·"): int(m) * 60 + int(s) for name, m, s in _REST.findall(words)}


def hand_line(term: Terminal) -> str:
    """The line of the station in hand under the board."""
    return next((line.strip() for line in term.lines() if line.startswith(" ▶ ") or line.startswith("▶ ")), "")


def nobody_up(line: str) -> bool:
    """Whether the line of a station says that nobody is to lift there."""
    return "free" in line or "All sets done" in line


def message(term: Terminal) -> str:
    """What was said last: the line over the keys, which are the last two."""
    return term.lines()[-3].strip()


def failures(term: Terminal) -> list[str]:
    """Lines that tell of a failed commit or a crash."""
    return [line for line in term.lines() if _FAILED.search(line)]
