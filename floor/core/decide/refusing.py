"""The refusals that more than one command needs, each said in one place."""

from __future__ import annotations

from floor.core.commands import Refusal
from floor.core.queue import lifting
from floor.core.reps import impossible
from floor.core.stacks import load_of
from floor.core.state import Present, State, TheSet


def not_here(state: State, lifter: int) -> Refusal | None:
    """A refusal unless the lifter is here tonight."""
    if not state.open:
        return Refusal("No session is open.")
    present = state.evening.here.get(lifter)
    if present is None:
        return Refusal("{lifter} is not here: check in first.", lifter)
    if present.gone:
        return Refusal("{lifter} has left.", lifter)
    return None


def held(state: State, lifter: int) -> Refusal | None:
    """A refusal while pain stands without a clearance."""
    if state.lifters[lifter].held:
        return Refusal("{lifter} is held: pain was reported. Record the clearance first.", lifter)
    return None


def lifter_at(state: State, station: int) -> Present | Refusal:
    """Whoever lifts at the station now, or a refusal that says no set is running."""
    present = lifting(state, station)
    if present is None:
        return Refusal("No set is running here: Enter starts it.")
    return present


def no_station(state: State, station: int) -> Refusal | None:
    """A refusal unless a session is open and the gym has that station."""
    if not state.open:
        return Refusal("No session is open.")
    if station not in state.evening.stations:
        return Refusal(f"The gym has no station {station}.")
    return None


def stopped(state: State) -> Refusal | None:
    """A refusal while everything is stopped."""
    if not state.open:
        return Refusal("No session is open.")
    if state.evening.stopped:
        return Refusal("Everything is stopped: ! goes on.")
    return None


def strange_reps(the_set: TheSet, made: int, missed: int) -> Refusal | None:
    """A refusal of reps that a set of so many planned cannot have had."""
    why = impossible(the_set.reps, made, missed)
    return Refusal(why) if why else None


def strange_load(state: State, load: int | None) -> Refusal | None:
    """A refusal of a typed load (hundredths) that no bar of the gym is light enough for, collars and all."""
    if load is not None and load < min(load_of(state.gym, bar.id, ()) for bar in state.gym.bars):
        return Refusal("That is lighter than the lightest bar in the gym.")
    return None


def strange_faults(
    state: State, the_set: TheSet, faults: tuple[tuple[int, str], ...], reps: int
) -> Refusal | None:
    """A refusal of faults, as (rep, fault id), that a set of so many tried reps cannot show, or shows already."""
    lift = state.gym.lifts[the_set.lift]
    for rep, fault in faults:
        if lift.fault(fault) is None:
            return Refusal(f"The {lift.name} has no fault called {fault}.")
        if not 0 <= rep <= reps:
            return Refusal(f"There is no rep {rep} in that set: it has {reps}.")
        if faults.count((rep, fault)) > 1 or (rep, fault) in the_set.faults:
            return Refusal("That fault is marked on that rep already.")
    return None
