"""Evenings for the core's tests, made by commands: no file, no screen."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import UTC, datetime

from floor.core import commands as c
from floor.core.apply import fold
from floor.core.decide import decide
from floor.core.definitions import Problems, parse_gym
from floor.core.events import Event
from floor.core.gym import Gym
from floor.core.state import State
from floor.templates import templates

NOW = datetime(2026, 11, 25, 17, 0, tzinfo=UTC)
NAMES = {1: "Ada", 2: "Bo", 3: "Cleo"}


def demo_gym() -> Gym:
    """The demo gym's equipment, lifts and programmes."""
    texts = templates(demo=True)
    gym = parse_gym(texts, {name: 1 for name in texts}, "kg")
    assert not isinstance(gym, Problems), gym
    return gym


@dataclass
class Told:
    """An evening as it goes: the state, and every event so far."""

    state: State = field(default_factory=lambda: State(gym=demo_gym()))
    events: list[Event] = field(default_factory=list)

    def do(self, *commands: c.Command) -> Told:
        """Commands that must be done."""
        for command in commands:
            answer = decide(self.state, command, NOW)
            assert not isinstance(answer, c.Refusal), answer
            self.state = fold(self.state, answer)
            self.events += answer
        return self


def three_lifters() -> Told:
    """Ada, Bo and Cleo (young) belong to the gym, with a load for squat and clean; nobody is here."""
    told = Told()
    for number in NAMES:
        told.do(c.JoinLifter(number, youth=number == 3))
    for number, squat, clean in ((1, 6250, 4000), (2, 8000, 5000), (3, 4000, 3000)):
        told.do(c.PlanNext(number, "squat", 3, 5, squat), c.PlanNext(number, "clean", 4, 3, clean))
    return told
