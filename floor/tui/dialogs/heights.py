"""Heights that are set for a lifter before stepping up."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from typing import ClassVar

from textual.binding import Binding, BindingType
from textual.widgets import Input

from floor.core.state import Heights
from floor.tui.dialogs.base import Dialog

WORDS = {"rack": "rack", "safety": "safeties", "bench": "bench"}
_MOST = 99


def read_height(what: str, typed: str) -> int | None | str:
    """A whole number from 0 to 99, None for nothing, or a sentence saying what is wrong."""
    text = typed.strip()
    if not text:
        return None
    if not (text.isascii() and text.isdigit() and int(text) <= _MOST):
        shown = text if len(text) <= 12 else text[:11] + "…"
        return f'{WORDS[what].capitalize()}: "{shown}" is not a whole number from 0 to {_MOST}.'
    return int(text)


class AskHeights(Dialog[Heights | None]):
    """A field for each height that is asked; the others stay as they are `now`. An empty field is "not set"."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("up", "app.focus_previous", show=False),
        Binding("down", "app.focus_next", show=False),
    ]

    def __init__(self, title: str, asked: Sequence[str], now: Heights) -> None:
        super().__init__(title, "Hole numbers, or the gym's own. Empty: not set.")
        self.asked = tuple(asked)
        self.now = now

    def fields(self) -> Iterable[Input]:
        """One field a height, its name on its edge."""
        for what in self.asked:
            height: int | None = getattr(self.now, what)
            field = Input(value="" if height is None else str(height), id=what)
            field.border_title = WORDS[what]
            yield field

    def keys(self) -> Sequence[str]:
        """The keys that act here."""
        moves = ("↑ ↓ or Tab another height",) if len(self.asked) > 1 else ()
        return (*moves, "Enter set them", "Esc leave")

    def on_input_changed(self, event: Input.Changed) -> None:
        """What was said is over."""
        self.hush()

    def on_input_submitted(self, event: Input.Submitted) -> None:
        """Answer, or say what is wrong with the first field that is wrong."""
        heights: dict[str, int | None] = {}
        for field in self.query(Input):
            assert field.id is not None
            read = read_height(field.id, field.value)
            if isinstance(read, str):
                self.tell(read)
                field.focus()
                return
            heights[field.id] = read
        if all(height is None for height in heights.values()):
            self.tell("Type one height at least.")
            return
        self.reply(replace(self.now, **heights))
