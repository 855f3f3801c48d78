"""What everyone in a simulated evening shares: the state, the bodies, the time, and where the coach is.

Routines say when they want to go on; the room always wakes the earliest, so
commands come in the order of their times.
"""

from __future__ import annotations

import heapq
from collections.abc import Iterator, Sequence
from datetime import datetime, timedelta
from random import Random

from floor.core.apply import fold
from floor.core.commands import Command, Refusal
from floor.core.decide import decide
from floor.core.events import Event
from floor.core.state import State
from floor.sim.lifters import Body

Routine = Iterator[datetime]


class SimulationStuck(Exception):
    """The simulated coach asked for something that is refused: a mistake in the simulation or in the rules."""


class Room:
    """The shared floor. Times are aware UTC; `to_come` are lifters expected, `busy` those with a bar in hand.

    `pain` holds when a lifter will report pain; `clean_form` whether all of a
    lifter's watched sets of a lift were clean; `tried` which lifts were begun.
    """

    def __init__(self, state: State, bodies: dict[int, Body], opens: datetime, last_start: datetime, rng: Random):
        self.state = state
        self.bodies = dict(bodies)
        self.rng = rng
        self.now = opens
        self.last_start = last_start
        self.to_come: set[int] = set()
        self.busy: set[int] = set()
        self.pain: dict[int, datetime] = {}
        self.clean_form: dict[tuple[int, str], bool] = {}
        self.tried: set[tuple[int, str]] = set()
        self.watching = False
        self.coach_back = opens
        self._out: list[tuple[Event, ...]] = []

    @property
    def coach_free(self) -> bool:
        """Whether the coach could watch a set that starts now."""
        return not self.watching and self.coach_back <= self.now

    def attempt(self, command: Command) -> bool:
        """Ask for something that may be refused; whether it was done."""
        answer = decide(self.state, command, self.now)
        if isinstance(answer, Refusal):
            return False
        self.state = fold(self.state, answer)
        self._out.append(answer)
        return True

    def must(self, command: Command) -> None:
        """Ask for something that has to work. Raises SimulationStuck with the refusal's sentence."""
        answer = decide(self.state, command, self.now)
        if isinstance(answer, Refusal):
            raise SimulationStuck(f"{command}: {answer.why}")
        self.state = fold(self.state, answer)
        self._out.append(answer)

    def later(self, low: float, high: float) -> datetime:
        """A drawn time between `low` and `high` seconds from now, in whole seconds."""
        return self.now + timedelta(seconds=round(self.rng.uniform(low, high)))

    def said(self) -> Iterator[tuple[Event, ...]]:
        """The commands' events since this was last asked."""
        out, self._out = self._out, []
        yield from out

    def wake(self, routines: Sequence[Routine]) -> Iterator[tuple[Event, ...]]:
        """Run the routines to their ends, always the one that is due first."""
        waiting = [(self.now, n, routine) for n, routine in enumerate(routines)]
        while waiting:
            when, n, routine = heapq.heappop(waiting)
            self.now = max(self.now, when)
            again = next(routine, None)
            if again is not None:
                heapq.heappush(waiting, (max(again, self.now), n, routine))
            yield from self.said()
