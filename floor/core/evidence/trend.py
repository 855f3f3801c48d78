"""Whether a lifter still rises: the Theil-Sen slope, the Mann-Kendall test, and the word on it.

Limits, all of them on the side of sounding surer than is right: both take days
as independent, and a planned load that goes up by itself is not; an estimate
from sets with reps in hand says what was asked for as much as what could be
done. So repeats speak first, and a rise is no promise.
"""

from __future__ import annotations

import math
from bisect import bisect_left, bisect_right, insort
from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from enum import StrEnum
from functools import lru_cache
from statistics import NormalDist, median

from floor.core.evidence.maximum import Point
from floor.core.evidence.rates import SURE
from floor.core.evidence.words import chance_word, tenth

REPEATS = 3
"""So many repeats of a load running are a stall, whatever a test says: common practice."""

WINDOW_DAYS = 84
"""Progress is judged over the last twelve weeks: our choice, no source."""

MOST_DAYS = 60
"""No more than the latest so many days of lifting are looked at: the slopes go with the square."""

FEWEST_DAYS = 5
"""With four days even four rises running leave p at 0.083: nothing could be said at 0.05."""

EXACT_DAYS = 20
"""Up to so many days the test's p is counted, not taken from the normal curve."""

RECENT = 12
"""A rise or fall of the whole window is one only while the last so many days of lifting bear it out.

That is six weeks of a lift done twice a week: our choice, no source.
"""

WEEKS = 4
"""A lift that can't be rising one step in so many weeks has stalled: common practice, no source."""


@dataclass(frozen=True, slots=True)
class Slope:
    """Change per day in the values' own unit, with the ends of its interval."""

    slope: float
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class MannKendall:
    """`s` is rises less falls over all pairs; `variance` allows for ties; `p` is two-sided.

    `z` carries the continuity correction. `p` is exact for few days, see EXACT_DAYS.
    """

    s: int
    variance: float
    z: float
    p: float


class Verdict(StrEnum):
    """What the trend says."""

    RISING = "rising"
    FALLING = "falling"
    STALLED = "stalled"
    HELD = "at stage limit"
    UNCLEAR = "unclear"
    EARLY = "too early to say"


@dataclass(frozen=True, slots=True)
class Progress:
    """The word on a lift's progress; `slope` is per week, in hundredths; None when too early."""

    verdict: Verdict
    days: int
    slope: Slope | None
    test: MannKendall | None
    words: str


def _tied(values: Iterable[float]) -> int:
    """What ties take off 18 times the variance of s."""
    return sum(t * (t - 1) * (2 * t + 5) for t in Counter(values).values() if t > 1)


def _variance(days: Sequence[float], values: Sequence[float]) -> float:
    n = len(values)
    return (n * (n - 1) * (2 * n + 5) - _tied(days) - _tied(values)) / 18


def theil_sen(days: Sequence[float], values: Sequence[float], sure: float = SURE) -> Slope:
    """The median slope over all pairs of different days, with Sen's interval.

    Theil 1950; Sen 1968, J Am Stat Assoc 63:1379-1389. Needs two different
    days; raises ValueError with fewer.
    """
    pairs = list(zip(days, values, strict=True))
    slopes = sorted(
        (v - u) / (d - c) for n, (c, u) in enumerate(pairs) for d, v in pairs[n + 1 :] if c != d
    )
    if not slopes:
        raise ValueError("a slope needs two different days")
    count = len(slopes)
    reach = NormalDist().inv_cdf((1 + sure) / 2) * math.sqrt(_variance(days, values))
    high = min(round((count + reach) / 2), count - 1)
    low = max(round((count - reach) / 2) - 1, 0)
    return Slope(median(slopes), slopes[low], slopes[high])


def _exact(s: int, values: Sequence[float]) -> float:
    """The share of all orders of these values with an s at least as far from 0.

    Falls over all orders of tied values are counted by the q-multinomial
    coefficient, here a power series cut at the most falls there can be.
    """
    counts = _falls(tuple(sorted(Counter(values).values())))
    most = len(counts) - 1
    return sum(c for falls, c in enumerate(counts) if abs(most - 2 * falls) >= abs(s)) / sum(counts)


@lru_cache(maxsize=256)
def _falls(groups: tuple[int, ...]) -> tuple[int, ...]:
    """How many orders have 0, 1, 2 ... falls, of values that are tied in groups of these sizes."""
    n = sum(groups)
    most = (n * (n - 1) - sum(t * (t - 1) for t in groups)) // 2
    counts = [1] + [0] * most
    for k in range(1, n + 1):
        for i in range(most, k - 1, -1):
            counts[i] -= counts[i - k]
    for k in (k for t in groups for k in range(1, t + 1)):
        for i in range(k, most + 1):
            counts[i] += counts[i - k]
    return tuple(counts)


def mann_kendall(values: Sequence[float]) -> MannKendall:
    """The test of Mann 1945 (Econometrica 13:245-259) and Kendall for values in order of time, one a day."""
    s = 0
    earlier: list[float] = []
    for value in values:
        s += bisect_left(earlier, value) + bisect_right(earlier, value) - len(earlier)
        insort(earlier, value)
    variance = _variance((), values)
    z = math.copysign(abs(s) - 1, s) / math.sqrt(variance) if s else 0.0
    p = _exact(s, values) if len(values) <= EXACT_DAYS else math.erfc(abs(z) / math.sqrt(2))
    return MannKendall(s, variance, z, p)


def judge(points: Sequence[Point], repeats: int, step: int, unit: str, sure: float = SURE) -> Progress:
    """The word on a lift from its day's bests, the repeats running now, and its step (hundredths of `unit`).

    Repeats speak first. A rise or fall needs a p below 1 - `sure`, and says it, and a slope whose interval over
    the last RECENT days of lifting lies on that side of 0: what rose a month ago may stand still. Without that p,
    it is a stall only when even the upper end of the slope is less than one step
    in WEEKS weeks: no rise shown is not yet a stall shown.
    """
    latest: dict[int, int] = {}
    for point in points:
        if 0 <= point.days_ago < WINDOW_DAYS:
            latest[point.days_ago] = max(point.value, latest.get(point.days_ago, 0))
    days = sorted(latest)[:MOST_DAYS][::-1]
    values = [latest[day] for day in days]
    if repeats >= REPEATS:
        return Progress(Verdict.STALLED, len(days), None, None, f"stalled: {repeats} repeats running")
    if len(days) < FEWEST_DAYS:
        words = f"too early to say: days of lifting {len(days)}, needed {FEWEST_DAYS}"
        return Progress(Verdict.EARLY, len(days), None, None, words)
    test = mann_kendall(values)
    daily = theil_sen([-day for day in days], values, sure)
    slope = Slope(7 * daily.slope, 7 * daily.low, 7 * daily.high)
    late = theil_sen([-day for day in days[-RECENT:]], values[-RECENT:], sure)
    shown = test.p < 1 - sure
    if shown and (late.low > 0 if test.s > 0 else late.high < 0):
        verdict = Verdict.RISING if test.s > 0 else Verdict.FALLING
    else:
        verdict = Verdict.STALLED if not shown and slope.high * WEEKS < step else Verdict.UNCLEAR
    low, middle, high = (tenth(x) for x in (slope.low, slope.slope, slope.high))
    told = f"{middle} {unit} a week ({low} to {high})"
    if verdict is Verdict.STALLED:
        told = f"at most {high} {unit} a week, under a step in {WEEKS} weeks"
    more = ""
    if verdict in (Verdict.RISING, Verdict.FALLING):
        more = f", {chance_word(test.p)}"
    elif shown and verdict is Verdict.UNCLEAR and len(days) > RECENT:
        more = f", last {RECENT} mixed"
    words = f"{verdict}: {told}, {len(days)} days{more}"
    return Progress(verdict, len(days), slope, test, words)
