"""Undo from any screen: one key, and a question where it would free somebody who is held for pain."""

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
        """Take back the latest command; backspace is pressed fast, so a hold for pain is asked about."""
        lifter = self.session.undo_frees()
        if lifter is None:
            self.take_back()
            return
        name = self.session.names.get(lifter, f"lifter {lifter}")
        question = f"{name} is held for pain. Undo takes the hold back as if no pain was reported. Free {name}?"
        self.push_screen(Confirm(question, "take it back", careful=True), self._if_yes)

    def _if_yes(self, yes: bool | None) -> None:
        if yes:
            self.take_back()
