"""How long a key takes to the painted screen, commit included, beside the same key in an empty app.

Nothing here asserts a time: run it with `pytest -m bench -s tests/bench` and read the tables.
"""

from __future__ import annotations

import re
import sys
import time
from itertools import cycle
from pathlib import Path

import pytest

from tests.bench.benching import EMPTY_APP, key_to_paint, milliseconds, report
from tests.terminal.evening_keys import copy_gym, hand_line, nobody_up
from tests.terminal.terminal import Terminal, python_floor

KEYS = 1100
LIFTERS = 14
SIZE = (120, 40)
WARM = 50


def evening_started(term: Terminal) -> None:
    """All of the demo's lifters checked in, the floor on screen."""
    term.wait_for("no session is open")
    for _ in range(LIFTERS):
        term.step("enter")
    term.step("f")
    term.wait_for("RESTING")


def set_keys(term: Terminal) -> list[tuple[str, str]]:
    """The keys of one set as (kind, key): started, reps and a fault, undone and made again, graded; next station."""
    line = hand_line(term)
    if " ramp " in line:
        return [("tick", "f4")]
    found = re.search(r"× (\d+)", line)
    assert found, term.text()
    reps = int(found[1])
    marks = [("rep", "." if n == 2 else "space") for n in range(reps)]
    fault = [("fault", _letter(line))]
    redo = [("undo", "backspace"), ("undo", "backspace"), marks[0], *fault]
    return [("start", "enter"), marks[0], *fault, *redo, *marks[1:], ("grade", "2"), ("look", "tab")]


def _letter(line: str) -> str:
    """A letter that is in the fault list of the lift that the line names."""
    return next(letter for lift, letter in LETTERS.items() if lift in line)


def asks_first(term: Terminal) -> bool:
    """Whether a start was answered with a question, once it or the running set is on screen whole."""
    term.wait_until(lambda: "Y: start" in term.text() or " rep " in hand_line(term), 5, "a set or a question")
    return "Y: start" in term.text()


LETTERS = {"power clean": "a", "bench press": "f", "squat": "d", "deadlift": "h", "press": "l"}
"""A letter from each lift's list, longer names first."""


@pytest.mark.bench
def test_key_to_painted_screen_beside_an_empty_app(demo: Path) -> None:
    ours: dict[str, list[float]] = {}
    whole: list[float] = []
    sizes: list[int] = []
    theirs: list[float] = []
    theirs_whole: list[float] = []
    empty_app = [sys.executable, str(EMPTY_APP)]
    with Terminal(python_floor("--gym", demo), *SIZE) as term, Terminal(empty_app, *SIZE) as bare:
        bare.wait_for("no key yet")
        evening_started(term)
        letters = cycle("abcdef")
        for _ in range(WARM):
            key_to_paint(bare, next(letters))
        empty = 0
        while len(whole) < KEYS and empty < 4:
            line = hand_line(term)
            if nobody_up(line):
                empty += 1
                term.step("right")
                continue
            empty = 0
            for kind, key in set_keys(term):
                first, last, size = key_to_paint(term, key)
                if kind == "start" and asks_first(term):
                    ours.setdefault("ask", []).append(first)
                    first, last, size = key_to_paint(term, "y")  # the rest is cut short on purpose
                if "No set is running here" in term.text():
                    continue  # it found nothing to do: what is painted next is the clock
                ours.setdefault(kind, []).append(first)
                whole.append(last)
                sizes.append(size)
                first, last, _ = key_to_paint(bare, next(letters))
                theirs.append(first)
                theirs_whole.append(last)
    every = [second for seconds in ours.values() for second in seconds]
    assert len(every) >= 1000, f"only {len(every)} keys"

    def row(name: str, seconds: list[float], beside: list[float] | None) -> tuple[str, ...]:
        median, worst = milliseconds(seconds, 0.5), milliseconds(seconds, 0.99)
        ratio = ("–", "–")
        if beside is not None:
            ratio = (f"{median / milliseconds(beside, 0.5):.1f}", f"{worst / milliseconds(beside, 0.99):.1f}")
        return (name, str(len(seconds)), f"{median:.1f}", f"{worst:.1f}", f"{1000 * max(seconds):.1f}", *ratio)

    report(
        f"Key to screen at {SIZE[0]}x{SIZE[1]}, demo gym, {LIFTERS} lifters, commit and second copy included "
        f"(median {sorted(sizes)[len(sizes) // 2]} bytes painted a key)",
        [
            ("", "keys", "median ms", "p99 ms", "worst ms", "ratio median", "ratio p99"),
            row("to the first change, all keys", every, theirs),
            *(row(f"  {kind}", seconds, theirs) for kind, seconds in ours.items()),
            row("to the last change, all keys", whole, theirs_whole),
            row("empty app, first change", theirs, None),
            row("empty app, last change", theirs_whole, None),
        ],
    )


@pytest.mark.bench
def test_a_check_in_to_painted_screen_beside_an_empty_app(made_demo: Path, tmp_path: Path) -> None:
    ours: list[float] = []
    theirs: list[float] = []
    empty_app = [sys.executable, str(EMPTY_APP)]
    for evening in range(8):
        folder = tmp_path / str(evening)
        folder.mkdir()
        gym = copy_gym(made_demo, folder)
        with Terminal(python_floor("--gym", gym), *SIZE) as term, Terminal(empty_app, *SIZE) as bare:
            bare.wait_for("no key yet")
            term.wait_for("no session is open")
            term.step("enter")  # opens the session as well
            for _ in range(LIFTERS - 2):
                ours.append(key_to_paint(term, "enter")[0])
                theirs.append(key_to_paint(bare, "a")[0])
    report(
        "A check-in to the painted screen: the record read ahead, a dozen events committed",
        [
            ("", "keys", "median ms", "p99 ms", "ratio median", "ratio p99"),
            *(
                (name, str(len(took)), f"{milliseconds(took, 0.5):.1f}", f"{milliseconds(took, 0.99):.1f}",
                 f"{milliseconds(took, 0.5) / milliseconds(theirs, 0.5):.1f}",
                 f"{milliseconds(took, 0.99) / milliseconds(theirs, 0.99):.1f}")
                for name, took in (("check-in", ours), ("empty app", theirs))
            ),
        ],
    )  # fmt: skip


@pytest.mark.bench
def test_start_to_first_screen_beside_an_empty_app(demo: Path) -> None:
    def start(argv: list[str], words: str) -> float:
        started = time.perf_counter()
        with Terminal(argv, *SIZE) as term:
            term.wait_for(words, 60)
            took = time.perf_counter() - started
            term.press("ctrl+q")
            term.ended()
        return took

    ours, bare = [], []
    for _ in range(10):
        bare.append(start([sys.executable, str(EMPTY_APP)], "no key yet"))
        ours.append(start(python_floor("--gym", demo), "no session is open"))
    report(
        "Start to the first usable screen (check-in of the demo gym), runs taking turns",
        [
            ("", "runs", "median ms", "worst ms", "ratio median"),
            *(
                (name, str(len(took)), f"{milliseconds(took, 0.5):.0f}", f"{1000 * max(took):.0f}",
                 f"{milliseconds(took, 0.5) / milliseconds(bare, 0.5):.1f}")
                for name, took in (("floor", ours), ("empty app", bare))
            ),
        ],
    )  # fmt: skip
