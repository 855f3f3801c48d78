"""What the record says of evenings gone by, as plain values: read by the journal, judged by week.py and course.py.

Corrections are taken in and undone commands left out before anything gets
here. Loads are hundredths of the gym's unit, evenings are the gym's own dates.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from typing import NamedTuple

from floor.core.gym import Grade

WEEK = timedelta(days=7)
"""A week is the seven days up to the latest evening, as in the ready questions."""


@dataclass(frozen=True, slots=True)
class SetPast:
    """One set that was done. `role` is None for a set that was never planned.

    `faults` holds (rep, fault id), rep counting from 1; rep 0 is "somewhere in the set".
    """

    session: int
    evening: date
    lifter: int
    lift: str
    set_no: int
    role: str | None
    load: int
    made: int
    missed: int
    grade: Grade
    stage: int | None = None
    faults: tuple[tuple[int, str], ...] = ()

    @property
    def ramp(self) -> bool:
        """A warm-up set."""
        return self.role == "ramp"

    @property
    def watched(self) -> bool:
        """Somebody looked: only then does the set say anything about form."""
        return self.grade is not Grade.UNSEEN

    @property
    def tried(self) -> int:
        """Reps made and missed."""
        return self.made + self.missed

    @property
    def faulty(self) -> int:
        """Reps in which something was seen: at least one when a fault stands "somewhere in the set"."""
        return min(max(len({rep for rep, _ in self.faults if rep > 0}), bool(self.faults)), self.tried)

    @property
    def clean(self) -> int:
        """Reps made without a fault, at the least: a fault on a missed rep is taken off the made ones too."""
        return max(0, self.made - self.faulty)

    @property
    def strong(self) -> bool:
        """It can speak for an estimated maximum: every rep that was tried made, and not seen to be rough or broken.

        A set that nobody watched can: its load and reps say what was lifted, though nothing of form.
        """
        return self.grade not in (Grade.ROUGH, Grade.BROKEN) and not self.missed and self.made > 0


@dataclass(frozen=True, slots=True)
class ProposalPast:
    """A proposal after a set, as it was shown, and what the coach said instead (`overruled`), if anything."""

    session: int
    evening: date
    lift: str
    set_no: int
    action: str
    was: int
    load: int
    rule: str
    overruled: str | None = None
    coach_load: int | None = None


@dataclass(frozen=True, slots=True)
class StagePast:
    """A stage of the teaching order set on that day."""

    evening: date
    lift: str
    stage: int


@dataclass(frozen=True, slots=True)
class CuePast:
    """A cue said from that day on, after set `set_no` (None: after a drill); no `fault`: nothing more to say."""

    session: int
    evening: date
    lift: str
    set_no: int | None
    fault: str | None


@dataclass(frozen=True, slots=True)
class RuleCount:
    """How often a rule's proposal was answered in one way: let stand (None), or overruled to that word."""

    rule: str
    overruled: str | None
    times: int


@dataclass(frozen=True, slots=True)
class PlanPast:
    """What next time was to bring, as it was recorded on that day."""

    evening: date
    lift: str
    sets: int
    reps: int
    load: int
    was: int | None
    rule: str
    repeats: int
    overruled: str | None = None
    """The rule that the coach's own plan overruled, None for any other plan."""
    word: str | None = None
    """What the coach said with it: add, keep or lighten."""


@dataclass(frozen=True, slots=True)
class LifterPast:
    """One lifter's whole record, oldest first everywhere. `came` has a day for each session they came to."""

    lifter: int
    came: tuple[date, ...] = ()
    sets: tuple[SetPast, ...] = ()
    proposals: tuple[ProposalPast, ...] = ()
    stages: tuple[StagePast, ...] = ()
    plans: tuple[PlanPast, ...] = ()
    cues: tuple[CuePast, ...] = ()

    def lifts(self) -> tuple[str, ...]:
        """The lifts with sets or plans, those with the most sets first."""
        counts: dict[str, int] = {}
        for done in self.sets:
            counts[done.lift] = counts.get(done.lift, 0) + 1
        for plan in self.plans:
            counts.setdefault(plan.lift, 0)
        return tuple(sorted(counts, key=lambda lift: (-counts[lift], lift)))


@dataclass(frozen=True, slots=True)
class Came:
    """A lifter who came to a session of that day."""

    session: int
    evening: date
    lifter: int


class Best(NamedTuple):
    """The heaviest work set of a session with so many reps made, none or more: the only ones an estimate can need.

    `strong` as in SetPast: other sets say no more than that their load was made, if a rep of it was.
    """

    evening: date
    lifter: int
    lift: str
    reps: int
    load: int
    strong: bool = True


class Top(NamedTuple):
    """The heaviest work set of a week with a rep made: load, and the most reps made with it."""

    load: int
    reps: int


@dataclass(frozen=True, slots=True)
class LiftSum:
    """One lift of one lifter in this week, or in the week `before`, added up over its sets.

    `moved` is the load times the reps made, ramp sets too; `missed` the reps
    missed. `watched` are the reps made and missed in sets that were watched,
    `faulty` those of them in which something was seen.
    """

    lifter: int
    lift: str
    before: bool
    top: Top | None
    moved: int
    missed: int
    faulty: int
    watched: int


@dataclass(frozen=True, slots=True)
class WeekPast:
    """Two weeks up to the latest evening, added up by lift; `bests` go back further, for trends.

    `last` is the latest evening, None for a gym that has had none; `evenings` are
    the sessions as far back as trends look, `came` and `lifts` of the two weeks alone.
    """

    last: date | None = None
    evenings: tuple[tuple[int, date], ...] = ()
    came: tuple[Came, ...] = ()
    lifts: tuple[LiftSum, ...] = ()
    bests: tuple[Best, ...] = ()
    rules: tuple[RuleCount, ...] = ()

    def sessions(self, before: bool) -> frozenset[int]:
        """The sessions of this week, or of the week before."""
        if self.last is None:
            return frozenset()
        last = self.last - WEEK if before else self.last
        return frozenset(session for session, day in self.evenings if last - WEEK < day <= last)


NO_PAST = WeekPast()
"""The empty value: nothing has been recorded."""
