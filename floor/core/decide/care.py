"""Commands of care: pain, its clearance, stop everything, an incident."""

from __future__ import annotations

from datetime import datetime

from floor.core.apply import fold
from floor.core.changed import CLEARED_EASES
from floor.core.commands import ClearPain, NoteIncident, Refusal, ReportPain, ResumeAll, StopAll
from floor.core.decide.arriving import cut_short, plan_sets
from floor.core.decide.lifting import proposal_events
from floor.core.decide.people import NOBODY, session_of
from floor.core.decide.table import Events, Table
from floor.core.events import Event
from floor.core.loading import buildable
from floor.core.proposals import SHORT
from floor.core.state import PLANNED, Present, State, TheSet


def report_pain(state: State, command: ReportPain, now: datetime) -> Events | Refusal:
    """Pain holds every lift of that lifter, tonight and after, until a clearance is recorded."""
    lifter = state.lifters.get(command.lifter)
    if lifter is None:
        return Refusal(NOBODY)
    if lifter.held:
        return Refusal("{lifter} is held already.", command.lifter)
    events: list[Event] = []
    present = state.evening.here.get(command.lifter) if state.open else None
    running = present.running() if present else None
    if running is not None:
        events.append(cut_short(state, command.lifter, now))
    events.append(
        Event(
            kind="pain_reported", happened=now, session=session_of(state), lifter=command.lifter,
            lift=running.lift if running else None, rule="pain-holds",
        )
    )
    if running is not None:
        told = proposal_events(fold(state, events), command.lifter, running.no, now, running.station)
        events += (event for event in told if event.rule not in SHORT)  # cut short by pain, not missed
    return tuple(events)


def clear_pain(state: State, command: ClearPain, now: datetime) -> Events | Refusal:
    lifter = state.lifters.get(command.lifter)
    if lifter is None or not lifter.held:
        return Refusal("{lifter} is not held.", command.lifter)
    cleared = Event(kind="pain_cleared", happened=now, session=session_of(state), lifter=command.lifter)
    if not state.open:
        return (cleared,)
    present = state.evening.here.get(command.lifter)
    if present is None or present.gone:
        return (cleared,)
    if present.sets:
        return (cleared, *_eased(state, present, now))
    after = fold(state, (cleared,))
    return (cleared, *plan_sets(after, after.lifters[command.lifter], lifter.last_came, now, 1))


def _eased(state: State, present: Present, now: datetime) -> Events:
    """What is left of every lift tonight, lighter: a clearance is no reason for the load that hurt."""
    events: list[Event] = []
    percent = 100 - state.gym.settings.ease_percent
    for lift in dict.fromkeys(s.lift for s in present.sets):
        left = [s for s in present.of_lift(lift) if s.status == PLANNED and s.role != "ramp"]
        if not left or _lighter_already(state, present.lifter, left[0]):
            continue
        load = min(left[0].load, buildable(state.gym, lift, left[0].load * percent // 100))
        events.append(
            Event(
                kind="load_changed", happened=now, session=state.evening.session, lifter=present.lifter, lift=lift,
                set_no=left[0].no, load=load, was=left[0].load, rule=CLEARED_EASES,
            )
        )
    return tuple(events)


def _lighter_already(state: State, lifter: int, coming: TheSet) -> bool:
    proposal = state.evening.proposals.get((lifter, coming.lift))
    return proposal is not None and proposal.set_no == coming.no and proposal.load < proposal.was


def stop_all(state: State, command: StopAll, now: datetime) -> Events | Refusal:
    if not state.open:
        return Refusal("No session is open.")
    if state.evening.stopped:
        return Refusal("Everything is stopped already.")
    return (Event(kind="all_stopped", happened=now, session=state.evening.session),)


def resume_all(state: State, command: ResumeAll, now: datetime) -> Events | Refusal:
    if not state.open or not state.evening.stopped:
        return Refusal("Nothing is stopped.")
    return (Event(kind="all_resumed", happened=now, session=state.evening.session),)


def note_incident(state: State, command: NoteIncident, now: datetime) -> Events | Refusal:
    return (Event(kind="incident_noted", happened=now, session=session_of(state), lifter=command.lifter),)


DECIDE: Table = {
    ReportPain: report_pain,
    ClearPain: clear_pain,
    StopAll: stop_all,
    ResumeAll: resume_all,
    NoteIncident: note_incident,
}
