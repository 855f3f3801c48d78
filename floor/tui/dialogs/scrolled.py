"""A dialog whose lines may be more than fit: the arrows go through them, nothing is out of reach."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar, TypeVar

from textual.binding import Binding, BindingType

from floor.tui.dialogs.base import Dialog
from floor.tui.widgets.lines import Line

Answer = TypeVar("Answer")


class Scrolled(Dialog[Answer]):
    """What is to be read is `told_lines(width)`; where it is cut, the line there says how many more and the key."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("up", "scroll(-1)", show=False),
        Binding("down", "scroll(1)", show=False),
        Binding("pageup", "page(-1)", show=False),
        Binding("pagedown", "page(1)", show=False),
    ]

    _top = 0
    _rows = 1

    def told_lines(self, width: int) -> Sequence[Line]:
        """All the lines, each at most `width` columns."""
        raise TypeError(f"{type(self).__name__} has nothing to read")

    def body(self, width: int, rows: int) -> list[Line]:
        """The lines in sight, one of them at least beside the marks."""
        lines = self.told_lines(width)
        self._rows = rows
        self._top = max(0, min(self._top, len(lines) - rows))
        shown = list(lines[self._top : self._top + rows])
        if self._top and rows >= 3:
            shown[0] = f"↑ {_more(self._top + 1)}"
        below = len(lines) - self._top - rows
        if below > 0:
            shown[-1] = f"↓ {_more(below + 1)}"
        return shown

    def action_scroll(self, by: int) -> None:
        """So many lines down."""
        self._top += by
        self.redraw()

    def action_page(self, by: int) -> None:
        """So many boxes down; a mark's line comes into sight."""
        self.action_scroll(by * max(1, self._rows - 2))


def _more(count: int) -> str:
    return "1 line more" if count == 1 else f"{count} lines more"
