"""Commands that put the record right: sets seen late, corrections, overrulings, loads by hand."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, timedelta
from math import ceil

from floor.core.apply import fold
from floor.core.apply.evening import with_present
from floor.core.commands import ChangeLoad, Overrule, PutRight, RampDone, RecordWhole, Refusal
from floor.core.decide.lifting import good, graded, latest_done, proposal_events
from floor.core.decide.refusing import held, not_here, strange_reps
from floor.core.decide.table import Events, Table
from floor.core.events import Event
from floor.core.jumps import far_tonight
from floor.core.loading import buildable, loading
from floor.core.proposals import ADD, KEEP, LIGHTEN, STEP_UP, STOP, rule_for
from floor.core.state import DONE, DROPPED, PLANNED, RUNNING, State, TheSet
from floor.core.steps import step_of
from floor.core.tonight import gather
from floor.core.units import show_with_unit

FAR_OFF = 500
"""A typed load that can only be built so much lighter (hundredths) is refused, not quietly changed."""


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
    if done.status == DROPPED:
        return Refusal("That set was taken off tonight.")
    if present.running() is not None:
        return Refusal("{lifter} is lifting: end that set first.", command.lifter)
    bad = strange_reps(done, command.made, command.missed)
    bad = bad or _strange_faults(state, done, command.faults, command.made + command.missed)
    bad = bad or _strange_load(state, command.load)
    if bad:
        return bad
    if command.seconds < 0:
        return Refusal("Say how many seconds ago the bar was down: 0 or more.")
    since = state.lifters[command.lifter].held_since
    if since is not None and now - timedelta(seconds=command.seconds) > since:
        if not command.sure:
            why = "{lifter} is held for pain since {at}. Was this set done before?"
            return Refusal(why, command.lifter, unless_sure=True, at=since)
        command = replace(command, seconds=ceil((now - since).total_seconds()))
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


def _lifted_since(state: State, station: int, down: datetime) -> bool:
    """Whether a set was running or done at a station after that moment: its bar is then another's."""
    sets = [s for p in state.evening.here.values() for s in p.sets if s.station == station]
    return any(s.status == RUNNING or (s.down is not None and s.down > down) for s in sets)


def _strange_load(state: State, load: int | None) -> Refusal | None:
    if load is not None and load < min(bar.mass for bar in state.gym.bars):
        return Refusal("That is lighter than the lightest bar in the gym.")
    return None


def _strange_faults(
    state: State, done: TheSet, faults: tuple[tuple[int, str], ...], reps: int
) -> Refusal | None:
    lift = state.gym.lifts[done.lift]
    for rep, fault in faults:
        if lift.fault(fault) is None:
            return Refusal(f"The {lift.name} has no fault called {fault}.")
        if not 0 <= rep <= reps:
            return Refusal(f"There is no rep {rep} in that set: it has {reps}.")
        if faults.count((rep, fault)) > 1 or (rep, fault) in done.faults:
            return Refusal("That fault is marked on that rep already.")
    return None


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
    bad = bad or _strange_faults(state, done, command.add, made + missed) or _strange_load(state, command.load)
    if bad:
        return bad
    session, station = state.evening.session, done.station
    events: list[Event] = []
    new = (made, missed, command.load or done.load, command.grade or done.grade)
    if new != (done.made, done.missed, done.load, done.grade):
        events.append(
            Event(
                kind="set_put_right", happened=now, session=session, station=station, lifter=command.lifter,
                lift=done.lift, set_no=done.no, reps=made, missed=missed, load=new[2], was=done.load, grade=new[3],
            )
        )
    for kind, faults in (("fault_withdrawn", command.withdraw), ("fault_seen", command.add)):
        events += [
            Event(
                kind=kind, happened=now, session=session, station=station, lifter=command.lifter, lift=done.lift,
                set_no=done.no, rep=rep, load=new[2], fault=fault,
            )
            for rep, fault in faults
        ]
    if not events:
        return Refusal("Nothing was changed.")
    after = fold(state, events)
    speaks = _speaks(state, after, command.lifter, done)
    if speaks is not None:
        again = _reopened(after, command.lifter, done.lift)
        proposed = proposal_events(again, command.lifter, speaks, now, station)
        events += [e for e in proposed if not _stands(after, e)]
    return tuple(events)


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


def overrule(state: State, command: Overrule, now: datetime) -> Events | Refusal:
    refused = not_here(state, command.lifter) or held(state, command.lifter)
    if refused:
        return refused
    proposal = state.evening.proposals.get((command.lifter, command.lift))
    present = state.evening.here[command.lifter]
    if proposal is None:
        return Refusal("There is no proposal to overrule.")
    coming = [s for s in present.of_lift(command.lift) if s.no >= proposal.set_no and not s.trimmed]
    left = [s for s in coming if s.status in (PLANNED, DROPPED)]
    if not left or left[0].no != proposal.set_no:
        return Refusal("That proposal has been acted on: change the load by hand instead.")
    if command.action == (proposal.overruled or proposal.action) and command.action == KEEP:
        return Refusal("The proposal keeps the load already.")
    wanted = wanted_load(state, command.lifter, command.lift, command.action)
    last = latest_done(state, command.lifter, command.lift) or left[0]
    if wanted is None:
        return Refusal("A proposal is overruled with add, keep or lighten.")
    load = buildable(state.gym, command.lift, wanted)
    far = None if command.sure else far_tonight(state, command.lifter, command.lift, load, proposal.load)
    if far:
        return far
    stage = last.stage if proposal.stage is not None and proposal.action != STEP_UP else None
    return (
        Event(
            kind="proposal_overruled", happened=now, session=state.evening.session, station=present.station,
            lifter=command.lifter, lift=command.lift, action=command.action, was=proposal.load, rule=proposal.rule,
            load=load, set_no=proposal.set_no,
            count=max(proposal.count, 1), stage=stage,
        ),
    )


def wanted_load(state: State, lifter: int, lift: str, action: str) -> int | None:
    """The load an overruling asks for, from the set of the lift done last (or the first one); None for no word."""
    present = state.evening.here[lifter]
    last = latest_done(state, lifter, lift) or next((s for s in present.of_lift(lift)), None)
    if last is None:
        return None
    coming = present.pending()
    backing = coming is not None and coming.lift == lift and coming.role == "backoff"
    base = min(last.load, coming.load) if backing and coming is not None else last.load
    loads = {
        ADD: base + step_of(state.gym, state.lifters[lifter], lift),
        KEEP: base,
        LIGHTEN: base * (100 - state.gym.settings.ease_percent) // 100,
    }
    return loads.get(action)


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
    bad = _strange_load(state, command.load)
    if bad:
        return bad
    load = buildable(state.gym, coming.lift, command.load)
    if command.load - load > FAR_OFF:
        unit = state.gym.unit
        near = show_with_unit(load, unit)
        return Refusal(f"{show_with_unit(command.load, unit)} can't be built here; the nearest below is {near}.")
    if load == coming.load:
        return Refusal("That is the load already.")
    far = None if command.sure else far_tonight(state, command.lifter, coming.lift, load, coming.load)
    if far:
        return far
    return (
        Event(
            kind="load_changed", happened=now, session=state.evening.session, station=present.station,
            lifter=command.lifter, lift=coming.lift, set_no=coming.no, load=load, was=coming.load, rule="by-hand",
        ),
    )


DECIDE: Table = {
    RampDone: ramp_done,
    RecordWhole: record_whole,
    PutRight: put_right,
    Overrule: overrule,
    ChangeLoad: change_load,
}
