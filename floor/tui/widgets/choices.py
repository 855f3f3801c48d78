"""The questions in plain words: one line each, what it asks or, once asked, what was answered."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar

from rich.cells import cell_len
from textual import events
from textual.binding import Binding, BindingType
from textual.content import Content
from textual.message import Message

from floor.asking import printable
from floor.core.questions import Kept
from floor.tui.draw.spans import cut
from floor.tui.widgets.lines import Lines

MARK, PLAIN = "▶ ", "  "


def asks(sql: str) -> str:
    """The first line of what a question says about itself."""
    first = sql.lstrip().split("\n")[0]
    return printable(first.removeprefix("--").strip()) if first.startswith("--") else ""


class Choices(Lines, can_focus=True):
    """A list of questions with a cursor. View state only; `Moved` says that the cursor is on another."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("up", "step(-1)", show=False),
        Binding("down", "step(1)", show=False),
        Binding("home", "step(-1000)", show=False),
        Binding("end", "step(1000)", show=False),
        Binding("enter", "screen.ask_marked", show=False),
    ]

    class Moved(Message):
        """The cursor went to another question."""

    def __init__(self, *, id: str) -> None:
        super().__init__(id=id)
        self.questions: tuple[Kept, ...] = ()
        self.answers: dict[str, str] = {}
        self.at = 0

    @property
    def marked(self) -> Kept | None:
        """The question under the cursor."""
        return self.questions[self.at] if self.questions else None

    def fill(self, questions: Sequence[Kept]) -> None:
        """Show these; the cursor stays on its question where that is still there."""
        was = self.marked
        self.questions = tuple(questions)
        names = [q.name for q in self.questions]
        self.at = names.index(was.name) if was is not None and was.name in names else 0
        self.draw()

    def take(self, name: str) -> None:
        """The cursor on the question of that name, if it is here."""
        self.at = next((at for at, q in enumerate(self.questions) if q.name == name), self.at)
        self.draw()

    def answered(self, name: str, words: str) -> None:
        """What was answered stands in place of what the question asks."""
        self.answers[name] = words
        self.draw()

    def draw(self) -> None:
        """As many as there is room for, the cursor among them."""
        width, rows = self.size.width, max(1, self.size.height)
        if not width or not self.questions:
            return
        wide = max(cell_len(q.name) for q in self.questions)
        first = max(0, min(self.at - rows // 2, len(self.questions) - rows))
        last = min(len(self.questions), first + rows)
        lines = [self._line(at, wide, width - 2) for at in range(first, last)]
        if first:
            lines[0] = Content.assemble(lines[0], (" ▲", "bold $accent"))
        if last < len(self.questions):
            lines[-1] = Content.assemble(lines[-1], (" ▼", "bold $accent"))
        self.show(lines)

    def _line(self, at: int, wide: int, width: int) -> Content:
        question = self.questions[at]
        on = at == self.at
        name = question.name + " " * (wide - cell_len(question.name))
        answer = self.answers.get(question.name)
        said = f"= {answer}" if answer else asks(question.sql)
        room = max(0, width - cell_len(MARK) - wide - 2)
        line = Content.assemble(
            (MARK if on else PLAIN, "bold $accent"), (name, "bold" if on or answer else ""), "  ",
            (cut(said, room), "$accent" if answer else "dim"),
        ).truncate(width, pad=True)  # fmt: skip
        return line.stylize("on $primary 40%") if on and self.has_focus else line

    def action_step(self, by: int) -> None:
        """So many lines up or down."""
        at = max(0, min(self.at + by, len(self.questions) - 1))
        if at != self.at:
            self.at = at
            self.draw()
            self.post_message(self.Moved())

    def on_focus(self) -> None:
        """The cursor is seen."""
        self.draw()

    def on_blur(self) -> None:
        """And is not."""
        self.draw()

    def on_resize(self, event: events.Resize) -> None:
        """Another room."""
        self.draw()
