"""What an evening came to, per lifter: what happened, what changed, what next time brings.

`summarise` gathers it as plain values, `lines` says it in words of a given
width. Before the close the next loads are a preview by the same rules that the
close will record; after it they are the recorded plans. Loads are hundredths of
the gym's unit.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from textwrap import wrap

from floor.core.apply import fold
from floor.core.apply.people import programme_proposal
from floor.core.changed import changes
from floor.core.comingday import NEW, NOT_COMING, ComingLift, coming_lift, coming_words
from floor.core.decide.closing import after_evening, by_hand_tonight, hand_stands, lifts_tonight, next_for, was_done
from floor.core.events import Event
from floor.core.gym import Grade, Gym
from floor.core.nexttime import FOUND, LEARNING, NOT_DONE, next_reason, plan_reason
from floor.core.proposals import reason
from floor.core.pulls import proposal_words
from floor.core.state import DONE, Lifter, Present, State, TheSet
from floor.core.units import show_with_unit
from floor.core.whynext import why_next


@dataclass(frozen=True, slots=True)
class Next:
    """What next time brings on a lift: the whole `load` from `was`, and why.

    `coming` is what the next session with this lift asks of it; None when no day has it.
    """

    load: int
    was: int
    why: str
    coming: ComingLift | None = None


@dataclass(frozen=True, slots=True)
class LiftCame:
    """One lifter's lift tonight. `done` and `planned` count work sets (build sets with them), not the ramp.

    `top` is the heaviest work set done, None when there was none; `grades` and
    `faults` count over every set done, the ramp's too; `made` counts the reps made of
    those `asked` in the work sets done. `changes` are ready sentences, oldest first.
    """

    lift: str
    done: int
    planned: int
    top: TheSet | None
    made: int
    asked: int
    grades: tuple[tuple[Grade, int], ...]
    faults: tuple[tuple[str, int], ...]
    changes: tuple[str, ...]
    stopped: str
    next: Next


@dataclass(frozen=True, slots=True)
class LifterCame:
    """One lifter's evening; `sets_done` of `sets_planned` count the ramp as well.

    `proposed` says what other programme is proposed from now on, and why; empty for none.
    `pain` says after what it was reported, of somebody held.
    """

    lifter: int
    gone: bool
    held: bool
    sets_done: int
    sets_planned: int
    lifts: tuple[LiftCame, ...]
    proposed: str = ""
    pain: str = ""


@dataclass(frozen=True, slots=True)
class Summary:
    """The whole evening, lifters in the order they came."""

    session: int
    came: tuple[LifterCame, ...]
    sets_done: int
    reps_made: int
    incidents: int
    late: tuple[int, ...]
    closed: bool


def summarise(state: State, events: Iterable[Event] = (), now: datetime | None = None) -> Summary:
    """The evening of `state`, open or closed; `events` are its standing events, for what changed on the way.

    With `now` what comes next is eased after time away, as checking in then would.
    """
    evening = state.evening
    tonight = tuple(e for e in events if e.session == evening.session)
    came = tuple(_lifter(state, present, tonight, now) for present in evening.here.values())
    done = [s for present in evening.here.values() for s in present.sets if s.status == DONE]
    return Summary(
        session=evening.session,
        came=came,
        sets_done=len(done),
        reps_made=sum(s.made for s in done),
        incidents=evening.incidents,
        late=tuple(sorted(evening.late)),
        closed=evening.closed is not None,
    )


def _lifter(state: State, present: Present, events: Sequence[Event], now: datetime | None) -> LifterCame:
    lifter = state.lifters[present.lifter]
    to_come = _to_come(state, present, events)
    after = fold(state, to_come).lifters[lifter.id]
    events = (*events, *(e for e in to_come if e.kind in ("step_set", "programme_proposed")))
    return LifterCame(
        lifter=present.lifter,
        gone=present.gone,
        held=lifter.held,
        pain=_pain(state, lifter, present),
        sets_done=sum(s.status == DONE for s in present.sets),
        sets_planned=len(present.sets),
        lifts=tuple(_lift(state, lifter, present, lift, events, coming_lift(state.gym, after, lift, now))
                    for lift in lifts_tonight(present)),
        proposed=_proposed(state, lifter, events),
    )


def _to_come(state: State, present: Present, events: Sequence[Event]) -> Sequence[Event]:
    """Before the close: what it would record of this lifter."""
    if state.evening.closed is not None:
        return ()
    at = events[-1].happened if events else state.evening.opened
    return after_evening(state, present, at)


def _proposed(state: State, lifter: Lifter, events: Sequence[Event]) -> str:
    """The other programme proposed for the lifter, from this evening or still waiting from one before."""
    found = [e for e in events if e.kind == "programme_proposed" and e.lifter == lifter.id]
    proposed = programme_proposal(found[-1]) if found and not lifter.proposed else lifter.proposed
    return proposal_words(state.gym, proposed) if proposed else ""


def _lift(
    state: State, lifter: Lifter, present: Present, lift: str, events: Sequence[Event], coming: ComingLift | None
) -> LiftCame:
    sets = present.of_lift(lift)
    work = [s for s in sets if s.role != "ramp"]
    done = [s for s in sets if s.status == DONE]
    worked = [s for s in work if s.status == DONE]
    known = state.gym.lifts[lift]
    graded = Counter(s.grade for s in worked if s.grade is not None)
    seen = Counter(fault for s in done for _, fault in s.faults)
    names = {i: f.name if (f := known.fault(i)) else i for i in seen}
    return LiftCame(
        lift=lift,
        done=len(worked),
        planned=len(work),
        top=max(worked, key=lambda s: (s.load, s.made, -s.no), default=None),
        made=sum(min(s.made, s.reps) for s in worked),
        asked=sum(s.reps for s in worked),
        grades=tuple((g, graded[g]) for g in Grade if graded[g]),
        faults=tuple((names[i], n) for i, n in seen.most_common()),
        changes=changes([e for e in events if e.lifter == present.lifter and e.lift == lift], state.gym),
        stopped=reason(present.stopped[lift]) if lift in present.stopped else "",
        next=_next(state, lifter, present, lift, coming),
    )


def _pain(state: State, lifter: Lifter, present: Present) -> str:
    """After what pain was reported, of somebody held: the last set before it, or an evening before this one."""
    since = lifter.held_since
    if since is None:
        return ""
    if since < state.evening.opened:
        return "pain reported on an earlier evening"
    before = [s for s in present.sets if s.down is not None and s.down <= since]
    last = max(before, key=lambda s: (s.down, s.no), default=None)
    if last is None:
        return "pain reported before the first set"
    return f"pain reported after the {state.gym.lifts[last.lift].name} at {show_with_unit(last.load, state.gym.unit)}"


def _next(state: State, lifter: Lifter, present: Present, lift: str, coming: ComingLift | None) -> Next:
    """The recorded plan once the session is closed; before that what the close would record."""
    plan = lifter.plans.get(lift)
    worked = was_done(present, lift)
    hand, closed = by_hand_tonight(state, lifter.id, lift), state.evening.closed is not None
    if hand is not None and (closed or hand_stands(state, lifter.id, lift, next_for(state, present, lift))):
        return Next(hand.load, hand.was or hand.load, plan_reason(hand), coming)
    if state.evening.closed is not None:
        if plan is None:
            return _first(state.gym, lift, worked, coming)
        rule = plan.rule if worked or (lifter.id, lift) in state.evening.begun else NOT_DONE
        was = plan.load if rule in (NOT_DONE, FOUND) else plan.was or plan.load
        return Next(plan.load, was, why_next(state, present, lift, rule, coming), coming)
    found = next_for(state, present, lift)
    if found.rule in (NOT_DONE, LEARNING) and plan is None:
        return _first(state.gym, lift, worked, coming)
    was = found.load if found.rule == FOUND else found.was
    return Next(found.load, was, why_next(state, present, lift, found.rule, coming), coming)


def _first(gym: Gym, lift: str, worked: bool, coming: ComingLift | None) -> Next:
    """A lift that nothing is planned for yet starts at its start load, where a first load is found."""
    start = gym.lifts[lift].start
    return Next(start, start, next_reason(LEARNING) if worked else NEW, coming)


# --- in words


def lines(summary: Summary, gym: Gym, names: Mapping[int, str], width: int) -> list[str]:
    """The summary in lines of at most `width` letters: a head, a block a lifter, the gym's cautions."""
    said = [*_wrapped(_head(summary, names), "", width)]
    for lifter in summary.came:
        said.append("")
        said += lifter_lines(lifter, gym, names, width)
    cautions = [line for caution in gym.settings.cautions for line in _wrapped(f"! {caution}", "", width)]
    return [*said, "", *cautions] if cautions else said


def _head(summary: Summary, names: Mapping[int, str]) -> str:
    parts = [
        counted(len(summary.came), "lifter"),
        counted(summary.sets_done, "set") + " done",
        counted(summary.reps_made, "rep") + " made",
        counted(summary.incidents, "incident note"),
    ]
    held = [names.get(came.lifter, f"lifter {came.lifter}") for came in summary.came if came.held]
    if held:
        parts.append(f"held until cleared: {', '.join(held)}")
    if summary.late:
        parts.append("expected and not here: " + ", ".join(names.get(i, f"lifter {i}") for i in summary.late))
    return " · ".join(parts)


def lifter_lines(lifter: LifterCame, gym: Gym, names: Mapping[int, str], width: int) -> list[str]:
    """One lifter's block: the name, then for each lift what happened, what changed, what is next."""
    head = [f"{lifter.sets_done} of {counted(lifter.sets_planned, 'set')} done"] if lifter.sets_planned else []
    if lifter.held:
        head.append(f"held: {lifter.pain}, every lift waits for a clearance")
    elif not lifter.sets_planned:
        head.append("no lifts tonight")
    if lifter.gone:
        head.append("left early" if lifter.sets_done < lifter.sets_planned else "left")
    said = _wrapped(f"{names.get(lifter.lifter, f'lifter {lifter.lifter}')}  {' · '.join(head)}", "", width)
    for lift in lifter.lifts:
        said += lift_lines(lift, gym, width)
    if lifter.proposed:
        said += _wrapped(f"proposed: {lifter.proposed}", "  ", width)
    return said


def lift_lines(came: LiftCame, gym: Gym, width: int) -> list[str]:
    """One lift: the facts, the changes, the next time."""
    first = f"{gym.lifts[came.lift].name}: {happened(came, gym)}"
    coming = f"next: {next_words(came.next, gym)}"
    if not came.changes and len(first) + len(coming) + 5 <= width:
        return [f"  {first} · {coming}"]
    said = _wrapped(first, "  ", width)
    if came.changes:
        said += _wrapped("changed: " + " · ".join(came.changes), "    ", width)
    if len(coming) + 4 <= width:
        return [*said, f"    {coming}"]
    return [*said, *_wrapped(f"next: {asked_next(came.next, gym)}", "    ", width),
            *_wrapped(f"why: {_why(came.next)}", "    ", width)]


def happened(came: LiftCame, gym: Gym) -> str:
    """What was done on one lift, in one phrase."""
    if came.top is None:
        parts = [f"none of {counted(came.planned, 'work set')} done"]
    else:
        top = f"top {show_with_unit(came.top.load, gym.unit)} × {came.top.made}"
        done = f"{came.done} of {counted(came.planned, 'work set')}"
        parts = [done, f"{came.made} of {counted(came.asked, 'rep')}", top]
    parts += [f"{grade} {n}" for grade, n in came.grades]
    parts += [name if n == 1 else f"{name} {n}×" for name, n in came.faults]
    if came.stopped:
        parts.append("stopped")
    return " · ".join(parts)


def next_words(coming: Next, gym: Gym) -> str:
    """What the next session with the lift asks for, and why."""
    return f"{asked_next(coming, gym)}: {_why(coming)}"


def _why(coming: Next) -> str:
    return coming.why if coming.coming is not None else NOT_COMING


def asked_next(coming: Next, gym: Gym) -> str:
    """What the next session with the lift asks for."""
    if coming.coming is None:
        return f"{show_with_unit(coming.load, gym.unit)} stays planned"
    return coming_words(coming.coming, gym, coming.was)


def counted(n: int, word: str) -> str:
    """A number with its word: "1 set", "2 sets"."""
    return f"{n} {word}" if n == 1 else f"{n} {word}s"


def _wrapped(text: str, indent: str, width: int) -> list[str]:
    """Lines of at most `width`, the next ones set in; a dot between two facts stays with the first, a count with it."""
    kept = re.sub(r" (?=\d+( ·|$))", "\N{NO-BREAK SPACE}", text).replace(" · ", "\N{NO-BREAK SPACE}· ")
    lines = wrap(kept, max(width, 20), initial_indent=indent, subsequent_indent=indent + "  ", break_on_hyphens=False)
    return [line.replace("\N{NO-BREAK SPACE}", " ") for line in lines] or [""]
