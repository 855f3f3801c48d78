"""Figures as the evidence shows them."""

from __future__ import annotations

import math

from floor.core.units import show_load


def tenth(load: float) -> str:
    """Hundredths to the nearest tenth of a unit, halves up: 6183 is "61.8". Finer would claim too much."""
    return show_load(10 * math.floor(load / 10 + 0.5))


def chance_word(p: float) -> str:
    """A p-value as a coach reads it, of 100 such lifts that did not change: "by chance 3 in 100"."""
    return f"by chance {math.floor(100 * p + 0.5)} in 100" if p >= 0.01 else "by chance less than 1 in 100"
