"""The simulated coach: which sets get watched, which faults get seen, which grade is given.

One coach, several stations: a set is watched only if the coach is free when it
starts. The chances are invented, and prove nothing about how people coach.
"""

from __future__ import annotations

from random import Random

from floor.core.gym import Grade, Gym
from floor.core.proposals import suggest_grade
from floor.core.state import Lifter, TheSet
from floor.sim.lifters import Happened

SEES = 0.85
"""The chance that a watching coach sees a fault that is there. Invented."""
FIRST_SESSIONS = 6
"""So many sessions somebody counts as new."""


def wants_to_watch(lifter: Lifter, coming: TheSet, rng: Random) -> bool:
    """Whether a free coach goes and watches this set. Young lifters always, newcomers and cleans mostly."""
    if lifter.youth:
        return True
    chance = 0.8 if lifter.sessions <= FIRST_SESSIONS else 0.7 if coming.lift == "clean" else 0.6
    return rng.random() < chance


def must_watch(lifter: Lifter) -> bool:
    """Whether the set waits until the coach is free."""
    return lifter.youth


def seen(happened: Happened, rng: Random) -> tuple[tuple[int, str], ...]:
    """The faults the coach saw, one a rep at most."""
    return tuple(fault for fault in happened.faults if rng.random() < SEES)


def by_the_rep(happened: Happened, faults: tuple[tuple[int, str], ...], reps: int, rng: Random) -> int:
    """How many reps the coach counts one by one before calling the rest made."""
    if not all(happened.marks) or len(happened.marks) < reps:
        return len(happened.marks)
    last_fault = max((rep for rep, _ in faults), default=0)
    return len(happened.marks) if rng.random() < 0.35 else last_fault


def word(gym: Gym, running: TheSet, rng: Random) -> Grade | None:
    """The coach's grade; None takes the suggested one. The coach is now and then stricter, never kinder."""
    suggested = suggest_grade(gym, running)
    if suggested is Grade.SHARP and rng.random() < 0.25:
        return Grade.SOUND
    if suggested is Grade.SOUND and rng.random() < 0.05:
        return Grade.ROUGH
    if suggested is Grade.ROUGH and rng.random() < 0.1:
        return Grade.BROKEN
    return None
