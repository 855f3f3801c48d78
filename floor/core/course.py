"""How one lift has gone for one lifter: the trend, the form limit, the faults; and how far each is sure.

Made of evidence/, over plain sets of the record. Every figure comes with its
limit: an estimate from training sets is likely low and no trial, a rate has an
interval, and little seen is said to be little.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from floor.core.evidence.formlimit import (
    FEWEST_DAYS,
    FEWEST_REPS,
    FORGOTTEN,
    HALF_LIFE,
    Cell,
    FormLimit,
    Where,
    limit_of,
)  # fmt: skip
from floor.core.evidence.maximum import Point
from floor.core.evidence.rates import Rate, wilson
from floor.core.evidence.trend import WINDOW_DAYS, Progress, Verdict, judge
from floor.core.evidence.words import tenth
from floor.core.gym import Gym
from floor.core.limits import THRESHOLD
from floor.core.maxima import by_evening
from floor.core.past import Best, SetPast
from floor.core.programme import stage_most
from floor.core.sameload import same_load, tops_of
from floor.core.state import Lifter, NextPlan
from floor.core.steps import step_of
from floor.core.units import show_with_unit

EASED = "three-repeats-ease"
"""The rule between sessions that lightens a load repeated too often."""

LIMITS = (
    "max: best of two weeks, estimated from sets all made, none rough or broken (Epley), never under a load made;"
    " easy light days show no fall; likely low, ±4 % day to day, no load to put on"
    " · rates: 95 % sure, few reps say little"
)
"""What is said beside the figures, on every screen that has them."""


@dataclass(frozen=True, slots=True)
class FaultRate:
    """Watched reps with something seen in them: `faulty` of `watched`, with Wilson's interval."""

    faulty: int
    watched: int
    rate: Rate

    @property
    def words(self) -> str:
        """The share and its interval: "3 of 45, 7 % (2-18)", or "none watched"."""
        if not self.watched:
            return "none watched"
        low, high = percent(self.rate.low), percent(self.rate.high)
        return f"{self.faulty} of {self.watched}, {percent(self.rate.rate)} % ({low}-{high})"


def percent(share: float) -> str:
    """A share between 0 and 1 as whole per cent, halves up."""
    return str(int(100 * share + 0.5))


def progress(gym: Gym, lift: str, lifter: Lifter | None, sets: Iterable[Best], today: date) -> Progress:
    """The word on the lift's trend. Repeats speak first: those running, or those that lightened the plan.

    Then the same top load evening after evening, then the test. Where the lifter's stage left the top no room for
    a step, no rise is no stall. Neither is it where there is no plan yet: the load is still being found.
    """
    before = today - timedelta(days=WINDOW_DAYS)
    kept = [best for best in sets if best.evening > before]
    spoke = by_evening(kept)
    points = [Point((today - evening).days, value) for evening, value in spoke.items()]
    plan = lifter.plans.get(lift) if lifter else None
    if plan is not None and plan.rule == EASED:
        count = gym.settings.repeats_before_ease
        words = f"stalled: {count} {'repeat' if count == 1 else 'repeats'} running, now lighter"
        return Progress(Verdict.STALLED, len(points), None, None, words)
    step = step_of(gym, lifter, lift) if lifter else gym.lifts[lift].step
    found = judge(points, plan.repeats if plan else 0, step, gym.unit)
    if by_repeats(found):
        return found
    same = same_load(tops_of(kept))
    if same is not None and same.stalled:
        found = Progress(Verdict.STALLED, found.days, None, None, f"{Verdict.STALLED}: {same.words(gym.unit)}")
    if found.verdict is not Verdict.STALLED:
        return found
    if plan is None:
        return Progress(Verdict.EARLY, found.days, None, None, f"{Verdict.EARLY}: the load is still to be found")
    most = stage_most(gym.lifts[lift], lifter) if lifter else None
    if most is None or same is None or same.load + step <= most:
        return found
    words = f"{Verdict.HELD}: no more than {show_with_unit(most, gym.unit)} until the next stage is signed off"
    return Progress(Verdict.HELD, found.days, None, None, words)


def by_repeats(found: Progress) -> bool:
    """A stall that repeats or the same top load have shown, not a trend."""
    return found.verdict is Verdict.STALLED and found.test is None


def fault_rate(sets: Iterable[SetPast]) -> FaultRate:
    """Over the reps of the sets that were watched, ramp sets too."""
    seen = [done for done in sets if done.watched]
    return rate_of(sum(done.faulty for done in seen), sum(done.tried for done in seen))


def rate_of(faulty: int, watched: int) -> FaultRate:
    """So many reps with something seen in them, of so many watched."""
    return FaultRate(faulty, watched, wilson(faulty, watched))


# --- the form limit


@dataclass(frozen=True, slots=True)
class Form:
    """The form limit of a lift and the reps it rests on, counted by day and load; `words` say it whole."""

    cells: tuple[Cell, ...]
    limit: FormLimit
    words: str


def watched_cells(sets: Iterable[SetPast], today: date) -> tuple[Cell, ...]:
    """The watched reps that still weigh, counted by day and load, newest first; as `form` takes them."""
    counts: dict[tuple[int, int], list[int]] = {}
    for done in sets:
        days = max(0, (today - done.evening).days)
        if not done.watched or days > HALF_LIFE * FORGOTTEN or done.load <= 0:
            continue
        faulty = done.faulty
        clean = max(0, done.made - faulty)
        if clean or faulty:
            count = counts.setdefault((days, done.load), [0, 0])
            count[0] += clean
            count[1] += faulty
    return tuple(Cell(load, day, *counts[day, load]) for day, load in sorted(counts))


def form(sets: Iterable[SetPast], unit: str, today: date) -> Form:
    """The form limit from watched reps. A missed rep without a fault says nothing about form."""
    cells = watched_cells(sets, today)
    limit = limit_of(cells, THRESHOLD, unit)
    return Form(cells, limit, _limit_words(limit, cells, unit))


def _limit_words(limit: FormLimit, cells: Sequence[Cell], unit: str) -> str:
    evenings = "evening" if limit.days == 1 else "evenings"
    if limit.load is None or limit.low is None or limit.high is None:
        seen = f"{limit.n} watched {'rep' if limit.n == 1 else 'reps'} on {limit.days} {evenings}"
        return f"too little seen: {seen}, {FEWEST_REPS} on {FEWEST_DAYS} needed"
    low = f"{'under ' if limit.low_open else ''}{tenth(limit.low)}"
    high = f"{'over ' if limit.high_open else ''}{tenth(limit.high)}"
    band_words = f"({low} to {high})" if limit.low_open or limit.high_open else f"({low}-{high})"
    often = "fault-free 8 times in 10"
    if limit.where is Where.BELOW:
        told = f"not {often} even at {tenth(min(cell.load for cell in cells))} {unit}"
    elif limit.where is Where.ABOVE:
        told = f"{often} at every load watched, up to {tenth(max(cell.load for cell in cells))} {unit}"
    else:
        told = f"{often} up to {tenth(limit.load)} {unit}"
    return f"{told} {band_words}, {limit.n} watched reps"


def past_limit(limit: FormLimit, plan: NextPlan | None) -> bool:
    """The plan asks for more than the form has been shown to hold."""
    return plan is not None and limit.load is not None and plan.load > limit.load and limit.where is not Where.ABOVE


# --- faults over time


@dataclass(frozen=True, slots=True)
class FaultRow:
    """One kind of fault over the weeks: `share` of each week's watched reps, None where none was watched."""

    fault: str
    share: tuple[float | None, ...]
    total: FaultRate


@dataclass(frozen=True, slots=True)
class FaultWeeks:
    """Faults by kind, a column a week of seven days, the last one up to the latest evening; commonest first."""

    first: date
    last: date
    watched: tuple[int, ...]
    rows: tuple[FaultRow, ...]


def fault_weeks(sets: Sequence[SetPast], most: int) -> FaultWeeks | None:
    """Up to `most` weeks of watched sets, as many as the record has; None when nothing was ever watched."""
    seen = [done for done in sets if done.watched and done.tried]
    if not seen:
        return None
    last, first = max(done.evening for done in seen), min(done.evening for done in seen)
    weeks = min(most, (last - first).days // 7 + 1)
    watched = [0] * weeks
    counts: dict[str, list[int]] = {}
    for done in seen:
        column = weeks - 1 - (last - done.evening).days // 7
        if column < 0:
            continue
        watched[column] += done.tried
        for fault in {fault for _, fault in done.faults}:
            reps = len({rep for rep, seen_fault in done.faults if seen_fault == fault and rep > 0})
            counts.setdefault(fault, [0] * weeks)[column] += max(1, reps)
    total = sum(watched)
    rows = [
        FaultRow(
            fault,
            tuple(n / w if w else None for n, w in zip(by_week, watched, strict=True)),
            FaultRate(min(sum(by_week), total), total, wilson(min(sum(by_week), total), total)),
        )
        for fault, by_week in counts.items()
    ]
    rows.sort(key=lambda row: (-row.total.faulty, row.fault))
    return FaultWeeks(last - timedelta(days=7 * weeks - 1), last, tuple(watched), tuple(rows))


def tops(sets: Iterable[SetPast]) -> tuple[tuple[date, int], ...]:
    """The heaviest work load of each evening with a rep made, oldest first."""
    found: dict[date, int] = {}
    for done in sets:
        if done.made and not done.ramp:
            found[done.evening] = max(done.load, found.get(done.evening, 0))
    return tuple(sorted(found.items()))


def latest(sets: Iterable[SetPast]) -> tuple[SetPast, ...]:
    """The sets of the latest evening among these."""
    kept = tuple(sets)
    last = max((done.evening for done in kept), default=None)
    return tuple(done for done in kept if done.evening == last)
