"""What every screen of the evening shares: it is shown a state, and asks the app to act."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from datetime import datetime
from typing import TYPE_CHECKING, cast

from textual.content import Content
from textual.events import Key
from textual.screen import Screen

from floor.core.commands import Command, IfSure
from floor.core.outlook import Outlook
from floor.core.people import PersonChange
from floor.core.state import State
from floor.session import Done, Refused
from floor.tui.dialogs.confirm import Confirm
from floor.tui.keysline import message_line

if TYPE_CHECKING:
    from floor.tui.app import FloorApp


class EveningScreen(Screen[None]):
    """A screen that draws the state it is given and holds none of its facts.

    `show_state` is called once after mounting, after every command, after an
    undo and every second. It must only repaint what changed.
    """

    locked: bool = False
    """True while no key may act but the one that opens the lock."""

    @property
    def house(self) -> FloorApp:
        """The app: `house.session` is the seam, `house.say(words)` the message line."""
        return cast("FloorApp", self.app)

    @property
    def state(self) -> State:
        """The state now."""
        return self.house.session.state

    def act(self, command: Command, people: Sequence[PersonChange] = ()) -> bool:
        """Run a command through the seam; True when it was done. Refusals are said on the message line."""
        return isinstance(self.house.act(command, people), Done)

    def act_if_sure(self, command: IfSure, yes: str, then: Callable[[], object] | None = None) -> None:
        """Run a command; one that is done only when the coach is sure is asked about, and run on a Y.

        `then` is called once it is done.
        """
        outcome = self.house.act(command)
        if isinstance(outcome, Done) and then is not None:
            then()
        if not isinstance(outcome, Refused) or not outcome.unless_sure:
            return

        def answered(sure: bool | None) -> None:
            if not sure:
                self.house.say("")
            elif self.act(replace(command, sure=True)) and then is not None:
                then()

        self.app.push_screen(Confirm(outcome.words, yes, careful=True), answered)

    def go_to(self, screen: EveningScreen) -> None:
        """A screen over this one: what was said on this one is no word of that one."""
        self.house.say("")
        self.app.push_screen(screen)

    def typed(self, event: Key) -> bool:
        """Take a key before the bindings do; True when it was taken."""
        return False

    def on_resize(self) -> None:
        """Lay the words out again."""
        self.show_state(self.state, self.house.session.clock.now())

    def on_screen_resume(self) -> None:
        """Show the state as soon as the screen is on top."""
        self.show_state(self.state, self.house.session.clock.now())

    def show_state(self, state: State, now: datetime) -> None:
        """Draw this state at this time."""
        raise TypeError(f"{type(self).__name__} draws nothing")

    def show_outlook(self, outlook: Outlook) -> None:
        """A plan has come, or is gone (NO_OUTLOOK). Screens that show nothing of it do nothing."""

    def said(self) -> Content:
        """The message line: what was said last; a failure stays, and is marked."""
        return message_line(self.house.message, self.house.lasting)
