"""Commands about the order and the floor: pass, swap, swap lifts, a bar that isn't like that, drills."""

from __future__ import annotations

from datetime import datetime

from floor.core import stacks
from floor.core.commands import (
    BarFound,
    DrillFault,
    DrillRep,
    EndDrill,
    Pass,
    Refusal,
    StartDrill,
    Swap,
    SwapLifts,
)
from floor.core.decide.refusing import held, no_station, not_here, stopped
from floor.core.decide.table import Events, Table
from floor.core.events import Event
from floor.core.gym import Severity
from floor.core.loading import bars_at_others, held_at_others
from floor.core.proposals import DRILL_ENDS, RULES_VERSION, STOP
from floor.core.queue import lifting, promised_line, station_for
from floor.core.state import PLANNED, State


def pass_turn(state: State, command: Pass, now: datetime) -> Events | Refusal:
    refused = no_station(state, command.station)
    if refused:
        return refused
    if lifting(state, command.station) is not None:
        return Refusal("A set is running here: end it first.")
    turns = promised_line(state, command.station)
    if not turns:
        return Refusal("Nobody is up here.")
    if len(turns) < 2:
        return Refusal("{lifter} is the only one here: nobody can go first.", turns[0].lifter)
    return (
        Event(
            kind="turn_passed", happened=now, session=state.evening.session, station=command.station,
            lifter=turns[0].lifter, other=turns[1].lifter,
        ),
    )


def swap(state: State, command: Swap, now: datetime) -> Events | Refusal:
    refused = no_station(state, command.station)
    if refused:
        return refused
    order = [t.lifter for t in promised_line(state, command.station)]
    if command.lifter == command.other:
        return Refusal("Choose two different lifters to swap.")
    for lifter in (command.lifter, command.other):
        if lifter not in order:
            return Refusal("{lifter} is not waiting at this station.", lifter)
    a, b = order.index(command.lifter), order.index(command.other)
    by_hand = [order.index(x) for x in state.evening.stations[command.station].ahead if x in order]
    last = max(a, b, *by_hand)
    order[a], order[b] = order[b], order[a]
    placing = order[: last + 1]
    if state.evening.stations[command.station].held:  # who lifts now keeps the place after the others
        placing += [x for x in state.evening.stations[command.station].ahead if x not in order]
    session = state.evening.session
    swapped = Event(
        kind="lifters_swapped", happened=now, session=session, station=command.station, lifter=command.lifter,
        other=command.other,
    )
    placed = tuple(
        Event(kind="line_placed", happened=now, session=session, station=command.station, lifter=lifter)
        for lifter in placing
    )
    return (swapped, *placed)


def swap_lifts(state: State, command: SwapLifts, now: datetime) -> Events | Refusal:
    refused = not_here(state, command.lifter)
    if refused:
        return refused
    present = state.evening.here[command.lifter]
    if present.running() is not None:
        return Refusal("{lifter} is lifting: end that set first.", command.lifter)
    coming = present.pending()
    if coming is None:
        return Refusal("{lifter} has no set left tonight.", command.lifter)
    other = next((s.lift for s in present.sets if s.status == PLANNED and s.lift != coming.lift), None)
    if other is None:
        return Refusal("{lifter} has no other lift left tonight.", command.lifter)
    if station_for(state, present, other) is None:
        return Refusal(f"No station can take the {state.gym.lifts[other].name}.")
    return (
        Event(
            kind="lifts_swapped", happened=now, session=state.evening.session, station=present.station,
            lifter=command.lifter, lift=coming.lift, other_lift=other,
        ),
    )


def bar_found(state: State, command: BarFound, now: datetime) -> Events | Refusal:
    """What is really on the bar: the record of a running set is put right with it."""
    gym = state.gym
    refused = no_station(state, command.station)
    if refused:
        return refused
    away = bars_at_others(state, command.station)
    bar = stacks.bar_for(gym, command.load, gym.station(command.station).bar, away)
    built = stacks.build(gym, command.load, bar, held_at_others(state, command.station))
    if isinstance(built, stacks.CannotBuild):
        return Refusal(built.why)
    found = Event(
        kind="bar_found", happened=now, session=state.evening.session, station=command.station, bar=bar, stack=built,
        load=command.load,
    )
    on = lifting(state, command.station)
    running = on.running() if on else None
    if on is None or running is None or running.load == command.load:
        return (found,)
    return (
        found,
        Event(
            kind="set_put_right", happened=now, session=state.evening.session, station=command.station,
            lifter=on.lifter, lift=running.lift, set_no=running.no, load=command.load, was=running.load,
        ),
    )


def start_drill(state: State, command: StartDrill, now: datetime) -> Events | Refusal:
    refused = stopped(state)
    if refused:
        return refused
    if state.evening.drill is not None:
        return Refusal("A group drill is on already.")
    for station in state.evening.stations:
        if lifting(state, station) is not None:
            return Refusal("A set is running: end it before the group drill.")
    lift = state.gym.lifts.get(command.lift)
    if lift is None or not any(s.no == command.stage for s in lift.stages):
        return Refusal("That lift has no such stage.")
    return (
        Event(
            kind="drill_started", happened=now, session=state.evening.session, lift=command.lift, stage=command.stage
        ),
    )


def drill_rep(state: State, command: DrillRep, now: datetime) -> Events | Refusal:
    refused = stopped(state)
    if refused:
        return refused
    drill = state.evening.drill
    if drill is None:
        return Refusal("No group drill is on.")
    return (
        Event(
            kind="drill_rep", happened=now, session=state.evening.session, lift=drill.lift, stage=drill.stage,
            rep=drill.reps + 1,
        ),
    )


def drill_fault(state: State, command: DrillFault, now: datetime) -> Events | Refusal:
    drill = state.evening.drill
    if drill is None:
        return Refusal("No group drill is on.")
    refused = not_here(state, command.lifter) or held(state, command.lifter)
    if refused:
        return refused
    lift = state.gym.lifts[drill.lift]
    fault = lift.fault_at(command.letter)
    if fault is None:
        return Refusal(f"The {lift.name} has no fault on the letter {command.letter}.")
    seen = Event(
        kind="drill_fault", happened=now, session=state.evening.session, lifter=command.lifter, lift=drill.lift,
        stage=drill.stage, rep=drill.reps, fault=fault.id,
    )
    left = [s for s in state.evening.here[command.lifter].of_lift(lift.id) if s.status == PLANNED]
    if fault.severity is not Severity.END or not left:
        return (seen,)
    return (
        seen,
        Event(
            kind="set_proposed", happened=now, session=state.evening.session, lifter=command.lifter, lift=lift.id,
            action=STOP, load=left[0].load, was=left[0].load, rule=DRILL_ENDS, definition=RULES_VERSION,
            set_no=left[0].no, count=len(left),
        ),
    )


def end_drill(state: State, command: EndDrill, now: datetime) -> Events | Refusal:
    if state.evening.drill is None:
        return Refusal("No group drill is on.")
    return (Event(kind="drill_ended", happened=now, session=state.evening.session),)


DECIDE: Table = {
    Pass: pass_turn,
    Swap: swap,
    SwapLifts: swap_lifts,
    BarFound: bar_found,
    StartDrill: start_drill,
    DrillRep: drill_rep,
    DrillFault: drill_fault,
    EndDrill: end_drill,
}
