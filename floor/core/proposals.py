"""What a set changes: the rules for tonight's next set, in one place.

The first rule that fits speaks. Every rule has an id, a sentence for the
screen and its origin. The safe ones stand first: nothing below them can add
load after a rough or broken set, a fault to fix or worse, or pain.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from floor.core.gym import Grade, Gym, Severity
from floor.core.state import DONE, PLANNED, Present, State, TheSet

RULES_VERSION = "rules/1"
ADD, KEEP, LIGHTEN, STEP_DOWN, STEP_UP, STOP = "add", "keep", "lighten", "step_down", "step_up", "stop"
PRACTICE = "common practice, no source"


@dataclass(frozen=True, slots=True)
class Evidence:
    """What was seen: the set just done, the one before it, the one to come.

    `later` says that a later set of the lift is on record already: this one was
    recorded out of turn, and no load is added on the strength of it. `fell`: the
    form of an earlier set of the lift fell apart tonight. `cleared`: pain was
    cleared tonight. `limit` is the stage's heaviest load, None without one.
    `rung` is the ramp load to go back up by after a set was held down.
    """

    done: TheSet
    before: TheSet | None
    coming: TheSet
    worst: Severity | None
    twice: tuple[str, ...]
    youth: bool
    staged: bool
    later: bool = False
    fell: bool = False
    cleared: bool = False
    limit: int | None = None
    rung: int | None = None

    @property
    def short(self) -> int:
        """Planned reps that were not made."""
        return max(0, self.done.reps - self.done.made)

    @property
    def good(self) -> bool:
        """Watched, sharp or sound, every rep made, nothing to fix."""
        mild = self.worst is None or self.worst is Severity.NOTE
        return self.done.grade in (Grade.SHARP, Grade.SOUND) and not self.short and mild


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
    """A proposal for the coming set: `load` in hundredths, for `count` sets from `set_no` on."""

    action: str
    load: int
    was: int
    rule: str
    set_no: int
    count: int
    stage: int | None = None


def _at_least(worst: Severity | None, floor: Severity) -> bool:
    return worst is not None and worst.rank >= floor.rank


TONIGHT: tuple[Rule, ...] = (
    Rule("dangerous-fault", STOP, lambda e: _at_least(e.worst, Severity.END),
         "a dangerous fault: this lift ends for today"),
    Rule("youth-broken", STOP, lambda e: e.youth and e.done.grade is Grade.BROKEN,
         "a young lifter's form went: this lift ends for today"),
    Rule("youth-rough", LIGHTEN, lambda e: e.youth and e.done.grade is Grade.ROUGH,
         "a young lifter's form went: lighter"),
    Rule("broken-set", LIGHTEN, lambda e: e.done.grade is Grade.BROKEN,
         "the movement fell apart: lighter"),
    Rule("lighten-fault", LIGHTEN, lambda e: _at_least(e.worst, Severity.LIGHTEN),
         "a fault that asks for less load: lighter"),
    Rule("twice-step-down", STEP_DOWN, lambda e: bool(e.twice) and e.staged and e.done.role != "ramp",
         "the same fault two sets running: a stage down, same load at most"),
    Rule("twice-lighten", LIGHTEN, lambda e: bool(e.twice),
         "the same fault two sets running: lighter"),
    Rule("two-reps-short", LIGHTEN, lambda e: e.short >= 2,
         "two reps or more not made: lighter"),
    Rule("rough-keeps", KEEP, lambda e: e.done.grade is Grade.ROUGH,
         "rough: one thing to fix before more load"),
    Rule("fix-first", KEEP, lambda e: _at_least(e.worst, Severity.FIX),
         "a fault to fix before more load"),
    Rule("one-rep-short", KEEP, lambda e: e.short == 1,
         "one rep not made, form held: same load again"),
    Rule("ramp-goes-on", KEEP, lambda e: e.done.grade is Grade.UNSEEN and e.done.role == "ramp",
         "a ramp set done alone: on as planned"),
    Rule("unseen-keeps", KEEP, lambda e: e.done.grade is Grade.UNSEEN,
         "nobody watched: no evidence of form, no more load"),
    Rule("fell-keeps", KEEP, lambda e: e.fell,
         "form fell apart earlier: no more load on this lift tonight"),
    Rule("cleared-keeps", KEEP, lambda e: e.cleared and e.done.role == "build",
         "pain was cleared tonight: no more load"),
    Rule("stage-limit", KEEP, lambda e: e.done.role == "build" and e.limit is not None and e.done.load >= e.limit,
         "the stage's heaviest load: sign the stage off before more"),
    Rule("step-back-up", ADD, lambda e: e.good and e.rung is not None,
         "held down before: back up by the next ramp load first"),
    Rule("build-adds", ADD, lambda e: e.good and e.done.role == "build" and not e.later,
         "all reps made, form held: one step more"),
    Rule("as-planned", KEEP, lambda e: e.good,
         "as planned"),
)
"""Tonight's rules in the order they are asked."""

BY_ID: dict[str, Rule] = {rule.id: rule for rule in TONIGHT}


def worst_fault(gym: Gym, done: TheSet) -> Severity | None:
    """The worst severity seen in a set, None when no fault was marked."""
    lift = gym.lifts[done.lift]
    found = [f.severity for _, fault_id in done.faults if (f := lift.fault(fault_id)) is not None]
    return max(found, key=lambda s: s.rank, default=None)


def suggest_grade(gym: Gym, done: TheSet) -> Grade:
    """The grade suggested from reps and faults; the coach confirms or overrules it.

    Broken for a fault that lightens or ends, rough for one to fix (or two reps
    not made), sound for a note or one rep not made, sharp for nothing at all.
    """
    worst = worst_fault(gym, done)
    short = max(0, done.reps - done.made)
    if _at_least(worst, Severity.LIGHTEN):
        return Grade.BROKEN
    if worst is Severity.FIX or short >= 2:
        return Grade.ROUGH
    if worst is Severity.NOTE or short == 1:
        return Grade.SOUND
    return Grade.SHARP


def _fixes(gym: Gym, done: TheSet | None) -> set[str]:
    if done is None:
        return set()
    lift = gym.lifts[done.lift]
    return {i for _, i in done.faults if (f := lift.fault(i)) is not None and f.severity.rank >= Severity.FIX.rank}


def coming_sets(present: Present, done: TheSet) -> tuple[TheSet, ...]:
    """The sets of that lift still planned: those after this one, and work sets it was recorded ahead of."""
    return tuple(
        s for s in present.of_lift(done.lift) if s.status == PLANNED and (s.no > done.no or s.role != "ramp")
    )


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
    return Evidence(
        done=done,
        before=last,
        coming=coming[0],
        worst=worst_fault(gym, done),
        twice=tuple(sorted(_fixes(gym, done) & _fixes(gym, last))),
        youth=standing.youth,
        staged=1 < (done.stage or 0) < len(gym.lifts[done.lift].stages),
        later=any(s.no > done.no for s in present.of_lift(done.lift) if s.status == DONE),
        fell=any(_fell(gym, s) for s in before),
        cleared=cleared is not None and cleared >= state.evening.opened,
        limit=gym.lifts[done.lift].stage_limit(done.stage),
        rung=_rung(state, lifter, done, coming[0]),
    )


def _fell(gym: Gym, done: TheSet) -> bool:
    return done.grade is Grade.BROKEN or _at_least(worst_fault(gym, done), Severity.LIGHTEN)


def _rung(state: State, lifter: int, done: TheSet, coming: TheSet) -> int | None:
    """The next ramp load between a set that a proposal held down and a coming one far above it."""
    proposal = state.evening.proposals.get((lifter, done.lift))
    if proposal is None or proposal.set_no != done.no or proposal.load >= proposal.was:
        return None
    between = [load for load in state.gym.lifts[done.lift].ramp if done.load < load < coming.load]
    return between[0] if between else None


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
    stage = None if coming.stage == done.stage or evidence.later else done.stage
    if rule.action == LIGHTEN:
        load = min(coming.load, buildable(done.load * (100 - gym.settings.ease_percent) // 100))
    elif rule.id == "step-back-up" and evidence.rung is not None:
        load = buildable(evidence.rung)
    elif rule.action == ADD:
        load = buildable(done.load + gym.lifts[done.lift].step)
        load = load if evidence.limit is None else min(load, evidence.limit)
    elif rule.id in ("as-planned", "ramp-goes-on"):
        load = coming.load
    else:
        load = min(coming.load, buildable(done.load))
    if rule.action == STEP_DOWN:
        stage = (done.stage or 1) - 1
        below = gym.lifts[done.lift].stage_limit(stage)
        load = load if below is None else min(load, buildable(below))
    one = rule.id == "step-back-up" or (done.role == "ramp" and rule.action == KEEP)
    count = 1 if one else left
    return Proposed(rule.action, load, coming.load, rule.id, coming.no, count, stage)


def reason(rule_id: str) -> str:
    """The sentence the screen shows for a rule; the id itself when the rule is not known."""
    rule = BY_ID.get(rule_id)
    return rule.sentence if rule else rule_id
