"""Lines to read, and, where there is something to do about them, a yes."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar

from textual.binding import Binding, BindingType

from floor.tui.dialogs.scrolled import Scrolled
from floor.tui.draw.spans import whole
from floor.tui.widgets.lines import Line


class Reading(Scrolled[bool]):
    """Lines under a heading. `yes` says what Enter does, and is answered True; "" leaves nothing to do but leave."""

    WIDTH = 76
    BINDINGS: ClassVar[list[BindingType]] = [Binding("enter,y,Y", "yes", show=False)]

    def __init__(self, heading: str, hint: str, lines: Sequence[str], yes: str = "") -> None:
        super().__init__(heading, hint)
        self.lines = tuple(lines)
        self.yes = yes

    def told_lines(self, width: int) -> list[Line]:
        """The lines, each wrapped."""
        return ["", *(part for line in self.lines for part in whole(line, width))]

    def keys(self) -> Sequence[str]:
        """What can be answered."""
        return (f"Enter or Y: {self.yes}", "Esc leave it") if self.yes else ("Enter or Esc leave",)

    def action_yes(self) -> None:
        """Yes, where there is something to do."""
        self.reply(bool(self.yes))

    def action_leave(self) -> None:
        """No."""
        self.reply(False)
