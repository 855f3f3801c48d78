"""A page of an answer as a table: numbers right, units in the headings, the sorted column marked."""

from __future__ import annotations

from collections.abc import Sequence

from rich.cells import cell_len
from rich.text import Text
from textual.message import Message
from textual.widgets import DataTable

from floor.asking import LETTERS, header, is_number, shown
from floor.background import Table
from floor.tui.draw.spans import cut

CELLS = (60, 40, 28, 20)
"""Columns of one cell at most, the widest with which the table goes on the screen; what is cut says so."""
EDGES = 2
"""Blanks beside the words of each column."""


class AnswerTable(DataTable[Text]):
    """Shows one page. At its first or last row PgUp and PgDn ask for the page before or after."""

    class Turn(Message):
        """Another page is wanted: 1 the next, -1 the one before."""

        def __init__(self, by: int) -> None:
            super().__init__()
            self.by = by

    needed: int = 0
    """Columns that the page on show takes in all."""

    def fill(
        self, page: Table, unit: str, sort: tuple[int, bool] | None = None, column: int = 0, width: int = 0
    ) -> None:
        """Show this page from its top, the cursor in that column; long words give way where `width` is short."""
        self.clear(columns=True)
        sides = ["right" if is_number(c) else "left" for c in page.columns]
        heads = [_head(at, shown(header(c, unit), LETTERS), sort) for at, c in enumerate(page.columns)]
        cells = [[shown(cell, LETTERS) for cell in row] for row in page.rows]
        wide = [max(map(cell_len, words)) for words in zip(heads, *cells, strict=True)]
        fitting = [most for most in CELLS if _taken(wide, most) <= width]
        most = fitting[0] if fitting else CELLS[0]
        self.needed = _taken(wide, most)
        for head, side in zip(heads, sides, strict=True):
            self.add_column(_text(head, side, most))
        self.add_rows([[_text(cell, side, most) for cell, side in zip(row, sides, strict=True)] for row in cells])
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


def _head(at: int, words: str, sort: tuple[int, bool] | None) -> str:
    """A column's heading; the one the rows are sorted by is marked."""
    return words + ("" if sort is None or sort[0] != at else " ▼" if sort[1] else " ▲")


def _taken(wide: Sequence[int], most: int) -> int:
    """The columns of a table whose cells are at most so wide."""
    return sum(min(cell, most) + EDGES for cell in wide)


def _text(words: str, side: str, most: int) -> Text:
    return Text(cut(words, most), justify="right" if side == "right" else "left")
