"""What a set changes: the rules for tonight's next set, in one place.

The first rule that fits speaks. Every rule has an id, a sentence for the
screen and its origin. The safe ones stand first: nothing below them can add
load after a rough or broken set, a fault to fix or worse, or pain.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from floor.core.gym import Grade, Gym, Severity
from floor.core.rests import rest_owed
from floor.core.state import TheSet
from floor.core.steps import eased
from floor.core.teaching import is_walk
from floor.core.tonight import Evidence, at_least
from floor.core.tonight import worst_fault as worst_fault

RULES_VERSION = "rules/6"
ADD, KEEP, LIGHTEN, STEP_DOWN, STEP_UP, STOP = "add", "keep", "lighten", "step_down", "step_up", "stop"
REST = "rest"
PRACTICE = "common practice, no source"
ACSM = "no more than a tenth at once: upper end of 2-10 %, read, ACSM 2009; sizes by lift common practice"

MORE_REST = 150
"""So many per cent of the rest owed are proposed after a miss on a short one. Common practice, no source."""

WALK_FAULTS = 5
"""One rep in so many may show a fault to fix, and the walk is suggested sound. Common practice, no source."""


@dataclass(frozen=True, slots=True)
class Rule:
    """One rule: when it speaks, what it does, what the screen says, where it comes from."""

    id: str
    action: str
    when: Callable[[Evidence], bool]
    sentence: str
    origin: str = PRACTICE


@dataclass(frozen=True, slots=True)
class Proposed:
    """A proposal for the coming set: `load` in hundredths, for `count` sets from `set_no` on.

    `rest` in seconds is asked for before it, None for the lift's own. A `stage`
    above the lifter's own waits for the coach to sign it.
    """

    action: str
    load: int
    was: int
    rule: str
    set_no: int
    count: int
    stage: int | None = None
    rest: int | None = None


TONIGHT: tuple[Rule, ...] = (
    Rule("dangerous-fault", STOP, lambda e: at_least(e.worst, Severity.END),
         "a dangerous fault: this lift ends for today"),
    Rule("youth-broken", STOP, lambda e: e.youth and e.done.grade is Grade.BROKEN,
         "a young lifter's form went: this lift ends for today"),
    Rule("ramp-lightens-late", LIGHTEN, lambda e: e.worked is not None and (e.bad or e.asked),
         "a fault in the ramp: a tenth under what the first work set had"),
    Rule("ramp-behind", KEEP, lambda e: e.worked is not None,
         "the ramp is behind: on as planned"),
    Rule("youth-rough", LIGHTEN, lambda e: e.youth and e.done.grade is Grade.ROUGH,
         "a young lifter's form went: lighter"),
    Rule("twice-step-down", STEP_DOWN, lambda e: e.sent_to is not None and e.done.role != "ramp",
         "the same fault two sets running: an earlier stage, no more load"),
    Rule("broken-set", LIGHTEN, lambda e: e.done.grade is Grade.BROKEN,
         "the movement fell apart: lighter"),
    Rule("lighten-fault", LIGHTEN, lambda e: at_least(e.worst, Severity.LIGHTEN),
         "a fault that asks for less load: lighter"),
    Rule("twice-lighten", LIGHTEN, lambda e: bool(e.twice),
         "the same fault two sets running: lighter"),
    Rule("rest-first", REST, lambda e: e.short >= 1 and e.hurried and not e.short_before,
         "missed after a short rest: rest longer, then the same again"),
    Rule("two-reps-short", LIGHTEN, lambda e: e.short >= 2,
         "two reps or more not made: lighter"),
    Rule("youth-missed", LIGHTEN, lambda e: e.youth and e.short >= 1 and e.done.grade is not Grade.UNSEEN,
         "a young lifter missed a rep: lighter, no sets to failure"),
    Rule("rough-keeps", KEEP, lambda e: e.done.grade is Grade.ROUGH,
         "rough: one thing to fix before more load"),
    Rule("stage-shown", STEP_UP, lambda e: e.shown and not (e.short or e.later or e.asked or e.signed),
         "the stage has been shown: press / then g to sign it off"),
    Rule("fix-first", KEEP, lambda e: at_least(e.worst, Severity.FIX),
         "a fault to fix before more load"),
    Rule("one-rep-short", KEEP, lambda e: e.short == 1,
         "one rep not made, form held: same load again"),
    Rule("note-twice", KEEP, lambda e: bool(e.notes) and not e.ramping,
         "the same small thing two sets running: put it right before more"),
    Rule("ramp-lightens", LIGHTEN, lambda e: e.asked and e.before_work and not (e.held and not e.good),
         "a fault in the ramp asked for less load: the work sets a tenth lighter"),
    Rule("ramp-goes-on", KEEP, lambda e: e.done.grade is Grade.UNSEEN and e.done.role == "ramp" and not e.held,
         "a ramp set done alone: on as planned"),
    Rule("unseen-keeps", KEEP, lambda e: e.done.grade is Grade.UNSEEN,
         "nobody watched: no evidence of form, no more load"),
    Rule("asked-keeps", KEEP, lambda e: e.asked and not e.ramping,
         "an earlier set asked for less load: no more on this lift tonight"),
    Rule("drill-keeps", KEEP, lambda e: at_least(e.drilled, Severity.LIGHTEN) and not e.ramping,
         "a bad fault in the group drill: no more load on this lift tonight"),
    Rule("cleared-keeps", KEEP, lambda e: e.cleared and e.done.role == "build",
         "first evening since pain was cleared: no more load"),
    Rule("far-over", KEEP, lambda e: e.good and e.far_over,
         "what was lifted is far over the plan: the coach sets the load"),
    Rule("stage-limit", KEEP, lambda e: e.building and e.limit is not None and e.done.load >= e.limit,
         "the stage's heaviest load: sign the stage off before more"),
    Rule("form-limit", KEEP, lambda e: e.building and e.capped,
         "one step more would go past where form holds: same load"),
    Rule("step-back-up", ADD, lambda e: e.good and e.rung is not None,
         "held down before: back up by the next ramp load first"),
    Rule("tenth-keeps", KEEP, lambda e: e.good and e.building and not e.later and e.up <= e.done.load,
         "what can be built next is over a tenth more: + is the coach's", ACSM),
    Rule("build-adds", ADD, lambda e: e.good and e.building and not e.later,
         "all reps made, form held: one step more", ACSM),
    Rule("as-planned", KEEP, lambda e: e.good,
         "as planned"),
)
"""Tonight's rules in the order they are asked."""

BY_ID: dict[str, Rule] = {rule.id: rule for rule in TONIGHT}

ONE_IN_THE_RAMP = ("youth-rough", "lighten-fault")
"""The rules that lighten for a fault: in the ramp the next set alone, for its load says nothing of the work load."""

GOES_ON = ("as-planned", "ramp-goes-on", "ramp-behind", "far-over")
"""The rules that leave the coming sets as they are planned, whatever the set was lifted with."""

SHORT = ("rest-first", "two-reps-short", "one-rep-short", "youth-missed")
"""The rules that speak of reps not made."""

OF_THE_SET = ("youth-rough", "broken-set", "lighten-fault", "rough-keeps", "fix-first", *SHORT)
"""The rules that speak of a set's own grade, faults or reps: of one put right, where the last set shows none."""

DRILL_ENDS = "drill-ends"
ASIDE: dict[str, str] = {DRILL_ENDS: "a dangerous fault in the group drill: this lift ends for today"}
"""Rules that speak without a set of their own."""


def suggest_grade(gym: Gym, done: TheSet) -> Grade:
    """The grade suggested from reps and faults; the coach confirms or overrules it.

    Broken for a fault that ends the lift, or one that lightens in two reps or more;
    rough for one that lightens in a single rep, one to fix, or two reps not made; sound
    for a note or one rep not made, sharp for nothing at all. In a walk through the
    stages faults to fix in one rep of five or fewer leave it sound.
    """
    worst = worst_fault(gym, done)
    short = max(0, done.reps - done.made)
    if worst is Severity.END or len(_reps_with(gym, done, Severity.LIGHTEN)) >= 2:
        return Grade.BROKEN
    if worst is Severity.LIGHTEN or (worst is Severity.FIX and not _fair_walk(gym, done)) or short >= 2:
        return Grade.ROUGH
    if worst is not None or short == 1:
        return Grade.SOUND
    return Grade.SHARP


def _fair_walk(gym: Gym, done: TheSet) -> bool:
    """Whether at most one rep in WALK_FAULTS of a walk shows a fault to fix."""
    bad = _reps_with(gym, done, Severity.FIX)
    return is_walk(gym.lifts[done.lift], done) and len(bad) * WALK_FAULTS <= len(done.marks)


def _reps_with(gym: Gym, done: TheSet, severity: Severity) -> set[int]:
    """The reps of a set in which a fault of that severity was seen."""
    lift = gym.lifts[done.lift]
    return {rep for rep, i in done.faults if (f := lift.fault(i)) is not None and f.severity is severity}


def rule_for(evidence: Evidence) -> Rule:
    """The first of tonight's rules that fits."""
    return next(r for r in TONIGHT if r.when(evidence))


def propose(gym: Gym, evidence: Evidence, left: int, buildable: Callable[[int], int]) -> Proposed:
    """The proposal the rules make for the coming set of this lift.

    `left` is how many sets of the lift are still planned; `buildable` gives the
    nearest load at or below a wanted one. Loads are hundredths of the gym's unit.
    """
    rule = rule_for(evidence)
    done, coming = evidence.done, evidence.coming
    stays = coming.stage in (None, done.stage) or evidence.later or evidence.signed
    stage = None if stays else done.stage
    rest = None
    if rule.action == LIGHTEN or (rule.action == STEP_DOWN and evidence.bad):
        base = coming.load if rule.id == "ramp-lightens" else evidence.worked or done.load
        load = min(coming.load, eased(gym, base, buildable))
    elif rule.id == "step-back-up" and evidence.rung is not None:
        load = buildable(evidence.rung)
    elif rule.action == ADD:
        load = evidence.up
        load = load if evidence.limit is None else min(load, evidence.limit)
    elif rule.id in GOES_ON:
        load = coming.load
    else:
        load = min(coming.load, buildable(done.load))
    if rule.action == STEP_DOWN:
        stage = evidence.sent_to
        below = gym.lifts[done.lift].stage_limit(stage)
        load = load if below is None else min(load, buildable(below))
    if rule.action == STEP_UP:
        stage = (done.stage or 0) + 1
    if rule.action == REST:
        rest = rest_owed(gym, done.lift, done.role) * MORE_REST // 100
    count = 1 if _for_one(rule, evidence) else left
    return Proposed(rule.action, load, coming.load, rule.id, coming.no, count, stage, rest)


def _for_one(rule: Rule, evidence: Evidence) -> bool:
    """Whether a proposal is for the next set alone: on the way up a fault holds that one, not the work load."""
    if (evidence.climbing and rule.id == "as-planned") or rule.id == "ramp-lightens":
        return False
    held = rule.action in (KEEP, REST, STEP_UP) or rule.id in ONE_IN_THE_RAMP
    return rule.id == "step-back-up" or (evidence.ramping and held)


def reason(rule_id: str) -> str:
    """The sentence the screen shows for a rule; the id itself when the rule is not known."""
    rule = BY_ID.get(rule_id)
    return rule.sentence if rule else ASIDE.get(rule_id, rule_id)
