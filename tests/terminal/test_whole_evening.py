"""A whole demo evening by keys in a real terminal: fourteen lifters and a walk-in, until nobody has a set left."""

from __future__ import annotations

import re
from collections.abc import Callable
from functools import partial
from pathlib import Path

import pytest

from floor.core.summary import lines, summarise
from tests.terminal.evening_keys import failures, hand_line, message, open_gym
from tests.terminal.terminal import Terminal, python_floor

MOST_KEYS = 1500
STATIONS = 3
PEOPLE = 14

_FAULT = re.compile(r" ([a-z])  (?=[a-z])")
_REPS = re.compile(r"rep (\d+) of (\d+)")


class Evening:
    """A coach who follows the screen: looks at the line of the station in hand and presses the key it asks for."""

    def __init__(self, term: Terminal) -> None:
        self.term = term
        self.keys = 0
        self.sets = 0
        self.said: list[str] = []
        self.todo = dict(EVENTS)

    def press(self, *keys: str) -> None:
        """One key after another, each when the one before is on the screen; a failure or a crash ends the test."""
        for key in keys:
            self.keys += 1
            self.term.step(key)
            assert self.term.process.poll() is None, self.term.text()
            assert not failures(self.term), self.term.text()
            self.said.append(f"{key}: {message(self.term)}")

    def check_in(self) -> None:
        """Everyone on the list, one expected late."""
        self.term.wait_for("no session is open")
        for n in range(PEOPLE):
            self.press(*(["l", "down"] if n == 4 else ["enter"]))
        assert f"{PEOPLE - 1} here · 1 late" in self.term.lines()[0], self.term.text()
        self.press("f")
        self.term.wait_for("Enter start")

    def lift(self) -> None:
        """Round the stations until all of them are free."""
        free: set[str] = set()
        while len(free) < STATIONS and self.keys < MOST_KEYS:
            line = hand_line(self.term)
            if "free" in line:
                free.add(line.partition(" free")[0])
                self.press("right")
                continue
            free.clear()
            if " ramp " in line or " walk " in line:
                self.press("f4")
                self.until(partial(self.past, line), "the ramp to be ticked")
            elif _REPS.search(line):
                self.running(line)
            else:
                assert " set " in line or " rest " in line, self.term.text()
                self.press("enter")
                self.until(self.runs, "the set to start")

    def runs(self) -> bool:
        """Whether a set runs at the station in hand."""
        return _REPS.search(hand_line(self.term)) is not None

    def says(self, word: str) -> bool:
        """Whether the message holds the word."""
        return word in message(self.term)

    def past(self, line: str) -> bool:
        """Whether the line of the station in hand is another now."""
        return hand_line(self.term) != line

    def until(self, there: Callable[[], bool], what: str) -> None:
        """Wait for what the last key must show."""
        self.term.wait_until(there, 5, what)

    def running(self, line: str) -> None:
        """A set: now and then a fault or a missed rep, then the rest made and the grade; then the next station."""
        self.sets += 1
        if self.sets % 3 == 0:
            letters = [letter for row in self.under() for letter in _FAULT.findall(row)]
            assert letters, self.term.text()
            self.press("space")
            self.until(lambda: "rep 1 of" in hand_line(self.term), "a rep counted")
            self.press(letters[self.sets % len(letters)])
            self.until(lambda: "×1" in "".join(self.under()), "the fault marked")
        elif self.sets % 7 == 0:
            self.press(".")
            self.until(lambda: "rep 1 of" in hand_line(self.term), "a rep missed")
        if "(Enter)" not in hand_line(self.term):
            self.press("enter")
            self.until(lambda: "(Enter)" in hand_line(self.term), "the grade to be offered")
        self.press("5" if self.sets % 5 == 0 else "enter")
        self.until(lambda: not self.runs(), "the set to end")
        for word, keys in self.todo.pop(self.sets, ()):
            self.press(*keys)
            self.until(partial(self.says, word), f"{word!r} to be said")
        self.press("tab")

    def under(self) -> list[str]:
        """The lines under that of the station in hand."""
        lines = self.term.lines()
        return lines[lines.index(next(row for row in lines if row.lstrip().startswith("▶ "))) + 1 : -3]

    def close(self) -> list[str]:
        """Close the session; every line of the screen that tells of it, read by going down a line at a time."""
        self.press("/", "x")
        self.term.wait_for("Enter closes it")
        self.press("enter")
        self.term.wait_for("closed ")
        page = self.term.lines()
        told = page[1 : _foot(page)]
        while (at := re.search(r"lines (\d+)-(\d+) of (\d+)", self.term.text())) and at[2] != at[3]:
            self.press("down")
            page = self.term.lines()
            told.append(page[_foot(page) - 1])
        return told


def _foot(page: list[str]) -> int:
    """The row under the summary: the one that says how to scroll, or the third from below."""
    return next((y for y, row in enumerate(page) if re.search(r"lines \d+-\d+ of", row)), len(page) - 3)


EVENTS: dict[int, tuple[tuple[str, tuple[str, ...]], ...]] = {
    6: (("recorded", ("f2", "enter")), ("recorded", ("f2", "enter")), ("recorded", ("f2", "enter"))),
    12: (("checked in", ("f8", "a", "1", "1")),),
    15: (("put right", ("f3", "-", "enter")),),
    18: (("checked in", ("f8", "w", *"Quill", "enter")),),
    22: (("held", ("f9", "1", "enter")),),
    26: ((" left", ("f8", "l", "2")),),
    30: (("swapped", ("f6", "1")),),
    34: (("Undone", ("backspace", "backspace", "backspace")),),
    38: (("passed the turn", ("f5",)),),
    42: (("load", ("f7", *"-5", "enter")),),
    50: (("everything stopped", ("!",)), ("everything goes on", ("!",))),
}
"""What comes between two sets, by how many have been lifted, with a word it is acknowledged by: three late sets in a
row, somebody late arrives, a set put right, a walk-in, pain, somebody leaves, a swap, undo, a turn passed, a load by
hand, everything stopped and gone on."""


@pytest.mark.long
@pytest.mark.parametrize(("cols", "rows"), [(80, 24), (140, 45)])
def test_a_whole_evening_of_fourteen_lifters(demo: Path, cols: int, rows: int) -> None:
    with Terminal(python_floor("--gym", demo), cols, rows) as term:
        evening = Evening(term)
        evening.check_in()
        evening.lift()
        assert evening.sets > 40 and not evening.todo, (evening.sets, evening.todo)
        told = evening.close()
        term.press("ctrl+q")
        assert term.ended() == 0
        assert b"Traceback" not in term.raw
    print(f"{cols}x{rows}: {evening.keys} keys, {evening.sets} sets seen")
    session = open_gym(demo)
    try:
        came = summarise(session.state, session.tonight)
        wanted = lines(came, session.state.gym, session.names, min(cols - 2, 120))
        assert not session.state.open
        assert len(came.came) == PEOPLE + 1
        for lifter in came.came:
            name = session.names[lifter.lifter]
            assert any(line.strip().startswith(name) for line in told), name
            left = session.state.evening.here[lifter.lifter].pending()
            assert lifter.gone or lifter.held or left is None, f"{name} was left with sets"
        assert [line.strip() for line in told if line.strip()] == [line.strip() for line in wanted if line.strip()]
        assert "Quill" in session.names.values()
    finally:
        session.journal.close()
