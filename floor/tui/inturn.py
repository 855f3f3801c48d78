"""Keys of the evening's screens act one after the other, however fast they come."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual import events
from textual.app import App

from floor.tui.screens.base import EveningScreen

if TYPE_CHECKING:
    _App = App[None]
else:
    _App = object


class KeysInTurn(_App):
    """Mixin before `App`: a key has acted before it is asked which screen the next one is for.

    Textual gives a key to the screen on top and looks at its bindings once it has come
    back from there; by then the next key may have been given to the same screen. A letter,
    which acts at once, would overtake the key before it: `/` then x a fault, not a line of the list.
    """

    held_down: float = 0.0
    """A third Enter on the floor within twice so many seconds is one held down; 0 takes every one."""

    async def on_event(self, event: events.Event) -> None:
        """A key for a screen of the evening acts here and now; all else goes Textual's way."""
        if not isinstance(event, events.Key) or event.is_forwarded:
            await super().on_event(event)
            return
        await self._flush_next_callbacks()  # what a dialog was answered before this key
        while isinstance(screen := self.screen, EveningScreen) and not screen.is_mounted:
            await screen._mounted_event.wait()
        if self.focused is not None or not isinstance(screen, EveningScreen):
            await super().on_event(event)
        elif not await self._check_bindings(event.key, priority=True) and not screen.typed(event):
            await self._check_bindings(event.key)
