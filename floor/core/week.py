"""The week and the one before: who came, what moved, what stalled, what next time brings. Pure.

Loads are hundredths of the gym's unit. Nothing here decides: plans are what the
close recorded (an open session as if it closed now), and wait for the coach's yes
at the next check-in.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from functools import cache, partial

from floor.core.comingday import ComingLift, after_tonight, coming_lift
from floor.core.course import FaultRate, by_repeats, progress, rate_of
from floor.core.evidence.trend import Progress, Verdict
from floor.core.evidence.words import tenth
from floor.core.loading import buildable
from floor.core.maxima import Estimate, lately
from floor.core.overruled import Review, questions
from floor.core.past import WEEK, Best, LiftSum, Top, WeekPast
from floor.core.state import Lifter, NextPlan, State


@dataclass(frozen=True, slots=True)
class LiftWeek:
    """One lift of one lifter in the two weeks.

    `top` and `before` are this week's and the last's heaviest work sets; `moved`
    and `moved_before` the load times reps made, ramp sets too; `missed` the reps
    missed this week. `maximum` is the estimate that stands lately;
    `progress` is None while trends have not been read. `plan` holds the whole load, `coming` what
    the next session with the lift asks of it: None when no day has it. `cue` is the fault worked on.
    """

    lift: str
    top: Top | None
    before: Top | None
    moved: int
    moved_before: int
    missed: int
    maximum: Estimate | None
    faults: FaultRate
    progress: Progress | None
    plan: NextPlan | None
    coming: ComingLift | None = None
    cue: str = ""


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
        """Repeats or the same top load showed it, not the trend."""
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
    `trends` is False while these and the stalls are still to come.
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
    trends: bool = True


def the_week(
    past: WeekPast, state: State, names: Mapping[int, str], today: date, trends: bool = True,
    now: datetime | None = None,
) -> Week | None:
    """The two weeks as read from the record; None for a gym that has had no evening yet.

    Lifters stand by their board name. `today` is the gym's own date: trends go by days ago. Without `trends`,
    for want of the bests they are judged by, nothing is said of progress and stalls, and maxima rest on the two
    weeks alone. With `now` what comes next
    is eased after time away, as checking in then would.
    """
    if past.last is None:
        return None
    first = past.last - WEEK + timedelta(days=1)
    this, before = past.sessions(before=False), past.sessions(before=True)
    sums: dict[int, list[LiftSum]] = defaultdict(list)
    for one in past.lifts:
        sums[one.lifter].append(one)
    bests: dict[tuple[int, str], list[Best]] = defaultdict(list)
    for best in past.bests:
        bests[best.lifter, best.lift].append(best)
    times, times_before = (Counter(c.lifter for c in past.came if c.session in week) for week in (this, before))
    load_of = cache(partial(buildable, state.gym))
    lifters = []
    for lifter in state.lifters.values():
        if times[lifter.id] or times_before[lifter.id] or sums[lifter.id]:
            mine = sums[lifter.id]
            lifts = _lifts(state, lifter, mine, bests, first, today if trends else None, now, load_of)
            lifters.append(LifterWeek(lifter.id, times[lifter.id], times_before[lifter.id], lifter.held, lifts))

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
        trends=trends,
    )


def _lifts(
    state: State, lifter: Lifter, sums: Sequence[LiftSum], bests: Mapping[tuple[int, str], Sequence[Best]],
    first: date, today: date | None, now: datetime | None, load_of: Callable[[str, int], int],
) -> tuple[LiftWeek, ...]:  # fmt: skip
    after = after_tonight(state, lifter.id, now)
    weeks = {(one.lift, one.before): one for one in sums}
    done = {one.lift for one in sums}
    found = []
    for lift in state.gym.lifts:
        if lift not in done:
            continue
        this, before = (weeks.get((lift, old)) or _nothing(lifter.id, lift, old) for old in (False, True))
        mine = bests.get((lifter.id, lift), ())
        found.append(
            LiftWeek(
                lift=lift,
                top=this.top,
                before=before.top,
                moved=this.moved,
                moved_before=before.moved,
                missed=this.missed,
                maximum=lately(mine if today is not None else [b for b in mine if b.evening >= first - WEEK]),
                faults=rate_of(this.faulty, this.watched),
                progress=None if today is None else progress(state.gym, lift, lifter, mine, today),
                plan=after.plans.get(lift),
                coming=coming_lift(state.gym, after, lift, now, load_of),
                cue=lifter.cues.get(lift, ""),
            )
        )
    return tuple(found)


def _nothing(lifter: int, lift: str, before: bool) -> LiftSum:
    """A week in which the lift was not done."""
    return LiftSum(lifter, lift, before, None, 0, 0, 0, 0)


def _stalls(lifters: Sequence[LifterWeek]) -> tuple[Stall, ...]:
    """Those that repeats have shown first, then those the trend shows."""
    found = [
        Stall(one.lifter, lift.lift, lift.progress)
        for one in lifters
        for lift in one.lifts
        if lift.progress is not None and lift.progress.verdict is Verdict.STALLED
    ]
    return tuple(sorted(found, key=lambda stall: not stall.repeats))
