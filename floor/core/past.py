"""What the record says of evenings gone by, as plain values: read by the journal, judged by week.py and course.py.

Corrections are taken in and undone commands left out before anything gets
here. Loads are hundredths of the gym's unit, evenings are the gym's own dates.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from floor.core.gym import Grade


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
        """It can speak for an estimated maximum: watched, sharp or sound, every rep that was tried made."""
        return self.grade in (Grade.SHARP, Grade.SOUND) and not self.missed and self.made > 0


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


@dataclass(frozen=True, slots=True)
class Best:
    """The heaviest strong work set of a session with so many reps made: the only ones an estimate can need."""

    evening: date
    lifter: int
    lift: str
    reps: int
    load: int


@dataclass(frozen=True, slots=True)
class WeekPast:
    """Two weeks up to the latest evening, set by set; `bests` go back further, for trends.

    `last` is the latest evening, None for a gym that has had none; `evenings` the
    sessions of the two weeks.
    """

    last: date | None = None
    evenings: tuple[tuple[int, date], ...] = ()
    came: tuple[Came, ...] = ()
    sets: tuple[SetPast, ...] = ()
    bests: tuple[Best, ...] = ()
    rules: tuple[RuleCount, ...] = ()


NO_PAST = WeekPast()
"""The empty value: nothing has been recorded."""
