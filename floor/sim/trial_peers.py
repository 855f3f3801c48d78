"""The policies the rules are tried against: always add, repeat until it is sharp, and add when made.

All follow the same programme with the same sets and reps, begin from the same
loads and find a newcomer's first load by steps from set to set. None knows
stages, and what they do is all here. In each an end fault ends the lift for the
day, pain the evening, and a session cut by pain adds nothing. The first two are
extremes; the third is what many do who look at the reps and not at the form.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime

from floor.core.gym import Grade, Gym, Severity
from floor.core.loading import buildable
from floor.core.programme import todays_entries
from floor.core.proposals import worst_fault
from floor.core.state import DONE, Lifter, TheSet

FAILS_TWICE = 2


class Peer:
    """What they have in common. Loads are hundredths of the gym's unit; sets are numbered over the evening."""

    name = ""

    def __init__(self, gym: Gym, loads: Mapping[str, int]) -> None:
        self.gym = gym
        self.loads = dict(loads)
        self.day = 0
        self.fails: dict[str, int] = {}
        self._sets: list[TheSet] = []
        self._tonight: list[TheSet] = []
        self._light: dict[str, bool] = {}
        self._hurt = False

    def arrive(self, now: datetime) -> None:
        """Plan the day's sets."""
        lifter = Lifter(1, programme=self.gym.settings.programme, day=self.day)
        self._sets, self._tonight, self._hurt = [], [], False
        for entry in todays_entries(self.gym, lifter):
            self._light[entry.lift] = entry.percent < 100
            whole = self.loads.get(entry.lift)
            load = self.gym.lifts[entry.lift].start if whole is None else whole * entry.percent // 100
            load = buildable(self.gym, entry.lift, load)
            role = "build" if whole is None else "work"
            self._sets += [
                TheSet(no=len(self._sets) + n + 1, lift=entry.lift, role=role, reps=entry.reps, load=load)
                for n in range(entry.sets)
            ]

    def coming(self, now: datetime) -> TheSet | None:
        """The next work set, None when the evening is done."""
        return self._sets[0] if self._sets else None

    def done(self, lifted: TheSet, now: datetime) -> None:
        """A set as the coach saw it."""
        self._tonight.append(lifted)
        self._sets.pop(0)
        if worst_fault(self.gym, lifted) is Severity.END:
            self._sets = [s for s in self._sets if s.lift != lifted.lift]
        if self._sets and self._sets[0].lift == lifted.lift and self._sets[0].role == "build":
            load = self._stepped(lifted.lift, lifted.load) if self.builds(lifted) else lifted.load
            first = self._sets[0]
            self._sets[0] = TheSet(no=first.no, lift=first.lift, role=first.role, reps=first.reps, load=load)

    def pain(self, now: datetime) -> None:
        """Pain ends the evening."""
        self._hurt = True
        self._sets = []

    def clear(self, now: datetime) -> None:
        """They come back to the load they left."""

    def close(self, now: datetime) -> None:
        """What next time brings: for the lifts done at their whole load."""
        days = self.gym.programmes[self.gym.settings.programme].days
        self.day = (self.day + 1) % len(days)
        for lift in dict.fromkeys(s.lift for s in self._tonight):
            sets = [s for s in self._tonight if s.lift == lift and s.status == DONE]
            if lift not in self.loads:
                self.loads[lift] = max(s.load for s in sets)
            elif not self._light[lift] and not self._hurt:
                self.loads[lift] = self.next_load(lift, sets)

    def load_of(self, lift: str) -> int | None:
        """What stands in the plan for a lift, in hundredths; None before the first time."""
        return self.loads.get(lift)

    def builds(self, lifted: TheSet) -> bool:
        """Whether the set after this one, in the first session of a lift, is a step heavier."""
        raise NotImplementedError

    def next_load(self, lift: str, sets: list[TheSet]) -> int:
        """The load of next time after these sets at the whole load."""
        raise NotImplementedError

    def _stepped(self, lift: str, load: int, steps: int = 1) -> int:
        return buildable(self.gym, lift, load + steps * self.gym.lifts[lift].step)


class AlwaysAdd(Peer):
    """A step every session whatever happened; a step off only when the bar failed in two sessions running."""

    name = "always add"

    def builds(self, lifted: TheSet) -> bool:
        """Always."""
        return True

    def next_load(self, lift: str, sets: list[TheSet]) -> int:
        """A step more; a step less the second time running that a rep was missed."""
        failed = any(s.missed for s in sets)
        self.fails[lift] = self.fails.get(lift, 0) + 1 if failed else 0
        if self.fails[lift] < FAILS_TWICE:
            return self._stepped(lift, self.loads[lift])
        self.fails[lift] = 0
        return self._stepped(lift, self.loads[lift], -1)


class UntilSharp(Peer):
    """The same load until it was sharp: adds when a watched set was sharp, none was less, and every rep was made."""

    name = "repeat until sharp"

    def builds(self, lifted: TheSet) -> bool:
        """After a sharp set with every rep made."""
        return lifted.grade is Grade.SHARP and lifted.made >= lifted.reps

    def next_load(self, lift: str, sets: list[TheSet]) -> int:
        """A step more after a sharp session, else the same."""
        grades = {s.grade for s in sets}
        sharp = Grade.SHARP in grades and grades <= {Grade.SHARP, Grade.UNSEEN}
        every = all(s.made >= s.reps for s in sets)
        return self._stepped(lift, self.loads[lift]) if sharp and every else self.loads[lift]


class WhenMade(Peer):
    """A step when every rep was made; a miss repeats, the third in a row takes a tenth off. Blind to form."""

    name = "add when made"

    def builds(self, lifted: TheSet) -> bool:
        """After a set with every rep made."""
        return lifted.made >= lifted.reps

    def next_load(self, lift: str, sets: list[TheSet]) -> int:
        """A step more, the same again, or a tenth less."""
        load = self.loads[lift]
        if all(s.made >= s.reps for s in sets):
            self.fails[lift] = 0
            return self._stepped(lift, load)
        self.fails[lift] = self.fails.get(lift, 0) + 1
        if self.fails[lift] < self.gym.settings.repeats_before_ease:
            return load
        self.fails[lift] = 0
        return buildable(self.gym, lift, load * (100 - self.gym.settings.ease_percent) // 100)


PEERS: Mapping[str, type[Peer]] = {peer.name: peer for peer in (AlwaysAdd, UntilSharp, WhenMade)}
"""The peers by name, the one that the rules are measured against first."""
