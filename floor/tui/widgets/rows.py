"""A widget of whole rows that hands the compositor the rows it has, and makes only those that changed."""

from __future__ import annotations

from rich.style import Style
from textual.geometry import Region
from textual.strip import Strip
from textual.widget import Widget


class RowsWidget(Widget):
    """What widgets share that draw line by line with `render_line`.

    Every repaint of the screen asks every widget under it for all of its rows,
    changed or not. The rows are kept here as they were handed over, borders and
    padding included, until `refresh` names them or the style changes; and so is
    the rich style of each part, which costs more to look up than a row to draw.
    """

    def __init__(self, *, id: str | None = None, classes: str | None = None) -> None:
        super().__init__(id=id, classes=classes)
        self._handed: list[Strip] = []
        self._handed_width = 0
        self._changed: set[int] = set()
        self._part_styles: dict[str, Style] = {}

    def part_style(self, part: str = "") -> Style:
        """The rich style of a component class; of the widget itself without one."""
        style = self._part_styles.get(part)
        if style is None:
            style = self._part_styles[part] = self.get_component_rich_style(part) if part else self.rich_style
        return style

    def notify_style_update(self) -> None:
        """The theme or the style sheet changed: nothing kept holds."""
        self._forget()
        super().notify_style_update()

    def _set_dirty(self, *regions: Region) -> None:
        """Where every way to a repaint passes: these rows of the content, or everything, must be made again."""
        if regions:
            top = self.content_offset.y
            for region in regions:
                self._changed.update(range(region.y + top, region.bottom + top))
        else:
            self._forget()
        super()._set_dirty(*regions)

    def _forget(self) -> None:
        self._handed = []
        self._part_styles.clear()

    def render_lines(self, crop: Region) -> list[Strip]:
        """The rows of the widget as they stand; a part of it alone is made as any widget makes it."""
        width, height = self.outer_size
        if crop != Region(0, 0, width, height):
            return super().render_lines(crop)
        changed = [y for y in self._changed if y < height]
        if len(self._handed) != height or self._handed_width != width:
            self._handed, self._handed_width = super().render_lines(crop), width
        elif changed:
            first, end = min(changed), max(changed) + 1
            self._handed[first:end] = super().render_lines(Region(0, first, width, end - first))
        self._changed.clear()
        return self._handed
