"""One of several: by its key at once, or with the arrows and Enter."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import ClassVar

from rich.cells import cell_len
from textual import events
from textual.binding import Binding, BindingType

from floor.tui.dialogs.base import Dialog, listed
from floor.tui.draw.spans import wrap
from floor.tui.widgets.lines import Line

KEYS = "123456789abcdefghijklmnopqrstuvwxyz"
"""The keys of the options, in order, where none are given."""
BELOW = 3
"""Lines that what is said below an option may take."""


@dataclass(frozen=True, slots=True)
class Option:
    """What can be picked: its value, its words, a hint after them, and more on lines below where there is room."""

    value: int | str
    label: str
    hint: str = ""
    below: str = ""


class Pick(Dialog[int | str | None]):
    """A list with a key before each option. An option past the last key is reached by the arrows.

    `letters` gives the options' keys in order, each once (ValueError otherwise).
    `first` is the value that the cursor starts at, where it is among them.
    """

    WIDTH = 76
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("up", "step(-1)", show=False),
        Binding("down", "step(1)", show=False),
        Binding("enter", "take", show=False),
    ]

    def __init__(
        self,
        title: str,
        options: Sequence[Option],
        hint: str = "",
        letters: str = KEYS,
        first: int | str | None = None,
    ) -> None:
        super().__init__(title, hint)
        if len(set(letters.lower())) != len(letters):
            raise ValueError(f"a key stands for two options: {letters!r}")
        self.options = tuple(options)
        self.letters = letters.lower()[: len(self.options)]
        self.cursor = next((at for at, option in enumerate(self.options) if option.value == first), 0)

    def body(self, width: int, rows: int) -> list[Line]:
        """The options, as many as fit."""
        if not self.options:
            return ["", "Nothing to pick."]
        wide = max(cell_len(option.label) for option in self.options)
        lines = []
        for at, option in enumerate(self.options):
            key = self.letters[at] if at < len(self.letters) else " "
            gap = " " * (wide - cell_len(option.label))
            lines.append(f"{key}  {option.label}{gap}  {option.hint}".rstrip())
        shown = listed(lines, self.cursor, rows, width)
        more = [[f"     {part}" for part in wrap(option.below, width - 5, BELOW)] for option in self.options]
        if len(lines) + sum(map(len, more)) < rows:
            return ["", *(part for line, below in zip(shown, more, strict=True) for part in (line, *below))]
        return ["", *shown] if rows > len(lines) else shown

    def keys(self) -> Sequence[str]:
        """The keys that act here."""
        if not self.options:
            return ("Esc leave",)
        return ("the key before it picks at once", "↑ ↓ Enter pick", "Esc leave")

    def on_key(self, event: events.Key) -> None:
        """A key of an option answers."""
        if not event.is_printable or not event.character:
            return
        event.stop()
        at = self.letters.find(event.character.lower())
        if at < 0:
            self.tell(f'Nothing here has the key "{event.character}".')
            return
        self.reply(self.options[at].value)

    def action_step(self, by: int) -> None:
        """One up or down; past the end is the other end."""
        if self.options:
            self.cursor = (self.cursor + by) % len(self.options)
        self.told = ""
        self.redraw()

    def action_take(self) -> None:
        """The marked option."""
        if self.options:
            self.reply(self.options[self.cursor].value)
