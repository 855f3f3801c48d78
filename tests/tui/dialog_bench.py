"""An app with nothing but one dialog on it: press keys, read words, keep the answer."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

from textual import events
from textual.app import App, ComposeResult
from textual.binding import Binding
from textual.screen import Screen
from textual.widgets import Static

import floor.tui

UNANSWERED = "still open"
UNDERNEATH = "the floor goes on underneath"


class DialogBench(App[None]):
    """Opens the dialog at once; `undone` counts the app's own keys, which a dialog must keep to itself."""

    CSS_PATH = Path(floor.tui.__file__).parent / "app.tcss"
    BINDINGS = [Binding("backspace,f1,f2,f12", "undo", show=False)]

    def __init__(self, make: Callable[[], Screen[Any]]) -> None:
        super().__init__()
        self.make = make
        self.answer: Any = UNANSWERED
        self.answers: list[Any] = []
        self.undone = 0
        self.last_words = ""

    def compose(self) -> ComposeResult:
        yield Static(UNDERNEATH)

    def on_mount(self) -> None:
        self.open()

    def open(self) -> None:
        self.answer = UNANSWERED
        self.push_screen(self.make(), self.keep)

    def keep(self, answer: Any) -> None:
        self.answer = answer
        self.answers.append(answer)

    def type_fast(self, typed: str) -> None:
        """Keys that come all at once, without waiting for the screen."""
        for letter in typed:
            self.post_message(events.Key(letter, letter))

    def action_undo(self) -> None:
        self.undone += 1

    @property
    def words(self) -> str:
        """What is painted on the terminal, line by line."""
        return "\n".join(strip.text for strip in self.screen._compositor.render_strips(self.size))


async def ask(make: Callable[[], Screen[Any]], *keys: str, size: tuple[int, int] = (80, 24)) -> DialogBench:
    """The bench after those keys, closed again: `answer` is the dialog's, `last_words` what stood there at the end."""
    bench = DialogBench(make)
    async with bench.run_test(size=size) as pilot:
        await pilot.press(*keys)
        await pilot.pause()
        bench.last_words = bench.words
    return bench


def flat(words: str) -> str:
    """Words with the box and the line breaks taken out, to look for a sentence that was wrapped."""
    return " ".join(words.replace("│", " ").split())
