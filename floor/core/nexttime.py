"""What next time brings on a lift: the rules between sessions, in one place.

The first rule that fits speaks. `count` of repeats goes up with every repeat
and back to zero when the load moves. Loads are hundredths of the gym's unit.
Two load rules to choose from in the settings: a step each time all reps were
made, or two-for-two. Either way a step that can't be built is done in reps
first, no increase is more than a tenth, and a form limit caps what it holds.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from datetime import datetime

from floor.core.gym import Grade, Gym, Severity
from floor.core.limits import CAPS
from floor.core.proposals import PRACTICE, worst_fault
from floor.core.state import DONE, NextPlan, TheSet
from floor.core.steps import EXTRA_REPS, eased, next_up, stepped
from floor.core.tonight import asked_for_less

LAY_OFF: tuple[tuple[int, int], ...] = ((180, 40), (60, 20), (14, 10))
"""(days away, per cent off), longest first. Common practice: about a tenth after two weeks, far more after months."""

STALL = 3
"""So many repeats running are a stall, before any statistic says so: common practice, no source."""

TWO_OVER = 2
"""Reps over in the last set, two sessions running: two-for-two (NSCA Essentials, second-hand)."""


@dataclass(frozen=True, slots=True)
class LiftTonight:
    """Everything one lifter did tonight on one lift, and where it started.

    `step` is the lifter's own. `extra` reps stand on top of the programme's. `over`
    says that the last session's last set went over, `two_for_two` that the gym
    asks for that. `cap` is the form limit, None without one. `learning` says that
    the lift's stages before the last were done, on a lift not held by its form.
    `ended` is what tonight came down to once a set had asked for less, None if none did.
    `most` is the heaviest load of the stage the work was done on, None without one.
    """

    sets: tuple[TheSet, ...]
    planned: int
    repeats: int
    held: bool
    stopped: str
    percent: int
    worst: Severity | None
    cleared: bool = False
    known: bool = False
    step: int = 0
    extra: int = 0
    over: bool = False
    two_for_two: bool = False
    cap: int | None = None
    learning: bool = False
    ended: int | None = None
    most: int | None = None

    @property
    def work(self) -> tuple[TheSet, ...]:
        """The work and build sets that were done."""
        return tuple(s for s in self.sets if s.status == DONE and s.role != "ramp")

    @property
    def every_rep(self) -> bool:
        """Every rep of every work set that was done was made."""
        return all(s.made >= s.reps for s in self.work)

    @property
    def every_set(self) -> bool:
        """No planned work set was left out; a back-off set may be."""
        return all(s.status == DONE for s in self.sets if s.role not in ("ramp", "backoff"))

    def graded(self, *grades: Grade) -> bool:
        """Whether any work set was given one of these grades."""
        return any(s.grade in grades for s in self.work)

    @property
    def top(self) -> int:
        """The heaviest work load done, 0 if none."""
        return max((s.load for s in self.work), default=0)

    @property
    def building(self) -> bool:
        """Whether these were build sets."""
        return any(s.role == "build" for s in self.work)

    @property
    def over_now(self) -> bool:
        """The last work set went two reps or more past what was planned."""
        across = [s for s in self.work if s.role == "work"]
        return bool(across) and across[-1].made >= across[-1].reps + TWO_OVER

    @property
    def held_to_two(self) -> bool:
        """Two-for-two decides: build sets and a first load follow the form instead."""
        return self.two_for_two and not self.building


@dataclass(frozen=True, slots=True)
class NextRule:
    """One rule between sessions: what it does is `move`: add, repeat, hold, ease or stay."""

    id: str
    move: str
    when: Callable[[LiftTonight], bool]
    sentence: str
    origin: str = PRACTICE


VERSION = "next/1"
"""Which rules between sessions a plan was made by."""

NOT_DONE = "not-done"
"""The id of the rule of a lift that was not done tonight: its plan stays."""
LEARNING = "drill-finds-nothing"
"""The id of the rule that leaves a newcomer without a plan until the last stage."""
BY_HAND = "by-hand"
"""The rule of a plan that the coach made."""
IMPORTED = "imported"
"""The rule of a plan that was brought in."""
FOUND = "found"
"""The id of the rule that plans a first load: there was none before it."""

NSCA = "two-for-two, second-hand, NSCA Essentials"

NEXT: tuple[NextRule, ...] = (
    NextRule("pain-eases", "ease", lambda t: t.held, "pain was reported: lighter, once it is cleared"),
    NextRule("stopped-eases", "ease", lambda t: bool(t.stopped), "the lift was stopped: lighter next time"),
    NextRule(NOT_DONE, "stay", lambda t: not t.work, "not done tonight: stays"),
    NextRule(
        "broken-eases", "ease",
        lambda t: t.graded(Grade.BROKEN) or t.worst is Severity.END,
        "form fell apart: lighter next time",
    ),
    NextRule(
        "asked-holds", "hold", lambda t: t.worst is Severity.LIGHTEN,
        "a fault asked for less load: no heavier than tonight ended",
    ),
    NextRule(
        "rough-repeats", "repeat",
        lambda t: t.graded(Grade.ROUGH) or t.worst is Severity.FIX,
        "one thing to fix first: same load",
    ),
    NextRule("miss-repeats", "repeat", lambda t: not t.every_rep, "not every rep made: same load"),
    NextRule("unfinished-stays", "stay", lambda t: not t.every_set, "not every set done: same plan again"),
    NextRule("light-day", "stay", lambda t: t.percent < 100, "after a light day the full load stays"),
    NextRule("cleared-stays", "stay", lambda t: t.cleared, "pain was cleared tonight: same load once more"),
    NextRule("stage-holds", "stay", lambda t: not t.building and t.most is not None and t.most < t.planned,
             "no more than the stage's heaviest load: sign it off first"),
    NextRule("lowered-repeats", "repeat", lambda t: not t.building and t.top < t.planned,
             "done lighter than planned: same plan again"),
    NextRule("unseen-stays", "stay", lambda t: not t.graded(Grade.SHARP, Grade.SOUND), "nobody watched: same load"),
    NextRule("two-for-two-waits", "stay", lambda t: t.held_to_two and not t.over_now,
             "all made: two reps over, twice running, bring more", NSCA),
    NextRule("over-once", "stay", lambda t: t.held_to_two and not t.over,
             "two reps over: once more next time, then a step", NSCA),
    NextRule("all-made", "add", lambda t: True, "all reps made, form held: one step more",
             "step within 2-10 %, read, ACSM 2009; sizes by lift common practice"),
)

FROM_THE_START = ("pain-eases", "stopped-eases")
"""After these a lift that was built up starts lighter than it started, not only lighter than where it got to."""

EXTRA: dict[str, str] = {
    "three-repeats-ease": "stalled, too many repeats in a row: lighter, then up again",
    "stalled-repeats": "stalled, three repeats or more in a row: same load",
    "reps-first": "the step can't be built yet: a rep more first",
    "reps-then-load": "the reps are there: the next load that can be built",
    "no-load-fits": "the next load is over a tenth more: the coach's to set",
    CAPS: "no further than form has been seen to hold",
    "deadlift-slows": "the deadlift no longer recovers: a light pull in midweek",
    "slowed-halves-step": "it slows: half the step from here on",
    "step-too-small": "the step can't be built: same load",
    FOUND: "the load found tonight",
    LEARNING: "still in the drills: the load is found on the last stage",
    "build-step": "form held: start one step up, no further than was lifted",
    "build-lowered": "built to less than planned: on from there",
    IMPORTED: "as brought in",
    "lay-off": "back after a while: eased in",
    BY_HAND: "set by the coach",
}


@dataclass(frozen=True, slots=True)
class NextTime:
    """The plan for next time: `load` from `was`, by `rule`, with `repeats` in a row.

    `extra` reps go on top of the programme's; `over` is kept for two-for-two.
    """

    load: int
    was: int
    rule: str
    repeats: int
    extra: int = 0
    over: bool = False


def look(
    gym: Gym, sets: Sequence[TheSet], planned: int, repeats: int, held: bool, stopped: str, percent: int,
    cleared: bool = False, known: bool = False, *, step: int = 0, extra: int = 0, over: bool = False,
    cap: int | None = None,
) -> LiftTonight:
    """Gather tonight's evidence on one lift. `planned` is the whole (not light-day) load.

    `cleared` says that pain was cleared during this session, `known` that the
    lifter had a plan for the lift before tonight. `step`, `extra`, `over` and `cap`
    are as in LiftTonight.
    """
    worst = max(
        (w for s in sets if s.status == DONE and (w := worst_fault(gym, s)) is not None),
        key=lambda w: w.rank, default=None,
    )
    return LiftTonight(
        tuple(sets), planned, repeats, held, stopped, percent, worst, cleared, known, step, extra, over,
        gym.settings.load_rule == "two-for-two", cap, _learning(gym, sets),
        _ended(gym, sets), _most(gym, sets),
    )


def _ended(gym: Gym, sets: Sequence[TheSet]) -> int | None:
    """The last work load lifted or left planned once a set had asked for less, None when none did.

    The load of the day, light day or not; back-off sets are lighter by plan and do not count.
    """
    first = next((n for n, s in enumerate(sets) if s.status == DONE and asked_for_less(gym, s)), None)
    if first is None:
        return None
    loads = [s.load for s in sets[first:] if s.role in ("work", "build")]
    return loads[-1] if loads else None


def _most(gym: Gym, sets: Sequence[TheSet]) -> int | None:
    """The heaviest load of the last stage that work was done on tonight."""
    work = [s for s in sets if s.status == DONE and s.role != "ramp"]
    return gym.lifts[work[-1].lift].stage_limit(work[-1].stage) if work else None


def _learning(gym: Gym, sets: Sequence[TheSet]) -> bool:
    """Whether work was done on a stage before the last: its load is the drill's. Not on a lift held by its form."""
    done = (s for s in sets if s.status == DONE and s.role != "ramp" and s.stage is not None)
    lifts = ((gym.lifts[s.lift], s.stage) for s in done)
    return any(not lift.form_first and lift.stage(stage) is not None and stage != lift.stages[-1].no
               for lift, stage in lifts)


def next_time(gym: Gym, tonight: LiftTonight, buildable: Callable[[int], int]) -> NextTime:
    """What next time brings; `buildable` is the nearest load at or below a wanted one."""
    coming = _by_rule(gym, tonight, buildable)
    if tonight.cap is None:
        return coming
    held = coming.rule.startswith("build-") and tonight.planned + tonight.step > tonight.cap
    load = min(coming.load, buildable(tonight.cap)) if coming.load > tonight.cap else coming.load
    return replace(coming, load=load, rule=CAPS) if held or load < coming.load else coming


def _by_rule(gym: Gym, tonight: LiftTonight, buildable: Callable[[int], int]) -> NextTime:
    rule = next(r for r in NEXT if r.when(tonight))
    planned = tonight.planned
    base = tonight.top if tonight.building and tonight.top else planned
    lighter = min(planned, eased(gym, base, buildable))
    if rule.move == "ease":
        if rule.id in FROM_THE_START and base > planned:
            lighter = min(planned, eased(gym, planned, buildable))
        return NextTime(_as_ended(tonight, lighter, buildable), planned, rule.id, 0)
    if rule.move == "hold" and (held := _as_ended(tonight, planned, buildable)) < planned:
        return NextTime(held, planned, rule.id, 0)
    if tonight.learning and not tonight.known:
        return NextTime(tonight.top, tonight.top, LEARNING, 0)
    if rule.move == "stay":
        over = rule.id == "over-once" or (tonight.over and rule.id == "light-day")
        return NextTime(planned, planned, rule.id, tonight.repeats, tonight.extra, over)
    if rule.move in ("repeat", "hold"):
        repeats = tonight.repeats + 1
        if repeats >= gym.settings.repeats_before_ease:
            return NextTime(lighter, planned, "three-repeats-ease", 0)
        held = min(planned, tonight.top) if tonight.building and rule.id == "rough-repeats" else planned
        return NextTime(held, planned, "stalled-repeats" if repeats >= STALL else rule.id, repeats, tonight.extra)
    if tonight.building and not tonight.known:
        return NextTime(base, planned, FOUND, 0)
    load = stepped(base if not tonight.building else planned, tonight.step, buildable)
    if tonight.building:
        if load <= planned and base > planned:
            return NextTime(planned, planned, "step-too-small", tonight.repeats)
        return NextTime(min(base, load), planned, "build-lowered" if base < planned else "build-step", 0)
    if load > base:
        return NextTime(load, planned, rule.id, 0)
    if tonight.extra < EXTRA_REPS:
        return NextTime(base, planned, "reps-first", 0, tonight.extra + 1)
    up = next_up(base, buildable)
    if up is None:
        return NextTime(base, planned, "no-load-fits", 0, tonight.extra)
    return NextTime(up, planned, "reps-then-load", 0)


def _as_ended(tonight: LiftTonight, load: int, buildable: Callable[[int], int]) -> int:
    """A whole load, brought down to what tonight ended at where its part of the day would be heavier."""
    if tonight.ended is None or buildable(load * tonight.percent // 100) <= tonight.ended:
        return load
    return buildable(tonight.ended * 100 // tonight.percent)


def after_lay_off(load: int, last_came: datetime | None, now: datetime) -> tuple[int, int]:
    """(wanted load, per cent off) after being away; nothing off under two weeks or with no history."""
    if last_came is None:
        return load, 0
    days = (now - last_came).days
    for away, percent in LAY_OFF:
        if days >= away:
            return load * (100 - percent) // 100, percent
    return load, 0


def next_reason(rule_id: str) -> str:
    """The sentence shown for a rule between sessions."""
    for rule in NEXT:
        if rule.id == rule_id:
            return rule.sentence
    return EXTRA.get(rule_id, rule_id)


def plan_reason(plan: NextPlan) -> str:
    """Why a plan is what it is: its rule's sentence, or that the coach set it and what the rule had said."""
    said = f" (the rule said: {next_reason(plan.overruled)})" if plan.overruled else ""
    return next_reason(plan.rule) + said
