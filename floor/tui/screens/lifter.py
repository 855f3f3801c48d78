"""One lifter: charts of a lift, what is known of it and how surely, plans, overrulings, notes."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Horizontal, Vertical
from textual.content import Content

from floor.cards import write_card
from floor.core.body import body_of, smaller_step
from floor.core.comingday import after_tonight
from floor.core.commands import SetStep
from floor.core.state import State
from floor.core.steps import step_of
from floor.core.units import show_with_unit
from floor.journal.log import Connection
from floor.journal.past import read_lifter
from floor.session import Failed
from floor.tui import lifter_drawings as drawings
from floor.tui import present_lifter as words
from floor.tui.asking.body import BodyQuestion
from floor.tui.asking.nexttime import NextTimeQuestion
from floor.tui.dialogs.ask import AskLoad
from floor.tui.draw.spans import wrap
from floor.tui.keys import bindings
from floor.tui.keysline import keys_lines
from floor.tui.screens.fromrecord import FromRecord
from floor.tui.widgets.lines import Lines
from floor.tui.widgets.plot import Drawing, Plot

CHARTS = ("-load", "-form", "-faults")
"""The charts, by the class that shows one of them on a narrow screen; a wide one shows all."""


class LifterView(FromRecord[words.Course], NextTimeQuestion, BodyQuestion):
    """One lifter's record. View state only: which lift, which chart, how far scrolled."""

    CSS_PATH = "lifter.tcss"
    where = "lifter"
    BINDINGS: ClassVar[list[BindingType]] = bindings(where)

    def __init__(self, lifter: int) -> None:
        """`lifter` is the number of the lifter to show."""
        super().__init__(classes=CHARTS[0])
        self.lifter = lifter
        self._lift = ""
        self._chart = 0
        self._top = 0

    def compose(self) -> ComposeResult:
        """Who, the lifts, the charts, the words, the message, the keys."""
        yield Lines(id="header")
        yield Lines(id="tabs")
        with Horizontal(id="charts"):
            for name in ("load", "form"):
                with Vertical(id=name):
                    yield Lines(id=f"{name}-words")
                    yield Plot(id=f"{name}-plot")
            yield Lines(id="faults")
        yield Lines(id="said")
        yield Lines(id="message")
        yield Lines(id="keys")

    # --- what is shown

    def reader(self, now: datetime) -> Callable[[Connection], words.Course]:
        """The record is read and worked out beside the keys."""
        lifter, gym, today = self.state.lifters.get(self.lifter), self.state.gym, self.today(now)
        return lambda cursor: words.course_of(read_lifter(cursor, self.lifter), lifter, gym, today)

    @property
    def at(self) -> int:
        """Which of the lifts is in hand; 0 when the one chosen is gone."""
        lifts = [one.lift.id for one in self.found.lifts] if self.found else []
        return lifts.index(self._lift) if self._lift in lifts else 0

    @property
    def in_hand(self) -> words.LiftCourse | None:
        """The lift in hand, None before the record is read or when there is none."""
        return self.found.lifts[self.at] if self.found and self.found.lifts else None

    def show_state(self, state: State, now: datetime) -> None:
        """Draw the lift in hand."""
        if not self.is_mounted or not self.size.width:
            return
        self.keep_fresh(now)
        session, width = self.house.session, self.size.width
        name = session.names.get(self.lifter, f"lifter {self.lifter}")
        lifter = state.lifters.get(self.lifter)
        came = self.found.past.came if self.found else ()
        self._put("#header", [words.header(name, lifter, state.gym, came, width)])
        self._put("#message", [self.said()])
        self._put("#keys", keys_lines(self.where, width, self.acting(), rows=1, always=(("F1", "keys"),)))
        course = self.found
        if course is None:
            self._put("#said", [f" {self.unread}"])
            return
        nothing = "no lifts yet" if lifter is not None else "no longer in this gym"
        names = [one.lift.name for one in course.lifts]
        self._put("#tabs", [words.tabs(names, self.at, self.size.width)] if names else [f" {nothing}"])
        self._draw(state)
        after = after_tonight(state, self.lifter, now) if lifter is not None else None
        person = session.people.get(self.lifter)
        told = words.words(self.in_hand, course, lifter, person, state.gym, width - 2, after, now)
        rows = self._rows()
        self._top = max(0, min(self._top, len(told) - rows))
        shown = told[self._top : self._top + rows]
        if self._top + rows < len(told):
            shown[-1] = Content.styled(f"↓ {len(told) - self._top - rows + 1} more lines", "dim")
        self._put("#said", shown)

    def _draw(self, state: State) -> None:
        one = self.in_hand
        self.query_one("#charts").display = one is not None
        if one is None:
            return
        self._one("load", drawings.over_time(one, state.gym.unit))
        self._one("form", drawings.by_load(one, state.gym.unit))
        faults = self.query_one("#faults", Lines)
        size = faults.size
        if size.width:
            faults.show(words.fault_lines(one.weeks, one.lift, size.width, size.height))

    def _one(self, name: str, drawing: Drawing | str) -> None:
        """A plot under its title, or the sentence that stands where it would."""
        plot, above = self.query_one(f"#{name}-plot", Plot), self.query_one(f"#{name}-words", Lines)
        said = drawing if isinstance(drawing, str) else drawing.title
        lines = wrap(said, max(20, self.query_one(f"#{name}").size.width - 2), 4)
        above.styles.height = len(lines)
        above.show([Content.styled(f" {line}", "bold") for line in lines])
        plot.display = isinstance(drawing, Drawing)
        if isinstance(drawing, Drawing):
            plot.show(drawing)

    def acting(self) -> frozenset[str]:
        """The actions that can act now."""
        can = {"leave"}
        if self.found is not None:
            can |= {"scroll(1)"} | ({"card"} if self.lifter in self.state.lifters else set())
            can |= {"body"} if self.lifter in self.house.session.people else set()
            can |= {"step", "next_load"} if self.in_hand is not None and self.lifter in self.state.lifters else set()
            can |= {"lift(1)"} if len(self.found.lifts) > 1 else set()
            can |= {"chart"} if self.found.lifts and not self.has_class("-wide") else set()
        return frozenset(can)

    def _put(self, where: str, lines: list[Content] | list[str]) -> None:
        self.query_one(where, Lines).show(lines)

    def _rows(self) -> int:
        return max(1, self.query_one("#said", Lines).size.height)

    # --- keys

    def action_lift(self, by: int) -> None:
        """The next lift, round again after the last."""
        if self.found and self.found.lifts:
            self._lift = self.found.lifts[(self.at + by) % len(self.found.lifts)].lift.id
            self._top = 0
            self.house.show()

    def action_chart(self) -> None:
        """The next chart, on a narrow screen."""
        self.remove_class(CHARTS[self._chart])
        self._chart = (self._chart + 1) % len(CHARTS)
        self.add_class(CHARTS[self._chart])
        self.call_after_refresh(self.house.show)

    def action_scroll(self, by: int) -> None:
        """So many lines down."""
        self._top = max(0, self._top + by)
        self.house.show()

    def action_page(self, by: int) -> None:
        """So many screens down."""
        self.action_scroll(by * max(1, self._rows() - 1))

    def action_next_load(self) -> None:
        """Another load for next time on the lift in hand."""
        if self.in_hand is not None and self.lifter in self.state.lifters:
            self.ask_next(self.lifter, self.in_hand.lift.id)

    def action_step(self) -> None:
        """A step of the lifter's own on the lift in hand."""
        one, lifter = self.in_hand, self.state.lifters.get(self.lifter)
        if one is None or lifter is None:
            return
        lift, gym = one.lift.id, self.state.gym
        body = body_of(self.house.session.people.get(self.lifter), gym.unit)
        found = smaller_step(gym, lifter, lift, body, self.today(self.house.session.clock.now()))
        smaller = f" Proposed: {show_with_unit(found[0], gym.unit)} ({found[1]})." if found else ""
        self.app.push_screen(
            AskLoad(f"{one.lift.name}: what is added when it goes well?", gym.unit, step_of(gym, lifter, lift),
                    f"A step of this lifter's own, from next time on. Never over a tenth of the load.{smaller}"),
            lambda step: self._give_step(lift, step),
        )

    def _give_step(self, lift: str, step: int | None) -> None:
        if step is not None:
            self.act(SetStep(self.lifter, lift, step))

    def action_body(self) -> None:
        """Bodyweight or birth year."""
        if self.lifter in self.house.session.people:
            self.ask_body(self.lifter, self.today(self.house.session.clock.now()))

    def action_card(self) -> None:
        """Write the card beside the gym file."""
        if self.found is not None:
            done = write_card(self.house.session, self.lifter, self.found.past)
            self.house.say(done.words, lasting=isinstance(done, Failed))

    def action_leave(self) -> None:
        """Back to the week."""
        self.house.say("")
        self.app.pop_screen()
