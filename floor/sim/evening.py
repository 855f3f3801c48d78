"""One simulated evening, run command by command through the real decide and apply.

Lifters come, take the bar in the order that was promised, rest as long as the
lift asks, and go. Who comes is a plan; how long things take is invented, and
nothing here proves anything about people.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from random import Random

from floor.core.commands import Arrive, ClearPain, CloseSession, ExpectLate, Leave, OpenSession, SetStage
from floor.core.events import Event
from floor.core.programme import stage_now
from floor.core.state import DONE, State
from floor.sim.lifters import Body, trained
from floor.sim.room import Room, Routine
from floor.sim.stationwork import StationWork

STAGE_MOVES_ON = 0.6
"""The chance that the coach moves a stage on after an evening of clean watched sets. Invented."""


@dataclass(frozen=True, slots=True)
class Coming:
    """How one lifter's evening goes: `at`, `leaves` and `pain` in minutes after opening, `off` as in `Body`."""

    lifter: int
    at: int
    late: bool = False
    new: bool = False
    leaves: int | None = None
    pain: int | None = None
    off: float = 0.0


@dataclass(frozen=True, slots=True)
class EveningPlan:
    """Who comes, when it opens, how many minutes until no set is started any more, who is cleared first."""

    opens: datetime
    coming: tuple[Coming, ...]
    minutes: int = 100
    cleared: tuple[int, ...] = ()


class Evening:
    """Runs one evening. `state` and `bodies` are how things stand; `run` yields one tuple of events a command."""

    def __init__(self, state: State, bodies: dict[int, Body], plan: EveningPlan, rng: Random) -> None:
        self.plan = plan
        tonight = {c.lifter: replace(bodies[c.lifter], off=c.off) for c in plan.coming if c.off}
        self.room = Room(state, {**bodies, **tonight}, plan.opens, self._minute(plan.minutes), rng)
        self.room.to_come = {c.lifter for c in plan.coming}
        self.room.pain = {c.lifter: self._minute(c.pain) for c in plan.coming if c.pain is not None}

    @property
    def state(self) -> State:
        """The state so far."""
        return self.room.state

    @property
    def bodies(self) -> dict[int, Body]:
        """The bodies so far: after the close, trained by what they did."""
        return self.room.bodies

    def run(self) -> Iterator[tuple[Event, ...]]:
        """The evening, one command's events at a time, from the opening to the close and what follows it."""
        room = self.room
        room.must(OpenSession())
        for lifter in self.plan.cleared:
            room.must(ClearPain(lifter))
        for coming in self.plan.coming:
            if coming.late:
                room.must(ExpectLate(coming.lifter))
        routines: list[Routine] = [self._door()]
        routines += [StationWork(room, s.id).run() for s in room.state.gym.stations]
        routines += [self._early(c.lifter, c.leaves) for c in self.plan.coming if c.leaves is not None]
        yield from room.said()
        yield from room.wake(routines)
        self._close()
        yield from room.said()

    def _minute(self, minute: int) -> datetime:
        return self.plan.opens + timedelta(minutes=minute)

    def _door(self) -> Routine:
        room = self.room
        for coming in sorted(self.plan.coming, key=lambda c: (c.at, c.lifter)):
            yield max(room.now + timedelta(seconds=4), self._minute(coming.at))
            room.must(Arrive(coming.lifter, self._emptiest_station(), new=coming.new))
            room.to_come.discard(coming.lifter)

    def _emptiest_station(self) -> int:
        evening = self.room.state.evening
        here = [p.station for p in evening.here.values() if not p.gone]
        return min(evening.stations, key=lambda s: (here.count(s), s))

    def _early(self, lifter: int, minute: int) -> Routine:
        yield self._minute(minute)
        while lifter in self.room.busy:
            yield self.room.later(10, 20)
        self.room.must(Leave(lifter))

    def _close(self) -> None:
        room = self.room
        room.now = room.later(120, 300)
        for present in room.state.evening.here.values():
            done: dict[str, int] = {}
            for s in present.sets:
                if s.status == DONE and s.role != "ramp":
                    done[s.lift] = done.get(s.lift, 0) + 1
            room.bodies[present.lifter] = trained(room.bodies[present.lifter], done)
        room.must(CloseSession())
        for (lifter, lift), clean in sorted(room.clean_form.items()):
            stage = stage_now(room.state.gym.lifts[lift], room.state.lifters[lifter]) or 1
            if clean and stage < len(room.state.gym.lifts[lift].stages) and room.rng.random() < STAGE_MOVES_ON:
                room.now += timedelta(seconds=6)
                room.must(SetStage(lifter, lift, stage + 1))
