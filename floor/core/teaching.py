"""The teaching order: when a stage has been shown, what sends a lifter back, the walk from the top."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Protocol

from floor.core.gym import Grade, Lift, Severity, Stage
from floor.core.state import DONE, CleanRow, TheSet

WALK_ROLE = "ramp"
"""A walk through the stages is a ramp set without a stage of its own."""

SIGNED = "signed"
"""The rule of a stage that the coach set, told from one that the close writes down."""


class _Set(Protocol):
    """A set, planned or done."""

    @property
    def role(self) -> str: ...
    @property
    def stage(self) -> int | None: ...


def is_walk(lift: Lift, the_set: _Set) -> bool:
    """Whether the set walks the stages from the top: one rep of each, none to be shown in particular."""
    return lift.walk and bool(lift.stages) and the_set.role == WALK_ROLE and the_set.stage is None


def role_of(lift: Lift, the_set: _Set) -> str:
    """The set's role as it is told: a walk is no plain ramp set."""
    return "walk" if is_walk(lift, the_set) else the_set.role


def walk_reps(lift: Lift, stage: int | None) -> int:
    """The reps of the walk before a lifter's own stage: one for every stage above it; 0 when there is none."""
    return max(0, (stage or 1) - 1) if lift.walk else 0


def walk_load(lift: Lift, work: int) -> int:
    """The load of the walk: what the first stage allows at most, and never more than the work load."""
    limit = lift.stages[0].most if lift.stages else None
    return min(work, limit if limit is not None else min((lift.start, *lift.ramp)))


def shown(lift: Lift, sets: Iterable[TheSet], earlier: CleanRow | None = None) -> bool:
    """Whether tonight's watched sets show what the stage of the last of them asks to be left.

    `earlier` is the row that the evenings before ended with, where the stage asks for
    more than one evening, or for more than an evening of the lifter's holds: tonight
    goes on from it, if nothing broke the row tonight. The coach signs by what was
    seen tonight, so tonight has to hold some of it.
    """
    done = tuple(sets)
    stage, row = _stage_of(lift, done), clean_row(lift, done, earlier)
    if stage is None or not stage.clean_reps or stage.no == lift.stages[-1].no:
        return False
    enough = row.reps >= stage.clean_reps and row.sets >= stage.over_sets
    return enough and row.evenings >= stage.evenings


def clean_row(lift: Lift, sets: Iterable[TheSet], earlier: CleanRow | None = None) -> CleanRow:
    """The reps in a row that were clean at the stage of the last watched set, and over how many sets and evenings.

    Counted back from the last rep: so many reps in a row without one of the
    stage's own faults, over at least so many sets. Ramp sets and sets nobody
    watched say nothing; a missed rep, a broken set, a fault that asks for less
    load, or a rough set that no foreign fault explains ends the row. A row that
    nothing ended goes on from the `earlier` one of the same stage.
    """
    done_sets = tuple(sets)
    stage = _stage_of(lift, done_sets)
    if stage is None:
        return CleanRow(0)
    reps = over = 0
    whole = True
    for done in _latest_watched(done_sets):
        clean = _row(lift, stage, done) if done.stage == stage.no else 0
        reps += clean
        over += clean > 0
        whole = clean == len(done.marks)
        if not whole:
            break
    row = CleanRow(stage.no, reps, over, int(reps > 0))
    goes_on = whole and reps and earlier is not None and earlier.stage == stage.no
    return row.after(earlier) if earlier is not None and goes_on else row


def _latest_watched(sets: Iterable[TheSet]) -> list[TheSet]:
    """The watched work sets, the latest first."""
    watched = [s for s in sets if s.status == DONE and s.role != "ramp" and s.grade not in (None, Grade.UNSEEN)]
    return sorted(watched, key=lambda s: (s.down is not None, s.down, s.no), reverse=True)


def _stage_of(lift: Lift, sets: Iterable[TheSet]) -> Stage | None:
    """The stage of the latest watched set, None without one."""
    latest = _latest_watched(sets)
    return lift.stage(latest[0].stage) if latest else None


def _row(lift: Lift, stage: Stage, done: TheSet) -> int:
    """The reps at the end of a set that were made without one of the stage's own faults."""
    seen = {fault_id: lift.fault(fault_id) for _, fault_id in done.faults}
    known = [fault for fault in seen.values() if fault is not None]
    if done.grade is Grade.BROKEN or any(f.severity.rank >= Severity.LIGHTEN.rank for f in known):
        return 0
    foreign = any(f.severity is Severity.FIX and not _own(stage, f.id) for f in known)
    if done.grade is Grade.ROUGH and not foreign:
        return 0
    own = [rep for rep, fault_id in done.faults if _own(stage, fault_id)]
    if 0 in own:
        return 0
    row = 0
    for rep in range(len(done.marks), 0, -1):
        if rep in own or not done.marks[rep - 1]:
            break
        row += 1
    return row


def _own(stage: Stage, fault_id: str) -> bool:
    return not stage.faults or fault_id in stage.faults


def sent_to(lift: Lift, stage_no: int | None, twice: Sequence[str]) -> int | None:
    """The stage that faults seen two sets running send a lifter back to: the earliest; None when they send nowhere."""
    stage = lift.stage(stage_no)
    if stage is None or not twice:
        return None
    if stage.back is None:
        return stage.no - 1 if 1 < stage.no < len(lift.stages) else None
    return min((to for fault_id, to in stage.back if fault_id in twice), default=None)
