"""The stage for the rules' tests: a small gym, past commands or events, one command, what follows.

`gym()` has the shipped lifts and plates, three stations (1 rack and floor,
2 floor, 3 bench) and short programmes of its own. A `Scene` never changes: every
step gives a new one, so a test can go two ways from the same evening.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from datetime import UTC, datetime, timedelta
from functools import cache

from floor.core.apply import apply, fold
from floor.core.commands import (
    AllMade,
    Arrive,
    CloseSession,
    Command,
    CountRep,
    EndSet,
    JoinLifter,
    OpenSession,
    PlanNext,
    RampDone,
    Refusal,
    SeeFault,
    StartSet,
)
from floor.core.decide import decide
from floor.core.definitions import parse_gym
from floor.core.events import Event, check
from floor.core.gym import Entry, Grade, Gym, Programme
from floor.core.state import Present, State, TheSet
from floor.templates import templates

SIX = datetime(2025, 3, 3, 18, 0, tzinfo=UTC)
RACK, PLATFORM, BENCH = 1, 2, 3

SQUAT = Entry("squat", 3, 5)
PROGRAMMES: dict[str, tuple[tuple[Entry, ...], ...]] = {
    "squat": ((SQUAT,),),
    "squat-press": ((Entry("squat", 2, 5), Entry("press", 2, 6)),),
    "squat-bench": ((Entry("squat", 2, 5), Entry("bench", 2, 6)),),
    "press": ((Entry("press", 3, 6),),),
    "bench": ((Entry("bench", 3, 6),),),
    "pull": ((Entry("deadlift", 3, 5),),),
    "clean": ((Entry("clean", 4, 3, role="build"),),),
    "three days": ((SQUAT,), (Entry("bench", 3, 6),), (Entry("squat", 2, 5, percent=80),)),
    "everything": (tuple(Entry(x, 2, 3) for x in ("clean", "squat", "press", "bench", "deadlift")),),
}


@cache
def gym() -> Gym:
    """The gym of these tests."""
    parsed = parse_gym(templates(), {name: 1 for name in ("equipment", "lifts", "programmes", "settings")}, "kg")
    assert isinstance(parsed, Gym)
    programmes = {name: Programme(name, name, days) for name, days in PROGRAMMES.items()}
    return replace(parsed, programmes=programmes, settings=replace(parsed.settings, programme="squat"))


@dataclass(frozen=True)
class Scene:
    """A state at a moment, and what the last command led to."""

    state: State = field(default_factory=lambda: State(gym=gym()))
    now: datetime = SIX
    events: tuple[Event, ...] = ()
    refusal: Refusal | None = None

    def given(self, *past: Command | Event | Iterable[Command | Event], every: int = 10) -> Scene:
        """What happened before: commands that were not refused, or events; `every` seconds apart."""
        scene = self
        for one in past:
            if isinstance(one, Command):
                scene = scene.when(one, every)
                assert scene.refusal is None, scene.refusal
            elif isinstance(one, Event):
                scene = replace(scene, state=apply(scene.state, one), now=scene.now + timedelta(seconds=every))
            else:
                scene = scene.given(*one, every=every)
        return scene

    def later(self, *, seconds: int = 0, days: int = 0) -> Scene:
        """Time goes by."""
        return replace(self, now=self.now + timedelta(seconds=seconds, days=days), events=(), refusal=None)

    def when(self, command: Command, after: int = 10) -> Scene:
        """One command, `after` seconds later."""
        now = self.now + timedelta(seconds=after)
        answer = decide(self.state, command, now)
        if isinstance(answer, Refusal):
            return replace(self, now=now, events=(), refusal=answer)
        for event in answer:
            check(event)
        return Scene(fold(self.state, answer), now, answer, None)

    # --- then

    @property
    def why(self) -> str:
        """The sentence of the refusal; the test fails if there was none."""
        assert self.refusal is not None, f"not refused: {self.kinds}"
        return self.refusal.why

    @property
    def kinds(self) -> tuple[str, ...]:
        """The kinds of the events that followed, in order."""
        return tuple(e.kind for e in self.events)

    def event(self, kind: str) -> Event:
        """The one event of that kind that followed."""
        assert self.refusal is None, self.refusal
        found = [e for e in self.events if e.kind == kind]
        assert len(found) == 1, f"{len(found)} {kind} in {self.kinds}"
        return found[0]

    def of(self, lifter: int) -> Present:
        """A lifter as present tonight."""
        return self.state.evening.here[lifter]

    def coming(self, lifter: int) -> TheSet:
        """The lifter's next set; the test fails if there is none."""
        pending = self.of(lifter).pending()
        assert pending is not None
        return pending

    def promised(self, station: int) -> tuple[int | None, int | None]:
        """(up, next) at a station."""
        there = self.state.evening.stations[station]
        return there.up, there.next


def kg(load: float) -> int:
    """Kilograms as hundredths."""
    return round(load * 100)


def belongs(lifter: int, programme: str = "squat", *, youth: bool = False, **loads: float) -> tuple[Command, ...]:
    """A lifter of the gym, with the load of each lift for next time in kg."""
    plans = tuple(PlanNext(lifter, lift, 3, 5, kg(load)) for lift, load in loads.items())
    return (JoinLifter(lifter, youth, programme), *plans)


def evening(*past: Command | Event | Iterable[Command | Event]) -> Scene:
    """An open session after these."""
    return Scene().given(OpenSession(), *past)


def came(
    lifter: int = 1, station: int = RACK, programme: str = "squat", *, youth: bool = False, **loads: float
) -> tuple[Command, ...]:
    """A lifter of the gym who has checked in."""
    return (*belongs(lifter, programme, youth=youth, **loads), Arrive(lifter, station))


def ready(
    lifter: int = 1, station: int = RACK, programme: str = "squat", *, youth: bool = False, **loads: float
) -> tuple[Command, ...]:
    """As `came`, with the ramp of the first lift done."""
    return (*came(lifter, station, programme, youth=youth, **loads), RampDone(lifter))


def a_set(
    station: int = RACK, made: int = 5, missed: int = 0, faults: str = "", grade: Grade | None = None
) -> tuple[Command, ...]:
    """A whole set at a station; the faults (letters) are seen on its last rep."""
    reps = (CountRep(station, True),) * made + (CountRep(station, False),) * missed
    return (StartSet(station), *reps, *(SeeFault(station, f) for f in faults), EndSet(station, grade))


def whole_set(station: int = RACK, grade: Grade | None = None) -> tuple[Command, ...]:
    """A set at a station with every planned rep made."""
    return (StartSet(station), AllMade(station), EndSet(station, grade))


def next_evening(scene: Scene, days: int = 2) -> Scene:
    """The session closed, and another opened some days later."""
    return scene.given(CloseSession()).later(days=days).given(OpenSession())
