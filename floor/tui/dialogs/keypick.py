"""A question with one key for each of its answers."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from textual import events

from floor.tui.dialogs.base import Dialog


class KeyPick(Dialog[str | None]):
    """Answers the key that was pressed, as Textual names it; None for Escape. No other key answers.

    `ways` gives each such key with how it is printed and what it does: {"enter": ("Enter", "all made")}.
    """

    def __init__(self, question: str, ways: Mapping[str, tuple[str, str]]) -> None:
        super().__init__(question)
        self.ways = dict(ways)

    def keys(self) -> Sequence[str]:
        """Every answer with its key."""
        return (*(f"{shown}: {does}" for shown, does in self.ways.values()), "Esc leave")

    def on_key(self, event: events.Key) -> None:
        """One of the keys answers."""
        if event.key in self.ways:
            event.stop()
            self.reply(event.key)
