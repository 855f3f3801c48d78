"""Loads that are more likely a slip of the pen than a lift: asked about before they are taken.

Common practice, no source: a decimal point left out makes a load ten times as
heavy, pounds read as kilograms 2.2 times. Neither bound says that nobody can
lift it: a coach who knows better says so.
"""

from __future__ import annotations

from collections.abc import Sequence

from floor.core.units import convert, show_with_unit

CEILING_KG = 30_000
"""Hundredths: more than 300 kg is asked about. Common practice for a room of beginners, no source."""
TIMES = 3
"""More than this many times the heaviest other load of the same lifter on the same lift is asked about."""


def odd_load(load: int, others: Sequence[int], unit: str) -> str:
    """Why a load (hundredths of `unit`) is odd, or "". `others` are the lifter's other loads on the lift, if any."""
    ceiling = convert(CEILING_KG, "kg", unit)
    if load > ceiling:
        return f"{show_with_unit(load, unit)} is more than {show_with_unit(ceiling, unit)}."
    heaviest = max(others, default=0)
    if heaviest and load > TIMES * heaviest:
        return (
            f"{show_with_unit(load, unit)} is more than {TIMES} times the heaviest other load of this lifter "
            f"on this lift, {show_with_unit(heaviest, unit)}."
        )
    return ""
