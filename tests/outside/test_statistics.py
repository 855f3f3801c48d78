"""The statistics at the values printed for them, and beside general libraries on random data."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy import optimize, special, stats
from sklearn.linear_model import LogisticRegression

from floor.core.evidence.beta import quantile, share_below, t_quantile
from floor.core.evidence.logistic import Heap, Prior, fit
from floor.core.evidence.rates import difference, posterior, wilson
from floor.core.evidence.trend import mann_kendall, theil_sen


@pytest.mark.parametrize(("hits", "n", "low", "high"), [(81, 263, 0.2553, 0.3662), (15, 148, 0.0624, 0.1605)])
def test_wilsons_interval(hits: int, n: int, low: float, high: float) -> None:
    """Newcombe 1998, Stat Med 17:857-872 (from memory, and computed)."""
    found = wilson(hits, n)
    assert (round(found.low, 4), round(found.high, 4)) == (low, high)


def test_the_difference_of_two_rates() -> None:
    """Newcombe 1998, Stat Med 17:873-890, method 10, 56/70 less 48/80 (from memory, not read)."""
    found = difference((48, 80), (56, 70))
    assert (round(found.rate, 4), round(found.low, 4), round(found.high, 4)) == (0.2, 0.0524, 0.3339)


def test_a_posterior_rate() -> None:
    """437 of 980, uniform prior: Gelman et al., Bayesian Data Analysis (read)."""
    found = posterior(437, 980)
    assert (round(found.rate, 3), round(found.low, 4), round(found.high, 4)) == (0.446, 0.4151, 0.4772)


def test_mann_kendall_with_ties() -> None:
    """EPA QA/G-9S (read): S 22, variance 155.33, Z 1.685."""
    found = mann_kendall([10, 10, 10, 5, 10, 20, 18, 17, 15, 24, 15])
    assert (found.s, round(found.variance, 2), round(found.z, 3)) == (22, 155.33, 1.685)


@pytest.mark.parametrize("seed", range(40))
def test_wilson_beside_scipy(seed: int) -> None:
    rng = np.random.default_rng(seed)
    n = int(rng.integers(1, 500))
    hits, sure = int(rng.integers(0, n + 1)), float(rng.choice([0.8, 0.9, 0.95, 0.99]))
    ours, theirs = wilson(hits, n, sure), stats.binomtest(hits, n).proportion_ci(sure, method="wilson")
    assert (ours.low, ours.high) == pytest.approx((theirs.low, theirs.high), abs=1e-12)


def test_the_beta_distribution_beside_scipy() -> None:
    rng = np.random.default_rng(1)
    for a, b, x in zip(rng.uniform(0.3, 800, 300), rng.uniform(0.3, 800, 300), rng.uniform(0, 1, 300), strict=True):
        assert share_below(x, a, b) == pytest.approx(special.betainc(a, b, x), abs=1e-11)
        assert quantile(x, a, b) == pytest.approx(stats.beta.ppf(x, a, b), abs=1e-9)


@pytest.mark.parametrize("freedom", [1, 2, 3, 5, 10, 30, 200])
def test_students_t_beside_scipy(freedom: int) -> None:
    for sure in (0.5, 0.8, 0.95, 0.99):
        assert t_quantile(sure, freedom) == pytest.approx(stats.t.ppf((1 + sure) / 2, freedom), rel=1e-9)


def series(seed: int, ties: bool) -> tuple[list[float], list[float]]:
    """Days with gaps, and values that rise or not; with ties, few different values."""
    rng = np.random.default_rng(seed)
    n = int(rng.integers(5, 60))
    days = np.cumsum(rng.integers(1, 5, n))
    values = rng.normal(0, 3, n) + rng.uniform(-0.1, 0.1) * days
    return days.astype(float).tolist(), (np.round(values) if ties else values).tolist()


@pytest.mark.parametrize("ties", [False, True])
@pytest.mark.parametrize("seed", range(40))
def test_theil_and_sens_slope_beside_scipy(seed: int, ties: bool) -> None:
    days, values = series(seed, ties)
    ours, theirs = theil_sen(days, values), stats.theilslopes(values, days, 0.95)
    assert (ours.slope, ours.low, ours.high) == pytest.approx((theirs.slope, theirs.low_slope, theirs.high_slope))


@pytest.mark.parametrize("ties", [False, True])
@pytest.mark.parametrize("seed", range(40))
def test_mann_kendalls_s_and_variance_beside_scipy(seed: int, ties: bool) -> None:
    """Scipy's p is without the continuity correction: from our s and variance it must come out the same."""
    days, values = series(seed, ties)
    ours = mann_kendall(values)
    theirs = stats.kendalltau(days, values, method="asymptotic")
    assert math.erfc(abs(ours.s) / math.sqrt(2 * ours.variance)) == pytest.approx(theirs.pvalue)
    assert (ours.s > 0) == (theirs.statistic > 0)


@pytest.mark.parametrize("seed", range(40))
def test_mann_kendalls_exact_p_beside_scipy(seed: int) -> None:
    days, values = series(seed, ties=False)
    days, values = days[:20], values[:20]
    assert mann_kendall(values).p == pytest.approx(stats.kendalltau(days, values, method="exact").pvalue)


def heaps(seed: int, falls: bool) -> list[Heap]:
    """Reps at some loads, weights and all, from a curve that falls with load or rises with it."""
    rng = np.random.default_rng(seed)
    xs = rng.uniform(-5, 4, int(rng.integers(2, 25)))
    chance = 1 / (1 + np.exp(-(1 + (-1 if falls else 1) * rng.uniform(0.2, 1.5) * xs)))
    counts = rng.integers(1, 20, len(xs))
    clean = rng.binomial(counts, chance)
    weights = rng.uniform(0.1, 1, len(xs))
    return [Heap(*map(float, h)) for h in zip(xs, weights * clean, weights * (counts - clean), strict=True)]


@pytest.mark.parametrize("sd", [0.7, 3.0, 30.0])
@pytest.mark.parametrize("seed", range(15))
def test_the_logistic_curve_beside_scikit_learn(seed: int, sd: float) -> None:
    """With a prior about zero for both the score is its ridge penalty, C the variance; only falling curves compare."""
    seen = heaps(seed, falls=True)
    ours = fit(seen, Prior(0.0, sd, 0.0, sd))
    rows = [((1.0, -h.x), kind, w) for h in seen for kind, w in ((1, h.clean), (0, h.faulty)) if w]
    x, y, w = ([row[n] for row in rows] for n in range(3))
    if len(set(y)) < 2:
        pytest.skip("scikit-learn needs both kinds of rep")
    model = LogisticRegression(C=sd**2, fit_intercept=False, solver="newton-cholesky", tol=1e-12, max_iter=1000)
    theirs = model.fit(np.array(x), np.array(y), sample_weight=np.array(w)).coef_[0]
    if theirs[1] < 0:
        assert ours.fall == 0
    else:
        assert (ours.level, ours.fall) == pytest.approx(tuple(theirs), abs=1e-5)


@pytest.mark.parametrize("falls", [True, False])
@pytest.mark.parametrize("seed", range(25))
def test_the_constrained_curve_and_its_curvature_beside_scipy(seed: int, falls: bool) -> None:
    seen, prior = heaps(seed, falls), Prior()
    table = np.array([(h.x, h.clean, h.faulty) for h in seen])
    design = np.c_[np.ones(len(seen)), -table[:, 0]]
    mean, sd = np.array([prior.level, prior.fall]), np.array([prior.level_sd, prior.fall_sd])

    def cost(at: np.ndarray) -> float:
        logit = design @ at
        lost = table[:, 1] * np.logaddexp(0, -logit) + table[:, 2] * np.logaddexp(0, logit)
        return float(lost.sum() + (((at - mean) / sd) ** 2).sum() / 2)

    best = optimize.minimize(cost, mean, bounds=[(None, None), (0, None)], method="L-BFGS-B", options={"ftol": 1e-14})
    ours = fit(seen, prior)
    found = np.array([ours.level, ours.fall])
    assert cost(found) <= best.fun + 1e-9
    assert found == pytest.approx(best.x, abs=1e-3)
    chance = special.expit(design @ found)
    weight = (table[:, 1] + table[:, 2]) * chance * (1 - chance)
    inverse = np.linalg.inv(design.T @ (weight[:, None] * design) + np.diag(1 / sd**2))
    assert (ours.var_level, ours.cov, ours.var_fall) == pytest.approx((inverse[0, 0], inverse[0, 1], inverse[1, 1]))


def test_some_of_the_curves_beside_scipy_are_held_flat() -> None:
    assert sum(fit(heaps(seed, falls=False), Prior()).fall == 0 for seed in range(25)) >= 5
