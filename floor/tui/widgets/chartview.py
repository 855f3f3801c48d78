"""A chart of an answer, drawn with a plotting widget that is loaded when the first one is asked for."""

from __future__ import annotations

from textual_plotext import PlotextPlot

from floor.asking import figures
from floor.charting import MARKS, Bars, Lines, day_words, in_one_year

LABEL = 22
"""Columns of a bar's words."""

TICKS = 6
"""Days named along the bottom."""


class ChartView(PlotextPlot):
    """Bars across, or lines whose points have a sign of their own: nothing is told by colour alone."""

    def __init__(self, chart: Bars | Lines, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self.chart = chart

    def on_mount(self) -> None:
        """The widget's own set-up, then the drawing."""
        super().on_mount()
        self.draw()

    def on_resize(self) -> None:
        """As many bars as there are rows for."""
        self.draw()

    def draw(self) -> None:
        """Draw the chart for the room there is."""
        self.plt.clear_figure()
        self.plt.title(self.words())
        if isinstance(self.chart, Bars):
            self._bars(self.chart)
        else:
            self._lines(self.chart)
        self.refresh()

    def words(self) -> str:
        """What is drawn, and what had no room."""
        chart = self.chart
        if isinstance(chart, Bars):
            shown = min(len(chart.values), self.rows)
            return chart.title if shown == len(chart.values) else f"{chart.title}, first {shown} of {len(chart.values)}"
        signs = ", ".join(f"{MARKS[n]} {line.name}" for n, line in enumerate(chart.lines))
        left = f", {chart.left_out} more left out" if chart.left_out else ""
        return f"{signs}{left}" if len(chart.lines) == 1 else f"{chart.title}: {signs}{left}"

    @property
    def rows(self) -> int:
        """How many bars fit, one row each."""
        return max(1, self.size.height - 4)

    def _bars(self, chart: Bars) -> None:
        labels = [_short(label) for label in chart.labels[: self.rows]]
        values = list(chart.values[: self.rows])
        self.plt.bar(
            [f"{label}: {figures(value)}" for label, value in zip(labels, values, strict=True)][::-1], values[::-1],
            orientation="horizontal", width=0.5, marker="▇",
        )  # fmt: skip

    def _lines(self, chart: Lines) -> None:
        for n, line in enumerate(chart.lines):
            xs, ys = [x for x, _ in line.points], [y for _, y in line.points]
            colour = {"color": "default"} if self.app.no_color else {}  # greys would be too dark for some signs
            self.plt.plot(xs, ys, marker=MARKS[n], **colour)
        self.plt.xlabel(chart.across)
        xs = sorted({x for line in chart.lines for x, _ in line.points})
        if chart.dated and xs:
            step = (xs[-1] - xs[0]) / (TICKS - 1)
            year = not in_one_year(xs)
            ticks = [xs[0] + step * n for n in range(TICKS)] if step else [xs[0]]
            self.plt.xticks(ticks, [day_words(tick, year) for tick in ticks])


def _short(words: str) -> str:
    return words if len(words) <= LABEL else words[: LABEL - 1] + "…"
