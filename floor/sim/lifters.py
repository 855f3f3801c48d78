"""A simulated lifter: hidden strength, skill, habits and fatigue, and what a set of theirs looks like.

This is a toy that fills a demo gym with plausible sets. Every number below was
chosen so that evenings look like evenings; none was measured, and nothing that
comes out of here proves anything about people, programmes or rules.
Loads and strengths are hundredths of the gym's unit; skill runs from 0 to 1.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace
from random import Random

from floor.core.gym import Fault, Gym, Lift, Severity

HOW_OFTEN: Mapping[Severity, float] = {
    Severity.NOTE: 1.0, Severity.FIX: 1.0, Severity.LIGHTEN: 0.15, Severity.END: 0.002,
}
"""How often a fault of each severity comes up, against a fault to fix. Invented."""


@dataclass(frozen=True, slots=True)
class Body:
    """What nobody in the gym can see of a lifter.

    `strength` is the best single when fresh, `ceiling` what it grows towards,
    `habits` how much more often each fault comes up than the gym's average,
    `recovery` the share of fatigue lost in a day, `learning` the share of the
    way to the ceiling gone in one session, `off` the share of strength missing
    on a bad evening, which the next day's rest brings back.
    """

    id: int
    strength: Mapping[str, float]
    ceiling: Mapping[str, float]
    skill: Mapping[str, float]
    habits: Mapping[str, Mapping[str, float]]
    recovery: float
    learning: float
    fatigue: float = 0.0
    off: float = 0.0


@dataclass(frozen=True, slots=True)
class Happened:
    """What really happened in a set, watched or not: marks (True made) and faults as (rep, id)."""

    marks: tuple[bool, ...]
    faults: tuple[tuple[int, str], ...]


def make_body(
    gym: Gym,
    lifter: int,
    fives: Mapping[str, float],
    growth: float,
    skill: float,
    habit: Mapping[str, str],
    rng: Random,
) -> Body:
    """A body for someone who can do about `fives` (lift -> load) in sets of five today.

    `growth` is how much stronger they can still get (0.1 is a tenth); `habit`
    names a fault per lift that is surely theirs; other habits are drawn.
    """
    strength = {lift: load * 1.22 * rng.uniform(0.98, 1.02) for lift, load in fives.items()}
    habits: dict[str, dict[str, float]] = {}
    for lift_id in fives:
        usual = [f for f in gym.lifts[lift_id].faults if f.severity.rank <= Severity.FIX.rank]
        drawn = {f.id: 4.0 for f in rng.sample(usual, min(2, len(usual)))}
        if lift_id in habit:
            drawn[habit[lift_id]] = 12.0
        habits[lift_id] = drawn
    return Body(
        id=lifter,
        strength=strength,
        ceiling={lift: s * (1 + growth) for lift, s in strength.items()},
        skill={lift: min(0.95, max(0.05, skill + rng.uniform(-0.08, 0.08))) for lift in fives},
        habits=habits,
        recovery=rng.uniform(0.45, 0.65),
        learning=rng.uniform(0.035, 0.055),
    )


def _s_curve(x: float) -> float:
    return 1 / (1 + math.exp(-max(-60.0, min(60.0, x))))


def fault_chance(body: Body, lift: Lift, load: int, tired: float) -> float:
    """The chance that one rep has a fault: up with load against strength and fatigue, down with skill."""
    skill = body.skill[lift.id]
    effort = load / (body.strength[lift.id] * _freshness(body, tired))
    holds_to = 0.62 + 0.33 * skill
    return min(0.9, 0.006 + 0.02 * (1 - skill) + 0.4 * _s_curve((effort - holds_to) / 0.03))


def _freshness(body: Body, tired: float) -> float:
    """The share of the fresh strength left: `tired` is work sets done tonight."""
    return max(0.8, 1 - 0.004 * tired - 0.04 * min(1.5, body.fatigue)) * (1 - body.off)


def _choose(body: Body, lift: Lift, rng: Random) -> Fault:
    habit = body.habits[lift.id]
    weights = [HOW_OFTEN[f.severity] * habit.get(f.id, 1.0) for f in lift.faults]
    return rng.choices(lift.faults, weights)[0]


def lift_set(body: Body, lift: Lift, load: int, reps: int, tired: int, rng: Random) -> Happened:
    """One set as it really goes. A missed rep or a dangerous fault ends it there."""
    fresh = body.strength[lift.id] * _freshness(body, tired)
    chance = fault_chance(body, lift, load, tired)
    marks: list[bool] = []
    faults: list[tuple[int, str]] = []
    for rep in range(1, reps + 1):
        demand = load * (1 + rep / 30) / fresh
        made = rng.random() >= _s_curve((demand - 1.03) / 0.012)
        marks.append(made)
        if rng.random() < chance and lift.faults:
            fault = _choose(body, lift, rng)
            faults.append((rep, fault.id))
            if fault.severity is Severity.END:
                break
        if not made:
            break
    return Happened(tuple(marks), tuple(faults))


def trained(body: Body, sets: Mapping[str, int]) -> Body:
    """The body after an evening: `sets` is work sets done by lift. Stronger, more skilled, more tired."""
    strength, skill = dict(body.strength), dict(body.skill)
    for lift, count in sets.items():
        if count:
            strength[lift] += body.learning * (body.ceiling[lift] - strength[lift])
            skill[lift] += 0.025 * (0.97 - skill[lift])
    return replace(body, strength=strength, skill=skill, fatigue=body.fatigue + 0.07 * sum(sets.values()))


def rested(body: Body, days: float) -> Body:
    """The body after that many days without lifting."""
    return replace(body, fatigue=body.fatigue * (1 - body.recovery) ** days, off=0.0)


def cued(body: Body, lift: str, fault: str) -> Body:
    """A fault the coach saw and cued comes up a little less often from now on."""
    habits = body.habits[lift]
    if habits.get(fault, 1.0) <= 0.5:
        return body
    return replace(body, habits={**body.habits, lift: {**habits, fault: habits.get(fault, 1.0) * 0.97}})
