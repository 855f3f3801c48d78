"""Undo from any screen: one key, and a question where it would take back what would be missed."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual.app import App

from floor.session import Session
from floor.tui.dialogs.confirm import Confirm

if TYPE_CHECKING:
    _App = App[None]
else:
    _App = object


class Undoing(_App):
    """Mixin before `App`: the undo key. `session` is the app's; `take_back` does it and says what it was."""

    session: Session

    def take_back(self) -> None:
        """Take back the latest command and name it."""
        raise TypeError(f"{type(self).__name__} takes nothing back")

    def action_undo(self) -> None:
        """Take back the latest command; backspace is pressed fast, so what would be missed goes on a Y alone."""
        question = self.session.undo_asks()
        if question:
            self.push_screen(Confirm(question, "take it back", careful=True), self._if_yes)
        else:
            self.take_back()

    def _if_yes(self, yes: bool | None) -> None:
        if yes:
            self.take_back()
