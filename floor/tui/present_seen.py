"""What a proposal rests on, in one line: the faults and reps that were seen, and the numbers of its rule. Pure."""

from __future__ import annotations

from collections.abc import Sequence

from rich.cells import cell_len
from textual.content import Content

from floor.core.cues import word_after
from floor.core.gym import Grade, Gym, Lift, Severity
from floor.core.limits import cap_words
from floor.core.proposals import OF_THE_SET
from floor.core.reps import over_words
from floor.core.state import DONE, Present, Proposal, State, TheSet
from floor.core.steps import most_after
from floor.core.teaching import clean_row, shown
from floor.core.tonight import Evidence, asked_for_less, gather
from floor.core.units import show_with_unit
from floor.tui.draw.spans import shorten
from floor.tui.present import minutes

FAULTS_SAID = 2
"""So many faults of a set are named, the worst first; the rest are counted."""
TELL = "tell "
"""How the word for the lifter who has just racked the bar begins."""
ASKS = {
    Severity.NOTE: "small", Severity.FIX: "before more load", Severity.LIGHTEN: "less load now",
    Severity.END: "no more of it today",
}
"""What a severity asks for, said behind its word where there is room."""


def seen_words(state: State, present: Present, done: TheSet, proposal: Proposal, width: int) -> str:
    """The evidence of a proposal in one line of `width`, "" where the reps and the grade say it all.

    A lift that was stopped has nothing left to come: then the faults are the evidence.
    What a severity asks for is left out first, then what stands last.
    """
    found = gather(state, present.lifter, done)
    told = []
    for explained in (True, False):
        numbers = _numbers(state, present, found, proposal, explained) if found is not None else []
        over = over_words(done.reps, len(done.marks))
        parts = (fault_words(state.gym, done, explained=explained), *numbers, f"reps: {over}" if over else "")
        told.append(" · ".join(words for words in parts if words))
    whole, bare = told
    return whole if cell_len(whole) <= width else shorten(bare, width)


def tell_words(state: State, present: Present, done: TheSet, name: str) -> Content | None:
    """What whoever racked the bar should hear: "tell Mara: Knees out."; None without a fault, or once they left."""
    fault = None if present.gone else word_after(state, present.lifter, done)
    return Content.assemble((f"{TELL}{name}: ", "bold"), fault.cue) if fault is not None else None


def shown_words(state: State, present: Present, done: TheSet) -> str:
    """That a lift's last set of the evening has shown its stage; "" when it has not, or another was signed since."""
    lift = state.gym.lifts[done.lift]
    signed = state.lifters[present.lifter].stages.get(done.lift) not in (None, done.stage)
    if signed or done.role == "ramp" or done.grade in (Grade.ROUGH, Grade.BROKEN):
        return ""
    if not shown(lift, present.of_lift(done.lift), present.rows.get(lift.id)):
        return ""
    return f"stage {done.stage} shown, {_row_words(lift, present, done)}: press / then g"


def _row_words(lift: Lift, present: Present, done: TheSet) -> str:
    row = clean_row(lift, present.of_lift(lift.id), present.rows.get(lift.id))
    evenings = f" on {row.evenings} evenings" if row.evenings > 1 else ""
    sets = f"{row.sets} {'set' if row.sets == 1 else 'sets'}{evenings}"
    stage = lift.stage(done.stage)
    if stage is not None and stage.faults:
        return f"{row.reps} reps in a row, {sets}, free of its own faults"
    return f"{row.reps} clean reps in a row over {sets}"


def fault_words(gym: Gym, done: TheSet, only: Sequence[str] = (), *, explained: bool = False) -> str:
    """The faults of a set with reps and severity: "back rounding rep 2 (lighten)"; "" for none.

    `explained` says what the worst severity asks for too: "back rounding on rep 2 (lighten: less load now)".
    """
    lift = gym.lifts[done.lift]
    known = {i: f for _, i in done.faults if (f := lift.fault(i)) is not None and (not only or i in only)}
    worst = sorted(known.values(), key=lambda f: -f.severity.rank)
    said = []
    for n, fault in enumerate(worst[:FAULTS_SAID]):
        asks = f": {ASKS[fault.severity]}" if explained and not n else ""
        reps = _reps(done, fault.id)
        said.append(f"{fault.name}{' on' if explained and reps else ''}{reps} ({fault.severity}{asks})")
    more = len(worst) - FAULTS_SAID
    return ", ".join(said) + (f", {more} more" if more > 0 else "")


def _reps(done: TheSet, fault_id: str) -> str:
    reps = sorted({rep for rep, seen in done.faults if seen == fault_id and rep})
    if not reps:
        return ""
    return f" {'rep' if len(reps) == 1 else 'reps'} {', '.join(map(str, reps))}"


def _numbers(state: State, present: Present, found: Evidence, proposal: Proposal, explained: bool) -> list[str]:
    """What else the rule looked at, with its numbers."""
    unit, done, rule = state.gym.unit, found.done, proposal.rule
    lift = state.gym.lifts[done.lift]
    if rule in OF_THE_SET and found.good:
        return ["an earlier set was put right to less"]
    if rule in ("twice-step-down", "twice-lighten", "note-twice") and found.seen is not None:
        both = found.twice or found.notes
        reps = _reps(found.seen, both[0]) if len(both) == 1 else f" {fault_words(state.gym, found.seen, both)}"
        return [f"set before{':' if reps else ' too'}{reps}", _sent(lift, done, proposal, unit)]
    if rule in ("rest-first", "two-reps-short", "one-rep-short", "youth-missed") and found.rested is not None:
        return [f"rested {minutes(found.rested)} of the {minutes(found.owed)} owed"]
    if rule == "stage-shown":
        return [f"stage {done.stage}: {_row_words(lift, present, done)}"]
    if rule in ("asked-keeps", "ramp-lightens", "ramp-lightens-late"):
        return [_fallen(state.gym, present, done, explained)]
    if rule == "drill-keeps":
        marked = {f for who, what, f in state.evening.drilled if (who, what) == (present.lifter, done.lift)}
        names = [f"{f.name} ({f.severity})" for i in sorted(marked) if (f := lift.fault(i)) is not None]
        return [f"group drill: {', '.join(names)}"]
    if rule == "stage-limit" and found.limit is not None:
        return [f"stage {done.stage}: {show_with_unit(found.limit, unit)} at most"]
    if rule == "far-over" and found.known is not None:
        return [f"planned or known: {show_with_unit(found.known, unit)} at most"]
    if rule == "form-limit":
        return [cap_words(present.limits.get(done.lift), unit), f"a step is {show_with_unit(found.step, unit)}"]
    if rule == "tenth-keeps":
        tenth = show_with_unit(most_after(done.load), unit)
        return [f"a step is {show_with_unit(found.step, unit)}, a tenth up is {tenth}: can't be built"]
    if rule == "build-adds":
        before, step = show_with_unit(done.load, unit), show_with_unit(found.step, unit)
        return [f"a step is {step}, no more than a tenth of {before}"]
    if rule == "step-back-up":
        return [f"this set was held at {show_with_unit(done.load, unit)}"]
    return []


def _sent(lift: Lift, done: TheSet, proposal: Proposal, unit: str) -> str:
    """What is lifted at most at the stage a lifter is sent to, where that is why the load comes down."""
    most = lift.stage_limit(proposal.stage) if proposal.rule == "twice-step-down" else None
    return f"stage {proposal.stage}: most {show_with_unit(most, unit)}" if most is not None and most < done.load else ""


def _fallen(gym: Gym, present: Present, done: TheSet, explained: bool) -> str:
    """The earlier set of the lift that asked for less load."""
    earlier = [s for s in present.of_lift(done.lift) if s.status == DONE and s.no < done.no]
    bad = [s for s in earlier if asked_for_less(gym, s)]
    if not bad:
        return ""
    faults = fault_words(gym, bad[-1], explained=explained)
    load = show_with_unit(bad[-1].load, gym.unit)
    return f"earlier at {load}: {bad[-1].grade}" + (f", {faults}" if faults else "")
