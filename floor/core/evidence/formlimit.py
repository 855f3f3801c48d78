"""The form limit: the load up to which a lifter's reps are likely to be free of faults.

A logistic curve of the chance of a fault-free rep against load. Newer reps
count more (halved every `half_life` days), reps of one day at one load count
less than as many spread out (ALIKE), and the interval is wider when few days
were watched (Student's t with one freedom less than days). Nothing is said
further than a tenth past the loads that were watched.

No term for learning: what was seen lately is trusted, what is hoped for is not.

Its limit: on one straight line in log-odds, faults at light loads can hide
behind clean heavy reps and the other way round. What was seen at a load itself
always moves the chance at that load the right way.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from enum import StrEnum
from functools import cached_property

from floor.core.evidence.beta import t_quantile
from floor.core.evidence.logistic import Curve, Heap, Prior, chance_of, fit
from floor.core.evidence.rates import SURE
from floor.core.evidence.words import tenth

VERSION = "form limit/1"
"""Named in every event that rests on a limit: goes up when the reckoning changes."""

HALF_LIFE = 42.0
"""Days in which a rep's weight halves: our choice, no source."""

FORGOTTEN = 10
"""After so many half-lives a rep weighs less than a thousandth and is left out."""

ALIKE = 0.1
"""How alike the reps of one day at one load are, 0 not at all, 1 quite: our choice, no source."""

REACH = 0.1
"""How far past the watched loads a limit is named: the upper end of one increase, 2-10 %
(ACSM position stand 2009, Med Sci Sports Exerc 41(3):687-708; read)."""

FEWEST_REPS = 10
FEWEST_DAYS = 2
"""With fewer watched reps or days no limit is named: our choice, no source."""

_MOST_FREEDOM = 200


@dataclass(frozen=True, slots=True)
class RepSeen:
    """One rep somebody watched: load in hundredths, whether it was free of faults, and how many days ago."""

    load: int
    clean: bool
    days_ago: float


@dataclass(frozen=True, slots=True)
class Cell:
    """The watched reps of one day at one load, counted."""

    load: int
    days_ago: int
    clean: int
    faulty: int


class Where(StrEnum):
    """Where the limit lies beside the loads that were watched."""

    EARLY = "early"
    BELOW = "below"
    WITHIN = "within"
    ABOVE = "above"


@dataclass(frozen=True, slots=True)
class FormLimit:
    """The load (hundredths) at which the chance of a fault-free rep passes the threshold, and how sure that is.

    `load`, `low` and `high` are None when it is too early to say. `low_open`
    and `high_open` say that the interval goes on past what can be named. `n` is
    the watched reps it rests on, `fresh` what they weigh today.
    """

    load: int | None
    low: int | None
    high: int | None
    n: int
    days: int
    fresh: float
    where: Where
    low_open: bool
    high_open: bool
    words: str


class FormCurve:
    """The chance of a fault-free rep at any load, from cells that are not empty."""

    def __init__(self, cells: Sequence[Cell], half_life: float = HALF_LIFE, prior: Prior | None = None) -> None:
        """Weigh the cells and fit; raises ValueError with none."""
        if not cells:
            raise ValueError("a form curve needs reps that were watched")
        heaps: dict[int, list[float]] = {}
        for cell in cells:
            count = cell.clean + cell.faulty
            weight = 0.5 ** (cell.days_ago / half_life) / (1 + (count - 1) * ALIKE)
            heap = heaps.setdefault(cell.load, [0.0, 0.0])
            heap[0] += weight * cell.clean
            heap[1] += weight * cell.faulty
        self.fresh = sum(map(sum, heaps.values()))
        self.centre = sum(load * sum(heap) for load, heap in heaps.items()) / self.fresh
        self.lightest, self.heaviest = min(heaps), max(heaps)
        self.days = len({cell.days_ago for cell in cells})
        self._heaps = tuple(Heap(self._x(load), *heaps[load]) for load in sorted(heaps))
        self._prior = prior

    def _x(self, load: float) -> float:
        return 10 * (load / self.centre - 1)

    @cached_property
    def curve(self) -> Curve:
        """The fitted curve, in tenths of the centre load."""
        return fit(self._heaps, self._prior)

    def chance(self, load: float) -> float:
        """The chance of a fault-free rep at that load (hundredths), never higher for a heavier one."""
        return chance_of(self.curve.logit(self._x(load)))

    def sureness(self, sure: float) -> float:
        """How many standard errors to go either side, by the number of days watched."""
        return t_quantile(sure, max(1, min(self.days - 1, _MOST_FREEDOM)))

    def crossings(self, threshold: float, sure: float) -> tuple[float, float, float]:
        """The loads where the curve, and the lower and upper ends of its interval, pass the threshold.

        Zero when it is below at every load, infinity when it is above at every load. A
        load counts as holding at the lower end when any heavier one does, and as
        failing at the upper end when any lighter one does: the chance can't rise
        with load.
        """
        c, z = self.curve, self.sureness(sure)
        above = c.level - math.log(threshold / (1 - threshold))
        limit = above / c.fall if c.fall > 0 else math.copysign(math.inf, above)
        # (above - fall x)^2 = z^2 (var_level - 2 x cov + x^2 var_fall), as p x^2 - 2 q x + r = 0
        p = c.fall**2 - z * z * c.var_fall
        q = above * c.fall - z * z * c.cov
        r = above**2 - z * z * c.var_level
        low, high = -math.inf, math.inf
        for root in _roots(p, q, r):
            if above - c.fall * root >= 0:
                low = max(low, root)
            else:
                high = min(high, root)
        return self._load(limit), self._load(low), self._load(high)

    def _load(self, x: float) -> float:
        return max(0.0, self.centre * (1 + x / 10))


def _roots(p: float, q: float, r: float) -> tuple[float, ...]:
    """The real roots of p x^2 - 2 q x + r."""
    if p == 0:
        return (r / (2 * q),) if q else ()
    inside = q * q - p * r
    if inside < 0:
        return ()
    far = q + math.copysign(math.sqrt(inside), q)
    return (far / p, r / far) if far else (0.0,)


def gather(reps: Sequence[RepSeen], half_life: float = HALF_LIFE) -> tuple[Cell, ...]:
    """Watched reps counted by day and load, newest first; days ahead count as today.

    Reps with nothing in hand say nothing about load, and forgotten ones nothing at all: both are left out.
    """
    oldest = half_life * FORGOTTEN
    counts: dict[tuple[int, int], list[int]] = {}
    for rep in reps:
        if rep.days_ago > oldest or rep.load <= 0:
            continue
        key = (max(0, int(rep.days_ago)), rep.load)
        count = counts.get(key)
        if count is None:
            counts[key] = count = [0, 0]
        count[not rep.clean] += 1
    return tuple(Cell(load, day, *counts[day, load]) for day, load in sorted(counts))


def form_limit(
    reps: Sequence[RepSeen], threshold: float = 0.8, unit: str = "kg", half_life: float = HALF_LIFE, sure: float = SURE
) -> FormLimit:
    """The form limit from watched reps alone; `threshold` is a chance between 0 and 1, `half_life` days."""
    return limit_of(gather(reps, half_life), threshold, unit, half_life, sure)


def limit_of(
    cells: Sequence[Cell],
    threshold: float = 0.8,
    unit: str = "kg",
    half_life: float = HALF_LIFE,
    sure: float = SURE,
) -> FormLimit:
    """The form limit from reps already counted by day and load (one cell for each pair)."""
    n = sum(cell.clean + cell.faulty for cell in cells)
    days = len({cell.days_ago for cell in cells})
    if n < FEWEST_REPS or days < FEWEST_DAYS:
        words = (
            f"too early to say: watched reps {n} on {days} {'day' if days == 1 else 'days'}, "
            f"needed {FEWEST_REPS} on {FEWEST_DAYS}"
        )
        return FormLimit(None, None, None, n, days, 0.0, Where.EARLY, True, True, words)
    curve = FormCurve(cells, half_life)
    limit, low, high = curve.crossings(threshold, sure)
    least, most = math.ceil(curve.lightest * (1 - REACH)), math.floor(curve.heaviest * (1 + REACH))

    def named(load: float) -> int:
        return round(min(max(load, least), most))

    where = Where.BELOW if limit < curve.lightest else Where.ABOVE if limit > curve.heaviest else Where.WITHIN
    found = FormLimit(
        named(limit), named(low), named(high), n, days, curve.fresh, where, low < least, high > most, ""
    )
    return _worded(found, curve, threshold, unit)


def _worded(found: FormLimit, curve: FormCurve, threshold: float, unit: str) -> FormLimit:
    """The same limit with its words."""
    low = f"{'under ' if found.low_open else ''}{tenth(found.low or 0)}"
    high = f"{'over ' if found.high_open else ''}{tenth(found.high or 0)}"
    percent = f"{100 * threshold:.0f} %"
    told = {
        Where.BELOW: f"under {percent} clean even at {tenth(curve.lightest)} {unit}",
        Where.WITHIN: f"{percent} clean up to {tenth(found.load or 0)} {unit}",
        Where.ABOVE: f"{percent} clean at all loads, to {tenth(curve.heaviest)} {unit}",
    }
    return replace(found, words=f"{told[found.where]} ({low} to {high}), {found.n} reps")
