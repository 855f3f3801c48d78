"""A block of ready lines that refreshes only the rows that changed."""

from __future__ import annotations

from collections.abc import Sequence

from rich.text import Text
from textual.content import Content
from textual.geometry import Region
from textual.strip import Strip

from floor.tui.widgets.rows import RowsWidget

Line = str | Text | Content
"""A line of the block: plain words (no markup is read), or words with styles."""


class Lines(RowsWidget):
    """Lines from the top of the widget down; too long a line is cut at the edge, missing ones are blank."""

    DEFAULT_CSS = """
    Lines {
        width: 1fr;
        height: 1fr;
    }
    """

    def __init__(self, lines: Sequence[Line] = (), *, id: str | None = None, classes: str | None = None) -> None:
        super().__init__(id=id, classes=classes)
        self._lines = [_content(line) for line in lines]

    @property
    def words(self) -> list[str]:
        """The lines now shown, without their styles."""
        return [line.plain for line in self._lines]

    def show(self, lines: Sequence[Line]) -> int:
        """Show these lines; only rows whose words or styles differ are drawn again. Returns how many those are."""
        new = [_content(line) for line in lines]
        old, self._lines = self._lines, new
        changed = [y for y in range(max(len(old), len(new))) if not _same(old, new, y)]
        if changed:
            self.refresh(*(Region(0, y, max(1, self.size.width), 1) for y in changed))
        return len(changed)

    def render_line(self, y: int) -> Strip:
        """One row: the line that stands there, or a blank one."""
        width = self.size.width
        plain = self.part_style()
        if y >= len(self._lines):
            return Strip.blank(width, plain)
        segments = self._lines[y].render_segments(self.visual_style)
        return Strip(segments).adjust_cell_length(width, plain)


def _content(line: Line) -> Content:
    """One row of styled words; a line break inside it becomes a blank."""
    if isinstance(line, Text):
        content = Content.from_rich_text(line)
    else:
        content = line if isinstance(line, Content) else Content(line)
    return content if "\n" not in content.plain else Content(" ").join(content.split("\n"))


def _same(old: Sequence[Content], new: Sequence[Content], y: int) -> bool:
    """Same words and styles in row `y` (Content's own == compares the words alone)."""
    if y >= len(old) or y >= len(new):
        return False
    return old[y].is_same(new[y])
