"""The refusals that more than one command needs, each said in one place."""

from __future__ import annotations

from floor.core.commands import Refusal
from floor.core.queue import lifting
from floor.core.reps import impossible
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
