"""What next time brings on a lift: the rules between sessions, in one place.

The first rule that fits speaks. `count` of repeats goes up with every repeat
and back to zero when the load moves. Loads are hundredths of the gym's unit.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import datetime

from floor.core.gym import Grade, Gym, Severity
from floor.core.proposals import PRACTICE, worst_fault
from floor.core.state import DONE, TheSet

LAY_OFF: tuple[tuple[int, int], ...] = ((180, 40), (60, 20), (14, 10))
"""(days away, per cent off), longest first. Common practice: about a tenth after two weeks, far more after months."""


@dataclass(frozen=True, slots=True)
class LiftTonight:
    """Everything one lifter did tonight on one lift, and where it started."""

    sets: tuple[TheSet, ...]
    planned: int
    repeats: int
    held: bool
    stopped: str
    percent: int
    worst: Severity | None
    cleared: bool = False
    known: bool = False

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
        """No planned work set was left out."""
        return all(s.status == DONE for s in self.sets if s.role != "ramp")

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


@dataclass(frozen=True, slots=True)
class NextRule:
    """One rule between sessions: what it does is `move`: add, repeat, ease or stay."""

    id: str
    move: str
    when: Callable[[LiftTonight], bool]
    sentence: str
    origin: str = PRACTICE


NEXT: tuple[NextRule, ...] = (
    NextRule("pain-eases", "ease", lambda t: t.held, "pain was reported: lighter, once it is cleared"),
    NextRule("stopped-eases", "ease", lambda t: bool(t.stopped), "the lift was stopped: lighter next time"),
    NextRule("not-done", "stay", lambda t: not t.work, "not done tonight: stays"),
    NextRule(
        "broken-eases", "ease",
        lambda t: t.graded(Grade.BROKEN) or (t.worst is not None and t.worst.rank >= Severity.LIGHTEN.rank),
        "form fell apart: lighter next time",
    ),
    NextRule(
        "rough-repeats", "repeat",
        lambda t: t.graded(Grade.ROUGH) or t.worst is Severity.FIX,
        "one thing to fix first: same load",
    ),
    NextRule("miss-repeats", "repeat", lambda t: not t.every_rep, "not every rep made: same load"),
    NextRule("unfinished-stays", "stay", lambda t: not t.every_set, "not every set done: same plan again"),
    NextRule("light-day", "stay", lambda t: t.percent < 100, "a light day: the full load stays"),
    NextRule("cleared-stays", "stay", lambda t: t.cleared, "pain was cleared tonight: same load once more"),
    NextRule("lowered-repeats", "repeat", lambda t: not t.building and t.top < t.planned,
             "done lighter than planned: same plan again"),
    NextRule("unseen-stays", "stay", lambda t: not t.graded(Grade.SHARP, Grade.SOUND), "nobody watched: same load"),
    NextRule("all-made", "add", lambda t: True, "all reps made, form held: one step more",
             "step within 2-10 %, read, ACSM 2009; sizes by lift common practice"),
)

EXTRA: dict[str, str] = {
    "three-repeats-ease": "three repeats in a row: lighter, then up again",
    "step-too-small": "the step can't be built: same load",
    "found": "the load found tonight",
    "build-step": "form held: start one step up, no further than was lifted",
    "imported": "as brought in",
    "lay-off": "back after a while: eased in",
    "by-hand": "set by the coach",
}


@dataclass(frozen=True, slots=True)
class NextTime:
    """The plan for next time: `load` from `was`, by `rule`, with `repeats` in a row."""

    load: int
    was: int
    rule: str
    repeats: int


def look(
    gym: Gym, sets: Sequence[TheSet], planned: int, repeats: int, held: bool, stopped: str, percent: int,
    cleared: bool = False, known: bool = False,
) -> LiftTonight:
    """Gather tonight's evidence on one lift. `planned` is the whole (not light-day) load.

    `cleared` says that pain was cleared during this session, `known` that the
    lifter had a plan for the lift before tonight.
    """
    worst = max(
        (w for s in sets if s.status == DONE and (w := worst_fault(gym, s)) is not None),
        key=lambda w: w.rank, default=None,
    )
    return LiftTonight(tuple(sets), planned, repeats, held, stopped, percent, worst, cleared, known)


def next_time(gym: Gym, lift_id: str, tonight: LiftTonight, buildable: Callable[[int], int]) -> NextTime:
    """What next time brings; `buildable` is the nearest load at or below a wanted one."""
    rule = next(r for r in NEXT if r.when(tonight))
    planned = tonight.planned
    base = tonight.top if tonight.building and tonight.top else planned
    eased = min(planned, buildable(base * (100 - gym.settings.ease_percent) // 100))
    if rule.move == "ease":
        return NextTime(eased, planned, rule.id, 0)
    if rule.move == "stay":
        return NextTime(planned, planned, rule.id, tonight.repeats)
    if rule.move == "repeat":
        repeats = tonight.repeats + 1
        if repeats >= gym.settings.repeats_before_ease:
            return NextTime(eased, planned, "three-repeats-ease", 0)
        held = min(planned, tonight.top) if tonight.building and rule.id == "rough-repeats" else planned
        return NextTime(held, planned, rule.id, repeats)
    if tonight.building and not tonight.known:
        return NextTime(base, planned, "found", 0)
    if tonight.building:
        return NextTime(min(base, buildable(planned + gym.lifts[lift_id].step)), planned, "build-step", 0)
    load = buildable(base + gym.lifts[lift_id].step)
    if load <= base:
        return NextTime(base, planned, "step-too-small", tonight.repeats)
    return NextTime(load, planned, rule.id, 0)


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
