"""A sober plot: a line, signs of its own for each kind of point, a level; nothing is told by colour alone."""

from __future__ import annotations

import math
from dataclasses import dataclass

from textual_plotext import PlotextPlot

LINE = "braille"
"""The sign of a line that is drawn finer than the letters."""


@dataclass(frozen=True, slots=True)
class Layer:
    """Points of one kind; `sign` is one character for each of them, or LINE for a line through them."""

    sign: str
    xs: tuple[float, ...]
    ys: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class Drawing:
    """What is drawn: a title (for the line above), layers from the back to the front, what stands at the edges."""

    title: str
    layers: tuple[Layer, ...]
    ticks: tuple[tuple[float, str], ...] = ()
    levels: tuple[float, ...] = ()


NOTHING = Drawing("", ())


def levels(low: float, high: float, most: int = 5) -> tuple[float, ...]:
    """Round values from at or below `low` to at or above `high`, at most about `most` of them."""
    span = max(high - low, 1e-9)
    unit = 10.0 ** math.floor(math.log10(span / most))
    step = next(unit * n for n in (1, 2, 2.5, 5, 10, 20) if span / (unit * n) <= most - 1)
    first, last = math.floor(low / step), math.ceil(high / step)
    return tuple(step * n for n in range(first, max(last, first + 1) + 1))


class Plot(PlotextPlot):
    """Draws a Drawing; drawn again only when it differs."""

    drawing: Drawing = NOTHING

    def show(self, drawing: Drawing) -> None:
        """Put this drawing in place of the one before."""
        if drawing == self.drawing:
            return
        self.drawing = drawing
        plt = self.plt
        plt.clear_figure()
        for layer in drawing.layers:
            draw = plt.plot if layer.sign == LINE else plt.scatter
            draw(list(layer.xs), list(layer.ys), marker=layer.sign, color="default")
        if drawing.ticks:
            plt.xticks([at for at, _ in drawing.ticks], [words for _, words in drawing.ticks])
        if drawing.levels:
            plt.yticks(list(drawing.levels), [f"{level:g}" for level in drawing.levels])
            plt.ylim(drawing.levels[0], drawing.levels[-1])
        self.refresh()
