"""What the trial of the rules assumes about lifters and about the coach: one frozen table.

FROZEN BEFORE THE RULES WERE TRIED: written on 2026-11-25 before any result of any
rule had been looked at. No number was changed since; one was taken out the same day,
after a first look at older rules: how many clean sets the coach signs a stage off
after, because the rules themselves now say it. A test holds the checksum. Every
number is invented. They are meant to look like a beginner's months, none was
measured, and nothing that comes out of them proves anything about people. What
they are for is to find rules that misbehave, under these assumptions and under
the altered ones of `ALTERED`.

Shares run from 0 to 1; strength is the best single, in hundredths of the gym's unit.
"""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from dataclasses import asdict, dataclass, replace


@dataclass(frozen=True, slots=True)
class OfLift:
    """One lift: a middling newcomer's single (kg), how tiring a rep is, where the form holds at skill 0 and 1."""

    single: float
    tiring: float
    holds_unskilled: float
    holds_skilled: float
    skill: float


LIFTS: Mapping[str, OfLift] = {
    "squat": OfLift(62.0, 1.0, 0.62, 0.96, 0.35),
    "press": OfLift(32.0, 0.4, 0.68, 0.97, 0.40),
    "bench": OfLift(44.0, 0.5, 0.66, 0.97, 0.40),
    "deadlift": OfLift(80.0, 1.2, 0.62, 0.95, 0.35),
    "clean": OfLift(46.0, 0.7, 0.50, 0.95, 0.20),
}
"""By lift id. Invented."""

TRANSFER: Mapping[str, Mapping[str, float]] = {
    "squat": {"deadlift": 0.2, "clean": 0.1},
    "press": {"bench": 0.15},
    "bench": {"press": 0.15},
    "deadlift": {"squat": 0.15, "clean": 0.1},
    "clean": {"deadlift": 0.1},
}
"""How much of the training of one lift also trains another. Invented."""


@dataclass(frozen=True, slots=True)
class Assumptions:
    """Every number of the simulated lifters and coach. Pairs of `low, high` are drawn from evenly."""

    # Who comes
    size_spread: float = 0.24
    size_least: float = 0.72
    size_most: float = 1.7
    lift_spread: float = 0.06
    youth: float = 0.10
    youth_size: float = 0.75
    trained_before: float = 0.40
    trained_gone: tuple[float, float] = (0.15, 0.45)
    trained_load: tuple[float, float] = (0.60, 0.72)
    trained_skill: tuple[float, float] = (0.05, 0.35)
    skill_spread: float = 0.10
    skips: float = 0.07
    long_break: float = 0.20
    break_days: tuple[int, int] = (14, 35)

    # Strength: towards a ceiling, by reps that are heavy enough
    growth: tuple[float, float] = (0.55, 1.10)
    learning: tuple[float, float] = (0.020, 0.036)
    trains_from: float = 0.50
    trains_fully: float = 0.90
    reps_half_way: float = 8.0
    fatigue_spoils: float = 1.5
    away_from: int = 10
    away_loses: float = 0.0008

    # The day: fatigue, form of the day, sets already done
    fatigue_a_rep: float = 0.006
    fatigue_a_miss: float = 0.020
    fatigue_weakens: float = 0.60
    recovery: tuple[float, float] = (0.25, 0.50)
    day_spread: float = 0.020
    tired_a_set: float = 0.004
    freshness_least: float = 0.70

    # A rep: made or missed
    rep_costs: float = 1 / 30
    misses_at: float = 1.02
    miss_width: float = 0.012

    # A rep: its form
    fault_always: float = 0.008
    fault_unskilled: float = 0.045
    fault_over: float = 0.50
    fault_width: float = 0.035
    drill_easier: float = 0.25
    habit: float = 4.0
    fix_share: float = 0.40
    lighten_share: float = 0.05
    lighten_over: float = 3.0
    lighten_most: float = 0.50
    end_share: float = 0.002
    end_over: float = 0.40
    end_most: float = 0.10

    # Skill: by good reps within the form limit, and lost by reps beyond it
    practice: tuple[float, float] = (0.0012, 0.0024)
    watched_teaches: float = 1.3
    beyond_unteaches: float = 0.5
    practice_from: float = 0.25

    # Pain
    pain_a_rep: float = 0.00001
    pain_beyond: float = 0.0006
    pain_full_at: float = 0.10
    pain_days: tuple[int, int] = (7, 21)

    # The coach
    watches_new: float = 0.80
    watches_clean: float = 0.70
    watches: float = 0.60
    new_sessions: int = 6
    sees: float = 0.85
    sharp_called_sound: float = 0.25
    sound_called_rough: float = 0.05


FROZEN = Assumptions()

ALTERED: Mapping[str, Assumptions] = {
    "fatigue weakens half as much": replace(FROZEN, fatigue_weakens=0.30),
    "fatigue weakens twice as much": replace(FROZEN, fatigue_weakens=1.20),
    "skill grows half as fast": replace(FROZEN, practice=(0.0006, 0.0012)),
    "skill grows twice as fast": replace(FROZEN, practice=(0.0024, 0.0048)),
    "coach watches half as many sets": replace(FROZEN, watches_new=0.40, watches_clean=0.35, watches=0.30),
    "coach watches every set": replace(FROZEN, watches_new=1.0, watches_clean=1.0, watches=1.0),
    "coach sees half of the faults": replace(FROZEN, sees=0.50),
    "recovery a third slower": replace(FROZEN, recovery=(0.165, 0.33)),
    "recovery a half faster": replace(FROZEN, recovery=(0.375, 0.75)),
    "strength grows half as fast": replace(FROZEN, learning=(0.010, 0.018)),
    "form holds nearer to strength": replace(FROZEN, fault_over=0.25),
    "reps beyond form unteach nothing": replace(FROZEN, beyond_unteaches=0.0),
}
"""The main assumptions, altered one at a time: what the results hang on."""


def checksum() -> str:
    """The SHA-256 of every number above, as hexadecimal."""
    lifts = {name: asdict(lift) for name, lift in LIFTS.items()}
    altered = {name: asdict(table) for name, table in ALTERED.items()}
    words = repr((lifts, {k: dict(v) for k, v in TRANSFER.items()}, asdict(FROZEN), altered))
    return hashlib.sha256(words.encode()).hexdigest()
