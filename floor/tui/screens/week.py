"""The week and the one before, lifter by lifter; Enter goes to the lifter."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.content import Content
from textual.worker import Worker

from floor.cards import write_evening
from floor.core.state import State
from floor.core.week import LifterWeek, the_week
from floor.core.week import Week as TwoWeeks
from floor.journal.log import Connection
from floor.journal.twoweeks import read_trends, read_two_weeks
from floor.session import Failed
from floor.tui import present_week as words
from floor.tui.asking.nexttime import NextTimeQuestion
from floor.tui.keys import bindings
from floor.tui.keysline import keys_lines
from floor.tui.present_asked import asked_lines
from floor.tui.screens.fromrecord import FromRecord
from floor.tui.screens.weekasked import WeekAsked
from floor.tui.widgets.lines import Lines

ASKED_LOW, ASKED, TALL = 3, 8, 32
"""Lines for the answers of the questions that stand here: on a low screen, on one of TALL lines, and what that is."""


class Week(FromRecord[TwoWeeks | str], NextTimeQuestion):
    """Who came, what moved, what stalled, what is next. View state only: which lifter the cursor is on."""

    CSS_PATH = "week.tcss"
    where = "week"
    BINDINGS: ClassVar[list[BindingType]] = bindings(where)

    def __init__(self) -> None:
        super().__init__()
        self._at = 0
        self._top = 0
        self._drawn: tuple[TwoWeeks, int] | None = None
        self._blocks: list[words.Block] = []
        self._asked: WeekAsked | None = None
        self._asking = False
        self._asked_closed = False

    def compose(self) -> ComposeResult:
        """Header, the names of the columns, the list, what the figures are worth, the message, the keys."""
        yield Lines(id="header")
        yield Lines(id="heads")
        yield Lines(id="list")
        yield Lines(id="limits")
        yield Lines(id="asked")
        yield Lines(id="message")
        yield Lines(id="keys")

    # --- what is shown

    def reader(self, now: datetime) -> Callable[[Connection], TwoWeeks | str]:
        """The week is read and worked out beside the keys; the first time it is shown before its trends are known."""
        state, names, today = self.state, self.house.session.names, self.today(now)
        first = self.week is None

        def read(cursor: Connection) -> TwoWeeks | str:
            past = read_two_weeks(cursor)
            early = the_week(past, state, names, today, trends=False, now=now) if first else None
            if early is not None:
                self.call_later(self.show_early, early)
            return the_week(read_trends(cursor, past), state, names, today, now=now) or ""

        return read

    @property
    def week(self) -> TwoWeeks | None:
        """The week as it was read last; None before that, and without an evening."""
        return self.found if isinstance(self.found, TwoWeeks) else None

    def show_state(self, state: State, now: datetime) -> None:
        """Draw the part of the list around the cursor."""
        if not self.is_mounted or not self.size.width:
            return
        self.keep_fresh(now)
        week, width = self.week, self.size.width
        self._put("#header", [words.header(week, self.today(now), width)])
        self._put("#message", [self.said()])
        waits = week is not None and not week.trends
        self._put("#limits", [Content.styled(f" {words.TO_COME if waits else words.LIMITS}", "dim")])
        keys = keys_lines(self.where, width, self.acting(), rows=1, always=(("Backspace", "undo"), ("F1", "keys")))
        self._put("#keys", keys)
        self._show_asked(week is not None, state.gym.unit, width)
        if week is None:
            self._put("#heads", [])
            self._put("#list", [f"  {self.unread}"] if self.unread else list(words.NO_EVENING))
            return
        self._at = max(0, min(self._at, len(week.lifters) - 1))
        self._put("#heads", [words.heads(width, state.gym.unit)])
        self._put("#list", self._listed(week, state, width))

    def _show_asked(self, read: bool, unit: str, width: int) -> None:
        """The answers of the questions that stand here, as far as they have come; ask again when more is recorded.

        They wait until the week is `read`, and without an evening there is nothing to ask.
        """
        if self._asked is None:
            self._asked = WeekAsked(self.house.session, self._say_later)
        asked = self._asked
        if read and not self._asking and (kept := asked.due()):
            self._asking = True
            self.run_worker(lambda: asked.ask(kept, self._told), thread=True, group="asked", exit_on_error=True)
        rows = ASKED_LOW if self.size.height < TALL else ASKED
        lines = asked_lines(asked.answers, unit, width, rows) if read else []
        block = self.query_one("#asked", Lines)
        if block.styles.height is None or block.styles.height.value != len(lines):
            block.styles.height = len(lines)
        block.show(lines)

    def _told(self) -> None:
        """An answer came, in the asking thread."""
        if not self._asked_closed:
            self.app.call_from_thread(self.house.show)

    def _say_later(self, words: str) -> None:
        """A sentence for the message line, from another thread."""
        self.call_later(self.house.say, words)

    def on_worker_state_changed(self, event: Worker.StateChanged) -> None:
        """What was read or asked goes on screen."""
        super().on_worker_state_changed(event)
        if event.worker.group == "asked" and event.worker.is_finished:
            self._asking = False
            self.house.show()

    def on_unmount(self) -> None:
        """The questions end with the screen."""
        self._asked_closed = True
        if self._asked is not None:
            self._asked.close()

    def _listed(self, week: TwoWeeks, state: State, width: int) -> list[Content]:
        at = week.lifters[self._at].lifter if week.lifters else 0
        names = self.house.session.names
        if self._drawn is None or self._drawn[0] is not week or self._drawn[1] != width:
            self._drawn, self._blocks = (week, width), words.blocks(week, state.gym, names, width)
        blocks = list(self._blocks)
        height = begins = ends = 0
        for n, block in enumerate(blocks):
            if block.lifter == at and at:
                blocks[n] = block = words.under_cursor(block, week, state.gym, names, width)
                begins, ends = height, height + block.height
            height += block.height + 1
        height -= 1
        rows = max(1, self.query_one("#list", Lines).size.height)
        if self._at == 0:
            begins = 0 if ends <= rows else begins
        if week.lifters and self._at == len(week.lifters) - 1:
            ends = min(height, begins + rows)
        self._top = max(0, min(max(self._top, ends - rows), begins, max(0, height - rows)))
        shown = words.window(blocks, self._top, rows)
        if self._top:
            shown[0] = _marked(shown[0], "▲", width)
        if self._top + rows < height:
            shown[-1] = _marked(shown[-1], "▼", width)
        return shown

    def acting(self) -> frozenset[str]:
        """The actions that can act now."""
        can = {"leave"}
        if self.week is not None and self.week.lifters:
            can |= {"cursor(1)", "look", "next_load"}
        return frozenset(can | ({"evening"} if self.state.evening.session else set()))

    def _put(self, where: str, lines: list[Content] | list[str]) -> None:
        self.query_one(where, Lines).show(lines)

    # --- keys

    def action_cursor(self, by: int) -> None:
        """So many lifters down the list."""
        self._at = max(0, self._at + by)
        self.house.show()

    def _in_hand(self) -> LifterWeek | None:
        """The lifter under the cursor; nobody, and says so, when an undo took them since the week was read."""
        if self.week is None or not self.week.lifters:
            return None
        one = self.week.lifters[self._at]
        if one.lifter in self.state.lifters:
            return one
        self.house.say("That lifter is no longer in the gym.")
        return None

    def action_look(self) -> None:
        """To the lifter under the cursor."""
        one = self._in_hand()
        if one is None:
            return
        from floor.tui.screens.lifter import LifterView

        self.house.say("")
        self.app.push_screen(LifterView(one.lifter))

    def action_next_load(self) -> None:
        """Another load for next time, of the lifter under the cursor."""
        one = self._in_hand()
        if one is not None:
            self.ask_lift(one.lifter, [lift.lift for lift in one.lifts])

    def action_evening(self) -> None:
        """Write the latest evening's summary beside the gym file."""
        done = write_evening(self.house.session)
        self.house.say(done.words, lasting=isinstance(done, Failed))

    def action_leave(self) -> None:
        """Back to where it was opened."""
        self.house.say("")
        self.app.pop_screen()


def _marked(line: Content, mark: str, width: int) -> Content:
    """A line with a mark at the right edge."""
    return Content.assemble(line.truncate(width - 2, ellipsis=True, pad=True), (f" {mark}", "bold $accent"))


