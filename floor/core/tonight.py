"""What a set has shown: the evidence tonight's rules are asked about, gathered from the state."""

from __future__ import annotations

from dataclasses import dataclass

from floor.core.gym import Grade, Gym, Severity
from floor.core.loading import builder
from floor.core.rests import rested_at, too_short
from floor.core.state import DONE, PLANNED, Present, State, TheSet
from floor.core.steps import step_of, stepped
from floor.core.teaching import sent_to, shown

RAMP_CEILING = 90
"""A ramp set is at most this per cent of the work load. Common practice, no source."""


@dataclass(frozen=True, slots=True)
class Evidence:
    """What was seen: the set just done, the one before it, the one to come.

    `later` says that a later set of the lift is on record already: this one was
    recorded out of turn, and no load is added on the strength of it. `asked`: an
    earlier set of the lift asked for less load tonight. `cleared`: pain was
    cleared tonight. `limit` is the stage's heaviest load, None without one.
    `rung` is the ramp load to go back up by after a set was held down. `twice` are
    faults to fix or worse seen in two sets running, `notes` the milder ones.
    `sent_to` is the stage that `twice` sends back to, `shown` says that the stage
    has been shown, `signed` that the coach set another stage since. `rested` and
    `owed` are seconds of rest before this set, None when nobody timed it. `drilled`
    is the worst fault in tonight's group drills of the lift. `step` is what is
    added to the lift for this lifter, `up` the load that makes, as it can be built and
    no more than a tenth up (not above the set's load when none can), `cap` the form
    limit found at arrival. `held`: a fault in the ramp held this one set under its planned load.
    """

    done: TheSet
    before: TheSet | None
    coming: TheSet
    worst: Severity | None
    twice: tuple[str, ...]
    youth: bool
    later: bool = False
    asked: bool = False
    cleared: bool = False
    limit: int | None = None
    rung: int | None = None
    notes: tuple[str, ...] = ()
    sent_to: int | None = None
    shown: bool = False
    signed: bool = False
    rested: int | None = None
    owed: int = 0
    drilled: Severity | None = None
    step: int = 0
    up: int = 0
    cap: int | None = None
    held: bool = False

    @property
    def climbing(self) -> bool:
        """A work set still on its way up: its load is a ramp's and says nothing of the work load."""
        return self.held and self.done.role != "ramp"

    @property
    def ramping(self) -> bool:
        """The set was one of the ramp, by its role or by its load."""
        return self.done.role == "ramp" or self.climbing

    @property
    def building(self) -> bool:
        """A build set at a load of its own."""
        return self.done.role == "build" and not self.climbing

    @property
    def capped(self) -> bool:
        """A step more would go past the form limit."""
        return self.cap is not None and self.done.load + self.step > self.cap

    @property
    def hurried(self) -> bool:
        """The rest before the set was clearly short."""
        return too_short(self.rested, self.owed)

    @property
    def short_before(self) -> bool:
        """The set before was not made in full either."""
        return self.before is not None and self.before.made < self.before.reps

    @property
    def short(self) -> int:
        """Planned reps that were not made."""
        return max(0, self.done.reps - self.done.made)

    @property
    def good(self) -> bool:
        """Watched, sharp or sound, every rep made, nothing to fix."""
        mild = self.worst is None or self.worst is Severity.NOTE
        return self.done.grade in (Grade.SHARP, Grade.SOUND) and not self.short and mild


def at_least(worst: Severity | None, floor: Severity) -> bool:
    """Whether a worst fault is as bad as that, or worse."""
    return worst is not None and worst.rank >= floor.rank


def worst_fault(gym: Gym, done: TheSet) -> Severity | None:
    """The worst severity seen in a set, None when no fault was marked."""
    lift = gym.lifts[done.lift]
    found = [f.severity for _, fault_id in done.faults if (f := lift.fault(fault_id)) is not None]
    return max(found, key=lambda s: s.rank, default=None)


def ends_here(gym: Gym, running: TheSet) -> bool:
    """Whether a fault seen in a running set ends it where it is: no rep more is asked for."""
    return at_least(worst_fault(gym, running), Severity.END)


def _again(gym: Gym, done: TheSet, last: TheSet | None, notes: bool) -> tuple[str, ...]:
    """The faults seen in both sets: those to fix or worse, or the mere notes."""
    lift = gym.lifts[done.lift]
    both = {i for _, i in done.faults} & {i for _, i in last.faults} if last is not None else set()
    return tuple(
        sorted(i for i in both if (f := lift.fault(i)) is not None and (f.severity is Severity.NOTE) == notes)
    )


def coming_sets(present: Present, done: TheSet) -> tuple[TheSet, ...]:
    """The sets of that lift still planned: those after this one, and those it was recorded ahead of."""
    return tuple(s for s in present.of_lift(done.lift) if s.status == PLANNED)


def gather(state: State, lifter: int, done: TheSet) -> Evidence | None:
    """The evidence for the coming set; None when none of this lift is left."""
    gym, present, standing = state.gym, state.evening.here[lifter], state.lifters[lifter]
    coming = coming_sets(present, done)
    if not coming:
        return None
    before = [s for s in present.of_lift(done.lift) if s.status == DONE and s.no < done.no]
    alike = [s for s in before if s.role == done.role]
    last = alike[-1] if alike else None
    cleared = standing.cleared_at
    lift = gym.lifts[done.lift]
    twice = _again(gym, done, last, notes=False)
    signed = state.evening.signed.get((lifter, done.lift))
    rested, owed = _rest_before(gym, present, done)
    return Evidence(
        done=done,
        before=last,
        coming=coming[0],
        worst=worst_fault(gym, done),
        twice=twice,
        youth=standing.youth,
        later=any(s.no > done.no for s in present.of_lift(done.lift) if s.status == DONE),
        asked=any(asked_for_less(gym, s) for s in before),
        cleared=cleared is not None and cleared >= state.evening.opened,
        limit=lift.stage_limit(done.stage),
        rung=_rung(state, lifter, done, coming[0]),
        held=_held(state, lifter, done, coming[0]),
        notes=_again(gym, done, last, notes=True),
        sent_to=sent_to(lift, done.stage, twice) if last is not None and last.stage == done.stage else None,
        shown=_watched_work(done) and shown(lift, (*before, done), present.rows.get(done.lift)),
        signed=signed is not None and (done.started is None or done.started <= signed),
        rested=rested,
        owed=owed,
        drilled=_drilled(state, lifter, done.lift),
        step=(step := step_of(gym, standing, done.lift)),
        up=stepped(done.load, step, builder(gym, done.lift)),
        cap=found.load if (found := present.limits.get(done.lift)) else None,
    )


def _watched_work(done: TheSet) -> bool:
    return done.role != "ramp" and done.grade not in (None, Grade.UNSEEN)


def _drilled(state: State, lifter: int, lift_id: str) -> Severity | None:
    """The worst fault marked on a lifter in tonight's group drills of a lift."""
    lift = state.gym.lifts[lift_id]
    marked = [lift.fault(f) for who, what, f in state.evening.drilled if (who, what) == (lifter, lift_id)]
    return max((f.severity for f in marked if f is not None), key=lambda s: s.rank, default=None)


def _rest_before(gym: Gym, present: Present, done: TheSet) -> tuple[int | None, int]:
    """(seconds rested before a set, seconds owed); None when either end was not timed."""
    if done.started is None:
        return None, 0
    return rested_at(gym, present, done.started, done.no)


def asked_for_less(gym: Gym, done: TheSet) -> bool:
    """Whether the set fell apart or showed a fault that asks for less load, whatever it was graded."""
    return done.grade is Grade.BROKEN or at_least(worst_fault(gym, done), Severity.LIGHTEN)


def _held(state: State, lifter: int, done: TheSet, coming: TheSet) -> bool:
    """Whether this one set was held down on the way up, the sets after it still at what was planned.

    Not when the coach asked for lighter. A work set put right is told by the
    proposal it led to: for one set only, as none but a held one makes.
    """
    proposal = state.evening.proposals.get((lifter, done.lift))
    if proposal is None or proposal.overruled == "lighten" or proposal.count != 1 or done.load >= coming.load:
        return False
    if proposal.set_no == done.no:
        return proposal.load < proposal.was and done.role != "backoff"
    return proposal.set_no == coming.no and done.role not in ("ramp", "backoff")


def _rung(state: State, lifter: int, done: TheSet, coming: TheSet) -> int | None:
    """The next ramp load between a set that a proposal held down and a coming one far above it."""
    proposal = state.evening.proposals.get((lifter, done.lift))
    lowered = proposal is not None and proposal.set_no == done.no and proposal.load < proposal.was
    if not lowered and not _held(state, lifter, done, coming):
        return None
    most = coming.load * RAMP_CEILING // 100
    return next((load for load in state.gym.lifts[done.lift].ramp if done.load < load <= most), None)
