"""Commands that make the record whole: ramps done alone, sets seen late, loads by hand."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, timedelta
from math import ceil

from floor.core.apply import fold
from floor.core.commands import ChangeLoad, RampDone, RecordWhole, Refusal
from floor.core.decide.lifting import good, graded, latest_done, proposal_events
from floor.core.decide.refusing import held, not_here, strange_faults, strange_load, strange_reps
from floor.core.decide.table import Events, Table
from floor.core.events import Event
from floor.core.jumps import far
from floor.core.loading import buildable, loading
from floor.core.state import DONE, DROPPED, PLANNED, RUNNING, Present, State, TheSet
from floor.core.units import show_with_unit

FAR_OFF = 500
"""A typed load that can only be built so much lighter (hundredths) is refused, not quietly changed."""

LONGEST_AGO = 12 * 3600
"""A set was put down so many seconds ago at the most: longer ago is another evening. No source."""


def _ramp_events(state: State, lifter: int, lift: str, now: datetime, seconds: int = 0) -> Events:
    """The ramp of a lift done `seconds` ago at the latest: never after the work set recorded with it."""
    present = state.evening.here[lifter]
    return (
        Event(
            kind="ramp_done", happened=now, session=state.evening.session, lifter=lifter, lift=lift,
            station=present.station, seconds=seconds,
        ),
    )


def ramp_done(state: State, command: RampDone, now: datetime) -> Events | Refusal:
    refused = not_here(state, command.lifter) or held(state, command.lifter)
    if refused:
        return refused
    present = state.evening.here[command.lifter]
    if present.running() is not None:
        return Refusal("{lifter} is lifting: end that set first.", command.lifter)
    coming = present.pending()
    if coming is None or coming.role != "ramp":
        return Refusal("{lifter} has no ramp set left on this lift.", command.lifter)
    events = _ramp_events(state, command.lifter, coming.lift, now)
    seen = latest_done(state, command.lifter, coming.lift)
    if seen is None or not (graded(seen) or seen.faults) or good(state, command.lifter, seen):
        return events
    # Nobody watched the rest of the ramp: what was seen before it still holds the load.
    return (*events, *proposal_events(fold(state, events), command.lifter, seen.no, now, events[0].station))


def record_whole(state: State, command: RecordWhole, now: datetime) -> Events | Refusal:
    if not state.open or command.lifter not in state.evening.here:
        return Refusal("{lifter} did not come tonight.", command.lifter)
    present = state.evening.here[command.lifter]
    done = present.set(command.set_no)
    if done is None or done.status == DONE:
        return Refusal("That set is recorded already: put it right instead.")
    stop = stop_after(present, done)
    if done.status == DROPPED and stop is None:
        return Refusal("That set was taken off tonight.")
    if present.running() is not None:
        return Refusal("{lifter} is lifting: end that set first.", command.lifter)
    bad = strange_reps(done, command.made, command.missed)
    bad = bad or strange_faults(state, done, command.faults, command.made + command.missed)
    bad = bad or strange_load(state, command.load)
    if bad:
        return bad
    if not 0 <= command.seconds <= LONGEST_AGO:
        return Refusal("Say how many seconds ago the bar was down: 0 or more, and no more than twelve hours.")
    ends = [at for at in (state.lifters[command.lifter].held_since, stop) if at is not None]
    late = min((at for at in ends if now - timedelta(seconds=command.seconds) > at), default=None)
    asked = None if command.sure else _asked_late(state, command, done, late)
    if asked:
        return asked
    if late is not None:
        command = replace(command, seconds=ceil((now - late).total_seconds()))
    before: Events = ()
    if done.role != "ramp" and any(
        s.status == PLANNED and s.role == "ramp" for s in present.of_lift(done.lift) if s.no < done.no
    ):
        before = _ramp_events(state, command.lifter, done.lift, now, command.seconds)
    on = loading(state, present.station, done, command.lifter)
    by_hand = command.load is not None and command.load != on.load
    unknown = by_hand or _lifted_since(state, present.station, now - timedelta(seconds=command.seconds))
    recorded = Event(
        kind="set_recorded", happened=now, session=state.evening.session, station=present.station,
        lifter=command.lifter, lift=done.lift, set_no=done.no, role=done.role, reps=command.made,
        missed=command.missed, load=command.load if command.load is not None else on.load, grade=command.grade,
        seconds=command.seconds, bar=None if unknown else on.bar, stack=None if unknown else on.stack,
        was=done.load if by_hand else None,
    )
    faults = tuple(
        Event(
            kind="fault_seen", happened=now, session=state.evening.session, station=present.station,
            lifter=command.lifter, lift=done.lift, set_no=done.no, rep=rep, load=recorded.load, fault=fault,
        )
        for rep, fault in command.faults
    )
    events = (*before, recorded, *faults)
    after = fold(state, events)
    return (*events, *proposal_events(after, command.lifter, done.no, now, present.station))


def stop_after(present: Present, done: TheSet) -> datetime | None:
    """When the set was put down that a stop of the lift came with, for a set planned before it; None for any other."""
    later = [s for s in present.of_lift(done.lift) if s.status == DONE and s.no > done.no and s.down is not None]
    if done.status != DROPPED or done.trimmed or not later:
        return None
    return max(s.down for s in later if s.down is not None)


def _asked_late(state: State, command: RecordWhole, done: TheSet, late: datetime | None) -> Refusal | None:
    """What is asked before a set is recorded: a load far off, or a time after pain or a stop held the lifter."""
    jump = far(state, command.lifter, done.lift, command.load, done.load) if command.load is not None else None
    if late is None:
        return jump
    held_since = state.lifters[command.lifter].held_since
    stop = f"{{lifter}}: the {state.gym.lifts[done.lift].name} was stopped at {{at}}."
    since = "{lifter} is held for pain since {at}." if late == held_since else stop
    why = f"{since} Was this set done before?"
    if jump is not None:
        why = f"{jump.why.removesuffix(' Are you sure?')} {why}"
    return Refusal(why, command.lifter, unless_sure=True, at=late)


def _lifted_since(state: State, station: int, down: datetime) -> bool:
    """Whether a set was running or done at a station after that moment: its bar is then another's."""
    sets = [s for p in state.evening.here.values() for s in p.sets if s.station == station]
    return any(s.status == RUNNING or (s.down is not None and s.down > down) for s in sets)


def change_load(state: State, command: ChangeLoad, now: datetime) -> Events | Refusal:
    refused = not_here(state, command.lifter) or held(state, command.lifter)
    if refused:
        return refused
    present = state.evening.here[command.lifter]
    if present.running() is not None:
        return Refusal("{lifter} is lifting: end the set, then put its load right.", command.lifter)
    coming = present.pending()
    if coming is None:
        return Refusal("{lifter} has no set left tonight.", command.lifter)
    bad = strange_load(state, command.load)
    if bad:
        return bad
    load = buildable(state.gym, coming.lift, command.load)
    if not 0 <= command.load - load <= FAR_OFF:
        unit = state.gym.unit
        near = f"the {'lightest' if load > command.load else 'nearest below'} is {show_with_unit(load, unit)}"
        return Refusal(f"{show_with_unit(command.load, unit)} can't be built here; {near}.")
    if load == coming.load:
        return Refusal("That is the load already.")
    jump = None if command.sure else far(state, command.lifter, coming.lift, load, coming.load)
    if jump:
        return jump
    return (
        Event(
            kind="load_changed", happened=now, session=state.evening.session, station=present.station,
            lifter=command.lifter, lift=coming.lift, set_no=coming.no, load=load, was=coming.load, rule="by-hand",
        ),
    )


DECIDE: Table = {
    RampDone: ramp_done,
    RecordWhole: record_whole,
    ChangeLoad: change_load,
}
