"""Every key there is, by screen, from the one table of keys; then every mark, from the one of marks."""

from __future__ import annotations

from itertools import groupby
from typing import ClassVar

from rich.cells import cell_len
from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import VerticalScroll
from textual.content import Content
from textual.screen import ModalScreen
from textual.widgets import Static

from floor.tui.draw.spans import wrap
from floor.tui.keys import KEYS, MORE, Key, bindings, keys_of
from floor.tui.marks import MARKS

TITLES: dict[str, str] = {
    "floor": "THE FLOOR",
    "all": "EVERY SCREEN",
    "checkin": "CHECK-IN",
    "questions": "A QUESTION IN SQL",
    "drill": "THE GROUP DRILL",
    "close": "CLOSING THE SESSION",
    "plates": "PLATES, BARS AND STATIONS",
    "week": "THE WEEK",
    "lifter": "ONE LIFTER",
    "sheetentry": "FROM THE PAPER SHEET",
    "keyshelp": "THIS LIST",
}
"""What a screen is called here; one that is missing goes by its own name."""

LEGEND = "THE MARKS"
"""Over what the signs on the screens mean."""

COLUMN, WORDS = 11, 57
"""Columns for the key itself, and for its words."""


def help_lines(first: str = "") -> list[Content]:
    """A line a key under the name of its screen, `first` before the others; last what the marks mean."""
    lines: list[Content] = []
    for where, keys in groupby(_by_screen(first), key=lambda key: key.where):
        if lines:
            lines.append(Content(""))
        lines.append(Content.styled(TITLES.get(where, where.upper()), "bold $accent"))
        for key in keys:
            lines += _lines(key.shown, key.words)
        if where == "floor":
            lines += _lines("a-z", "while a set runs: that fault on the rep just counted")
            for more in MORE:
                lines += _lines(f"/ then {more.letter}", more.words)
    lines += [Content(""), Content.styled(LEGEND, "bold $accent")]
    for mark, words in MARKS:
        lines += _lines(mark, words)
    return lines


def _by_screen(first: str) -> list[Key]:
    """The keys with every screen's together: `first`, then screens in the order the table names them."""
    wheres = sorted(dict.fromkeys(key.where for key in KEYS), key=lambda where: not (where and first.startswith(where)))
    return [key for where in wheres for key in keys_of(where)]


def _lines(shown: str, words: str) -> list[Content]:
    """A key and its words, which go on below themselves."""
    first, *more = wrap(words, WORDS, 4)
    gap = " " * max(1, COLUMN - cell_len(shown))
    return [Content.assemble("  ", (shown, "bold"), gap, first), *(Content(" " * (COLUMN + 2) + line) for line in more)]


class KeysHelp(ModalScreen[None]):
    """The list of all keys over whatever screen was on top; it scrolls where it does not fit."""

    CSS_PATH = "keyshelp.tcss"
    BINDINGS: ClassVar[list[BindingType]] = bindings("keyshelp")

    def __init__(self, first: str = "") -> None:
        """`first` is the screen whose keys are listed first, by its name in the table."""
        super().__init__()
        self._first = first

    def compose(self) -> ComposeResult:
        """Title, the list, how to scroll and close."""
        with VerticalScroll(classes="dialog", id="keys-list"):
            yield Static(Content("\n").join(help_lines(self._first)), id="keys-words")

    def on_mount(self) -> None:
        """The arrows scroll at once."""
        listed = self.query_one("#keys-list", VerticalScroll)
        listed.border_title = "KEYS"
        listed.border_subtitle = "↑ ↓ PgUp PgDn scroll · End: the marks · Esc or F1 closes"
        listed.focus()

    def action_close(self) -> None:
        """Back to the screen below."""
        if self.app.screen is self:
            self.dismiss()
