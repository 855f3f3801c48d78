"""Commands about standing facts: who belongs, programmes, heights, stages, plans."""

from __future__ import annotations

from datetime import datetime

from floor.core.changed import STAGE_LIMIT
from floor.core.commands import (
    AddNote,
    BringRoster,
    GiveProgramme,
    JoinLifter,
    Refusal,
    SetHeights,
    SetStage,
    SetStep,
)
from floor.core.decide.table import Events, Table
from floor.core.events import Event
from floor.core.gym import Lift
from floor.core.loading import buildable
from floor.core.programme import stage_now
from floor.core.state import PLANNED, State
from floor.core.steps import LARGEST, step_of
from floor.core.teaching import SIGNED
from floor.core.units import show_with_unit

NOBODY = "Nobody with that number belongs to the gym."


def session_of(state: State) -> int | None:
    """The open session's number, None outside one."""
    return state.evening.session if state.open else None


def nobody(state: State, lifter: int) -> Refusal | None:
    """A refusal unless the lifter belongs to the gym."""
    return None if lifter in state.lifters else Refusal(NOBODY)


def join(state: State, command: JoinLifter, now: datetime) -> Events | Refusal:
    if command.lifter in state.lifters:
        return Refusal("{lifter} already belongs to the gym.", command.lifter)
    programme = command.programme or state.gym.settings.programme
    if refused := _unknown_programme(state, programme):
        return refused
    session = session_of(state)
    return (
        Event(kind="lifter_joined", happened=now, session=session, lifter=command.lifter, youth=command.youth),
        Event(
            kind="programme_given", happened=now, session=session, lifter=command.lifter,
            definition=programme, day=0, count=state.gym.versions.get("programmes", 0),
        ),
    )


def bring_roster(state: State, command: BringRoster, now: datetime) -> Events | Refusal:
    if not command.rows:
        return Refusal("The roster holds no lines: nothing was taken.")
    events: list[Event] = []
    session = session_of(state)
    for lifter in command.new:
        if lifter in state.lifters:
            return Refusal("{lifter} already belongs to the gym: nothing was taken.", lifter)
        events.append(Event(kind="lifter_joined", happened=now, session=session, lifter=lifter, youth=False))
        events.append(
            Event(kind="programme_given", happened=now, session=session, lifter=lifter, definition="", day=0)
        )
    for row in command.rows:
        if row.lift not in state.gym.lifts:
            return Refusal(f"The gym has no lift called {row.lift}: nothing was taken.")
        if row.lifter not in state.lifters and row.lifter not in command.new:
            return Refusal(NOBODY)
        events.append(
            Event(
                kind="next_planned", happened=now, session=session, lifter=row.lifter, lift=row.lift, sets=row.sets,
                reps=row.reps, load=row.load, rule="imported", count=0,
            )
        )
    return tuple(events)


def _unknown_programme(state: State, programme: str) -> Refusal | None:
    if not programme or programme in state.gym.programmes:
        return None
    return Refusal(f"The gym has no programme called {programme}. It has: {', '.join(state.gym.programmes)}.")


def give_programme(state: State, command: GiveProgramme, now: datetime) -> Events | Refusal:
    if command.lifter not in state.lifters:
        return Refusal(NOBODY)
    if refused := _unknown_programme(state, command.programme):
        return refused
    return (
        Event(
            kind="programme_given", happened=now, session=session_of(state), lifter=command.lifter,
            definition=command.programme, day=command.day, count=state.gym.versions.get("programmes", 0),
        ),
    )


def set_heights(state: State, command: SetHeights, now: datetime) -> Events | Refusal:
    refused = nobody(state, command.lifter)
    if refused:
        return refused
    if command.lift not in state.gym.lifts:
        return Refusal(f"The gym has no lift called {command.lift}.")
    given = [h for h in (command.rack, command.safety, command.bench) if h is not None]
    if not given:
        return Refusal("Give at least one height: a hole number for rack, safeties or bench.")
    if any(not 0 <= h <= 99 for h in given):
        return Refusal("A height is a hole number from 0 to 99.")
    return (
        Event(
            kind="heights_set", happened=now, session=session_of(state), lifter=command.lifter, lift=command.lift,
            rack=command.rack, safety=command.safety, bench=command.bench,
        ),
    )


def set_stage(state: State, command: SetStage, now: datetime) -> Events | Refusal:
    refused = nobody(state, command.lifter)
    if refused:
        return refused
    lift = state.gym.lifts.get(command.lift)
    if lift is None or not any(s.no == command.stage for s in lift.stages):
        return Refusal("That lift has no such stage.")
    far = None if command.sure else _far_stage(state, command, lift)
    if far:
        return far
    signed = Event(
        kind="stage_set", happened=now, session=session_of(state), lifter=command.lifter, lift=command.lift,
        stage=command.stage, rule=SIGNED,
    )
    return (signed, *_within(state, command, lift.stage_limit(command.stage), now))


def _far_stage(state: State, command: SetStage, lift: Lift) -> Refusal | None:
    """A refusal of a stage that is not next to the one now, of a lift that the lifter has tonight."""
    present = state.evening.here.get(command.lifter)
    now = stage_now(lift, state.lifters[command.lifter])
    if present is None or now is None or not present.of_lift(lift.id) or abs(command.stage - now) <= 1:
        return None
    way = "back to" if command.stage < now else "up to"
    path = f"from {_named(lift, now)} {way} {_named(lift, command.stage)}"
    return Refusal(f"{{lifter}}, {lift.name}: {path}. Are you sure?", command.lifter, unless_sure=True)


def _named(lift: Lift, number: int) -> str:
    stage = lift.stage(number)
    return f"stage {number} ({stage.name if stage else 'no longer taught'})"


def _within(state: State, command: SetStage, limit: int | None, now: datetime) -> Events:
    """What is left of the lift tonight, brought down to the heaviest load of the new stage."""
    present = state.evening.here.get(command.lifter) if state.open else None
    if present is None or limit is None:
        return ()
    left = [s for s in present.of_lift(command.lift) if s.status == PLANNED and s.load > limit]
    first = next((s for s in left if s.role != "ramp"), None)
    ramp = [s for s in left if s.role == "ramp"]
    load = buildable(state.gym, command.lift, limit)
    return tuple(
        Event(
            kind="load_changed", happened=now, session=state.evening.session, lifter=command.lifter, lift=command.lift,
            set_no=s.no, load=load, was=s.load, rule=STAGE_LIMIT,
        )
        for s in (*ramp, *((first,) if first else ()))
    )


def set_step(state: State, command: SetStep, now: datetime) -> Events | Refusal:
    """The coach gives a lifter a step of their own on a lift."""
    refused = nobody(state, command.lifter)
    if refused:
        return refused
    gym = state.gym
    if command.lift not in gym.lifts:
        return Refusal(f"The gym has no lift called {command.lift}.")
    if not 0 < command.step <= LARGEST:
        return Refusal(f"A step is more than 0 and at most {show_with_unit(LARGEST, gym.unit)}.")
    was = step_of(gym, state.lifters[command.lifter], command.lift)
    if command.step == was:
        return Refusal("That is the step already.")
    return (
        Event(
            kind="step_set", happened=now, session=session_of(state), lifter=command.lifter, lift=command.lift,
            load=command.step, was=was, rule="by-hand",
        ),
    )


def add_note(state: State, command: AddNote, now: datetime) -> Events | Refusal:
    if command.lifter not in state.lifters:
        return Refusal(NOBODY)
    return (Event(kind="note_added", happened=now, session=session_of(state), lifter=command.lifter),)


DECIDE: Table = {
    AddNote: add_note,
    JoinLifter: join,
    BringRoster: bring_roster,
    GiveProgramme: give_programme,
    SetHeights: set_heights,
    SetStage: set_stage,
    SetStep: set_step,
}
