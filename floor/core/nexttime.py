"""What next time brings on a lift: the rules between sessions, in one place.

The first rule that fits speaks; what it brings is held under what tonight went
wrong with (`_ceilings`) and under the form limit. `count` of repeats goes up with
every repeat and back to zero when the load moves. Loads are hundredths of the
gym's unit. Two load rules to choose from in the settings: a step each time all
reps were made, or two-for-two. Either way a step that can't be built is done in
reps first, and no increase is more than a tenth.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace

from floor.core import clearance
from floor.core.gym import Grade, Gym, Severity
from floor.core.lifttonight import LiftTonight
from floor.core.limits import CAPS
from floor.core.proposals import PRACTICE
from floor.core.state import NextPlan
from floor.core.steps import EXTRA_REPS, eased, next_up, stepped

STALL = 3
"""So many repeats running are a stall, before any statistic says so: common practice, no source."""


@dataclass(frozen=True, slots=True)
class NextRule:
    """One rule between sessions: what it does is `move`: add, repeat, hold, ease or stay."""

    id: str
    move: str
    when: Callable[[LiftTonight], bool]
    sentence: str
    origin: str = PRACTICE


VERSION = "next/2"
"""Which rules between sessions a plan was made by."""

NOT_DONE = "not-done"
"""The id of the rule of a lift that was not done tonight: its plan stays."""
LIGHT_DAY = "light-day"
"""The id of the rule of a light day that went well: the full load stays."""
LIGHT_ROUGH = "light-day-repeats"
"""The id of the rule of one that showed a thing to fix: it stays too."""
LEARNING = "drill-finds-nothing"
"""The id of the rule that leaves a newcomer without a plan until the last stage."""
BY_HAND = "by-hand"
"""The rule of a plan that the coach made."""
LAY_OFF = "lay-off"
"""The rule of a plan that was eased at check-in after time away."""
IMPORTED = "imported"
"""The rule of a plan that was brought in."""
ASKED = "asked-holds"
"""The id of the rule after a set or a drill that asked for less load."""
CLEARED = "cleared-stays"
"""The id of the rule of the first evening since pain was cleared."""
CAME_DOWN = "came-down-holds"
"""The id of what holds the load after a last set that was not good though lighter than the day's."""
STALLED = "three-repeats-ease"
"""The id of the ease after too many repeats."""
FOUND = "found"
"""The id of the rule that plans a first load: there was none before it."""

NSCA = "two-for-two, second-hand, NSCA Essentials"

NEXT: tuple[NextRule, ...] = (
    NextRule("pain-eases", "ease", lambda t: t.held and t.standing, "pain was reported: lighter, once it is cleared"),
    NextRule("stopped-eases", "ease", lambda t: bool(t.stopped) and t.standing,
             "the lift was stopped: lighter next time"),
    NextRule(NOT_DONE, "stay", lambda t: not t.work, "not done tonight: stays"),
    NextRule(
        "broken-eases", "ease",
        lambda t: t.graded(Grade.BROKEN) or t.worst is Severity.END,
        "form fell apart: lighter next time",
    ),
    NextRule(
        ASKED, "hold", lambda t: t.asked,
        "a fault asked for less load: no heavier than tonight ended",
    ),
    NextRule(
        LIGHT_ROUGH, "repeat",
        lambda t: t.percent < 100 and (t.graded(Grade.ROUGH) or t.worst is Severity.FIX),
        "rough on a light day: the full load stays, one thing to fix first",
    ),
    NextRule(
        "rough-repeats", "repeat",
        lambda t: t.graded(Grade.ROUGH) or t.worst is Severity.FIX,
        "one thing to fix first: same load",
    ),
    NextRule("miss-repeats", "repeat", lambda t: not t.every_rep, "not every rep made: same load"),
    NextRule("unfinished-stays", "stay", lambda t: not t.every_set, "not every set done: same plan again"),
    NextRule(LIGHT_DAY, "stay", lambda t: t.percent < 100, "after a light day the full load stays"),
    NextRule(CLEARED, "stay", lambda t: t.cleared,
             "first evening since pain was cleared: no heavier than it ended"),
    NextRule("stage-holds", "stay", lambda t: not t.building and t.most is not None and t.most < t.planned,
             "no more than the stage's heaviest load: sign it off first"),
    NextRule("lowered-repeats", "repeat", lambda t: not t.building and t.top < t.planned,
             "done lighter than planned: same plan again"),
    NextRule("unseen-stays", "stay", lambda t: t.unseen,
             "too few sets watched (under a third), or none at this load: same load"),
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
    STALLED: "stalled, too many repeats in a row: lighter, then up again",
    "stalled-repeats": "stalled, three repeats or more in a row: same load",
    "reps-first": "the step can't be built yet: a rep more first",
    "reps-then-load": "the reps are there: the next load that can be built",
    "no-load-fits": "the next load is over a tenth more: the coach's to set",
    CAPS: "no further than form has been seen to hold",
    "deadlift-slows": "the deadlift no longer recovers: a light pull in midweek",
    "slowed-halves-step": "it slows: half the step from here on",
    CAME_DOWN: "the last set was not good though lighter: no heavier than that",
    clearance.EASES: "first time back since pain was cleared: lighter",
    "step-too-small": "the step can't be built: same load",
    FOUND: "the load found tonight",
    LEARNING: "still in the drills: the load is found on the last stage",
    "build-step": "form held: start one step up, no further than was lifted",
    "build-lowered": "built to less than planned: on from there",
    IMPORTED: "as brought in",
    LAY_OFF: "back after a while: eased in",
    BY_HAND: "set by the coach",
}


@dataclass(frozen=True, slots=True)
class NextTime:
    """The plan for next time: `load` from `was`, by `rule`, with `repeats` in a row.

    `extra` reps go on top of the programme's; `over` is kept for two-for-two. `stalled`:
    it was eased after too many repeats, whatever speaks of the load after that.
    """

    load: int
    was: int
    rule: str
    repeats: int
    extra: int = 0
    over: bool = False
    stalled: bool = False


_LIGHTER = frozenset({ASKED, CLEARED, STALLED, *(rule.id for rule in NEXT if rule.move == "ease")})
"""The rules whose own sentence says that the load comes down or is held: no ceiling speaks over it."""


def next_time(gym: Gym, tonight: LiftTonight, buildable: Callable[[int], int]) -> NextTime:
    """What next time brings; `buildable` is the nearest load at or below a wanted one."""
    coming = _by_rule(gym, tonight, buildable)
    if coming.rule in (NOT_DONE, LEARNING):
        return coming
    for most, rule in _ceilings(tonight):
        within = _within(tonight, coming.load, most, buildable)
        if within < coming.load:
            coming = _lowered(coming, within, coming.rule if coming.rule in _LIGHTER else rule)
    if tonight.cap is None:
        return coming
    held = coming.rule.startswith("build-") and tonight.planned + tonight.step > tonight.cap
    load = min(coming.load, buildable(tonight.cap)) if coming.load > tonight.cap else coming.load
    return _lowered(coming, load, CAPS) if held or load < coming.load else coming


def _ceilings(tonight: LiftTonight) -> Iterator[tuple[int, str]]:
    """The loads, as tonight's day had them, that next time may not go past whatever rule speaks, and what says so."""
    if tonight.ended is not None:
        yield tonight.ended, ASKED
    if tonight.after is not None:
        yield tonight.after, CLEARED
    if tonight.bad and tonight.last is not None and tonight.day is not None and tonight.last < tonight.day:
        yield tonight.last, CAME_DOWN


def _lowered(coming: NextTime, load: int, rule: str) -> NextTime:
    """The plan at a lower load; once that is under the load from before, its repeats and extra reps are over."""
    if load >= coming.was:
        return replace(coming, load=load, rule=rule)
    return replace(coming, load=load, rule=rule, repeats=0, extra=0, over=False)


def _by_rule(gym: Gym, tonight: LiftTonight, buildable: Callable[[int], int]) -> NextTime:
    rule = next(r for r in NEXT if r.when(tonight))
    planned = tonight.planned
    if rule.id == NOT_DONE:
        return NextTime(planned, planned, rule.id, tonight.repeats, tonight.extra, tonight.over)
    lighter = _eased(gym, tonight, rule, buildable)
    if rule.move == "ease":
        return NextTime(lighter, planned, rule.id, 0)
    if rule.move == "hold" and tonight.ended is not None:
        held = _within(tonight, planned, tonight.ended, buildable)
        if held < planned:
            return NextTime(held, planned, rule.id, 0)
    if tonight.learning and not tonight.known:
        return NextTime(tonight.top, tonight.top, LEARNING, 0)
    if rule.move == "stay":
        over = rule.id == "over-once" or (tonight.over and rule.id == LIGHT_DAY)
        return NextTime(planned, planned, rule.id, tonight.repeats, tonight.extra, over)
    if rule.move in ("repeat", "hold"):
        repeats = tonight.repeats + 1
        if repeats >= gym.settings.repeats_before_ease:
            return NextTime(lighter, planned, STALLED, 0, stalled=True)
        held = min(planned, tonight.top) if tonight.building and rule.id == "rough-repeats" else planned
        return NextTime(held, planned, "stalled-repeats" if repeats >= STALL else rule.id, repeats, tonight.extra)
    return _added(tonight, rule, buildable)


def _eased(gym: Gym, tonight: LiftTonight, rule: NextRule, buildable: Callable[[int], int]) -> int:
    """The load made lighter: than tonight's day asked for, and never more than was planned."""
    planned = tonight.planned
    started = planned if tonight.day is None else _within(tonight, planned, tonight.day, buildable)
    if tonight.building and tonight.top and (tonight.top < started or rule.id not in FROM_THE_START):
        started = tonight.top
    return min(planned, eased(gym, started, buildable))


def _added(tonight: LiftTonight, rule: NextRule, buildable: Callable[[int], int]) -> NextTime:
    """A step more, or what stands for one. Building goes on from the heaviest load that was watched."""
    planned = tonight.planned
    if tonight.building:
        base = tonight.seen
        if not tonight.known:
            return NextTime(base, planned, FOUND, 0)
        load = stepped(planned, tonight.step, buildable)
        if load <= planned and base > planned:
            return NextTime(planned, planned, "step-too-small", tonight.repeats)
        return NextTime(min(base, load), planned, "build-lowered" if base < planned else "build-step", 0)
    load = stepped(planned, tonight.step, buildable)
    if load > planned:
        return NextTime(load, planned, rule.id, 0)
    if tonight.extra < EXTRA_REPS:
        return NextTime(planned, planned, "reps-first", 0, tonight.extra + 1)
    up = next_up(planned, buildable)
    if up is None:
        return NextTime(planned, planned, "no-load-fits", 0, tonight.extra)
    return NextTime(up, planned, "reps-then-load", 0)


def _within(tonight: LiftTonight, load: int, most: int, buildable: Callable[[int], int]) -> int:
    """A whole load, brought down where its part of tonight's day would be heavier than `most`.

    A first load is no whole of anything: it is what was lifted.
    """
    if not tonight.known:
        return min(load, buildable(most))
    if buildable(load * tonight.percent // 100) <= most:
        return load
    return min(load, buildable(most * 100 // tonight.percent))


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
