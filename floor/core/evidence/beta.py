"""The beta distribution with the standard library alone, and Student's t through it."""

from __future__ import annotations

import math
from functools import lru_cache

_TINY = 1e-300
_CLOSE = 1e-15
_TERMS = 10_000


def _fraction(x: float, a: float, b: float) -> float:
    """The continued fraction of the incomplete beta function, by Lentz's method."""
    c, d = 1.0, 1 - (a + b) * x / (a + 1)
    d = 1 / (d if abs(d) > _TINY else _TINY)
    found = d
    for m in range(1, _TERMS):
        for term in (
            m * (b - m) * x / ((a + 2 * m - 1) * (a + 2 * m)),
            -(a + m) * (a + b + m) * x / ((a + 2 * m) * (a + 2 * m + 1)),
        ):
            d = 1 + term * d
            d = 1 / (d if abs(d) > _TINY else _TINY)
            c = 1 + term / c
            c = c if abs(c) > _TINY else _TINY
            found *= c * d
        if abs(c * d - 1) < _CLOSE:
            return found
    raise ArithmeticError(f"the incomplete beta function did not settle at {x}, {a}, {b}")


def share_below(x: float, a: float, b: float) -> float:
    """The share of Beta(a, b) below x: the regularised incomplete beta function, a and b above 0.

    Good to about 1e-12. Raises ValueError for a or b not above 0.
    """
    if a <= 0 or b <= 0:
        raise ValueError(f"a beta distribution needs a and b above 0: {a}, {b}")
    if x <= 0:
        return 0.0
    if x >= 1:
        return 1.0
    log_front = (
        math.lgamma(a + b) - math.lgamma(a) - math.lgamma(b) + a * math.log(x) + b * math.log1p(-x)
    )
    if x < (a + 1) / (a + b + 2):
        return math.exp(log_front) * _fraction(x, a, b) / a
    return 1 - math.exp(log_front) * _fraction(1 - x, b, a) / b


def quantile(share: float, a: float, b: float) -> float:
    """The x with that share of Beta(a, b) below it, by halving, to about 1e-12."""
    low, high = 0.0, 1.0
    while high - low > 1e-13:
        middle = (low + high) / 2
        if share_below(middle, a, b) < share:
            low = middle
        else:
            high = middle
    return (low + high) / 2


@lru_cache(maxsize=512)
def t_quantile(share: float, freedom: int) -> float:
    """How many standard errors either side hold the middle `share` of Student's t; freedom 1 and up."""
    x = quantile(1 - share, freedom / 2, 0.5)
    return math.sqrt(freedom * (1 - x) / x)
