"""The question's text: SQL in colour, the rest of a word in grey, and the questions asked before."""

from __future__ import annotations

from typing import ClassVar

from rich.text import Text
from textual.binding import Binding, BindingType
from textual.message import Message
from textual.widgets import TextArea

from floor.asking import printable
from floor.completing import Names, rest_of_word


class QuestionEditor(TextArea):
    """A text area that completes tables, columns and names. `Earlier` and `Later` go up with the arrows."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("f6", "screen.keep", show=False),  # the text area's own F6 and F7 select text
        Binding("f7", "screen.save", show=False),
    ]
    names: Names = Names()

    class Earlier(Message):
        """Up was pressed on the first line."""

    class Later(Message):
        """Down was pressed on the last line."""

    def get_line(self, line_index: int) -> Text:
        """A line as it is drawn: a sign the terminal would act on is a blank, and stays what it is in the text."""
        words = self.document.get_line(line_index).split("\t")
        return Text("\t".join(map(printable, words)), end="", no_wrap=True)

    def update_suggestion(self) -> None:
        """The grey end of the word before the cursor."""
        if not self.selection.is_empty or not self.has_focus:
            self.suggestion = ""
            return
        row, column = self.cursor_location
        lines = self.text.split("\n")
        line = lines[row] if row < len(lines) else ""
        before = "\n".join([*lines[:row], line[:column]])
        rest = rest_of_word(before, "\n".join([line[column:], *lines[row + 1 :]]), self.names)
        # grey words stand at the end of a line, where they hide nothing
        self.suggestion = rest if not line[column:].strip() or line[column:].startswith((")", "'", ",")) else ""

    def put(self, sql: str) -> None:
        """Another question in place of this one, the cursor at its end; Ctrl+Z takes it back."""
        self.replace(sql, self.document.start, self.document.end)
        self.move_cursor(self.document.end)

    def take(self) -> None:
        """Take the grey end of the word."""
        if self.suggestion:
            self.insert(self.suggestion)

    def action_cursor_up(self, select: bool = False) -> None:
        """A line up; on the first line, the question asked before."""
        if not select and self.cursor_location[0] == 0:
            self.post_message(self.Earlier())
        else:
            super().action_cursor_up(select)

    def action_cursor_down(self, select: bool = False) -> None:
        """A line down; on the last line, the question asked after."""
        if not select and self.cursor_location[0] == self.document.end[0]:
            self.post_message(self.Later())
        else:
            super().action_cursor_down(select)
