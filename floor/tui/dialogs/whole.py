"""A whole number."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from textual.widgets import Input

from floor.tui.dialogs.base import Dialog


def read_whole(typed: str, low: int, high: int) -> int | str:
    """What was typed, or a sentence saying what is wrong with it."""
    text = typed.strip()
    if text.isascii() and text.isdigit() and len(text) <= 9 and low <= int(text) <= high:
        return int(text)
    shown = text if len(text) <= 12 else text[:11] + "…"
    return f'"{shown}" is not a whole number from {low} to {high}.' if text else "Nothing was typed."


class AskWhole(Dialog[int | None]):
    """A whole number from `low` to `high`, both taken; `now` is what stands there."""

    def __init__(self, title: str, low: int, high: int, now: int | None = None, hint: str = "") -> None:
        super().__init__(title, hint)
        self.low = low
        self.high = high
        self.now = now

    def fields(self) -> Iterable[Input]:
        """The number, typed over what stands there."""
        yield Input(value="" if self.now is None else str(self.now), select_on_focus=True)

    def keys(self) -> Sequence[str]:
        """The keys that act here."""
        return ("Enter take it", "Esc leave")

    def on_input_changed(self, event: Input.Changed) -> None:
        """What was said is over."""
        self.hush()

    def on_input_submitted(self, event: Input.Submitted) -> None:
        """Answer, or say what is wrong."""
        number = read_whole(event.value, self.low, self.high)
        if isinstance(number, str):
            self.tell(number)
            return
        self.reply(number)
