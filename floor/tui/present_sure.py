"""What is asked before a key that could do harm, in words. Pure."""

from __future__ import annotations

from datetime import datetime

from floor.core.askfirst import no_safeties, rest_cut_short
from floor.core.board import OnTheBar
from floor.core.state import State
from floor.tui.present import minutes

UNCOUNTED = {"enter": ("Enter", "all made"), "full_stop": (".", "not done")}
"""The answers to reps that were not counted, by key."""


def before_start(state: State, on: OnTheBar, name: str, now: datetime) -> str:
    """What is asked before the set starts: a rest cut short, safeties that nobody noted; "" for nothing."""
    asked = []
    if short := rest_cut_short(state.gym, on.present, now):
        rested, owed = short
        asked.append(f"{name} has rested {minutes(rested)} of {minutes(owed)}.")
    if no_safeties(state, on.present.lifter, on.set):
        lift = state.gym.lifts[on.set.lift].name
        asked.append(f"{name}, {lift}: no safeties are noted. Do they stand right, or is somebody spotting?")
    elif asked:
        asked.append("Start all the same?")
    return " ".join(asked)


def not_counted(name: str, reps: int) -> str:
    """A grade was given with reps left over."""
    return f"{name}: {reps} {'rep' if reps == 1 else 'reps'} not counted."
