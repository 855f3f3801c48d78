"""A coach at a real terminal: reads the line of the station in hand and presses the key it asks for."""

from __future__ import annotations

import re
from collections.abc import Callable, Collection, Mapping
from functools import partial

from tests.terminal.evening_keys import failures, hand_line, message, nobody_up
from tests.terminal.terminal import Terminal

MOST_KEYS = 1500
STATIONS = 3
PEOPLE = 14

Todo = Mapping[int, tuple[tuple[str, tuple[str, ...]], ...]]
"""What comes between two sets, by how many have been lifted: a word it is acknowledged by, and its keys."""

_FAULT = re.compile(r" ([a-z])  (?=[a-z])")
_IN_HAND = re.compile(r"[┏━] ▶ (Platform \d)")
_REPS = re.compile(r"rep (\d+) of (\d+)")


class Evening:
    """A coach who follows the screen: looks at the line of the station in hand and presses the key it asks for."""

    def __init__(self, term: Terminal, todo: Todo) -> None:
        self.term = term
        self.keys = 0
        self.sets = 0
        self.said: list[str] = []
        self.todo = dict(todo)

    def press(self, *keys: str) -> None:
        """One key after another, each when the one before is on the screen; a failure or a crash ends the test."""
        for key in keys:
            self.keys += 1
            self.term.step(key)
            assert self.term.process.poll() is None, self.term.text()
            assert not failures(self.term), self.term.text()
            self.said.append(f"{key}: {message(self.term)}")

    def check_in(self, late: Collection[int] = (4,)) -> None:
        """Everyone on the list, each where they are suggested to go; those at these rows are expected late."""
        self.term.wait_for("no session is open")
        for n in range(PEOPLE):
            self.press(*(["l", "enter"] if n in late else ["enter"]))
        assert f"{PEOPLE - len(late)} here · {len(late)} late" in self.term.lines()[0], self.term.text()
        self.press("f")
        self.term.wait_for("Enter start")

    def lift(self) -> None:
        """Round the stations until all of them are free."""
        free: set[str] = set()
        while len(free) < STATIONS and self.keys < MOST_KEYS:
            line = hand_line(self.term)
            if nobody_up(line):
                free.add(line.partition(" free")[0].partition(" All")[0])
                self.go("right")
                continue
            free.clear()
            if " ramp " in line or " walk " in line:
                self.press("f4")
                self.until(partial(self.past, line), "the ramp to be ticked")
            elif _REPS.search(line):
                self.running(line)
            else:
                assert " set " in line or " rest " in line, self.term.text()
                self.start()

    def start(self) -> None:
        """Start the set of whoever is up at the station in hand; whether it is safe to is answered with yes."""
        self.press("enter")
        self.until(lambda: self.runs() or self.asks(), "the set to start")
        if self.asks():
            self.press("y")
        self.until(self.runs, "the set to start")

    def asks(self) -> bool:
        """Whether a question stands before the start of a set."""
        return bool(self.term.line_with("Y: start"))

    def go(self, key: str) -> None:
        """To another station, seen to be in hand: what the plan paints meanwhile is no answer to the key.

        Where nobody is up elsewhere Tab stays, and says so.
        """
        before = self.station()
        self.press(key)
        self.until(
            lambda: self.station() not in ("", before) or (key == "tab" and self.says("Nobody is up at another")),
            "another station in hand",
        )

    def station(self) -> str:
        """The name of the station in hand, "" while a screen is between two."""
        found = _IN_HAND.search(self.term.text())
        return found[1] if found else ""

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
        self.go("tab")

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
