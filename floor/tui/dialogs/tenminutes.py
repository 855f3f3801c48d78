"""The next ten minutes, station by station, to read at a glance."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar

from textual.binding import Binding, BindingType

from floor.tui.dialogs.base import Dialog
from floor.tui.draw.tenminutes import Block, legend, page
from floor.tui.widgets.lines import Line


class TenMinutes(Dialog[None]):
    """The sets of each station under its name; the arrows go on in all of them at once."""

    WIDTH = 140
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("enter", "leave", show=False),
        Binding("up", "scroll(-1)", show=False),
        Binding("down", "scroll(1)", show=False),
        Binding("pageup", "scroll(-5)", show=False),
        Binding("pagedown", "scroll(5)", show=False),
    ]

    def __init__(self, stations: Sequence[Block], share: str = "") -> None:
        """`share` is the sentence on how much of the evening can be watched."""
        told = [words for words in ("Minutes and seconds from here.", legend(stations), share) if words]
        super().__init__("The next ten minutes, as planned now", " ".join(told))
        self.stations = tuple(stations)
        self.top = 0
        self.more = 0

    def body(self, width: int, rows: int) -> list[Line]:
        """The stations beside each other where the width allows."""
        lines, self.more = page(self.stations, width, rows - 1, self.top)
        return ["", *lines]

    def keys(self) -> Sequence[str]:
        """What can be done."""
        return ("↑ ↓ earlier, later", "Enter or Esc leave")

    def action_scroll(self, by: int) -> None:
        """So many sets on, or back."""
        self.top = max(0, self.top + min(by, self.more))
        self.redraw()
