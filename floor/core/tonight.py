"""What a set has shown: the evidence tonight's rules are asked about, gathered from the state."""

from __future__ import annotations

from dataclasses import dataclass

from floor.core.clearance import begun_plan, first_since
from floor.core.gym import Grade, Gym, Severity
from floor.core.loading import builder
from floor.core.rests import rested_at, too_short
from floor.core.state import DONE, PLANNED, RUNNING, Present, State, TheSet
from floor.core.steps import most_after, step_of, stepped
from floor.core.teaching import sent_to, shown

RAMP_CEILING = 90
"""A ramp set is at most this per cent of the work load. Common practice, no source."""


@dataclass(frozen=True, slots=True)
class Evidence:
    """What was seen: the set just done, the one before it, the one to come.

    `later` says that a later set of the lift is on record already: this one was
    recorded out of turn, and no load is added on the strength of it. `asked`: an
    earlier set of the lift asked for less load tonight. `cleared`: the first evening with
    the lift since pain was cleared. `limit` is the stage's heaviest load that can be
    built, None without one. `rung` is the ramp load to go back up by after a set was held down. `twice` are
    faults to fix or worse seen in two sets running, `notes` the milder ones, `seen` the
    set before of those anything was seen of. `sent_to` is the stage that `twice` sends
    back to, `shown` says that the stage has been shown, `signed` that the coach set another stage since. `rested` and
    `owed` are seconds of rest before this set, None when nobody timed it. `drilled`
    is the worst fault in tonight's group drills of the lift. `step` is what is
    added to the lift for this lifter, `up` the load that makes, as it can be built and
    no more than a tenth up (not above the set's load when none can), `cap` the form
    limit found at arrival. `held`: a fault in the ramp held this one set under its planned load.
    `known` is the heaviest load that speaks for the lifter: see `_known`. `worked` is the
    load of the first work set, for a set of the ramp that is spoken of after it.
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
    known: int | None = None
    worked: int | None = None
    seen: TheSet | None = None

    @property
    def bad(self) -> bool:
        """The set fell apart or showed a fault that asks for less load."""
        return self.done.grade is Grade.BROKEN or at_least(self.worst, Severity.LIGHTEN)

    @property
    def far_over(self) -> bool:
        """What was lifted is more than a tenth over anything planned or known."""
        return self.known is not None and self.done.load > most_after(self.known)

    @property
    def climbing(self) -> bool:
        """A work set still on its way up: its load is a ramp's and says nothing of the work load."""
        return self.held and self.done.role != "ramp"

    @property
    def ramping(self) -> bool:
        """The set was one of the ramp, by its role or by its load."""
        return self.done.role == "ramp" or self.climbing

    @property
    def before_work(self) -> bool:
        """The way up is done and heavier work sets come next."""
        work = self.coming.role in ("work", "build") and self.coming.load > self.done.load
        return self.ramping and self.rung is None and work

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


def ends_here(gym: Gym, running: TheSet, youth: bool) -> str:
    """What ends a running set where it is, in a word: no rep more is asked for; "" for nothing.

    A young lifter's set ends when the form goes: with a fault that asks for less load too. Common practice, no source.
    """
    worst = worst_fault(gym, running)
    if at_least(worst, Severity.END):
        return "dangerous"
    return "a young lifter's form went" if youth and at_least(worst, Severity.LIGHTEN) else ""


def _again(gym: Gym, done: TheSet, last: TheSet | None, notes: bool) -> tuple[str, ...]:
    """The faults seen in both sets: those to fix or worse, or the mere notes."""
    lift = gym.lifts[done.lift]
    both = {i for _, i in done.faults} & {i for _, i in last.faults} if last is not None else set()
    return tuple(
        sorted(i for i in both if (f := lift.fault(i)) is not None and (f.severity is Severity.NOTE) == notes)
    )


def seen_before(present: Present, done: TheSet) -> TheSet | None:
    """The set of that lift and role before this one, of those anything was seen of: nobody knows of the others."""
    watched = (
        s for s in present.of_lift(done.lift)
        if s.status == DONE and s.no < done.no and s.role == done.role and (s.faults or s.grade is not Grade.UNSEEN)
    )
    return max(watched, key=lambda s: s.no, default=None)


def sent_back(gym: Gym, present: Present, done: TheSet) -> int | None:
    """The stage that the faults a set shares with the one before at its stage send back to; None for none."""
    seen = seen_before(present, done)
    if seen is None or seen.stage != done.stage:
        return None
    return sent_to(gym.lifts[done.lift], done.stage, _again(gym, done, seen, notes=False))


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
    last, seen = alike[-1] if alike else None, seen_before(present, done)
    lift = gym.lifts[done.lift]
    signed = state.evening.signed.get((lifter, done.lift))
    rested, owed = _rest_before(gym, present, done)
    known, step = _known(state, lifter, done, coming[0]), step_of(gym, standing, done.lift)
    build = builder(gym, done.lift)
    return Evidence(
        done=done,
        before=last,
        seen=seen,
        coming=coming[0],
        worst=worst_fault(gym, done),
        twice=_again(gym, done, seen, notes=False),
        youth=standing.youth,
        later=any(s.no > done.no for s in present.of_lift(done.lift) if s.status == DONE),
        asked=any(asked_for_less(gym, s) for s in before),
        cleared=first_since(state, lifter, done.lift),
        limit=build(most) if (most := lift.stage_limit(done.stage)) is not None else None,
        rung=_rung(state, lifter, done, coming[0]),
        held=_held(state, lifter, done, coming[0]),
        notes=_again(gym, done, seen, notes=True),
        sent_to=sent_back(gym, present, done),
        shown=_watched_work(done) and shown(lift, (*before, done), present.rows.get(done.lift)),
        signed=signed is not None and (done.started is None or done.started <= signed),
        rested=rested,
        owed=owed,
        drilled=drilled(state, lifter, done.lift),
        step=step,
        up=stepped(done.load, min(step, max(0, most_after(known) - done.load)), build),
        known=known,
        worked=_worked(present, done),
        cap=found.load if (found := present.limits.get(done.lift)) else None,
    )


def _known(state: State, lifter: int, done: TheSet, coming: TheSet) -> int:
    """The heaviest load (hundredths) that speaks for a lifter on a lift: a set at another load than planned does not.

    Of what was planned for this set and the next, for tonight (which last time brought), and
    the watched sets of tonight that were made clean at the load they were to have.
    """
    plan = begun_plan(state, lifter, done.lift)
    clean = (
        s.load for s in state.evening.here[lifter].of_lift(done.lift)
        if s.status == DONE and s.no < done.no and s.planned is None
        and s.grade in (Grade.SHARP, Grade.SOUND) and s.made >= s.reps
    )
    planned = done.load if done.planned is None else done.planned
    return max(planned, coming.load, plan.load if plan is not None else 0, *clean)


def _worked(present: Present, done: TheSet) -> int | None:
    """The load of the first work set begun, where a ramp set is spoken of after it; else None."""
    work = (s for s in present.of_lift(done.lift) if s.role != "ramp" and s.status in (RUNNING, DONE))
    return next((s.load for s in work), None) if done.role == "ramp" else None


def _watched_work(done: TheSet) -> bool:
    return done.role != "ramp" and done.grade not in (None, Grade.UNSEEN)


def drilled(state: State, lifter: int, lift_id: str) -> Severity | None:
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
    """The next ramp load between a set that a proposal held down and a coming one far above it.

    A load that the set was within a tenth of is not worth a set of its own.
    """
    proposal = state.evening.proposals.get((lifter, done.lift))
    lowered = proposal is not None and proposal.set_no == done.no and proposal.load < proposal.was
    if not lowered and not _held(state, lifter, done, coming):
        return None
    near, most = done.load * 100, coming.load * RAMP_CEILING // 100
    ramp = state.gym.lifts[done.lift].ramp
    return next((load for load in ramp if near < load * RAMP_CEILING and load <= most), None)
