"""One simulated lifter's weeks under one policy, and what is counted.

Chance is drawn from the seed, the lifter and the set, never from the policy:
under every policy the same person comes on the same days in the same form, and
the same draws decide their reps. What is counted is the truth of the simulation,
not what the coach saw of it.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import UTC, datetime, timedelta
from random import Random
from typing import Protocol

from floor.core.gym import Fault, Grade, Gym, Severity
from floor.core.loading import buildable
from floor.core.proposals import suggest_grade
from floor.core.state import DONE, TheSet
from floor.sim.trial_body import Lifted, TrialBody, born, lift_set, night, wake
from floor.sim.trial_peers import PEERS
from floor.sim.trial_rules import ByTheRules
from floor.sim.trial_table import Assumptions

START = datetime(2026, 1, 5, 17, tzinfo=UTC)
DAYS = (0, 2, 4)
"""The training days of a week, counted from its first."""
LAST = 12
"""The load reached is the heaviest of the last so many sessions they came to."""
CLEAN = "clean"
FROM_THE_FLOOR = "from the floor"
"""The clean's stages from the first of this name on are pulled from the floor; a clean without a stage is too."""
SOUND_TWICE = 2
"""Sessions running with nothing to fix in any clean from the floor: that is a sound clean."""
POLICIES = (ByTheRules.name, *PEERS)


class Policy(Protocol):
    """What decides the loads of one lifter."""

    def arrive(self, now: datetime) -> None: ...
    def coming(self, now: datetime) -> TheSet | None: ...
    def done(self, lifted: TheSet, now: datetime) -> None: ...
    def pain(self, now: datetime) -> None: ...
    def clear(self, now: datetime) -> None: ...
    def close(self, now: datetime) -> None: ...
    def load_of(self, lift: str) -> int | None: ...


@dataclass(slots=True)
class Tally:
    """What one lifter's weeks came to.

    `gained` is kg on the bar, summed over the lifts: the heaviest set with every
    rep made of the last sessions, less the load they began with. `in_form` counts
    only sets with no rep beyond the form limit and nothing that asks for less load.
    `stronger` is hidden strength, kg. `weeks_to_clean` is None for those who never
    got there, and for the trained, who are not counted.
    """

    newcomer: bool
    gained: float = 0.0
    in_form: float = 0.0
    stronger: float = 0.0
    reps: int = 0
    misses: int = 0
    dangerous: int = 0
    beyond: int = 0
    pains: int = 0
    sessions: int = 0
    weeks_to_clean: float | None = None
    added_over_pain: int = 0
    unbuildable: int = 0
    loads: dict[str, int] = field(default_factory=dict)
    said: Counter[str] = field(default_factory=Counter)


def calendar(table: Assumptions, weeks: int, rng: Random) -> list[datetime]:
    """The days somebody means to come: three a week, some skipped, for some a long break."""
    days = [START + timedelta(days=7 * week + day) for week in range(weeks) for day in DAYS]
    away: tuple[datetime, datetime] | None = None
    if rng.random() < table.long_break:
        leaves = START + timedelta(days=rng.randrange(7 * weeks))
        away = (leaves, leaves + timedelta(days=rng.randint(*table.break_days)))
    kept = [day for day in days if rng.random() >= table.skips]
    return [day for day in kept if away is None or not away[0] <= day < away[1]]


def first_loads(gym: Gym, body: TrialBody, table: Assumptions, rng: Random) -> dict[str, int]:
    """What a trained lifter's plan says on the first day; a newcomer has none."""
    if body.newcomer:
        return {}
    loads: dict[str, int] = {}
    for lift_id, strength in body.strength.items():
        lift = gym.lifts[lift_id]
        wanted = int(strength * rng.uniform(*table.trained_load)) // lift.step * lift.step
        loads[lift_id] = max(lift.start, buildable(gym, lift_id, wanted))
    return loads


def make(policy: str, gym: Gym, body: TrialBody, loads: Mapping[str, int]) -> Policy:
    """The policy of that name for one lifter. KeyError for a name that is none."""
    if policy == ByTheRules.name:
        return ByTheRules(gym, body.youth, loads, START - timedelta(days=1))
    return PEERS[policy](gym, loads)


def _watched(body: TrialBody, table: Assumptions, coming: TheSet, sessions: int, rng: Random) -> bool:
    """Whether the coach watches: a young lifter always, newcomers mostly."""
    draw = rng.random()
    if body.youth:
        return True
    if sessions <= table.new_sessions:
        return draw < table.watches_new
    return draw < (table.watches_clean if coming.lift == CLEAN else table.watches)


def as_seen(gym: Gym, table: Assumptions, coming: TheSet, lifted: Lifted, watched: bool, rng: Random) -> TheSet:
    """The set as it goes on record: what the coach saw of it, and the coach's word."""
    done = replace(coming, status=DONE, marks=lifted.marks)
    if not watched:
        return replace(done, grade=Grade.UNSEEN)
    done = replace(done, faults=tuple(f for f in lifted.faults if rng.random() < table.sees))
    grade, draw = suggest_grade(gym, done), rng.random()
    if grade is Grade.SHARP and draw < table.sharp_called_sound:
        grade = Grade.SOUND
    elif grade is Grade.SOUND and draw < table.sound_called_rough:
        grade = Grade.ROUGH
    return replace(done, grade=grade)


class LifterRun:
    """One lifter under one policy from the first day to the last."""

    def __init__(self, gym: Gym, table: Assumptions, seed: int, lifter: int, policy: str, weeks: int) -> None:
        self.gym, self.table, self.key, self.weeks = gym, table, f"{seed}/{lifter}", weeks
        self.body = born(gym, table, self._draws("born"))
        self.first = first_loads(gym, self.body, table, self._draws("first"))
        self.policy = make(policy, gym, self.body, self.first)
        self.tally = Tally(self.body.newcomer)
        self._strong = sum(self.body.strength.values())
        self._best: list[dict[str, tuple[int, int]]] = []
        self._sound = 0
        stages = gym.lifts[CLEAN].stages if CLEAN in gym.lifts else ()
        self._floor = next((s.no for s in stages if s.name == FROM_THE_FLOOR), len(stages))
        self._had: dict[str, int] = {}

    def run(self) -> Tally:
        """Everything, once."""
        before: datetime | None = None
        back: datetime | None = None
        for number, day in enumerate(calendar(self.table, self.weeks, self._draws("days"))):
            if back is not None and day < back:
                continue
            if back is not None:
                self.policy.clear(day - timedelta(minutes=5))
                back = None
            wake(self.body, self.table, (day - before).days if before else 7, self._draws(f"day{day:%Y%m%d}"))
            before = day
            if self._evening(day):
                back = day + timedelta(days=self._draws(f"pain{number}").randint(*self.table.pain_days))
        self._sum_up()
        return self.tally

    def _draws(self, what: str) -> Random:
        return Random(f"{self.key}/{what}")

    def _evening(self, day: datetime) -> bool:
        """One evening; whether it ended in pain."""
        tired, hurt, now = self.body.fatigue, False, day
        best: dict[str, tuple[int, int]] = {}
        cleans: list[bool] = []
        self.tally.sessions += 1
        self.policy.arrive(now)
        while not hurt and (coming := self.policy.coming(now)) is not None:
            now += timedelta(minutes=4)
            rng = self._draws(f"{day:%Y%m%d}/{coming.lift}/{self.body.sets_today}")
            lift = self.gym.lifts[coming.lift]
            watched = _watched(self.body, self.table, coming, self.tally.sessions, rng)
            lifted = lift_set(self.body, self.table, lift, coming.load, coming.reps, coming.stage, watched, rng)
            faults = [f for _, i in lifted.faults if (f := lift.fault(i)) is not None]
            self._count(coming, lifted, faults)
            if coming.lift == CLEAN and (coming.stage is None or coming.stage >= self._floor):
                cleans.append(all(f.severity is Severity.NOTE for f in faults) and sum(lifted.marks) >= coming.reps)
            self._keep_best(best, coming, lifted, faults)
            self.policy.done(as_seen(self.gym, self.table, coming, lifted, watched, rng), now)
            hurt = lifted.hurt
        if hurt:
            self.tally.pains += 1
            self.policy.pain(now)
        self.policy.close(now + timedelta(minutes=5))
        night(self.body, self.table, tired)
        self._best.append(best)
        self._a_sound_clean(cleans, day)
        self._over_pain(hurt, {*best})
        return hurt

    def _count(self, coming: TheSet, lifted: Lifted, faults: list[Fault]) -> None:
        tally = self.tally
        tally.reps += len(lifted.marks)
        tally.misses += lifted.marks.count(False)
        tally.beyond += lifted.beyond
        tally.dangerous += sum(f.severity.rank >= Severity.LIGHTEN.rank for f in faults)
        tally.unbuildable += buildable(self.gym, coming.lift, coming.load) != coming.load

    @staticmethod
    def _keep_best(
        best: dict[str, tuple[int, int]], coming: TheSet, lifted: Lifted, faults: list[Fault]
    ) -> None:
        made, formed = best.get(coming.lift, (0, 0))
        if sum(lifted.marks) >= coming.reps:
            made = max(made, coming.load)
            if not lifted.beyond and all(f.severity.rank < Severity.LIGHTEN.rank for f in faults):
                formed = max(formed, coming.load)
        best[coming.lift] = (made, formed)

    def _a_sound_clean(self, cleans: list[bool], day: datetime) -> None:
        if not self.body.newcomer or self.tally.weeks_to_clean is not None or not cleans:
            return
        self._sound = self._sound + 1 if all(cleans) else 0
        if self._sound >= SOUND_TWICE:
            self.tally.weeks_to_clean = (day - START).days / 7

    def _over_pain(self, hurt: bool, lifts: set[str]) -> None:
        """Count the lifts whose plan rose in a session that ended in pain."""
        plans = {lift: self.policy.load_of(lift) for lift in self.gym.lifts}
        if hurt:
            self.tally.added_over_pain += sum(
                lift in self._had and (plans[lift] or 0) > self._had[lift] for lift in lifts
            )
        self._had = {lift: load for lift, load in plans.items() if load is not None}

    def _sum_up(self) -> None:
        tally = self.tally
        for lift_id in self.body.strength:
            began = self.first.get(lift_id, self.gym.lifts[lift_id].start)
            done = [best[lift_id] for best in self._best[-LAST:] if lift_id in best]
            made, formed = max((m for m, _ in done), default=0), max((f for _, f in done), default=0)
            tally.gained += (max(made, began) - began) / 100
            tally.in_form += (max(formed, began) - began) / 100
            tally.loads[lift_id] = made
        tally.stronger = (sum(self.body.strength.values()) - self._strong) / 100
        if isinstance(self.policy, ByTheRules):
            tally.said = self.policy.said


def run_lifter(gym: Gym, table: Assumptions, seed: int, lifter: int, policy: str, weeks: int) -> Tally:
    """One lifter under one policy: the same answer for the same arguments."""
    return LifterRun(gym, table, seed, lifter, policy, weeks).run()
