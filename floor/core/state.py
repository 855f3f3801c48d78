"""The whole truth of a gym at one moment, as one immutable value.

A state changes only by `apply(state, event)` in apply.py. Mappings are plain
dicts that nobody writes to after they are made. Times are aware UTC datetimes.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime

from floor.core.gym import Grade, Gym


@dataclass(frozen=True, slots=True)
class Heights:
    """Hole numbers (or any whole number the gym uses) set for a lifter; None is not set."""

    rack: int | None = None
    safety: int | None = None
    bench: int | None = None


@dataclass(frozen=True, slots=True)
class NextPlan:
    """What next time brings on one lift: `repeats` counts misses or repeats in a row.

    `extra` of the `reps` stand on top of the programme's, until the next load can
    be built; `over`: the last set went two reps or more past its reps. `overruled` is
    the rule whose plan the coach's own stands in place of; then `was` is the load from
    before either. It was `made` then, after the lift was last `done`. `spoke` is the rule that
    the last evening led to, where time away or a cap found at arrival has brought it down since.
    """

    lift: str
    sets: int
    reps: int
    load: int
    rule: str
    repeats: int
    was: int | None = None
    extra: int = 0
    over: bool = False
    overruled: str = ""
    made: datetime | None = None
    done: datetime | None = None
    spoke: str = ""

    def since(self, now: datetime) -> int | None:
        """Seconds since the lift was last done; None where the record does not say."""
        return max(0, round((now - self.done).total_seconds())) if self.done is not None else None


@dataclass(frozen=True, slots=True)
class ProgrammeProposal:
    """Another programme proposed for a lifter, and what speaks for it; it waits for the coach.

    `lift` was repeated or eased `count` sessions running, now at `load`; `other` is
    the lift to take up, whose stage is `stage`.
    """

    programme: str
    rule: str
    lift: str
    other: str
    load: int
    count: int
    stage: int
    made: datetime


@dataclass(frozen=True, slots=True)
class FormCap:
    """A lift's form limit as it was found when the lifter arrived: `load` is None with too little seen."""

    load: int | None
    reps: int
    days: int


@dataclass(frozen=True, slots=True)
class CleanRow:
    """Watched reps in a row without one of a stage's own faults, over so many sets on so many evenings running."""

    stage: int
    reps: int = 0
    sets: int = 0
    evenings: int = 0

    def after(self, earlier: CleanRow) -> CleanRow:
        """The two as one row, this one going on from the other."""
        return CleanRow(self.stage, *(x + y for x, y in zip(self._counts, earlier._counts, strict=True)))

    @property
    def _counts(self) -> tuple[int, int, int]:
        return self.reps, self.sets, self.evenings


@dataclass(frozen=True, slots=True)
class Repeat:
    """An evening after which a lift's load was repeated: the heaviest work load, the reps made of the reps asked.

    `grade` is the worst that was given, None without one.
    """

    load: int
    made: int
    asked: int
    grade: Grade | None = None


@dataclass(frozen=True, slots=True)
class Lifter:
    """The standing facts about a lifter. The name is not here: people live apart.

    `cues` holds the one fault worked on in a lift, by its id; `brought` the lifts whose
    sets and reps came with a file since a programme was last given. `hurt_at` is when
    pain was last reported, cleared since or not.
    """

    id: int
    youth: bool = False
    programme: str = ""
    day: int = 0
    plans: Mapping[str, NextPlan] = field(default_factory=dict)
    brought: frozenset[str] = frozenset()
    heights: Mapping[str, Heights] = field(default_factory=dict)
    stages: Mapping[str, int] = field(default_factory=dict)
    cues: Mapping[str, str] = field(default_factory=dict)
    steps: Mapping[str, int] = field(default_factory=dict)
    proposed: ProgrammeProposal | None = None
    held_since: datetime | None = None
    hurt_at: datetime | None = None
    cleared_at: datetime | None = None
    last_came: datetime | None = None
    sessions: int = 0

    @property
    def held(self) -> bool:
        """True while pain stands without a recorded clearance."""
        return self.held_since is not None


PLANNED, RUNNING, DONE, DROPPED = "planned", "running", "done", "dropped"


@dataclass(frozen=True, slots=True)
class TheSet:
    """One set of one lifter this evening; `no` counts from 1 over the whole evening.

    `marks` has one entry a rep: True made, False missed. `faults` holds
    (rep, fault id), rep counting from 1; rep 0 is "somewhere in the set". `rest` is
    the rest after it in seconds when more than the lift's own was proposed. `trimmed`
    is a dropped set left out for the hour: nothing but undo brings it back. `cut` is one
    that ended as it stood, for pain or because its lifter left. `planned` is the load it
    was to have where another was lifted, None where it had its own.
    """

    no: int
    lift: str
    role: str
    reps: int
    load: int
    stage: int | None = None
    status: str = PLANNED
    station: int | None = None
    marks: tuple[bool, ...] = ()
    faults: tuple[tuple[int, str], ...] = ()
    grade: Grade | None = None
    started: datetime | None = None
    down: datetime | None = None
    rest: int | None = None
    trimmed: bool = False
    cut: bool = False
    planned: int | None = None

    @property
    def made(self) -> int:
        """Reps made."""
        return sum(self.marks)

    @property
    def missed(self) -> int:
        """Reps tried and missed."""
        return len(self.marks) - self.made

    @property
    def full(self) -> bool:
        """True when every planned rep has been tried."""
        return len(self.marks) >= self.reps


@dataclass(frozen=True, slots=True)
class Proposal:
    """What was proposed for a lifter's next set on a lift, as it was shown.

    `before` holds the loads of the sets it changed, as they were planned until then;
    `rest` is the rest it asks for in seconds, 0 for the lift's own.
    """

    lifter: int
    lift: str
    action: str
    load: int
    was: int
    rule: str
    set_no: int
    count: int
    stage: int | None = None
    overruled: str | None = None
    before: tuple[int, ...] = ()
    rest: int = 0


@dataclass(frozen=True, slots=True)
class Present:
    """A lifter who came tonight. `turns` is the round of the rising bar they are in.

    `limits` and `repeats` are what the record said at arrival: the form limit of a
    lift, and the evenings that its load was repeated after, oldest first. `rows` are
    the clean rows of the stages that evenings before count for. `before` is when they
    last came before tonight.
    """

    lifter: int
    station: int
    arrived: datetime
    sets: tuple[TheSet, ...] = ()
    turns: int = 0
    gone: bool = False
    stopped: Mapping[str, str] = field(default_factory=dict)
    limits: Mapping[str, FormCap] = field(default_factory=dict)
    repeats: Mapping[str, tuple[Repeat, ...]] = field(default_factory=dict)
    rows: Mapping[str, CleanRow] = field(default_factory=dict)
    before: datetime | None = None

    def pending(self) -> TheSet | None:
        """The next set still to do, or None when the evening is done."""
        return next((s for s in self.sets if s.status == PLANNED), None)

    def running(self) -> TheSet | None:
        """The set that has been started and not graded, or None."""
        return next((s for s in self.sets if s.status == RUNNING), None)

    def set(self, no: int) -> TheSet | None:
        """Set number `no` of the evening, or None."""
        return next((s for s in self.sets if s.no == no), None)

    def of_lift(self, lift: str) -> tuple[TheSet, ...]:
        """All of tonight's sets on that lift, in order."""
        return tuple(s for s in self.sets if s.lift == lift)

    def last_down(self) -> datetime | None:
        """When this lifter's bar was last put down tonight, or None."""
        downs = [s.down for s in self.sets if s.down is not None and s.status == DONE]
        downs += [s.down for s in self.sets if s.status == RUNNING and s.full and s.down]
        return max(downs, default=None)


@dataclass(frozen=True, slots=True)
class StationNow:
    """What is at a station now.

    `up` has stepped up (or is lifting), `next` has been told so: both are
    promises that were recorded. `ahead` is an order the coach set by hand: used
    up turn by turn, or, while it is `held`, gone through round after round.
    `built` is how each (bar, load) was last loaded here tonight.
    """

    id: int
    bar: str
    stack: tuple[str, ...] = ()
    up: int | None = None
    next: int | None = None
    ahead: tuple[int, ...] = ()
    built: Mapping[tuple[str, int], tuple[str, ...]] = field(default_factory=dict)
    held: bool = False
    latest: tuple[int, int] | None = None

    @property
    def own(self) -> bool:
        """Whether the coach's own order stands here, rather than the rising bar alone."""
        return self.held or bool(self.ahead)


@dataclass(frozen=True, slots=True)
class Drill:
    """A group drill: everybody, an empty bar, one stage, one word."""

    lift: str
    stage: int
    reps: int = 0
    faults: tuple[tuple[int, int, str], ...] = ()


@dataclass(frozen=True, slots=True)
class Evening:
    """One session, from the first check-in to the close.

    `late` says when each lifter who is late is expected, `leaving` when a lifter must
    go. `drilled` holds (lifter, lift, fault) of every fault marked in a group drill;
    `signed` when the coach last set a lifter's stage of a lift tonight. `begun` has the
    plan tonight's sets of a lift were made from, once next time was planned over it.
    """

    session: int
    opened: datetime
    here: Mapping[int, Present] = field(default_factory=dict)
    late: Mapping[int, datetime] = field(default_factory=dict)
    leaving: Mapping[int, datetime] = field(default_factory=dict)
    stations: Mapping[int, StationNow] = field(default_factory=dict)
    proposals: Mapping[tuple[int, str], Proposal] = field(default_factory=dict)
    stopped: bool = False
    drill: Drill | None = None
    drilled: tuple[tuple[int, str, str], ...] = ()
    signed: Mapping[tuple[int, str], datetime] = field(default_factory=dict)
    begun: Mapping[tuple[int, str], NextPlan | None] = field(default_factory=dict)
    incidents: int = 0
    closed: datetime | None = None


NO_EVENING = Evening(session=0, opened=datetime.min)
"""The empty value: no session is open."""


@dataclass(frozen=True, slots=True)
class State:
    """A gym now: what it owns, who belongs to it, what tonight holds.

    `sessions` is the highest number any session has, days brought in included:
    the next one has one more.
    """

    gym: Gym = field(default_factory=Gym)
    lifters: Mapping[int, Lifter] = field(default_factory=dict)
    evening: Evening = NO_EVENING
    sessions: int = 0

    @property
    def open(self) -> bool:
        """True while a session is open (opened and not closed)."""
        return self.evening.session > 0 and self.evening.closed is None
