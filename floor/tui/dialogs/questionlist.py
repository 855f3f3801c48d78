"""Which question: those kept in this gym, then the ready ones, each with what it asks."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import ClassVar

from rich.cells import cell_len
from textual.binding import Binding, BindingType

from floor.core.questions import Kept
from floor.tui.dialogs.base import Dialog, listed
from floor.tui.draw.spans import cut
from floor.tui.widgets.choices import asks
from floor.tui.widgets.lines import Line


@dataclass(frozen=True, slots=True)
class Chosen:
    """A question that was picked: to take it, to keep it no longer (`drop`), or to put it on or off the week screen."""

    question: Kept
    drop: bool = False
    turn: bool = False


class QuestionList(Dialog[Chosen | None]):
    """A list of questions. Those kept come first, and only those can be dropped."""

    WIDTH = 78
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("up", "step(-1)", show=False),
        Binding("down", "step(1)", show=False),
        Binding("enter", "take", show=False),
        Binding("delete", "drop", show=False),
        Binding("w,W", "turn", show=False),
    ]

    def __init__(self, kept: Sequence[Kept], ready: Sequence[Kept]) -> None:
        super().__init__("Take a question", "It is put into the editor, to run with F5 and to change.")
        self.kept = len(kept)
        self.questions = (*kept, *ready)
        self.cursor = 0

    def body(self, width: int, rows: int) -> list[Line]:
        """The questions, as many as fit."""
        if not self.questions:
            return ["", "There are none."]
        wide = max(cell_len(q.name) for q in self.questions)
        lines = [
            cut(f"{q.name}{' ' * (wide - cell_len(q.name))}  {said}", width - 2)
            for at, q in enumerate(self.questions)
            for said in (_of_kept(q) if at < self.kept else asks(q.sql),)
        ]
        return listed(lines, self.cursor, rows, width)

    def keys(self) -> Sequence[str]:
        """The keys that act here."""
        drop = ("Del keep it no longer",) if self.cursor < self.kept else ()
        on = self.questions and self.questions[self.cursor].week
        week = (f"W {'off' if on else 'on'} the week screen",) if self.questions else ()
        return ("↑ ↓ Enter take", *week, *drop, "Esc leave")

    def action_step(self, by: int) -> None:
        """One up or down; past the end is the other end."""
        if self.questions:
            self.cursor = (self.cursor + by) % len(self.questions)
        self.told = ""
        self.redraw()

    def action_take(self) -> None:
        """The marked question."""
        if self.questions:
            self.reply(Chosen(self.questions[self.cursor]))

    def action_drop(self) -> None:
        """The marked question is kept no longer; a ready one stays."""
        if self.cursor < self.kept:
            self.reply(Chosen(self.questions[self.cursor], drop=True))
        else:
            self.tell("A ready question stays; only one that was kept can go.")

    def action_turn(self) -> None:
        """The marked question's answer goes on the week screen, or off it; a ready question is kept for that."""
        if self.questions:
            self.reply(Chosen(self.questions[self.cursor], turn=True))


def _of_kept(question: Kept) -> str:
    return "kept, on the week screen" if question.week else "kept"
