"""A recorded set put right, and the evening's proposals asked anew from the corrected record."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from datetime import datetime

from floor.core.apply import fold
from floor.core.apply.evening import with_evening, with_present
from floor.core.commands import PutRight, Refusal
from floor.core.decide.lifting import latest_done, proposal_events
from floor.core.decide.refusing import strange_faults, strange_load, strange_reps
from floor.core.decide.table import Events, Table
from floor.core.events import Event
from floor.core.jumps import far
from floor.core.proposals import STEP_DOWN, STOP, rule_for
from floor.core.state import DONE, DROPPED, PLANNED, State, TheSet
from floor.core.tonight import gather


def put_right(state: State, command: PutRight, now: datetime) -> Events | Refusal:
    if not state.open or command.lifter not in state.evening.here:
        return Refusal("{lifter} did not come tonight.", command.lifter)
    present = state.evening.here[command.lifter]
    done = present.set(command.set_no)
    if done is None or done.status != DONE:
        return Refusal("Only a set that is recorded can be put right.")
    for seen in command.withdraw:
        if command.withdraw.count(seen) > done.faults.count(seen):
            return Refusal("That fault is not marked on that rep.")
    made = done.made if command.made is None else command.made
    missed = done.missed if command.missed is None else command.missed
    bad = None if (made, missed) == (done.made, done.missed) else strange_reps(done, made, missed)
    bad = bad or strange_faults(state, done, command.add, made + missed) or strange_load(state, command.load)
    if bad is None and not command.sure and command.load not in (None, done.load):
        planned = done.load if done.planned is None else done.planned
        bad = far(state, command.lifter, done.lift, command.load or 0, planned)
    if bad:
        return bad
    events = list(_corrected(state, command, done, made, missed, now))
    if not events:
        return Refusal("Nothing was changed.")
    after = fold(state, events)
    speaks = _speaks(state, after, command.lifter, done)
    if speaks is not None:
        events += _anew(after, command.lifter, done.lift, speaks, now)
        after = fold(state, events)
    events += _held_down(state, after, command.lifter, done.lift, speaks, now)
    return tuple(events)


def _corrected(
    state: State, command: PutRight, done: TheSet, made: int, missed: int, now: datetime
) -> Iterable[Event]:
    """The events of the correction itself: a fault on a rep that is no more was seen somewhere in the set."""
    session, station = state.evening.session, done.station
    new = (made, missed, command.load or done.load, command.grade or done.grade)
    if new != (done.made, done.missed, done.load, done.grade):
        yield Event(
            kind="set_put_right", happened=now, session=session, station=station, lifter=command.lifter,
            lift=done.lift, set_no=done.no, reps=made, missed=missed, load=new[2], was=done.load, grade=new[3],
        )
    lost = [(rep, fault) for rep, fault in done.faults if rep > made + missed and (rep, fault) not in command.withdraw]
    stay = {(rep, fault) for rep, fault in done.faults if (rep, fault) not in command.withdraw} | set(command.add)
    moved = sorted({(0, fault) for _, fault in lost} - stay)
    for kind, faults in (("fault_withdrawn", (*command.withdraw, *lost)), ("fault_seen", (*command.add, *moved))):
        for rep, fault in faults:
            yield Event(
                kind=kind, happened=now, session=session, station=station, lifter=command.lifter, lift=done.lift,
                set_no=done.no, rep=rep, load=new[2], fault=fault,
            )


def _anew(after: State, lifter: int, lift: str, speaks: int, now: datetime) -> Events:
    """What the rules say of the set that speaks, asked as if they had not yet; a correction alone adds nothing.

    An overruling by the coach stands while the same rule speaks.
    """
    again = _reopened(after, lifter, lift)
    done = again.evening.here[lifter].set(speaks)
    station = done.station if done is not None else None
    proposed = proposal_events(again, lifter, speaks, now, station)
    most = max(_coming(after, lifter, lift), _coming(again, lifter, lift))
    if any((event.load or 0) > most for event in proposed):
        proposed = proposal_events(again, lifter, speaks, now, station, adds=False)
    return tuple(event for event in proposed if not _stands(after, event))


def _coming(state: State, lifter: int, lift: str) -> int:
    """The load of the lift's next planned set, 0 without one."""
    return next((s.load for s in state.evening.here[lifter].of_lift(lift) if s.status == PLANNED), 0)


def _held_down(
    state: State, after: State, lifter: int, lift: str, spoken: int | None, now: datetime
) -> Events:
    """What holds down the sets left of a lift, after an earlier set was put right to worse.

    Every set done speaks again for which the corrected record asks for less than the
    record did, but for the one that has `spoken`; the one that asks for least is heard.
    """
    standing = _coming(after, lifter, lift)
    found: list[Event] = []
    for done in after.evening.here[lifter].of_lift(lift):
        asked = _asked(after, lifter, done, now) if done.no != spoken else None
        if asked is None:
            continue
        before = _asked(state, lifter, state.evening.here[lifter].set(done.no), now)
        lighter = (asked.load or 0) < min(standing, (before.load if before else None) or standing)
        down = asked.action == STEP_DOWN and (before is None or before.action != STEP_DOWN)
        if lighter or down:
            found.append(asked)
    return (min(found, key=lambda event: event.load or 0),) if found else ()


def _asked(state: State, lifter: int, done: TheSet | None, now: datetime) -> Event | None:
    """What the rules ask for after a set of the evening, whatever has been proposed since; None for nothing.

    Before the work sets the last ramp set speaks for the whole ramp.
    """
    if done is None or done.status != DONE:
        return None
    last = latest_done(state, lifter, done.lift)
    if done.role == "ramp" and last is not None and last.role == "ramp" and last.no != done.no:
        return None
    key = (lifter, done.lift)
    fresh = with_evening(state, proposals={k: p for k, p in state.evening.proposals.items() if k != key})
    return next(iter(proposal_events(fresh, lifter, done.no, now, done.station)), None)


def _stands(state: State, again: Event) -> bool:
    """Whether the rules say again what the coach has overruled already: then the overruling stands."""
    standing = state.evening.proposals.get((again.lifter or 0, again.lift or ""))
    if standing is None or standing.overruled is None:
        return False
    return (standing.rule, standing.set_no) == (again.rule, again.set_no)


def _speaks(state: State, after: State, lifter: int, done: TheSet) -> int | None:
    """The set the rules are asked about again after `done` was put right, or None.

    A set that now stops the lift speaks, however long ago it was. A stop stays
    while any set stands that makes it. Otherwise the last set of the lift
    speaks, if it is the one put right or a stop has lost its reason.
    """
    was, now = _reopened(state, lifter, done.lift), _reopened(after, lifter, done.lift)
    stopped = done.lift in state.evening.here[lifter].stopped
    if _stops(now, lifter, done.no) and not _stops(was, lifter, done.no):
        return done.no
    sets = now.evening.here[lifter].of_lift(done.lift)
    if stopped and any(s.status == DONE and _stops(now, lifter, s.no) for s in sets):
        return None
    last = latest_done(now, lifter, done.lift)
    return last.no if last is not None and (stopped or last.no == done.no) else None


def _stops(state: State, lifter: int, set_no: int) -> bool:
    """Whether the rules, asked about that set, stop the lift."""
    done = state.evening.here[lifter].set(set_no)
    evidence = gather(state, lifter, done) if done else None
    return evidence is not None and rule_for(evidence).action == STOP


def _reopened(state: State, lifter: int, lift: str) -> State:
    """The state as the rules should see it again: what the standing proposal did to the coming sets is taken back.

    Sets that a stop dropped are planned again. A load the coach has changed by
    hand since, or by overruling, stays.
    """
    present = state.evening.here[lifter]
    proposal = state.evening.proposals.get((lifter, lift))
    sets = []
    left = proposal.count if proposal else 0
    for s in present.sets:
        if s.lift == lift and s.status == DROPPED and not s.trimmed:
            s = replace(s, status=PLANNED)
        if proposal and s.lift == lift and s.status == PLANNED and s.no >= proposal.set_no and left:
            at = proposal.count - left
            left -= 1
            if proposal.overruled is None and s.load == proposal.load and at < len(proposal.before):
                s = replace(s, load=proposal.before[at])
        sets.append(s)
    return with_present(state, lifter, sets=tuple(sets))


DECIDE: Table = {PutRight: put_right}
