"""A load, or a line of text."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence

from textual.widgets import Input

from floor.core.units import most, parse_load, show_with_unit
from floor.tui.dialogs.base import Dialog
from floor.tui.widgets.lines import Line

_MINUS = ("-", "\N{MINUS SIGN}")


def read_load(typed: str, unit: str, now: int | None) -> int | str:
    """What was typed as hundredths of `unit`, or a sentence saying what is wrong with it.

    With a sign in front it is added to `now`, or taken off it.
    """
    text = typed.strip()
    if not text.startswith(("+", *_MINUS)):
        return parse_load(text, unit)
    if now is None:
        return "There is no load yet to add to or take from: type the whole load."
    change = parse_load(text[1:], unit)
    if isinstance(change, str):
        return change
    load = now - change if text.startswith(_MINUS) else now + change
    if load <= 0:
        return f"{show_with_unit(now, unit)} less {show_with_unit(change, unit)} leaves no load."
    if load > most(unit):
        return f"More than {show_with_unit(most(unit), unit)} is not a load for a bar."
    return load


class AskLoad(Dialog[int | None]):
    """A load typed: the whole, or "+2.5" and "-5" from the load now. Answers hundredths of the unit."""

    def __init__(self, title: str, unit: str, now: int | None, hint: str = "") -> None:
        super().__init__(title, hint)
        self.unit = unit
        self.now = now

    def fields(self) -> Iterable[Input]:
        """The load."""
        yield Input(placeholder=f"load in {self.unit}")

    def body(self, width: int, rows: int) -> list[Line]:
        """The load now, and what the typed one comes to."""
        now = f"now {show_with_unit(self.now, self.unit)}" if self.now is not None else f"a load in {self.unit}"
        load = read_load(self.query_one(Input).value, self.unit, self.now)
        return [f"{now}  →  {show_with_unit(load, self.unit)}" if isinstance(load, int) else now]

    def keys(self) -> Sequence[str]:
        """The keys that act here."""
        relative = () if self.now is None else ("+2.5 or -5 from the load now",)
        return (*relative, "Enter take it", "Esc leave")

    def on_input_changed(self, event: Input.Changed) -> None:
        """Show what it comes to."""
        self.told = ""
        self.redraw()

    def on_input_submitted(self, event: Input.Submitted) -> None:
        """Answer, or say what is wrong."""
        load = read_load(event.value, self.unit, self.now)
        if isinstance(load, str):
            self.tell(load)
            return
        self.reply(load)


class AskText(Dialog[str | None]):
    """A line of text, without blanks around it; an empty one only where none is `required`."""

    def __init__(
        self, title: str, hint: str = "", initial: str = "", required: bool = True, selected: bool = False,
        take: Callable[[str], str] | None = None,
    ) -> None:
        """`selected`: the first key typed stands in place of `initial`, else behind it.

        `take` is given what was typed and says why the dialog stays, with what was typed;
        "" when that was taken, and then it is the answer.
        """
        super().__init__(title, hint)
        self.initial = initial
        self.required = required
        self.selected = selected
        self.take = take

    def fields(self) -> Iterable[Input]:
        """The text: selected, or the cursor behind it."""
        yield Input(value=self.initial, select_on_focus=self.selected)

    def keys(self) -> Sequence[str]:
        """The keys that act here."""
        return ("Enter take it" if self.required else "Enter take it, empty too", "Esc leave")

    def on_input_changed(self, event: Input.Changed) -> None:
        """What was said is over."""
        self.hush()

    def on_input_submitted(self, event: Input.Submitted) -> None:
        """Answer, or say what is missing or wrong."""
        text = event.value.strip()
        if not self.is_current:
            return
        if self.required and not text:
            self.tell("Nothing was typed.")
        elif self.take is not None and (wrong := self.take(text)):
            self.tell(wrong)
        else:
            self.reply(text)
