"""The notes about a lifter, for the coach's eyes, and room for one more."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from textual.widgets import Input

from floor.tui.dialogs.scrolled import Scrolled
from floor.tui.draw.spans import whole
from floor.tui.widgets.lines import Line


class Notes(Scrolled[str | None]):
    """Read the notes, newest first; a line typed is answered as a caution to add."""

    WIDTH = 76

    def __init__(self, name: str, notes: Sequence[tuple[str, str]]) -> None:
        """`notes` are (kind, words), oldest first."""
        super().__init__(f"{name}: notes", "For the coach's eyes: never on the board, never on the sheet.")
        self.notes = tuple(notes)

    def fields(self) -> Iterable[Input]:
        """The caution to add."""
        yield Input(placeholder="a caution to add")

    def told_lines(self, width: int) -> list[Line]:
        """The notes, newest first."""
        lines: list[Line] = [line for kind, words in self.notes[::-1] for line in whole(f"{kind}: {words}", width)]
        return lines or ["no notes yet"]

    def keys(self) -> Sequence[str]:
        """The keys that act here."""
        return ("Enter add it", "Esc leave")

    def on_input_changed(self, event: Input.Changed) -> None:
        """What was said is over."""
        self.hush()

    def on_input_submitted(self, event: Input.Submitted) -> None:
        """Answer with the words typed, or say that there are none."""
        words = " ".join(event.value.split())
        if not words:
            self.tell("Nothing was typed: Esc leaves.")
            return
        self.reply(words)
