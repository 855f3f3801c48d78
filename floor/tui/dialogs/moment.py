"""A moment of tonight: minutes from now, or a time of day."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from datetime import datetime, tzinfo

from textual.widgets import Input

from floor.core.moments import ASKED, clock_words, read_moment
from floor.tui.dialogs.base import Dialog
from floor.tui.widgets.lines import Line


class AskMoment(Dialog[datetime | str | None]):
    """Answers the moment typed (aware, UTC); "" for an empty field where there is one to take back.

    `initial` stands in the field and goes with the first letter typed. `empty` is
    what Enter means with nothing typed; "" where it means nothing.
    """

    def __init__(
        self,
        title: str,
        clock: Callable[[], datetime],
        zone: tzinfo,
        hint: str = "",
        initial: str = "",
        empty: str = "",
    ) -> None:
        super().__init__(title, hint)
        self.clock = clock
        self.zone = zone
        self.initial = initial
        self.empty = empty

    def fields(self) -> Iterable[Input]:
        """Minutes or a time; what stands there is typed over."""
        yield Input(value=self.initial, placeholder="minutes, or a time", select_on_focus=True)

    def body(self, width: int, rows: int) -> list[Line]:
        """The time now, and what was typed comes to."""
        now, typed = self.clock(), self.query_one(Input).value
        at = read_moment(typed, now, self.zone)
        said = f"now {clock_words(now, self.zone)}"
        if not typed.strip() and self.empty:
            return [f"{said}  →  {self.empty}"]
        return [said if isinstance(at, str) else f"{said}  →  about {clock_words(at, self.zone)}"]

    def keys(self) -> Sequence[str]:
        """The keys that act here."""
        taken = f"Enter take it, empty: {self.empty}" if self.empty else "Enter take it"
        return ("30 minutes, or 18:40", taken, "Esc leave")

    def on_input_changed(self, event: Input.Changed) -> None:
        """Show what it comes to."""
        self.told = ""
        self.redraw()

    def on_input_submitted(self, event: Input.Submitted) -> None:
        """Answer, or say what is wrong."""
        if not event.value.strip():
            if self.empty:
                self.reply("")
            else:
                self.tell(ASKED)
            return
        at = read_moment(event.value, self.clock(), self.zone)
        if isinstance(at, str):
            self.tell(at)
        else:
            self.reply(at)
