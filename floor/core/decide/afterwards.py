"""Commands that put the record right: sets seen late, corrections, overrulings, loads by hand."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime

from floor.core.apply import fold
from floor.core.apply.evening import with_present
from floor.core.commands import ChangeLoad, Overrule, PutRight, RampDone, RecordWhole, Refusal
from floor.core.decide.lifting import latest_done, proposal_events
from floor.core.decide.refusing import held, not_here
from floor.core.decide.table import Events, Table
from floor.core.events import Event
from floor.core.loading import buildable, loading
from floor.core.proposals import ADD, KEEP, LIGHTEN
from floor.core.state import DONE, DROPPED, PLANNED, State, TheSet

MOST_REPS = 99


def _ramp_events(state: State, lifter: int, lift: str, now: datetime) -> Events:
    present = state.evening.here[lifter]
    return (
        Event(
            kind="ramp_done", happened=now, session=state.evening.session, lifter=lifter, lift=lift,
            station=present.station,
        ),
    )


def ramp_done(state: State, command: RampDone, now: datetime) -> Events | Refusal:
    refused = not_here(state, command.lifter) or held(state, command.lifter)
    if refused:
        return refused
    coming = state.evening.here[command.lifter].pending()
    if coming is None or coming.role != "ramp":
        return Refusal("{lifter} has no ramp set left on this lift.", command.lifter)
    return _ramp_events(state, command.lifter, coming.lift, now)


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
    if not (0 <= command.made <= MOST_REPS and 0 <= command.missed <= MOST_REPS) or command.made + command.missed == 0:
        return Refusal("Say how many reps were made or missed: at least one, at most 99.")
    bad = _strange_faults(state, done, command.faults)
    if bad:
        return bad
    before: Events = ()
    if done.role != "ramp" and any(
        s.status == PLANNED and s.role == "ramp" for s in present.of_lift(done.lift) if s.no < done.no
    ):
        before = _ramp_events(state, command.lifter, done.lift, now)
    on = loading(state, present.station, done)
    by_hand = command.load is not None and command.load != on.load
    recorded = Event(
        kind="set_recorded", happened=now, session=state.evening.session, station=present.station,
        lifter=command.lifter, lift=done.lift, set_no=done.no, role=done.role, reps=command.made,
        missed=command.missed, load=command.load if command.load is not None else on.load, grade=command.grade,
        seconds=command.seconds, bar=None if by_hand else on.bar, stack=None if by_hand else on.stack,
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
    if state.lifters[command.lifter].held:
        return events
    return (*events, *proposal_events(after, command.lifter, done.no, now, present.station))


def _strange_faults(state: State, done: TheSet, faults: tuple[tuple[int, str], ...]) -> Refusal | None:
    lift = state.gym.lifts[done.lift]
    for _, fault in faults:
        if lift.fault(fault) is None:
            return Refusal(f"The {lift.name} has no fault called {fault}.")
    return None


def put_right(state: State, command: PutRight, now: datetime) -> Events | Refusal:
    if not state.open or command.lifter not in state.evening.here:
        return Refusal("{lifter} did not come tonight.", command.lifter)
    present = state.evening.here[command.lifter]
    done = present.set(command.set_no)
    if done is None or done.status != DONE:
        return Refusal("Only a set that is recorded can be put right.")
    bad = _strange_faults(state, done, command.add)
    if bad:
        return bad
    for seen in command.withdraw:
        if seen not in done.faults:
            return Refusal("That fault is not marked on that rep.")
    made = done.made if command.made is None else command.made
    missed = done.missed if command.missed is None else command.missed
    if made < 0 or missed < 0 or not 1 <= made + missed <= MOST_REPS:
        return Refusal("Say how many reps were made or missed: at least one, at most 99.")
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
    last = latest_done(after, command.lifter, done.lift)
    if last is not None and last.no == done.no and not state.lifters[command.lifter].held:
        events += proposal_events(_reopened(after, command.lifter, done.lift), command.lifter, done.no, now, station)
    return tuple(events)


def _reopened(state: State, lifter: int, lift: str) -> State:
    """The state as the rules should see it again: sets that a stop dropped are planned again."""
    present = state.evening.here[lifter]
    if lift not in present.stopped:
        return state
    sets = tuple(replace(s, status=PLANNED) if s.lift == lift and s.status == DROPPED else s for s in present.sets)
    return with_present(state, lifter, sets=sets)


def overrule(state: State, command: Overrule, now: datetime) -> Events | Refusal:
    refused = not_here(state, command.lifter) or held(state, command.lifter)
    if refused:
        return refused
    proposal = state.evening.proposals.get((command.lifter, command.lift))
    present = state.evening.here[command.lifter]
    last = latest_done(state, command.lifter, command.lift)
    if proposal is None or last is None:
        return Refusal("There is no proposal to overrule.")
    left = [s for s in present.of_lift(command.lift) if s.no >= proposal.set_no and s.status in (PLANNED, DROPPED)]
    if not left or left[0].no != proposal.set_no:
        return Refusal("That proposal has been acted on: change the load by hand instead.")
    if command.action == (proposal.overruled or proposal.action) and command.action == KEEP:
        return Refusal("The proposal keeps the load already.")
    gym = state.gym
    step = gym.lifts[command.lift].step
    wanted = {
        ADD: last.load + step,
        KEEP: last.load,
        LIGHTEN: last.load * (100 - gym.settings.ease_percent) // 100,
    }[command.action]
    return (
        Event(
            kind="proposal_overruled", happened=now, session=state.evening.session, station=present.station,
            lifter=command.lifter, lift=command.lift, action=command.action, was=proposal.load, rule=proposal.rule,
            load=buildable(gym, command.lift, wanted), set_no=proposal.set_no,
            count=max(proposal.count, 1),
        ),
    )


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
    lightest = min(bar.mass for bar in state.gym.bars)
    if command.load < lightest:
        return Refusal("That is lighter than the lightest bar in the gym.")
    load = buildable(state.gym, coming.lift, command.load)
    if load == coming.load:
        return Refusal("That is the load already.")
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
