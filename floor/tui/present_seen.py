"""What a proposal rests on, in one line: the faults and reps that were seen, and the numbers of its rule. Pure."""

from __future__ import annotations

from collections.abc import Sequence

from floor.core.gym import Gym, Lift
from floor.core.limits import cap_words
from floor.core.state import DONE, Present, Proposal, State, TheSet
from floor.core.steps import most_after
from floor.core.teaching import clean_row, shown
from floor.core.tonight import Evidence, fell_apart, gather
from floor.core.units import show_with_unit
from floor.tui.present import minutes

FAULTS_SAID = 2
"""So many faults of a set are named, the worst first; the rest are counted."""


def seen_words(state: State, present: Present, done: TheSet, proposal: Proposal) -> str:
    """The evidence of a proposal in one line, "" where the reps and the grade say it all.

    A lift that was stopped has nothing left to come: then the faults are the evidence.
    """
    found = gather(state, present.lifter, done)
    if found is None:
        return fault_words(state.gym, done)
    numbers = _numbers(state, present, found, proposal)
    return " · ".join(words for words in (fault_words(state.gym, done), *numbers) if words)


def shown_words(state: State, present: Present, done: TheSet) -> str:
    """That a lift's last set of the evening has shown its stage; "" when it has not, or another was signed since."""
    lift = state.gym.lifts[done.lift]
    signed = state.lifters[present.lifter].stages.get(done.lift) not in (None, done.stage)
    if done.role == "ramp" or signed or not shown(lift, present.of_lift(done.lift)):
        return ""
    return f"stage {done.stage} shown, {_row_words(lift, present)}: / g signs it off"


def _row_words(lift: Lift, present: Present) -> str:
    reps, over = clean_row(lift, present.of_lift(lift.id))
    return f"{reps} clean reps in a row over {over} {'set' if over == 1 else 'sets'}"


def fault_words(gym: Gym, done: TheSet, only: Sequence[str] = ()) -> str:
    """The faults of a set with severity and reps: "back rounding (lighten) rep 2"; "" for none."""
    lift = gym.lifts[done.lift]
    known = {i: f for _, i in done.faults if (f := lift.fault(i)) is not None and (not only or i in only)}
    worst = sorted(known.values(), key=lambda f: -f.severity.rank)
    said = [f"{f.name} ({f.severity}){_reps(done, f.id)}" for f in worst[:FAULTS_SAID]]
    more = len(worst) - FAULTS_SAID
    return ", ".join(said) + (f", {more} more" if more > 0 else "")


def _reps(done: TheSet, fault_id: str) -> str:
    reps = sorted({rep for rep, seen in done.faults if seen == fault_id and rep})
    if not reps:
        return ""
    return f" {'rep' if len(reps) == 1 else 'reps'} {', '.join(map(str, reps))}"


def _numbers(state: State, present: Present, found: Evidence, proposal: Proposal) -> list[str]:
    """What else the rule looked at, with its numbers."""
    unit, done, rule = state.gym.unit, found.done, proposal.rule
    lift = state.gym.lifts[done.lift]
    if rule in ("twice-step-down", "twice-lighten", "note-twice") and found.before is not None:
        both = found.twice or found.notes
        reps = _reps(found.before, both[0]) if len(both) == 1 else f" {fault_words(state.gym, found.before, both)}"
        return [f"set before too{':' if reps else ''}{reps}", _sent(lift, done, proposal, unit)]
    if rule == "rest-first" and found.rested is not None:
        return [f"rested {minutes(found.rested)} of {minutes(found.owed)}"]
    if rule == "stage-shown":
        return [f"stage {done.stage}: {_row_words(lift, present)}"]
    if rule == "fell-keeps":
        return [_fallen(state.gym, present, done)]
    if rule == "drill-keeps":
        marked = {f for who, what, f in state.evening.drilled if (who, what) == (present.lifter, done.lift)}
        names = [f"{f.name} ({f.severity})" for i in sorted(marked) if (f := lift.fault(i)) is not None]
        return [f"group drill: {', '.join(names)}"]
    if rule == "stage-limit" and found.limit is not None:
        return [f"stage {done.stage}: {show_with_unit(found.limit, unit)} at most"]
    if rule == "form-limit":
        return [cap_words(present.limits.get(done.lift), unit), f"a step is {show_with_unit(found.step, unit)}"]
    if rule == "tenth-keeps":
        tenth = show_with_unit(most_after(done.load), unit)
        return [f"step {show_with_unit(found.step, unit)}, a tenth up is {tenth}: can't be built"]
    if rule == "build-adds":
        return [f"from {show_with_unit(done.load, unit)}, step {show_with_unit(found.step, unit)}, a tenth at most"]
    if rule == "step-back-up":
        return [f"this set was held at {show_with_unit(done.load, unit)}"]
    return []


def _sent(lift: Lift, done: TheSet, proposal: Proposal, unit: str) -> str:
    """What is lifted at most at the stage a lifter is sent to, where that is why the load comes down."""
    most = lift.stage_limit(proposal.stage) if proposal.rule == "twice-step-down" else None
    return f"most {show_with_unit(most, unit)}" if most is not None and most < done.load else ""


def _fallen(gym: Gym, present: Present, done: TheSet) -> str:
    """The earlier set of the lift whose form fell apart."""
    earlier = [s for s in present.of_lift(done.lift) if s.status == DONE and s.no < done.no]
    bad = [s for s in earlier if fell_apart(gym, s)]
    if not bad:
        return ""
    faults = fault_words(gym, bad[-1])
    load = show_with_unit(bad[-1].load, gym.unit)
    return f"earlier at {load}: {bad[-1].grade}" + (f", {faults}" if faults else "")
