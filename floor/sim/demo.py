"""The demo gym's people and their twelve weeks.

Everybody here is invented, and so is everything they did: it came out of the
simulated lifters of this package and proves nothing about people. It went
through the real decide and apply, so it is a record the gym could have.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta
from random import Random

from floor.core.apply import fold
from floor.core.commands import Command, JoinLifter, PlanNext, Refusal, SetHeights, SetStage
from floor.core.decide import decide
from floor.core.events import Event
from floor.core.gym import Gym
from floor.core.loading import buildable
from floor.core.people import NoteAdded, PersonAdded, PersonChange
from floor.core.state import State
from floor.sim.evening import Coming, Evening, EveningPlan
from floor.sim.lifters import Body, make_body, rested
from floor.sim.room import SimulationStuck

WEEKS = 12
EVENINGS = (0, 2, 4)
"""The days of a week, counted from its first evening, on which the gym is open."""
DAYS_BEFORE = 3
"""The last evening is this many days before the demo."""
LIFTS = ("squat", "press", "bench", "deadlift", "clean")


@dataclass(frozen=True, slots=True)
class Cast:
    """One invented lifter. `fives` are kg for sets of five on LIFTS when they start in this history.

    `since` is the evening they first come, 0 to 35; None is joined and not yet
    come. `before` says that they had trained here before the history begins.
    """

    id: int
    name: str
    board: str
    programme: str
    fives: tuple[float, ...]
    growth: float
    skill: float
    comes: float
    before: bool = True
    since: int | None = 0
    youth: bool = False
    late: bool = False
    habit: Mapping[str, str] | None = None


ARMS = {"clean": "arms-bent-early"}

PEOPLE: tuple[Cast, ...] = (
    Cast(1, "Amina Solberg", "Amina", "week3", (72.5, 34, 46, 90, 45), 0.10, 0.82, 0.92, habit=ARMS),
    Cast(2, "Tomasz Okafor", "Tomasz", "week3", (107.5, 50, 76, 130, 67.5), 0.12, 0.75, 0.85),
    Cast(3, "Priya Lindqvist", "Priya", "week2", (55, 27, 36, 72.5, 35), 0.16, 0.6, 0.7, habit=ARMS),
    Cast(4, "Mateo Haugen", "M.H.", "week3", (85, 42, 62, 105, 52.5), 0.15, 0.6, 0.85, habit=ARMS),
    Cast(5, "Yuki Ferreira", "Yuki", "week2", (32.5, 20, 24, 45, 30), 0.25, 0.55, 0.65, youth=True),
    Cast(6, "Ingrid Castellanos", "Ingrid", "back", (50, 26, 34, 65, 35), 0.2, 0.65, 0.6),
    Cast(7, "Kwame Petrov", "Kwame", "week3", (90, 45, 66, 110, 55), 0.15, 0.6, 0.8, late=True),
    Cast(8, "Leila Marchetti", "Leila", "technique", (60, 30, 38, 77.5, 40), 0.12, 0.75, 0.85),
    Cast(9, "Samuel Nakamura", "Sam", "week3", (60, 32, 46, 80, 37.5), 0.4, 0.4, 0.8, before=False, since=9,
         habit=ARMS),
    Cast(10, "Noor Andersson", "Noor", "week3", (38, 23, 27, 50, 31), 0.45, 0.4, 0.8, before=False, since=16),
    Cast(11, "Diego Kowalczyk", "D.K.", "week3", (95, 46, 68, 115, 57.5), 0.14, 0.65, 0.85),
    Cast(12, "Hanna Achterberg", "Hanna", "week2", (36, 22, 27, 50, 31), 0.45, 0.35, 0.7, before=False, since=25),
    Cast(13, "Farid Jansen", "Farid", "week3", (48, 30, 40, 65, 35), 0.5, 0.3, 1.0, before=False, since=34),
    Cast(14, "Rosa Vainio", "Rosa", "week3", (32, 22, 26, 48, 31), 0.5, 0.3, 0.0, before=False, since=None),
)
"""Fourteen lifters, from first week to a year in. Numbers 1 to 14."""

HURT, HURT_ON, CLEARED_ON = 11, 13, 20
"""Whose pain is reported on which evening, and the evening on which the clearance is recorded."""
BAD_NIGHT: Mapping[tuple[int, int], float] = {(4, 34): 0.1}
"""Who came after a bad night, (lifter, evening), and the share of their strength that was missing."""


def people_changes() -> tuple[PersonChange, ...]:
    """The names and notes of the demo gym."""
    return (
        *(PersonAdded(p.id, p.name, p.board) for p in PEOPLE),
        NoteAdded(6, "caution", "Physiotherapist: left knee is fine to load; stop deep squats if it swells next day."),
        NoteAdded(HURT, "pain", "Lower back, second rep of a set. Stopped and went home."),
        NoteAdded(HURT, "clearance", "Seen by a physiotherapist, free to lift again. Start lighter."),
    )


def evening_starts(until: datetime) -> tuple[datetime, ...]:
    """When each of the evenings opens: 17:00 UTC, the last a few days before `until`."""
    last = (until - timedelta(days=DAYS_BEFORE)).replace(hour=17, minute=0, second=0, microsecond=0)
    return tuple(
        last - timedelta(weeks=WEEKS - 1 - week, days=EVENINGS[-1] - day) for week in range(WEEKS) for day in EVENINGS
    )


def _bodies(gym: Gym, rng: Random) -> dict[int, Body]:
    return {
        p.id: make_body(
            gym, p.id, {lift: kg * 100 for lift, kg in zip(LIFTS, p.fives, strict=True)}, p.growth, p.skill,
            p.habit or {}, rng,
        )
        for p in PEOPLE
    }


def _standing(gym: Gym, person: Cast, rng: Random) -> Iterator[Command]:
    """What is known of a lifter before their first evening here: for a newcomer, only that they joined."""
    yield JoinLifter(person.id, person.youth, person.programme)
    if not person.before:
        return
    for lift_id, kg in zip(LIFTS, person.fives, strict=True):
        lift = gym.lifts[lift_id]
        entries = [e for day in gym.programmes[person.programme].days for e in day if e.lift == lift_id]
        if entries:
            wanted = int(kg * 100 * rng.uniform(0.88, 0.96))
            load = max(buildable(gym, lift_id, wanted // lift.step * lift.step), lift.start)
            yield PlanNext(person.id, lift_id, entries[0].sets, entries[0].reps, load)
            stage = max(1, min(len(lift.stages), round(person.skill * 1.25 * len(lift.stages))))
            yield SetStage(person.id, lift_id, stage)
        given = {"rack": rng.randint(8, 14), "safety": rng.randint(3, 6), "bench": rng.randint(5, 9)}
        if lift.heights:
            yield SetHeights(person.id, lift_id, **{h: given[h] for h in lift.heights})


def _coming(evening: int, opens: datetime, state: State, rng: Random) -> EveningPlan:
    """Who comes on that evening, with what goes otherwise than planned."""
    coming: list[Coming] = []
    for p in PEOPLE:
        draw, minute, leaves = rng.random(), rng.randint(0, 9), rng.randint(40, 65)
        if p.since is None or evening < p.since:
            continue
        away = p.id == HURT and HURT_ON < evening < CLEARED_ON
        off = BAD_NIGHT.get((p.id, evening), 0.0)
        must = evening == p.since or (p.id == HURT and evening in (HURT_ON, CLEARED_ON)) or off > 0
        if away or not (must or draw < p.comes):
            continue
        at = rng.randint(14, 25) if p.late else minute
        coming.append(
            Coming(
                p.id, at, late=p.late, new=p.id not in state.lifters,
                leaves=leaves if draw < 0.04 and not must else None,
                pain=20 if p.id == HURT and evening == HURT_ON else None,
                off=off,
            )
        )
    return EveningPlan(opens=opens, coming=tuple(coming), cleared=(HURT,) if evening == CLEARED_ON else ())


class History:
    """The twelve weeks as they are made. `state` and `bodies` hold where it stands after each step of `run`."""

    def __init__(self, gym: Gym, until: datetime, seed: int = 7) -> None:
        self.state = State(gym=gym)
        self.rng = Random(seed)
        self.until = until
        self.bodies = _bodies(gym, self.rng)

    def run(self) -> Iterator[tuple[Event, ...]]:
        """Every command's events from the first lifter joining to the last evening closed."""
        starts = evening_starts(self.until)
        now = starts[0] - timedelta(days=6)
        for person in PEOPLE:
            if person.before:
                for command in _standing(self.state.gym, person, self.rng):
                    now += timedelta(seconds=20)
                    yield self._do(command, now)
        for number, opens in enumerate(starts):
            if number:
                days = (opens - starts[number - 1]).days
                self.bodies = {i: rested(b, days) for i, b in self.bodies.items()}
            yield from self._evening(number, opens)
        now = starts[-1] + timedelta(hours=20)
        for person in PEOPLE:
            if person.since is None:
                for command in _standing(self.state.gym, person, self.rng):
                    yield self._do(command, now)

    def _do(self, command: Command, now: datetime) -> tuple[Event, ...]:
        answer = decide(self.state, command, now)
        if isinstance(answer, Refusal):
            raise SimulationStuck(f"{command}: {answer.why}")
        self.state = fold(self.state, answer)
        return answer

    def _evening(self, number: int, opens: datetime) -> Iterator[tuple[Event, ...]]:
        for person in PEOPLE:
            if person.since == number and not person.before and person.programme != self.state.gym.settings.programme:
                for command in _standing(self.state.gym, person, self.rng):
                    yield self._do(command, opens - timedelta(minutes=10))
        plan = _coming(number, opens, self.state, self.rng)
        evening = Evening(self.state, self.bodies, plan, self.rng)
        yield from evening.run()
        self.state, self.bodies = evening.state, evening.bodies


def history(gym: Gym, until: datetime, seed: int = 7) -> Iterator[tuple[Event, ...]]:
    """Twelve weeks of the demo gym, one tuple of events a command, ending a few days before `until` (aware UTC)."""
    return History(gym, until, seed).run()
