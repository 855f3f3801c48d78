"""A logistic curve of chance against load that may not rise with load, fitted with a prior.

Load is counted in tenths of a centre: x = 10 (load / centre - 1), so that a
curve means the same in kilograms and pounds. The log-odds are level - fall x.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

_ROUNDS = 100
_SETTLED = 1e-10


@dataclass(frozen=True, slots=True)
class Prior:
    """What is believed before anything was seen, in log-odds, each a mean and a standard deviation.

    `level` is at the centre load, `fall` is for every tenth of it more. The
    defaults say: even odds, give or take much; heavier is harder, by an amount
    that one good evening can't deny. Ours, no source.
    """

    level: float = 0.0
    level_sd: float = 2.0
    fall: float = 1.0
    fall_sd: float = 1.0


@dataclass(frozen=True, slots=True)
class Heap:
    """What was seen at one x: the weight of the clean reps and of the others."""

    x: float
    clean: float
    faulty: float


@dataclass(frozen=True, slots=True)
class Curve:
    """The most credible curve and the curvature there, inverted: variances and covariance."""

    level: float
    fall: float
    var_level: float
    var_fall: float
    cov: float

    def logit(self, x: float) -> float:
        """The log-odds at x."""
        return self.level - self.fall * x

    def spread(self, x: float) -> float:
        """The standard error of the log-odds at x."""
        return math.sqrt(max(0.0, self.var_level - 2 * x * self.cov + x * x * self.var_fall))


def chance_of(logit: float) -> float:
    """Log-odds as a chance, without overflow."""
    if logit >= 0:
        return 1 / (1 + math.exp(-logit))
    grown = math.exp(logit)
    return grown / (1 + grown)


def _score(heaps: Sequence[Heap], prior: Prior, level: float, fall: float) -> float:
    """Log of likelihood times prior, but for a constant."""
    total = -(((level - prior.level) / prior.level_sd) ** 2 + ((fall - prior.fall) / prior.fall_sd) ** 2) / 2
    for heap in heaps:
        logit = level - fall * heap.x
        soft = math.log1p(math.exp(-abs(logit)))
        total -= heap.clean * (soft - min(logit, 0.0)) + heap.faulty * (soft + max(logit, 0.0))
    return total


def _bend(
    heaps: Sequence[Heap], prior: Prior, level: float, fall: float
) -> tuple[float, float, float, float, float]:
    """The slopes of the score in level and fall, and the three second derivatives with the sign turned."""
    in_level = (prior.level - level) / prior.level_sd**2
    in_fall = (prior.fall - fall) / prior.fall_sd**2
    aa, bb, ab = 1 / prior.level_sd**2, 1 / prior.fall_sd**2, 0.0
    for heap in heaps:
        x, chance = heap.x, chance_of(level - fall * heap.x)
        left = heap.clean - (heap.clean + heap.faulty) * chance
        weight = (heap.clean + heap.faulty) * chance * (1 - chance)
        in_level += left
        in_fall -= left * x
        aa += weight
        ab -= weight * x
        bb += weight * x * x
    return in_level, in_fall, aa, bb, ab


def _climb(heaps: Sequence[Heap], prior: Prior, flat: bool) -> tuple[float, float]:
    """The level and fall of the highest score, by Newton's steps, halved while they don't climb.

    The score is strictly concave, so there is one top. `flat` holds the fall at 0.
    """
    level, fall = prior.level, 0.0 if flat else prior.fall
    score = _score(heaps, prior, level, fall)
    for _ in range(_ROUNDS):
        in_level, in_fall, aa, bb, ab = _bend(heaps, prior, level, fall)
        whole = aa * bb - ab * ab
        up = in_level / aa if flat else (bb * in_level - ab * in_fall) / whole
        side = 0.0 if flat else (aa * in_fall - ab * in_level) / whole
        share = 1.0
        while (higher := _score(heaps, prior, level + share * up, fall + share * side)) < score and share > 1e-9:
            share /= 2
        if higher < score:
            break
        level, fall, score = level + share * up, fall + share * side, higher
        if abs(up) + abs(side) < _SETTLED:
            break
    return level, fall


def fit(heaps: Sequence[Heap], prior: Prior | None = None) -> Curve:
    """The one curve that agrees best with what was seen and with the prior, its fall never below 0.

    When the reps alone would have it rise with load it is held flat, and the
    standard errors are still those of a curve free to fall.
    """
    prior = prior or Prior()
    level, fall = _climb(heaps, prior, flat=False)
    if fall < 0:
        level, fall = _climb(heaps, prior, flat=True)
    _, _, aa, bb, ab = _bend(heaps, prior, level, fall)
    whole = aa * bb - ab * ab
    return Curve(level, fall, bb / whole, aa / whole, -ab / whole)
