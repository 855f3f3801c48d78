"""A simulated lifter of the trial: what nobody sees of them, how a rep goes, what training does to them.

The form and the numbers (`trial_table.py`) were written before any rule was
tried. It is a toy: strength goes to a ceiling by reps that are heavy enough,
fatigue weakens and spoils it, technique holds up to a share of today's strength
that grows by good reps below it and shrinks by reps beyond it. None of this was
measured, and it proves nothing about people.
Loads and strengths are hundredths of the gym's unit, fatigue and skill shares.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from random import Random

from floor.core.gym import Fault, Gym, Lift, Severity
from floor.sim.trial_table import LIFTS, TRANSFER, Assumptions

KG = 100


@dataclass(slots=True)
class TrialBody:
    """One lifter. `strength` is the best single when fresh, `habits` the usual fault of each lift.

    `fatigue` is what is left of the sessions before, `day` how strong today is
    (1 as usual), `sets_today` the work sets done; `heavy` gathers today's useful
    reps by lift until `night` turns them into strength.
    """

    youth: bool
    newcomer: bool
    strength: dict[str, float]
    ceiling: Mapping[str, float]
    skill: dict[str, float]
    habits: Mapping[str, str]
    recovery: float
    learning: float
    practice: float
    fatigue: float = 0.0
    day: float = 1.0
    sets_today: int = 0
    heavy: dict[str, float] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Lifted:
    """What really happened in a set: marks (True made), faults as (rep, id), reps beyond the form limit, pain."""

    marks: tuple[bool, ...]
    faults: tuple[tuple[int, str], ...]
    beyond: int
    hurt: bool


def born(gym: Gym, table: Assumptions, rng: Random) -> TrialBody:
    """A lifter drawn from the assumptions, newcomer or trained for some months; only lifts the gym teaches."""
    youth = rng.random() < table.youth
    size = min(table.size_most, max(table.size_least, math.exp(rng.gauss(0, table.size_spread))))
    size *= table.youth_size if youth else 1.0
    newcomer = rng.random() >= table.trained_before
    gone = 0.0 if newcomer else rng.uniform(*table.trained_gone)
    more = 0.0 if newcomer else rng.uniform(*table.trained_skill)
    strength: dict[str, float] = {}
    ceiling: dict[str, float] = {}
    skill: dict[str, float] = {}
    habits: dict[str, str] = {}
    for lift_id, about in LIFTS.items():
        if lift_id not in gym.lifts:
            continue
        first = about.single * KG * size * math.exp(rng.gauss(0, table.lift_spread))
        ceiling[lift_id] = first * (1 + rng.uniform(*table.growth))
        strength[lift_id] = first + gone * (ceiling[lift_id] - first)
        skill[lift_id] = min(0.95, max(0.05, about.skill + more + rng.gauss(0, table.skill_spread)))
        usual = [f.id for f in gym.lifts[lift_id].faults if f.severity.rank <= Severity.FIX.rank]
        habits[lift_id] = rng.choice(usual) if usual else ""
    return TrialBody(
        youth, newcomer, strength, ceiling, skill, habits,
        recovery=rng.uniform(*table.recovery), learning=rng.uniform(*table.learning),
        practice=rng.uniform(*table.practice),
    )


def _s_curve(x: float) -> float:
    return 1 / (1 + math.exp(-max(-60.0, min(60.0, x))))


def wake(body: TrialBody, table: Assumptions, days: float, rng: Random) -> None:
    """A new training day, that many days after the last one."""
    body.fatigue *= math.exp(-body.recovery * days)
    idle = max(0.0, days - table.away_from)
    for lift_id in body.strength:
        body.strength[lift_id] *= (1 - table.away_loses) ** idle
    body.day = math.exp(rng.gauss(0, table.day_spread))
    body.sets_today = 0
    body.heavy = {}


def strength_now(body: TrialBody, table: Assumptions, lift_id: str) -> float:
    """The best single at this moment: after fatigue, the form of the day and the sets already done."""
    fresh = 1 - table.fatigue_weakens * body.fatigue - table.tired_a_set * body.sets_today
    return body.strength[lift_id] * body.day * max(table.freshness_least, fresh)


def form_limit(body: TrialBody, table: Assumptions, lift: Lift, stage: int | None) -> float:
    """The load up to which technique holds at this moment; a drill of an earlier stage is easier."""
    about = LIFTS[lift.id]
    holds = about.holds_unskilled + (about.holds_skilled - about.holds_unskilled) * body.skill[lift.id]
    stages = len(lift.stages)
    easier = 0.0 if stage is None or stages < 2 else table.drill_easier * (stages - min(stage, stages)) / stages
    return strength_now(body, table, lift.id) * holds * (1 + easier)


def fault_chance(body: TrialBody, table: Assumptions, lift_id: str, of_limit: float) -> float:
    """The chance that a rep at that share of the form limit has a fault."""
    always = table.fault_always + table.fault_unskilled * (1 - body.skill[lift_id])
    return min(0.95, always + table.fault_over * _s_curve((of_limit - 1) / table.fault_width))


def _severity(table: Assumptions, of_limit: float, rng: Random) -> Severity:
    """How bad a fault is: worse the further beyond the form limit."""
    over = max(0.0, of_limit - 1)
    end = table.end_share + min(table.end_most, table.end_over * over)
    lighten = table.lighten_share + min(table.lighten_most, table.lighten_over * over)
    draw = rng.random()
    if draw < end:
        return Severity.END
    if draw < end + lighten:
        return Severity.LIGHTEN
    return Severity.FIX if draw < end + lighten + table.fix_share else Severity.NOTE


def _fault(body: TrialBody, table: Assumptions, lift: Lift, of_limit: float, rng: Random) -> Fault | None:
    wanted = _severity(table, of_limit, rng)
    alike = [f for f in lift.faults if f.severity is wanted]
    if not alike:
        alike = [f for f in lift.faults if f.severity.rank < wanted.rank]
    if not alike:
        return None
    usual = body.habits[lift.id]
    return rng.choices(alike, [table.habit if f.id == usual else 1.0 for f in alike])[0]


def lift_set(
    body: TrialBody, table: Assumptions, lift: Lift, load: int, reps: int, stage: int | None, watched: bool, rng: Random
) -> Lifted:
    """One work set as it really goes, and what it does to the body. A miss, a fault that ends, or pain ends it."""
    strong = strength_now(body, table, lift.id)
    of_limit = load / form_limit(body, table, lift, stage)
    chance = fault_chance(body, table, lift.id, of_limit)
    effort = load / body.strength[lift.id]
    over = max(0.0, of_limit - 1)
    pain = table.pain_a_rep + table.pain_beyond * min(1.0, over / table.pain_full_at)
    teaches = body.practice * (table.watched_teaches if watched else 1.0)
    useful = min(1.0, max(0.0, (effort - table.trains_from) / (table.trains_fully - table.trains_from)))
    marks: list[bool] = []
    faults: list[tuple[int, str]] = []
    hurt = False
    for rep in range(1, reps + 1):
        demand = load * (1 + table.rep_costs * rep) / strong
        made = rng.random() >= _s_curve((demand - table.misses_at) / table.miss_width)
        fault = _fault(body, table, lift, of_limit, rng) if rng.random() < chance else None
        hurt = rng.random() < pain
        ends = fault is not None and fault.severity is Severity.END
        if fault is not None:
            faults.append((rep, fault.id))
        marks.append(made and not ends)
        body.fatigue += table.fatigue_a_rep * LIFTS[lift.id].tiring * effort**3
        skill = body.skill[lift.id]
        if of_limit > 1:
            body.skill[lift.id] = skill * (1 - table.beyond_unteaches * body.practice)
        elif fault is None and made and of_limit >= table.practice_from:
            body.skill[lift.id] = skill + teaches * (1 - skill)
        if marks[-1]:
            body.heavy[lift.id] = body.heavy.get(lift.id, 0.0) + useful
        else:
            body.fatigue += table.fatigue_a_miss
        if hurt or not marks[-1]:
            break
    body.sets_today += 1
    return Lifted(tuple(marks), tuple(faults), len(marks) if of_limit > 1 else 0, hurt)


def night(body: TrialBody, table: Assumptions, tired_before: float) -> None:
    """What today's useful reps add to strength; less for who came tired (`tired_before`, fatigue at the start)."""
    reps = dict(body.heavy)
    for lift_id, done in body.heavy.items():
        for other, share in TRANSFER.get(lift_id, {}).items():
            if other in body.strength:
                reps[other] = reps.get(other, 0.0) + share * done
    takes = max(0.0, 1 - table.fatigue_spoils * tired_before)
    for lift_id, done in reps.items():
        share = 1 - math.exp(-done / table.reps_half_way)
        body.strength[lift_id] += body.learning * takes * share * (body.ceiling[lift_id] - body.strength[lift_id])
