"""Yes or no."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar

from textual.binding import Binding, BindingType

from floor.tui.dialogs.base import Dialog


class Confirm(Dialog[bool]):
    """A question that is answered True or False: Escape is no. `yes` says what yes does.

    `careful`: yes is the less safe way. Enter is pressed all evening, so there it is no, and Y alone is yes.
    """

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("enter", "usual", show=False),
        Binding("y,Y", "answer(True)", show=False),
        Binding("n,N", "answer(False)", show=False),
    ]

    def __init__(self, question: str, yes: str, careful: bool = False) -> None:
        super().__init__(question)
        self.yes = yes
        self.careful = careful

    def keys(self) -> Sequence[str]:
        """Both answers."""
        if self.careful:
            return (f"Y: {self.yes}", "Enter, Esc or N: no")
        return (f"Enter or Y: {self.yes}", "Esc or N: no")

    def action_usual(self) -> None:
        """Enter: the safe answer."""
        self.reply(not self.careful)

    def action_answer(self, yes: bool) -> None:
        """The answer."""
        self.reply(yes)

    def action_leave(self) -> None:
        """Escape is no."""
        self.reply(False)
