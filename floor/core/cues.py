"""One cue at a time: which fault is worth the word, and how long it is kept. Common practice, no source."""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Mapping, Sequence

from floor.core.gym import Fault, Grade, Lift, Severity
from floor.core.state import DONE, Present, State, TheSet

LET_GO = 2
"""After so many watched sets running without it, a fault needs no word any more. Common practice, no source."""


def worth(lift: Lift, counts: Mapping[str, int]) -> Fault | None:
    """The fault to fix first: unsafe ones before others, then the earliest in the movement, then the most frequent.

    A note waits until nothing is there to fix.
    """
    known = [(fault, n) for fault_id, n in counts.items() if (fault := lift.fault(fault_id)) is not None]
    return min(known, key=lambda pair: _order(lift, *pair), default=(None, 0))[0]


def _order(lift: Lift, fault: Fault, n: int) -> tuple[int, int, int, int]:
    kind = {Severity.END: 0, Severity.LIGHTEN: 0, Severity.FIX: 1, Severity.NOTE: 2}[fault.severity]
    return kind, lift.phase_rank(fault), -n, lift.faults.index(fault)


def cue(state: State, lifter: int, lift_id: str) -> Fault | None:
    """The fault this lifter works on in a lift, from this evening or an earlier one; None when there is none."""
    whose = state.lifters.get(lifter)
    lift = state.gym.lifts.get(lift_id)
    return lift.fault(whose.cues.get(lift_id, "")) if whose and lift else None


def word_after(state: State, lifter: int, done: TheSet) -> Fault | None:
    """The fault whose cue a lifter hears after a set: the one worked on from here, where that set showed a fault."""
    return cue(state, lifter, done.lift) if done.faults else None


def cue_now(
    state: State, lifter: int, lift_id: str, in_drill: str = "", withdrawn: Collection[str] = ()
) -> str | None:
    """The fault id to work on from here on: from the last watched set, the fault marked in a drill, and the old cue.

    The old cue goes at once when its fault was `withdrawn` and stands nowhere else tonight.
    """
    present, lift = state.evening.here[lifter], state.gym.lifts[lift_id]
    watched = _watched(present, lift_id)
    counts: Counter[str] = Counter(_reps(watched[-1]) if watched and not in_drill else {})
    if in_drill:
        counts[in_drill] += 1
    old = state.lifters[lifter].cues.get(lift_id)
    drilled = [fault for who, where, fault in state.evening.drilled if (who, where) == (lifter, lift_id)]
    standing = [*(fault for s in watched for fault in _reps(s)), *drilled]
    gone = old in withdrawn and old not in standing
    if old is not None and old not in counts and not gone and not _let_go(watched, old):
        counts[old] = 0
    found = worth(lift, counts)
    return found.id if found is not None else None


def _watched(present: Present, lift_id: str) -> list[TheSet]:
    """Tonight's watched sets of a lift, in the order they were done."""
    sets = [s for s in present.of_lift(lift_id) if s.status == DONE and s.grade not in (None, Grade.UNSEEN)]
    return sorted(sets, key=lambda s: (s.down is not None, s.down, s.no))


def _reps(done: TheSet) -> dict[str, int]:
    """How many reps of the set each fault was seen in."""
    return {fault_id: len({r for r, f in done.faults if f == fault_id}) for _, fault_id in done.faults}


def _let_go(watched: Sequence[TheSet], fault_id: str) -> bool:
    last = watched[-LET_GO:]
    return len(last) == LET_GO and not any(fault_id in _reps(s) for s in last)
