"""The week and the one before: who came, what moved, what stalled, what next time brings. Pure.

A week is the seven days up to the latest evening, as in the ready questions.
Loads are hundredths of the gym's unit. Nothing here decides: plans are what the
close recorded, and wait for the coach's yes at the next check-in.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from floor.core.course import Estimate, FaultRate, by_repeats, estimates, fault_rate, progress
from floor.core.evidence.trend import Progress, Verdict
from floor.core.evidence.words import tenth
from floor.core.overruled import Review, questions
from floor.core.past import Best, SetPast, WeekPast
from floor.core.state import Lifter, NextPlan, State

WEEK = timedelta(days=7)


@dataclass(frozen=True, slots=True)
class Top:
    """The heaviest work set of a week: load, and the most reps made with it."""

    load: int
    reps: int


@dataclass(frozen=True, slots=True)
class LiftWeek:
    """One lift of one lifter in the two weeks.

    `top` and `before` are this week's and the last's heaviest work sets; `moved`
    and `moved_before` the load times reps made, ramp sets too; `missed` the reps
    missed this week. `maximum` is this week's best estimate, else the last's.
    """

    lift: str
    top: Top | None
    before: Top | None
    moved: int
    moved_before: int
    missed: int
    maximum: Estimate | None
    faults: FaultRate
    progress: Progress
    plan: NextPlan | None


@dataclass(frozen=True, slots=True)
class LifterWeek:
    """One lifter: how often they came this week and the last, and their lifts."""

    lifter: int
    came: int
    came_before: int
    held: bool
    lifts: tuple[LiftWeek, ...]


@dataclass(frozen=True, slots=True)
class Stall:
    """A lift that has stalled, and what says so."""

    lifter: int
    lift: str
    progress: Progress

    @property
    def repeats(self) -> bool:
        """Repeats showed it, not the trend."""
        return by_repeats(self.progress)

    @property
    def words(self) -> str:
        """All that is known of it."""
        return self.progress.words

    def short(self, unit: str) -> str:
        """The same without the test's figures."""
        if self.progress.slope is None:
            return self.words
        return f"stalled: at most {tenth(self.progress.slope.high)} {unit} a week, {self.progress.days} evenings"


@dataclass(frozen=True, slots=True)
class Week:
    """This week from `first` to `last`, and the seven days before. Lifters who came this week stand first.

    `evenings` and `evenings_before` count sessions, `came` and `came_before`
    different lifters; `absent` are those of the gym who came in neither week.
    `rules` are those the coach overrules more often than not, over the latest evenings.
    """

    first: date
    last: date
    evenings: int
    evenings_before: int
    came: int
    came_before: int
    lifters: tuple[LifterWeek, ...]
    absent: tuple[int, ...]
    stalls: tuple[Stall, ...]
    rules: tuple[Review, ...] = ()


def the_week(past: WeekPast, state: State, names: Mapping[int, str], today: date) -> Week | None:
    """The two weeks as read from the record; None for a gym that has had no evening yet.

    Lifters stand by their board name. `today` is the gym's own date: trends go by days ago.
    """
    if past.last is None:
        return None
    first = past.last - WEEK + timedelta(days=1)
    this = {session for session, evening in past.evenings if evening >= first}
    before = {session for session, _ in past.evenings} - this
    sets: dict[int, list[SetPast]] = defaultdict(list)
    for done in past.sets:
        sets[done.lifter].append(done)
    bests: dict[tuple[int, str], list[Best]] = defaultdict(list)
    for best in past.bests:
        bests[best.lifter, best.lift].append(best)
    came = {(c.lifter, c.session) for c in past.came}
    lifters = []
    for lifter in state.lifters.values():
        times, times_before = (sum((lifter.id, s) in came for s in week) for week in (this, before))
        if times or times_before or sets[lifter.id]:
            lifts = _lifts(state, lifter, sets[lifter.id], bests, this, first, today)
            lifters.append(LifterWeek(lifter.id, times, times_before, lifter.held, lifts))

    def by_name(lifter: int) -> str:
        return names.get(lifter, f"lifter {lifter}").casefold()

    lifters.sort(key=lambda found: (not found.came, by_name(found.lifter)))
    there = {found.lifter for found in lifters}
    return Week(
        first=first,
        last=past.last,
        evenings=len(this),
        evenings_before=len(before),
        came=sum(found.came > 0 for found in lifters),
        came_before=sum(found.came_before > 0 for found in lifters),
        lifters=tuple(lifters),
        absent=tuple(sorted((i for i in state.lifters if i not in there), key=by_name)),
        stalls=_stalls(lifters),
        rules=questions(past.rules),
    )


def _lifts(
    state: State, lifter: Lifter, sets: Sequence[SetPast], bests: Mapping[tuple[int, str], Sequence[Best]],
    this: set[int], first: date, today: date,
) -> tuple[LiftWeek, ...]:  # fmt: skip
    found = []
    for lift in dict.fromkeys(done.lift for done in reversed(sets)):
        if lift not in state.gym.lifts:
            continue
        now = [done for done in sets if done.lift == lift and done.session in this]
        old = [done for done in sets if done.lift == lift and done.session not in this]
        mine = bests.get((lifter.id, lift), ())
        plan = lifter.plans.get(lift)
        found.append(
            LiftWeek(
                lift=lift,
                top=_top(now),
                before=_top(old),
                moved=sum(done.load * done.made for done in now),
                moved_before=sum(done.load * done.made for done in old),
                missed=sum(done.missed for done in now),
                maximum=_maximum(mine, first),
                faults=fault_rate(now),
                progress=progress(state.gym, lift, plan, mine, today),
                plan=plan,
            )
        )
    order = list(state.gym.lifts)
    return tuple(sorted(found, key=lambda one: order.index(one.lift)))


def _top(sets: Sequence[SetPast]) -> Top | None:
    work = [(done.load, done.made) for done in sets if done.made and not done.ramp]
    return Top(*max(work)) if work else None


def _maximum(sets: Sequence[Best], first: date) -> Estimate | None:
    """The best of this week, else of the week before."""
    found = estimates(sets)
    for start, end in ((first, None), (first - WEEK, first)):
        week = [e for e in found if e.evening >= start and (end is None or e.evening < end)]
        if week:
            return max(week, key=lambda e: (e.value, e.evening))
    return None


def _stalls(lifters: Sequence[LifterWeek]) -> tuple[Stall, ...]:
    """Those that repeats have shown first, then those the trend shows."""
    found = [
        Stall(one.lifter, lift.lift, lift.progress)
        for one in lifters
        for lift in one.lifts
        if lift.progress.verdict is Verdict.STALLED
    ]
    return tuple(sorted(found, key=lambda stall: not stall.repeats))
