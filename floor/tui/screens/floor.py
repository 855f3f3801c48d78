"""The floor: the board of all stations, and the keys of the one in hand."""

from __future__ import annotations

from datetime import datetime
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Horizontal
from textual.events import Key as KeyPress

from floor.core import commands as c
from floor.core.board import last_done, on_the_bar, proposal_after
from floor.core.gym import Grade
from floor.core.proposals import reason
from floor.core.rests import rest_left
from floor.core.state import State
from floor.tui import panel, present
from floor.tui.asking.care import CareQuestions
from floor.tui.asking.more import MoreQuestions
from floor.tui.asking.people import PeopleQuestions
from floor.tui.asking.sets import SetQuestions
from floor.tui.keys import bindings
from floor.tui.widgets.card import StationCard
from floor.tui.widgets.lines import Lines


class Floor(SetQuestions, PeopleQuestions, CareQuestions, MoreQuestions):
    """The screen a session runs on. View state only: which station is in hand, whether keys are locked."""

    CSS_PATH = "floor.tcss"
    BINDINGS: ClassVar[list[BindingType]] = bindings("floor")

    def compose(self) -> ComposeResult:
        """Header, board, rests, the panel, the message, the keys."""
        yield Lines(id="header")
        with Horizontal(id="board"):
            for station in self.state.gym.stations:
                yield StationCard(id=f"station-{station.id}")
        yield Lines(id="resting")
        yield Lines(id="panel")
        yield Lines(id="message")
        yield Lines(id="keys")

    def on_mount(self) -> None:
        """Begin with the first station."""
        self.hand = self.hand or self.state.gym.stations[0].id

    def show_state(self, state: State, now: datetime) -> None:
        """Draw the evening; each widget refreshes only the lines that changed."""
        if not self.is_mounted or not state.evening.stations:
            return
        names, width = self.house.session.names, self.size.width
        header = panel.header(state, now, self.house.session.zone, self.house.muted, self.locked)
        self.query_one("#header", Lines).show([header])
        for card in self.query(StationCard):
            station = int((card.id or "").removeprefix("station-"))
            view = present.card(state, station, names, now, station == self.hand)
            if view != card.view:
                card.show(view)
        rests = self.query_one("#resting", Lines)
        rests.show(panel.resting(state, names, now, width, rests.size.height))
        below = self.query_one("#panel", Lines)
        lines = panel.in_hand(state, self.hand, names, width, now)
        rows = below.size.height or len(lines)
        below.show(lines[:rows])
        spare = lines[rows : rows + 1]
        self.query_one("#message", Lines).show([self.said()] if self.house.message else spare)
        self.query_one("#keys", Lines).show(panel.keys_line(state, self.hand, width))

    # --- keys of the set in hand

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """While locked nothing acts but the unlocking, the help and leaving."""
        return not self.locked or action in ("unlock", "help", "quit", "stop")

    def on_key(self, event: KeyPress) -> None:
        """A bare letter marks a fault on the rep just counted; nothing else uses letters here."""
        if self.locked or len(event.key) != 1 or not event.key.islower():
            return
        event.stop()
        self.act(c.SeeFault(self.hand, event.key))

    def action_go(self) -> None:
        """Enter: start; then all remaining reps made; then the suggested grade."""
        on = on_the_bar(self.state, self.hand)
        if on is None or not on.running:
            early = rest_left(self.state.gym, on.present, self.house.session.clock.now()) if on else 0
            if self.act(c.StartSet(self.hand)) and early:
                self.house.say(f"{self.house.message}, {present.minutes(early)} of rest left: Backspace undoes it.")
        elif on.set.full:
            self.act(c.EndSet(self.hand))
        else:
            self.act(c.AllMade(self.hand))

    def action_rep(self, made: bool) -> None:
        """Count a rep."""
        self.act(c.CountRep(self.hand, made))

    def action_grade(self, grade: str) -> None:
        """Grade and end the set."""
        self.act(c.EndSet(self.hand, Grade(grade)))

    def action_overrule(self, action: str) -> None:
        """Overrule the proposal on screen."""
        last = last_done(self.state, self.hand)
        if last is None or proposal_after(self.state, *last) is None:
            self.house.say("There is no proposal here to overrule.")
            return
        command = c.Overrule(last[0].lifter, last[1].lift, action)
        proposal = proposal_after(self.state, *last)
        if proposal is None or proposal.action != "stop" or proposal.overruled:
            self.act(command)
            return
        question = f"{self.called(command.lifter)}: the rule says STOP, {reason(proposal.rule)}. Lift on all the same?"
        self.if_sure(question, "lift on", command)

    # --- which station is in hand

    def action_station(self, by: int) -> None:
        """The station to the left or right."""
        ids = [s.id for s in self.state.gym.stations]
        self.take(ids[(ids.index(self.hand) + by) % len(ids)])

    def action_next_station(self) -> None:
        """The next station that needs a key: a set to grade, a set running, somebody rested; else just the next."""
        ids = [s.id for s in self.state.gym.stations]
        at = ids.index(self.hand)
        others = [*ids[at + 1 :], *ids[:at]]
        now = self.house.session.clock.now()
        if others:
            self.take(max(others, key=lambda s: (self._need(s, now), -others.index(s))))

    def _need(self, station: int, now: datetime) -> int:
        on = on_the_bar(self.state, station)
        if on is None:
            return 0
        if on.running:
            return 3 if on.set.full else 2
        return 1 if rest_left(self.state.gym, on.present, now) == 0 else 0

    def take(self, station: int) -> None:
        """Take a station in hand."""
        self.hand = station
        self.house.show()
