"""A lift drawn: load and estimated maximum over time, the chance of a fault-free rep by load. Pure."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Sequence
from datetime import date

from floor.core.course import percent
from floor.core.evidence.formlimit import FormCurve, Where
from floor.core.evidence.words import tenth
from floor.core.limits import THRESHOLD
from floor.tui.present_lifter import LiftCourse
from floor.tui.present_week import day
from floor.tui.widgets.plot import LINE, Drawing, Layer, levels

POINTS = 150
"""Points of a drawn curve."""
TICKS = 5


def over_time(one: LiftCourse, unit: str) -> Drawing | str:
    """The heaviest work set of each evening and the estimates; or a sentence when there are too few."""
    days = sorted({d for d, _ in one.tops} | {e.evening for e in one.estimates})
    if len(days) < 2:
        return "One evening makes no line: the chart comes with the second."
    tops = one.tops
    layers = [Layer(LINE, _xs([d for d, _ in tops]), _kilos([load for _, load in tops]))] if tops else []
    if one.estimates:
        layers.append(
            Layer("x", _xs([e.evening for e in one.estimates]), _kilos([e.value for e in one.estimates]))
        )
    step = (days[-1] - days[0]) / (TICKS - 1)
    at = [days[0] + step * n for n in range(TICKS)] if (days[-1] - days[0]).days >= TICKS else days
    years = days[0].year != days[-1].year
    ticks = tuple((float(d.toordinal()), f"{d:%b %Y}" if years else day(d)) for d in at)
    heights = [y for layer in layers for y in layer.ys]
    title = f"{unit}: line heaviest work set, x estimated max"
    return Drawing(title, tuple(layers), ticks, levels(min(heights), max(heights)))


def by_load(one: LiftCourse, unit: str) -> Drawing | str:
    """The fitted chance of a fault-free rep by load, what was seen at each load, and the threshold."""
    limit = one.form.limit
    if limit.load is None:
        return f"Form by load: {one.form.words}."
    cells = one.form.cells
    curve = FormCurve(cells)
    seen: dict[int, list[int]] = defaultdict(lambda: [0, 0])
    for cell in cells:
        seen[cell.load][0] += cell.clean
        seen[cell.load][1] += cell.clean + cell.faulty
    low, high = curve.lightest, curve.heaviest
    span = max(high - low, 1)
    xs = [low + span * n / (POINTS - 1) for n in range(POINTS)]
    level = 100 * THRESHOLD
    fitted = tuple(100 * curve.chance(x) for x in xs)
    shares = tuple(100 * seen[load][0] / seen[load][1] for load in sorted(seen))
    least = max(0.0, 20 * math.floor((min(*fitted, *shares, level) - 10) / 20))
    layers = [
        Layer("-", _kilos(xs), (level,) * POINTS),
        Layer(LINE, _kilos(xs), fitted),
        Layer("o", _kilos(sorted(seen)), shares),
    ]
    marked = ""
    if limit.where is Where.WITHIN:
        marked = ", | limit"
        layers.append(Layer("|", (limit.load / 100,) * 9, tuple(least + (level - least) * n / 9 for n in range(9))))
    ticks = tuple((x / 100, tenth(x)) for x in (low, low + span / 2, high))
    title = f"fault-free reps, %, by {unit}: o seen, line fitted, - {percent(THRESHOLD)} %{marked}"
    return Drawing(title, tuple(layers), ticks, tuple(float(n) for n in range(int(least), 101, 20)))


def _xs(days: Sequence[date]) -> tuple[float, ...]:
    return tuple(float(d.toordinal()) for d in days)


def _kilos(loads: Sequence[float]) -> tuple[float, ...]:
    """Hundredths as the gym's unit."""
    return tuple(load / 100 for load in loads)
