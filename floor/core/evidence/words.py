"""Figures as the evidence shows them."""

from __future__ import annotations

import math

from floor.core.units import show_load


def tenth(load: float) -> str:
    """Hundredths to the nearest tenth of a unit, halves up: 6183 is "61.8". Finer would claim too much."""
    return show_load(10 * math.floor(load / 10 + 0.5))


def chance_word(p: float) -> str:
    """A p-value as shown: "p 0.031", or "p under 0.001"."""
    return f"p {p:.3f}" if p >= 0.001 else "p under 0.001"
