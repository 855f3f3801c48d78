"""The group drill: everyone at once with an empty bar, one stage, the coach's word. No queue."""

from __future__ import annotations

from datetime import datetime
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.content import Content
from textual.events import Key as KeyPress

from floor.core import commands as c
from floor.core.gym import Fault, Lift
from floor.core.state import State
from floor.tui.dialogs.pick import Option, Pick
from floor.tui.drillboard import board, drilled, slots
from floor.tui.keys import bindings, keys_of
from floor.tui.screens.base import EveningScreen
from floor.tui.widgets.lines import Lines


class Drill(EveningScreen):
    """Shows the drill that is on; asks for lift and stage first when none is.

    View state only: the fault that waits for a name. The screen goes when the
    drill is over, whether it was ended or undone.
    """

    CSS_PATH = "drill.tcss"
    BINDINGS: ClassVar[list[BindingType]] = bindings("drill")

    def __init__(self) -> None:
        super().__init__()
        self._asking = False
        self._marking: Fault | None = None

    def compose(self) -> ComposeResult:
        """The board, the message, the keys."""
        yield Lines(id="board")
        yield Lines(id="message")
        yield Lines(id="keys")

    def on_mount(self) -> None:
        """Ask what to drill, unless a drill is on already."""
        if drilled(self.state) is None:
            self._asking = True
            self.call_after_refresh(self._ask_lift)

    # --- what to drill

    def _ask_lift(self) -> None:
        lifts = [lift for lift in self.state.gym.lifts.values() if lift.stages]
        options = [Option(lift.id, lift.name, f"{len(lift.stages)} stages") for lift in lifts]
        self.app.push_screen(Pick("Group drill: which lift?", options), self._ask_stage)

    def _ask_stage(self, answer: int | str | None) -> None:
        lift = self.state.gym.lifts.get(str(answer))
        if lift is None:
            self._done_asking()
            return
        options = [Option(stage.no, stage.name) for stage in lift.stages]
        self.app.push_screen(
            Pick(f"Group drill: {lift.name}, which stage?", options), lambda stage: self._begin(lift, stage)
        )

    def _begin(self, lift: Lift, stage: int | str | None) -> None:
        if isinstance(stage, int):
            self.act(c.StartDrill(lift.id, stage))
        self._done_asking()

    def _done_asking(self) -> None:
        self._asking = False
        self.house.show()

    # --- keys

    def typed(self, event: KeyPress) -> bool:
        """A fault's letter; then the key of whom. While somebody is to be named no other key acts."""
        if self._marking is not None:
            if event.key == "escape" or len(event.key) == 1 or event.key in ("backspace", "space", "enter"):
                self._say_whom(event.key)
                return True
        elif len(event.key) == 1 and event.key.isalpha():
            self.action_fault(event.key.lower())
            return True
        return False

    def action_fault(self, letter: str) -> None:
        """Choose a fault by its letter; the next key says whose it was."""
        on = drilled(self.state)
        fault = on[1].fault_at(letter) if on else None
        if on is not None and fault is None:
            self.house.say(f"The {on[1].name} has no fault on the letter {letter}.")
            return
        self._marking = fault
        self.house.say("")

    def _say_whom(self, key: str) -> None:
        fault, self._marking = self._marking, None
        if fault is None or key in ("escape", "backspace"):
            self.house.show()
            return
        slot = next((s for s in slots(self.state) if s.key == key.lower() and not s.out), None)
        if slot is None:
            self._marking = fault
            self.house.say("Nobody here has that key. Esc: nobody.")
            return
        self.act(c.DrillFault(slot.lifter, fault.letter))

    def action_rep(self) -> None:
        """On the word: everyone does one."""
        self.act(c.DrillRep())

    def action_stop(self) -> None:
        """Stop everything at once; the same key goes on."""
        self.act(c.ResumeAll() if self.state.evening.stopped else c.StopAll())

    def action_end(self) -> None:
        """The drill is over; back to the floor."""
        self.act(c.EndDrill())

    # --- what is shown

    def show_state(self, state: State, now: datetime) -> None:
        """Draw the drill; when there is none left, go."""
        if not self.is_mounted or self._asking:
            return
        if drilled(state) is None:
            self.call_later(self._leave)
            return
        lines = self.query_one("#board", Lines)
        lines.show(board(state, self.house.session.names, lines.size.width, lines.size.height, self._marking))
        self.query_one("#message", Lines).show([self.said()])
        self.query_one("#keys", Lines).show([self._keys()])

    def _leave(self) -> None:
        if self.app.screen is self:
            self.dismiss()

    def _keys(self) -> Content:
        if self._marking is not None:
            pairs = [("1-9 a-z", "that lifter"), ("Esc", "nobody")]
        else:
            pairs = [(key.shown, key.short) for key in keys_of("drill")] + [("Backspace", "undo"), ("F1", "keys")]
        return Content.assemble(*(part for key, words in pairs for part in ((f" {key}", "bold $accent"), f" {words} ")))
