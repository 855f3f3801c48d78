"""One station's card: draws its own lines and refreshes only those whose words changed."""

from __future__ import annotations

from typing import ClassVar

from rich.segment import Segment
from textual.geometry import Region
from textual.strip import Strip

from floor.tui.draw.spans import Row
from floor.tui.widgets.cardlines import STYLES, card_lines
from floor.tui.widgets.cardview import EMPTY_CARD, CardView
from floor.tui.widgets.rows import RowsWidget


class StationCard(RowsWidget):
    """A fixed frame for one station. Give it words with `show`; it holds no facts of its own."""

    DEFAULT_CSS = """
    StationCard {
        width: 1fr;
        height: 1fr;
        .card--edge { color: $foreground 45%; }
        .card--edge-hand { color: $accent; text-style: bold; }
        .card--title { color: $foreground 80%; text-style: bold; }
        .card--title-hand { color: $background; background: $accent; text-style: bold; }
        .card--name { color: $foreground; text-style: bold; }
        .card--role { color: $foreground 80%; }
        .card--load { color: #ffd24d; text-style: bold; }
        .card--unit { color: #ffd24d; text-style: bold; }
        .card--rest { color: #7cc7ff; text-style: bold; }
        .card--status { color: $foreground 80%; }
        .card--held { color: #ff6b81; text-style: bold; }
        .card--made { color: $success; text-style: bold; }
        .card--missed { color: #ff6b81; text-style: bold; }
        .card--open { color: $foreground 45%; }
        .card--letter { color: $warning; text-style: bold; }
        .card--change { color: $foreground; text-style: bold; }
        .card--warn { color: $warning; text-style: bold; }
        .card--next { color: $foreground; text-style: bold; }
        .card--setup { color: $foreground 70%; }
        .card--bar { color: $foreground 55%; }
        .card--plate0 { color: #c9c9c9; }
        .card--plate1 { color: #767676; }
        .card--on0 { color: $accent; }
        .card--on1 { color: $accent-darken-2; }
        .card--face0 { color: #101010; background: #c9c9c9; text-style: bold; }
        .card--face1 { color: #101010; background: #767676; text-style: bold; }
        .card--onface0 { color: #101010; background: $accent; text-style: bold; }
        .card--onface1 { color: #101010; background: $accent-darken-2; text-style: bold; }
        .card--number { color: $foreground; text-style: bold; }
        .card--mark { color: $accent; text-style: bold; }
    }
    """
    COMPONENT_CLASSES: ClassVar[set[str]] = {f"card--{name}" for name in STYLES}

    def __init__(self, view: CardView = EMPTY_CARD, *, id: str | None = None, classes: str | None = None) -> None:
        super().__init__(id=id, classes=classes)
        self._view = view
        self._rows: list[Row] = []
        self._drawn_for = (0, 0)

    @property
    def view(self) -> CardView:
        """The words now on the card."""
        return self._view

    def show(self, view: CardView) -> int:
        """Put the words on the card; only the lines that differ are drawn again. Returns how many those are."""
        self._view = view
        if self._drawn_for != tuple(self.size):
            self.refresh()
            return self.size.height
        old, self._rows = self._rows, card_lines(view, *self.size)
        changed = [y for y, row in enumerate(self._rows) if row != old[y]]
        if changed:
            self.refresh(*(Region(0, y, self.size.width, 1) for y in changed))
        return len(changed)

    def render_line(self, y: int) -> Strip:
        """One line of the card."""
        size = self.size
        if self._drawn_for != tuple(size):
            self._rows = card_lines(self._view, size.width, size.height)
            self._drawn_for = (size.width, size.height)
        if y >= len(self._rows):
            return Strip.blank(size.width, self.part_style())
        segments = [Segment(text, self.part_style(f"card--{name}" if name else "")) for text, name in self._rows[y]]
        return Strip(segments, size.width)
