"""How often, and how sure: intervals for a rate from counts.

All three take reps as independent. Reps of one set are not quite, so the truth
is a little less sure than these say.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from statistics import NormalDist

from floor.core.evidence.beta import quantile

SURE = 0.95
"""The share an interval is made to hold, unless asked otherwise: common practice."""


@dataclass(frozen=True, slots=True)
class Rate:
    """A rate between 0 and 1 with the ends of its interval."""

    rate: float
    low: float
    high: float


def _check(hits: int, n: int) -> None:
    if not 0 <= hits <= n:
        raise ValueError(f"{hits} of {n} is not a count")


def wilson(hits: int, n: int, sure: float = SURE) -> Rate:
    """The share seen and Wilson's score interval (Wilson 1927; as in Newcombe 1998, Stat Med 17:857-872).

    With nothing seen the interval is 0 to 1 and the rate is its middle. Raises
    ValueError when `hits` is not within 0 and `n`.
    """
    _check(hits, n)
    if n == 0:
        return Rate(0.5, 0.0, 1.0)
    z = NormalDist().inv_cdf((1 + sure) / 2)
    share = hits / n
    middle = 2 * hits + z * z
    reach = z * math.sqrt(z * z + 4 * hits * (1 - share))
    whole = 2 * (n + z * z)
    low = 0.0 if hits == 0 else (middle - reach) / whole
    high = 1.0 if hits == n else (middle + reach) / whole
    return Rate(share, low, high)


def posterior(hits: int, n: int, a: float = 1.0, b: float = 1.0, sure: float = SURE) -> Rate:
    """The mean and the equal-tailed interval of Beta(a + hits, b + misses): a rate known beforehand as Beta(a, b).

    (1, 1) is the uniform prior. See Gelman et al., Bayesian Data Analysis.
    Raises ValueError for an impossible count or a prior not above 0.
    """
    _check(hits, n)
    a, b = a + hits, b + n - hits
    tail = (1 - sure) / 2
    return Rate(a / (a + b), quantile(tail, a, b), quantile(1 - tail, a, b))


def difference(before: tuple[int, int], after: tuple[int, int], sure: float = SURE) -> Rate:
    """Rate after less rate before, each as (hits, n), between -1 and 1.

    The interval is built from the two Wilson intervals (Newcombe 1998, Stat Med
    17:873-890, method 10; from memory). While it holds 0, it is too early to say.
    """
    old, new = wilson(*before, sure), wilson(*after, sure)
    change = new.rate - old.rate
    return Rate(
        change,
        max(-1.0, change - math.hypot(new.rate - new.low, old.high - old.rate)),
        min(1.0, change + math.hypot(new.high - new.rate, old.rate - old.low)),
    )
