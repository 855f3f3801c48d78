"""What ten years of one lifter's sets cost to judge, beside general libraries given the same."""

from __future__ import annotations

import math
from functools import partial
from random import Random

import numpy as np
import pytest
from scipy import stats
from sklearn.linear_model import LogisticRegression

from floor.core.evidence.formlimit import RepSeen, form_limit, gather, limit_of
from floor.core.evidence.maximum import EQUATIONS, SetDone, best_by_day
from floor.core.evidence.trend import WINDOW_DAYS, judge
from tests.bench.benching import milliseconds, report, timed

DAYS = 10 * 52 * 3
SETS = 5
REPS = 5
ROUNDS = 40


def ten_years() -> tuple[list[RepSeen], list[SetDone]]:
    """Three days a week, five sets of five on one lift, every rep watched; a made-up lifter who gets stronger."""
    random = Random(10)
    reps: list[RepSeen] = []
    sets: list[SetDone] = []
    for day in range(DAYS):
        ago, holds = (DAYS - day) * 7 / 3, 6000 + 4 * day
        for share in (0.7, 0.8, 0.9, 1.0, 1.05):
            load = round(holds * share / 250) * 250
            odds = math.exp(math.log(4) - 10 * (load / holds - 1))
            reps += [RepSeen(load, random.random() < odds / (1 + odds), ago) for _ in range(REPS)]
            sets.append(SetDone(load, REPS, ago))
    return reps, sets


@pytest.mark.bench
def test_ten_years_of_sets_beside_general_libraries() -> None:
    reps, sets = ten_years()
    cells = gather(reps)
    x = np.array([(1.0, -rep.load / 10_000) for rep in reps])
    y = np.array([rep.clean for rep in reps])
    weight = np.array([0.5 ** (rep.days_ago / 42) for rep in reps])
    few = np.array([(1.0, -cell.load / 10_000) for cell in cells] * 2)
    kind = np.array([True] * len(cells) + [False] * len(cells))
    aged = [0.5 ** (cell.days_ago / 42) for cell in cells]
    counts = [cell.clean for cell in cells] + [cell.faulty for cell in cells]
    heavy = np.array(counts) * np.array(aged * 2)
    points = best_by_day(EQUATIONS["epley"], sets, WINDOW_DAYS)
    days, values = [-float(p.days_ago) for p in points], [p.value for p in points]

    def progress() -> None:
        judge(best_by_day(EQUATIONS["epley"], sets, WINDOW_DAYS), 0, 250, "kg")

    def both() -> None:
        form_limit(reps)
        progress()

    def slopes() -> None:
        stats.theilslopes(values, days)
        stats.kendalltau(days, values)

    model = LogisticRegression(solver="newton-cholesky", fit_intercept=False)
    acts = {
        "form limit, rep by rep": (partial(form_limit, reps), "fit"),
        "form limit, counted by day and load": (partial(limit_of, cells), "fit of cells"),
        "scikit-learn fit, arrays ready": (partial(model.fit, x, y, sample_weight=weight), "fit"),
        "scikit-learn fit, cells ready": (partial(model.fit, few, kind, sample_weight=heavy), "fit of cells"),
        "progress: maximum, slope, test": (progress, "slopes"),
        "scipy theilslopes and kendalltau, the same days": (slopes, "slopes"),
        "form limit and progress": (both, ""),
    }
    peers = {
        "fit": "scikit-learn fit, arrays ready",
        "fit of cells": "scikit-learn fit, cells ready",
        "slopes": "scipy theilslopes and kendalltau, the same days",
    }
    took = {name: [timed(act) for _ in range(ROUNDS)] for name, (act, _) in acts.items()}
    rows = [("", "median ms", "p99 ms", "ratio to its peer")]
    for name, (_, peer) in acts.items():
        middle = milliseconds(took[name], 0.5)
        ratio = f"{middle / milliseconds(took[peers[peer]], 0.5):.2f}" if peer else ""
        rows.append((name, f"{middle:.2f}", f"{milliseconds(took[name], 0.99):.2f}", ratio))
    report(f"Evidence of ten years: {len(sets)} sets, {len(reps)} reps, {len(cells)} cells still of weight", rows)
    assert milliseconds(took["form limit and progress"], 0.5) <= 5
