"""An evening beside the plan in a real terminal: fourteen lifters on three platforms, and what the record says of it.

The clock is the real one, so that a coach who goes from bar to bar as fast as the
keys are taken starts nearly every set too early: each time the floor must say so.
"""

from __future__ import annotations

import re
import time
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path

import pytest

from floor.core.apply import fold
from floor.core.events import Event
from floor.core.groups import place_for
from floor.core.gym import Gym
from floor.core.promises import REASONS
from floor.core.state import State
from floor.session import Done
from tests.terminal.evening_coach import PEOPLE, Evening, Todo
from tests.terminal.evening_keys import hand_line, message, open_gym
from tests.terminal.terminal import TURN, Terminal, python_floor

SIZE = (120, 40)
LATE = (4, 9)
BOOKED = 40
"""Minutes the session is booked for: fewer than the groups need, so that there is something to trim."""
OFFERED, TRIMS = "9 takes the offer", "8 trims it"
A_PLAN = 6.0
"""Seconds a coach gives the plan; its line shows each of two things for five."""
TRIMMED = 22
"""From how many sets on something is trimmed: who is expected late makes the evening late, and has come by then."""
TRIES = 5
"""How often the trims are asked for while the plan is being made anew."""
LOOKS = (0, 1, 2, 9, 15, 21, 27)
"""When an offer is looked for, by sets lifted: at first at each station, then after whatever changes the evening."""

_TRIM = re.compile(r"\d   ?\S.* min earlier")
"""A line of the trims: its key, what is left out, what it gains."""

TODO: Todo = {
    9: (("checked in", ("f8", "a", "1", "enter")),),
    15: (("held", ("f9", "1", "enter")),),
    21: (("checked in", ("f8", "a", "1", "enter")),),
    33: (("swapped", ("f6", "1")),),
    38: (("passed the turn", ("f5",)),),
}
"""By how many sets have been lifted: one comes late, one has pain, another comes late; the coach swaps two, and
passes a turn. Between these whoever is told next at the station in hand must go, and leaves."""
LEAVES = 27
_NEXT = re.compile(r"^ then (\S+(?: \S+)*?) [\d.]+ kg .*·")


@dataclass(frozen=True)
class Start:
    """What the floor said of a set's start: the line of the station before the key, the message after it."""

    before: str
    after: str


class PlannedEvening(Evening):
    """A coach who takes the first offer there is and the first trim, and keeps what was said at every start."""

    def __init__(self, term: Terminal) -> None:
        super().__init__(term, TODO)
        self.starts: list[Start] = []
        self.looks = list(LOOKS)
        self.offers = self.trims = 0
        self.trims_shown: list[str] = []
        self.gone = ""
        self.shown_again: list[str] = []

    def start(self) -> None:
        """Take what the plan has to give, or start the set and keep what is said."""
        if self.waits_for_an_offer() or self.takes_offer() or self.takes_trim():
            return  # the screen has moved on: it is read anew
        before = hand_line(self.term)
        super().start()
        self.until(lambda: self.says(" started"), "the start to be said")
        while self.term.pump(0.02):
            pass
        self.starts.append(Start(before, message(self.term)))
        if self.gone and any(self.gone in line for line in self.term.lines()[:-3]):
            self.shown_again.append(self.term.text())

    def takes_offer(self) -> bool:
        """The first offer of the evening; none may come, for it is made only where it gains something."""
        if self.offers or not self.term.line_with(OFFERED):
            return False
        self.press("9")
        if not self.says("the plan's order"):
            assert self.says("no offer") or self.says("older state") or self.says("before the rest"), self.term.text()
            return False
        self.offers += 1
        return True

    def waits_for_an_offer(self) -> bool:
        """Now and then the plan is given a moment to make one."""
        if self.offers or not self.looks or self.sets < self.looks[0]:
            return False
        self.looks.pop(0)
        until = time.monotonic() + A_PLAN
        while not self.term.line_with(OFFERED) and time.monotonic() < until:
            self.term.pump(TURN)
        return True

    def takes_trim(self) -> bool:
        """The first trim, once everybody has come and the plan says that the evening ends late."""
        if self.trims or self.sets < TRIMMED:
            return False
        for _ in range(TRIES):
            self.term.wait_for(TRIMS, A_PLAN)
            self.press("8")
            self.until(lambda: self.asked() or self.says("no plan yet"), "the trims")
            if self.asked():
                break
            self.term.pump(1)  # the plan shown was of the key before; the next is being made
        self.trims_shown = [found[0] for line in self.term.lines() if (found := _TRIM.search(line))]
        one_set = next((line for line in self.trims_shown if "one work set less" in line), self.trims_shown[-1])
        self.press(one_set[0])
        self.until(lambda: self.says("trim:"), "the trim to be taken")
        self.trims += 1
        return True

    def asked(self) -> bool:
        """Whether the trims are on the screen."""
        return bool(self.term.line_with("leave something out?"))

    def running(self, line: str) -> None:
        """A set to its end; once, after it, somebody leaves."""
        super().running(line)
        if self.sets >= LEAVES and not self.gone:
            self.leaves()

    def leaves(self) -> None:
        """Whoever is told next at the station in hand must go, and goes home, if somebody else waits there."""
        told = next((found[1] for line in self.term.lines() if (found := _NEXT.search(line))), "")
        if not told:
            return
        self.pick("g", "Who must go?", told)
        self.press(*"20", "enter")
        self.until(lambda: self.says(f"{told} must go in 20 min"), f"{told}'s time to go")
        assert self.term.line_with(f"MUST GO  {told} "), self.term.text()
        self.pick("l", "Who leaves?", told)
        self.until(lambda: self.says(f"{told} left"), f"{told} to leave")
        assert not self.term.line_with("MUST GO"), self.term.text()
        self.gone = told

    def pick(self, way: str, question: str, name: str) -> None:
        """One of the people's questions, answered with a lifter by the key before the name."""
        self.press("f8", way)
        self.term.wait_for(question, 5)
        key = re.search(rf"(\w)  +{re.escape(name)} ", self.term.text()[self.term.text().index(question) :])
        assert key, self.term.text()
        self.press(key[1])


# --- the record


def rests_owed(gym: Gym, told: Sequence[Event]) -> list[float]:
    """Of every set started, in order, the seconds of the least rest still owed then, by the events alone."""
    rested: dict[int, datetime] = {}
    down: dict[int, datetime] = {}
    owed = []
    for event in told:
        lifter = event.lifter or 0
        if event.kind == "set_started":
            left = rested.get(lifter, event.happened) - event.happened
            owed.append(left.total_seconds())
        elif event.kind in ("rep_made", "rep_missed", "reps_made"):
            down[lifter] = event.happened
        elif event.kind == "ramp_done":
            rested[lifter] = event.happened + timedelta(seconds=gym.lifts[event.lift or ""].ramp_rest)
        elif event.kind == "set_ended":
            lift = gym.lifts[event.lift or ""]
            rested[lifter] = down[lifter] + timedelta(seconds=lift.ramp_rest if event.role == "ramp" else lift.rest)
    return owed


@dataclass(frozen=True)
class Broken:
    """Who was told next at a station and is so no longer, without having stepped up.

    `by` is the event that names another, None when nobody is named; `events` are
    those of its command, `since` all since the promise was made.
    """

    lifter: int
    station: int
    by: Event | None
    events: Sequence[Event]
    since: Sequence[Event]


def broken_promises(commands: Sequence[Sequence[Event]]) -> Iterator[Broken]:
    """Every promise that was not kept, by the events alone."""
    told: dict[int, tuple[int, list[Event]]] = {}
    for events in commands:
        stepped = {(e.station, e.lifter) for e in events if e.kind == "stepped_up"}
        for _, since in told.values():
            since += events
        for event in events:
            station = event.station or 0
            was, since = told.get(station, (0, []))
            if event.kind == "stepped_up" and event.lifter == was:
                del told[station]
            elif event.kind in ("told_next", "station_cleared"):
                told.pop(station, None)
                if was and event.lifter != was and (station, was) not in stepped:
                    yield Broken(was, station, event if event.kind == "told_next" else None, events, since)
            if event.kind == "told_next":
                told[station] = event.lifter or 0, []


def concerns(events: Sequence[Event], broken: Broken) -> bool:
    """Whether any of the events was about the lifter, or was the coach's own word on the station's order."""
    words = ("turn_passed", "lifters_swapped", "offer_taken", "bar_followed", "order_held")
    return any(
        (e.lifter == broken.lifter and e.kind not in ("stepped_up", "told_next"))
        or (e.station == broken.station and e.kind in words)
        for e in events
    )


LIFTS = ("set_started", "stepped_up", "told_next", "rep_made", "reps_made", "ramp_done")
"""Kinds that put somebody on a bar, or in line for one."""


def after(told: Sequence[Event], kind: str) -> tuple[int, list[Event]]:
    """Whom the one event of that kind was about, and what later put them in line or on a bar."""
    at = [n for n, event in enumerate(told) if event.kind == kind]
    assert len(at) == 1, kind
    lifter = told[at[0]].lifter
    assert lifter is not None
    return lifter, [event for event in told[at[0] :] if event.lifter == lifter and event.kind in LIFTS]


@pytest.mark.long
def test_fourteen_lifters_beside_the_plan(demo: Path) -> None:
    began = open_gym(demo)
    settings = began.journal.read().definitions["settings"][1]
    booked = began.adopt("settings", re.sub(r"(?m)^minutes = \d+$", f"minutes = {BOOKED}", settings))
    assert isinstance(booked, Done), booked
    before: State = began.state
    assert before.gym.settings.minutes == BOOKED
    began.journal.close()
    with Terminal(python_floor("--gym", demo), *SIZE) as term:
        evening = PlannedEvening(term)
        evening.check_in(LATE)
        evening.lift()
        assert evening.sets > 40 and not evening.todo, (evening.sets, evening.todo)
        evening.close()
        term.press("ctrl+q")
        assert term.ended() == 0
        assert b"Traceback" not in term.raw
        assert b"no plan:" not in term.raw, "the planner held out"

    session = open_gym(demo)
    try:
        commands = [recorded.events for recorded in session.journal.read().tonight]
        gym = session.state.gym
    finally:
        session.journal.close()
    told = [event for events in commands for event in events]
    kinds = Counter(event.kind for event in told)
    assert not {"undone", "set_recorded"} & set(kinds)

    # Check-in followed the groups, those who came late too.
    state, arrived = before, 0
    for events in commands:
        for event in events:
            if event.kind == "lifter_arrived":
                suggested = place_for(state, state.lifters[event.lifter or 0], event.happened).station
                assert suggested is not None and event.station == suggested.id, event
                arrived += 1
        state = fold(state, events)
    assert arrived == PEOPLE

    # Nobody was put under a bar before the least rest unsaid: not before the key, not after it.
    owed = rests_owed(gym, told)
    assert len(owed) == len(evening.starts)
    early = [(left, start) for left, start in zip(owed, evening.starts, strict=True) if left > 0]
    rested = [start for left, start in zip(owed, evening.starts, strict=True) if left <= 0]
    assert early, "a coach as fast as this starts sets too early"
    for left, start in early:
        assert " rest " in start.before and "of rest left" in start.after, (left, start)
    for start in rested:
        assert "of rest left" not in start.after, start

    # Who was told next stayed next, but for what happened to them or what the coach said.
    changes = list(broken_promises(commands))
    assert any(broken.by and broken.by.rule == "left" for broken in changes)
    for broken in changes:
        if broken.by is not None and broken.by.other is not None:
            assert broken.by.other == broken.lifter, broken
            assert broken.by.rule in REASONS and broken.by.rule != "order", broken
            assert concerns(broken.events, broken), broken
        else:  # they were lost from the line before, with nobody there to be told instead
            assert concerns(broken.since, broken), broken

    # Held is held, gone is gone; what was taken from the plan is in the record as that.
    held, lifted = after(told, "pain_reported")
    assert not lifted, (held, lifted)
    left, lifted = after(told, "lifter_left")
    assert not lifted, (left, lifted)
    assert evening.gone and not evening.shown_again, (evening.gone, evening.shown_again[:1])
    assert kinds["leaving_set"] == 1 and kinds["late_expected"] == len(LATE)
    assert kinds["trim_taken"] == 1 == evening.trims
    assert kinds["offer_taken"] == evening.offers

    print(
        f"trims shown: {'; '.join(re.sub('  +', ' ', trim) for trim in evening.trims_shown)}\n"
        f"{evening.keys} keys, {len(owed)} sets started: {len(early)} before the least rest and all said, "
        f"{len(rested)} rested; {kinds['told_next']} told next, {len(changes)} changed, each with its reason "
        f"({dict(Counter(b.by.rule if b.by else 'nobody left' for b in changes))}); "
        f"{evening.offers} offer and {evening.trims} trim taken, {kinds['set_dropped']} sets left out"
    )
