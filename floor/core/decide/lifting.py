"""Commands while a set runs: start, reps, faults, the grade, and what it changes."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime

from floor.core.apply import fold
from floor.core.commands import AllMade, CountRep, EndSet, Refusal, SeeFault, StartSet
from floor.core.decide.refusing import held, lifter_at, no_station, not_here, stopped, strange_reps
from floor.core.decide.table import Events, Table
from floor.core.events import Event
from floor.core.gym import Grade
from floor.core.loading import builder, loading
from floor.core.proposals import RULES_VERSION, propose, suggest_grade
from floor.core.queue import lifting
from floor.core.state import DONE, State, TheSet
from floor.core.tonight import coming_sets, ends_here, gather
from floor.core.units import show_with_unit


def start(state: State, command: StartSet, now: datetime) -> Events | Refusal:
    refused = stopped(state) or no_station(state, command.station)
    if refused:
        return refused
    if state.evening.drill is not None:
        return Refusal("A group drill is on: end it first.")
    if lifting(state, command.station) is not None:
        return Refusal("A set is running here: grade it first.")
    up = state.evening.stations[command.station].up
    if up is None:
        return Refusal("Nobody is up here: move a lifter to this station, or check one in.")
    refused = not_here(state, up) or held(state, up)
    if refused:
        return refused
    coming = state.evening.here[up].pending()
    if coming is None:
        return Refusal("{lifter} has no set left tonight.", up)
    on = loading(state, command.station, coming, up)
    if on.heavier and not command.sure:
        unit = state.gym.unit
        now_on, planned = show_with_unit(on.load, unit), show_with_unit(on.wanted, unit)
        why = f"{{lifter}}: {now_on} is heavier than the {planned} planned; a lighter bar is at another station. Start?"
        return Refusal(why, up, unless_sure=True)
    return (
        Event(
            kind="set_started", happened=now, session=state.evening.session, station=command.station, lifter=up,
            lift=coming.lift, set_no=coming.no, role=coming.role, reps=coming.reps, load=on.load,
            was=coming.load if on.load != coming.load else None, bar=on.bar, stack=on.stack, stage=coming.stage,
        ),
    )


def _on_the_bar(state: State, station: int) -> tuple[int, TheSet] | Refusal:
    present = lifter_at(state, station)
    if isinstance(present, Refusal):
        return present
    running = present.running()
    assert running is not None
    return present.lifter, running


def count_rep(state: State, command: CountRep, now: datetime) -> Events | Refusal:
    on = _on_the_bar(state, command.station)
    if isinstance(on, Refusal):
        return on
    lifter, running = on
    if running.full and not command.made:
        reps = f"All {running.reps} reps are" if running.reps > 1 else "The one rep is"
        return Refusal(f"{reps} counted; once it is graded, F3 puts it right.")
    ended = ends_here(state.gym, running, state.lifters[lifter].youth)
    if ended and not command.sure:
        why = f"{{lifter}}: {ended}, the set ends here. Was one rep more done all the same?"
        return Refusal(why, lifter, unless_sure=True)
    bad = strange_reps(running, running.made + 1, running.missed)
    if bad:
        return bad
    return (
        Event(
            kind="rep_made" if command.made else "rep_missed", happened=now, session=state.evening.session,
            station=command.station, lifter=lifter, lift=running.lift, set_no=running.no, rep=len(running.marks) + 1,
        ),
    )


def all_made(state: State, command: AllMade, now: datetime) -> Events | Refusal:
    on = _on_the_bar(state, command.station)
    if isinstance(on, Refusal):
        return on
    lifter, running = on
    if state.evening.stopped:
        return Refusal("Everything is stopped: 1 to 5 grades {lifter}'s set as it stands, ! goes on.", lifter)
    ended = ends_here(state.gym, running, state.lifters[lifter].youth)
    if ended:
        return Refusal(f"{{lifter}}: {ended}, the set ends here: 1 to 5 grades it as it stands.", lifter)
    left = running.reps - len(running.marks)
    if left <= 0:
        return Refusal("Every rep is counted: grade the set, 1 to 5.")
    return (
        Event(
            kind="reps_made", happened=now, session=state.evening.session, station=command.station, lifter=lifter,
            lift=running.lift, set_no=running.no, rep=len(running.marks) + 1, reps=left,
        ),
    )


def see_fault(state: State, command: SeeFault, now: datetime) -> Events | Refusal:
    on = _on_the_bar(state, command.station)
    if isinstance(on, Refusal):
        return on
    lifter, running = on
    lift = state.gym.lifts[running.lift]
    fault = lift.fault_at(command.letter)
    if fault is None:
        return Refusal(f"The {lift.name} has no fault on the letter {command.letter}.")
    seen = (len(running.marks), fault.id)
    if seen in running.faults:
        return Refusal(f"{fault.name} is marked on that rep already; Backspace takes it back.")
    return (
        Event(
            kind="fault_seen", happened=now, session=state.evening.session, station=command.station, lifter=lifter,
            lift=running.lift, set_no=running.no, rep=len(running.marks), load=running.load, fault=fault.id,
        ),
    )


def end(state: State, command: EndSet, now: datetime) -> Events | Refusal:
    on = _on_the_bar(state, command.station)
    if isinstance(on, Refusal):
        return on
    lifter, running = on
    if not running.marks and not ends_here(state.gym, running, state.lifters[lifter].youth):
        return Refusal("No rep is counted: Enter for all made, Space for one, . for a miss.")
    suggested = suggest_grade(state.gym, running)
    grade = command.grade or suggested
    ended = Event(
        kind="set_ended", happened=now, session=state.evening.session, station=command.station, lifter=lifter,
        lift=running.lift, set_no=running.no, role=running.role, reps=running.made, missed=running.missed,
        load=running.load, grade=grade, suggested=suggested,
    )
    return (ended, *proposal_events(fold(state, (ended,)), lifter, running.no, now, command.station))


def proposal_events(
    state: State, lifter: int, set_no: int, now: datetime, station: int | None, *, adds: bool = True
) -> Events:
    """The proposal that follows from a finished set, as an event; nothing when none of the lift is left.

    While pain stands, only a proposal that holds the load or takes some off is made;
    `adds` is False where the set says nothing for more load than was planned.
    """
    present = state.evening.here[lifter]
    done = present.set(set_no)
    assert done is not None
    evidence = gather(state, lifter, done)
    if evidence is None:
        return ()
    evidence = evidence if adds else replace(evidence, later=True)
    left = len(coming_sets(present, done))
    made = propose(state.gym, evidence, left, builder(state.gym, done.lift))
    if state.lifters[lifter].held and evidence.good:
        return ()
    return (
        Event(
            kind="set_proposed", happened=now, session=state.evening.session, station=station, lifter=lifter,
            lift=done.lift, action=made.action, load=made.load, was=made.was, rule=made.rule,
            definition=RULES_VERSION, set_no=made.set_no, count=made.count, stage=made.stage,
            seconds=made.rest,
        ),
    )


def latest_done(state: State, lifter: int, lift: str) -> TheSet | None:
    """The set of that lift whose bar was put down last tonight."""
    done = [s for s in state.evening.here[lifter].of_lift(lift) if s.status == DONE and s.down is not None]
    return max(done, key=lambda s: (s.down, s.no), default=None)


def good(state: State, lifter: int, done: TheSet) -> bool:
    """Whether the rules find nothing to hold against the set or one before it; True when none of the lift is left."""
    evidence = gather(state, lifter, done)
    return evidence is None or (evidence.good and not evidence.asked)


def graded(done: TheSet) -> bool:
    """Whether the set was watched and given a word."""
    return done.grade not in (None, Grade.UNSEEN)


DECIDE: Table = {StartSet: start, CountRep: count_rep, AllMade: all_made, SeeFault: see_fault, EndSet: end}
