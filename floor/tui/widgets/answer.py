"""A page of an answer as a table: numbers right, units in the headings, the sorted column marked."""

from __future__ import annotations

from rich.text import Text
from textual.message import Message
from textual.widgets import DataTable

from floor.asking import header, is_number, printable, shown
from floor.background import Table
from floor.tui.draw.spans import cut

CELL = 60
"""Columns of one cell; a longer one is cut and the cut is shown."""


class AnswerTable(DataTable[Text]):
    """Shows one page. At its first or last row PgUp and PgDn ask for the page before or after."""

    class Turn(Message):
        """Another page is wanted: 1 the next, -1 the one before."""

        def __init__(self, by: int) -> None:
            super().__init__()
            self.by = by

    def fill(self, page: Table, unit: str, sort: tuple[int, bool] | None = None, column: int = 0) -> None:
        """Show this page from its top, the cursor in that column."""
        self.clear(columns=True)
        sides = ["right" if is_number(c) else "left" for c in page.columns]
        for at, (c, side) in enumerate(zip(page.columns, sides, strict=True)):
            mark = "" if sort is None or sort[0] != at else " ▼" if sort[1] else " ▲"
            self.add_column(_text(printable(header(c, unit)) + mark, side))
        self.add_rows([[_text(shown(cell), side) for cell, side in zip(row, sides, strict=True)] for row in page.rows])
        self.move_cursor(row=0, column=min(column, max(0, len(sides) - 1)))

    def action_page_down(self) -> None:
        """A screen down; at the last row, the next page."""
        if self.cursor_row >= self.row_count - 1:
            self.post_message(self.Turn(1))
        else:
            super().action_page_down()

    def action_page_up(self) -> None:
        """A screen up; at the first row, the page before."""
        if self.cursor_row <= 0:
            self.post_message(self.Turn(-1))
        else:
            super().action_page_up()


def _text(words: str, side: str) -> Text:
    return Text(cut(words, CELL), justify="right" if side == "right" else "left")
