"""A sober plot: a line, signs of its own for each kind of point, a level; nothing is told by colour alone."""

from __future__ import annotations

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
    """What is drawn: a title, layers from the back to the front, and what stands along the bottom."""

    title: str
    layers: tuple[Layer, ...]
    ticks: tuple[tuple[float, str], ...] = ()
    low: float | None = None
    high: float | None = None


NOTHING = Drawing("", ())


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
        plt.title(drawing.title)
        for layer in drawing.layers:
            draw = plt.plot if layer.sign == LINE else plt.scatter
            draw(list(layer.xs), list(layer.ys), marker=layer.sign, color="default")
        if drawing.ticks:
            plt.xticks([at for at, _ in drawing.ticks], [words for _, words in drawing.ticks])
        if drawing.low is not None:
            plt.ylim(drawing.low, drawing.high)
        self.refresh()
