"""Closing: what happened, what changed, what next time brings, per lifter, on one screen."""

from __future__ import annotations

from datetime import datetime
from typing import ClassVar
from zoneinfo import ZoneInfo

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.content import Content

from floor.core import commands as c
from floor.core.state import State
from floor.core.summary import lines, summarise
from floor.tui.asking.nexttime import NextTimeQuestion
from floor.tui.asking.stage import StageQuestion
from floor.tui.keys import bindings
from floor.tui.keysline import keys_lines
from floor.tui.widgets.lines import Lines

WIDEST = 120
"""Columns a line of the summary takes at most: longer ones are hard to read."""


class Close(NextTimeQuestion, StageQuestion):
    """The evening before it is closed, and the same after. View state only: how far it is scrolled."""

    CSS_PATH = "close.tcss"
    BINDINGS: ClassVar[list[BindingType]] = bindings("close")

    def __init__(self) -> None:
        super().__init__()
        self._top = 0

    def compose(self) -> ComposeResult:
        """Header, the summary, how to scroll, the message, the keys."""
        yield Lines(id="header")
        yield Lines(id="summary")
        yield Lines(id="more")
        yield Lines(id="message")
        yield Lines(id="keys")

    # --- what is shown

    def show_state(self, state: State, now: datetime) -> None:
        """Draw the part of the summary that fits."""
        if not self.is_mounted or not self.size.width:
            return
        self.query_one("#header", Lines).show([self._header(state)])
        said = self._said(state, now)
        rows = self._rows()
        self._top = max(0, min(self._top, len(said) - rows))
        shown = said[self._top : self._top + rows]
        self.query_one("#summary", Lines).show(shown)
        self.query_one("#more", Lines).show([self._more(len(said), rows)])
        self.query_one("#message", Lines).show([self.said()])
        acting = frozenset({"close", "next_load", "stage", *(("leave",) if state.open else ())})
        keys = keys_lines(
            "close", self.size.width, acting, rows=1, always=(("Backspace", "undo"), ("F1", "keys")),
            instead={} if state.open else {"close": "to check-in"},
        )
        self.query_one("#keys", Lines).show(keys)

    def _header(self, state: State) -> Content:
        evening = state.evening
        if not evening.session:
            return Content.assemble((" No session ", "bold"), " none was opened yet · Enter: check-in")
        zone = ZoneInfo(self.house.session.zone)
        opened = evening.opened.astimezone(zone)
        day = f"{opened:%a} {opened.day} {opened:%b}"
        if evening.closed is not None:
            closed = evening.closed.astimezone(zone)
            when = f"closed {closed:%H:%M}"
            head = f" Session {evening.session} {when} "
            return Content.assemble((head, "bold reverse"), f" {day} · Enter: check-in")
        return Content.assemble(
            (f" Session {evening.session} ", "bold"), f" {day} since {opened:%H:%M} · ", ("Enter closes it", "bold")
        )

    def _said(self, state: State, now: datetime) -> list[Content]:
        session = self.house.session
        width = min(self.size.width - 2, WIDEST)
        told = lines(summarise(state, session.tonight, now), state.gym, session.names, width)
        return [Content.styled(line, "bold" if line and line[0] not in " !" else "") for line in told]

    def _rows(self) -> int:
        return max(1, self.query_one("#summary", Lines).size.height)

    def _more(self, total: int, rows: int) -> Content:
        if total <= rows:
            return Content("")
        last = min(self._top + rows, total)
        return Content.styled(f" lines {self._top + 1}-{last} of {total} · ↑ ↓ PgUp PgDn", "dim")

    # --- keys

    def action_close(self) -> None:
        """Close the session and show what was recorded; once closed, on to check-in."""
        if self.state.open:
            self.act(c.CloseSession())
            return
        from floor.tui.screens.checkin import CheckIn

        self.house.say("")
        self.app.pop_screen()
        self.app.switch_screen(CheckIn())

    def action_next_load(self) -> None:
        """Another load for next time, of somebody who came."""
        self.ask_whose_next()

    def action_stage(self) -> None:
        """Sign a stage off, or step back in the teaching order: of somebody who came."""
        self.ask_whose_stage(self.state.evening.here.values())

    def action_scroll(self, by: int) -> None:
        """So many lines down."""
        self._top += by
        self.house.show()

    def action_page(self, by: int) -> None:
        """So many screens down."""
        self._top += by * max(1, self._rows() - 1)
        self.house.show()

    def action_leave(self) -> None:
        """Back to the floor; after the close only Enter goes on."""
        if not self.state.open:
            self.action_close()
            return
        self.house.say("")
        self.app.pop_screen()
