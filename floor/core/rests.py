"""Rest: counted from the moment the bar is down, against that lift's own rest."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, timedelta

from floor.core.gym import Gym
from floor.core.state import DONE, RUNNING, Present, TheSet


def last_lifted(present: Present) -> TheSet | None:
    """The set whose bar was put down last tonight, or None before the first."""
    downs = [s for s in present.sets if s.down is not None and (s.status == DONE or (s.status == RUNNING and s.full))]
    return max(downs, key=lambda s: (s.down, s.no), default=None)


def rest_after(gym: Gym, done: TheSet) -> int:
    """The rest owed after a set, in seconds: short after a ramp set, longer when more was proposed."""
    return max(rest_owed(gym, done.lift, done.role), done.rest or 0)


def rest_owed(gym: Gym, lift_id: str, role: str) -> int:
    """The rest owed after a set of that lift and role, in seconds."""
    lift = gym.lifts[lift_id]
    return lift.ramp_rest if role == "ramp" else lift.rest


LONGEST_REST, LONGEST_SPARE = 300, 120
"""Seconds: past five minutes a lifter goes cold, but no sooner than two after the rest is over. No source."""


def longest_rest(gym: Gym, done: TheSet) -> int:
    """The longest sensible rest after a set, in seconds: longer is no fault, only a wait."""
    return max(LONGEST_REST, rest_after(gym, done) + LONGEST_SPARE)


def ready_at(gym: Gym, present: Present) -> datetime | None:
    """When this lifter has rested enough to lift again; None if nothing has been lifted."""
    done = last_lifted(present)
    if done is None or done.down is None:
        return None
    return done.down + timedelta(seconds=rest_after(gym, done))


def rested_before(gym: Gym, present: Present, running: TheSet) -> datetime | None:
    """When the rest before a set that runs was or will be over; None if nothing was lifted before it."""
    return ready_at(gym, replace(present, sets=tuple(s for s in present.sets if s.no != running.no)))


def rest_left(gym: Gym, present: Present, now: datetime) -> int:
    """Seconds of rest still owed, rounded up; 0 when ready."""
    ready = ready_at(gym, present)
    if ready is None or ready <= now:
        return 0
    return -int((now - ready).total_seconds() // 1)


SHORT_REST = 75
"""Less than so many per cent of the rest owed is clearly too short. Common practice, no source."""


def too_short(rested: int | None, owed: int) -> bool:
    """Whether a rest of so many seconds was clearly short of the seconds owed; never one that nobody timed."""
    return rested is not None and rested * 100 < owed * SHORT_REST


def rested_at(gym: Gym, present: Present, at: datetime, but: int = 0) -> tuple[int | None, int]:
    """(seconds rested at a moment, seconds owed), from the last set down by then; None and 0 before the first.

    Set number `but` is left out. A ramp ticked off as done has no time of its own.
    """
    earlier = [
        s for s in present.sets
        if s.status == DONE and s.no != but and s.down is not None and s.down <= at
        and (s.started is not None or s.role != "ramp")
    ]
    last = max(earlier, key=lambda s: (s.down, s.no), default=None)
    if last is None or last.down is None:
        return None, 0
    return int((at - last.down).total_seconds()), rest_after(gym, last)
