"""An estimated maximum from a load and the reps made with it, by the published equations.

Every equation stands for a set taken as far as it would go. A work set that
ends with reps left in hand gives less than the true maximum, so an estimate
from training is a floor, good for a trend and not for a trial. The equations
also run low on the deadlift (LeSuer et al. 1997, J Strength Cond Res
11(4):211-213; from memory).
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType

LINEAR_REPS = 10
"""No more reps than this in a linear equation (Reynolds, Gordon, Robergs 2006,
J Strength Cond Res 20(3):584-592; read in the abstract)."""

CURVED_REPS = 12
"""The last row of the chart below, used as the limit of the curved equations: our choice, no source."""

VARIES = 0.042
"""A measured maximum's own median coefficient of variation between two days
(Grgic et al. 2020, Sports Med Open 6:31; read)."""

CHART: Mapping[int, int] = MappingProxyType(
    {1: 100, 2: 95, 3: 93, 4: 90, 5: 87, 6: 85, 7: 83, 8: 80, 9: 77, 10: 75, 12: 70}
)
"""Reps to per cent of the maximum: the NSCA training load chart (read). It has no row for 11."""


@dataclass(frozen=True, slots=True)
class Equation:
    """One published equation: `times` gives maximum / load for a number of reps.

    `most` is the most reps it is used for; `had` says how the form was had;
    `at_one` says what it does with a single.
    """

    id: str
    name: str
    form: str
    source: str
    had: str
    most: int
    at_one: str
    times: Callable[[float], float]


def epley(reps: float, per_rep: float = 1 / 30) -> float:
    """Epley's factor; `per_rep` is also printed as 0.0333 and 0.033."""
    return 1 + per_rep * reps


_GIVES_BACK = "gives a single back unchanged"


def _above(per_cent: str) -> str:
    return f"would put a single {per_cent} % too high, so a single is taken as it is"


EQUATIONS: Mapping[str, Equation] = MappingProxyType({e.id: e for e in (
    Equation("epley", "Epley", "w (1 + r/30)", "Epley 1985", "second-hand",
             LINEAR_REPS, _above("3.3"), epley),
    Equation("brzycki", "Brzycki", "w / (1.0278 - 0.0278 r)", "Brzycki 1993, JOPERD 64(1):88-90", "second-hand",
             LINEAR_REPS, _GIVES_BACK, lambda r: 1 / (1.0278 - 0.0278 * r)),
    Equation("lander", "Lander", "100 w / (101.3 - 2.67123 r)", "Lander 1985, NSCA J 6(6):60-61", "second-hand",
             LINEAR_REPS, _above("1.4"), lambda r: 100 / (101.3 - 2.67123 * r)),
    Equation("lombardi", "Lombardi", "w r^0.10", "Lombardi 1989", "second-hand, and from memory",
             CURVED_REPS, _GIVES_BACK, lambda r: r**0.10),
    Equation("mayhew", "Mayhew", "100 w / (52.2 + 41.9 e^(-0.055 r))",
             "Mayhew et al. 1992, J Appl Sport Sci Res 6:200-206", "second-hand, and from memory",
             CURVED_REPS, _above("8.9"), lambda r: 100 / (52.2 + 41.9 * math.exp(-0.055 * r))),
    Equation("oconner", "O'Conner", "w (1 + 0.025 r)", "O'Conner et al. 1989", "second-hand, and from memory",
             LINEAR_REPS, _above("2.5"), lambda r: 1 + 0.025 * r),
    Equation("wathan", "Wathan", "100 w / (48.8 + 53.8 e^(-0.075 r))",
             "Wathan 1994, in Baechle (ed.)", "second-hand, and from memory",
             CURVED_REPS, _above("1.3"), lambda r: 100 / (48.8 + 53.8 * math.exp(-0.075 * r))),
)})  # fmt: skip
"""The equations a coach can pick from, by id."""


@dataclass(frozen=True, slots=True)
class SetDone:
    """One set that was done: load in hundredths, reps made, and how many days ago."""

    load: int
    reps: int
    days_ago: float


@dataclass(frozen=True, slots=True)
class Point:
    """A day's best: `value` in hundredths, so many whole days ago."""

    days_ago: int
    value: int


def estimate(equation: Equation, load: int, reps: int) -> int | str:
    """The estimated maximum in hundredths, to the nearest; or a sentence when the equation can't say.

    A single is its own maximum of the day with every equation: there is nothing to estimate.
    """
    if load <= 0:
        return "No load, no maximum."
    if reps < 1:
        return "No rep was made: no maximum."
    if reps > equation.most:
        return f"{reps} reps are too many for {equation.name}: {equation.most} at the most."
    if reps == 1:
        return load
    return math.floor(load * equation.times(reps) + 0.5)


def band(maximum: int) -> tuple[int, int]:
    """(low, high) in hundredths: one coefficient of variation of a measured maximum either side.

    Two maxima of one lifter differ by this much with nothing changed, so an
    estimate can be no surer; the equation's own error comes on top.
    """
    return math.floor(maximum * (1 - VARIES) + 0.5), math.floor(maximum * (1 + VARIES) + 0.5)


def chart_percent(reps: int) -> int | str:
    """The chart's per cent of the maximum for so many reps, or a sentence when it has no such row."""
    percent = CHART.get(reps)
    return f"The chart has no row for {reps} reps." if percent is None else percent


def best_by_day(equation: Equation, sets: Sequence[SetDone], within_days: int) -> tuple[Point, ...]:
    """The best estimate of each day, oldest first, of the sets of the last `within_days` days.

    Sets the equation can't speak for, and sets dated after today, are left out.
    """
    best: dict[int, int] = {}
    for done in sets:
        if not 0 <= done.days_ago < within_days:
            continue
        found = estimate(equation, done.load, done.reps)
        day = int(done.days_ago)
        if isinstance(found, int) and found > best.get(day, 0):
            best[day] = found
    return tuple(Point(day, best[day]) for day in sorted(best, reverse=True))
