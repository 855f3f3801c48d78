"""The floor: the board of all stations, and the keys of the one in hand."""

from __future__ import annotations

import math
from datetime import datetime
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Horizontal
from textual.content import Content
from textual.events import Key as KeyPress

from floor.core import commands as c
from floor.core.askfirst import lifts_on
from floor.core.board import drill_stop, last_done, on_the_bar, proposal_after
from floor.core.outlook import Outlook
from floor.core.proposals import reason
from floor.core.rests import rest_left
from floor.core.state import State
from floor.core.tonight import ends_here
from floor.tui import panel, present_plan
from floor.tui.asking.care import CareQuestions
from floor.tui.asking.more import MoreQuestions
from floor.tui.asking.orders import OrderQuestions
from floor.tui.asking.people import PeopleQuestions
from floor.tui.asking.sets import SetQuestions
from floor.tui.boardcards import BoardCards
from floor.tui.draw.strip import strip
from floor.tui.keys import bindings
from floor.tui.present_proposal import OR, SEEN, WHY
from floor.tui.present_seen import TELL
from floor.tui.widgets.card import StationCard
from floor.tui.widgets.lines import Lines


class Floor(SetQuestions, PeopleQuestions, OrderQuestions, CareQuestions, MoreQuestions):
    """The screen a session runs on. View state only: which station is in hand, whether keys are locked."""

    CSS_PATH = "floor.tcss"
    BINDINGS: ClassVar[list[BindingType]] = bindings("floor")
    _entered = (-math.inf, -math.inf)
    """When Enter came last, in seconds of the clock that keys are timed by."""

    def compose(self) -> ComposeResult:
        """Header, board, rests, the panel, the plan, the message, the keys."""
        yield Lines(id="header")
        with Horizontal(id="board"):
            self._cards = {s.id: StationCard(id=f"station-{s.id}") for s in self.state.gym.stations}
            yield from self._cards.values()
        yield Lines(id="resting")
        yield Lines(id="strip")
        yield Lines(id="panel")
        yield Lines(id="plan")
        yield Lines(id="message")
        yield Lines(id="keys")

    def on_mount(self) -> None:
        """Begin with the first station that has somebody to lift; with the first of all where none has."""
        ids = [s.id for s in self.state.gym.stations]
        self.hand = self.hand or next((s for s in ids if on_the_bar(self.state, s) is not None), ids[0])
        self._board = BoardCards()

    def show_state(self, state: State, now: datetime) -> None:
        """Draw the evening; each widget refreshes only the lines that changed."""
        if not self.is_mounted or not state.evening.stations:
            return
        names, width = self.house.session.names, self.size.width
        outlook = self.house.latest_outlook
        header = panel.header(state, now, self.house.session.zone, self.house.muted, self.locked, outlook, width)
        self.query_one("#header", Lines).show([header])
        for station, view in self._board.show(state, names, now, self.hand).items():
            if view != self._cards[station].view:
                self._cards[station].show(view)
        rests = self.query_one("#resting", Lines)
        rests.show(panel.resting(state, names, now, self.house.session.zone, width, rests.size.height))
        self._show_strip(state, outlook, now)
        below = self.query_one("#panel", Lines)
        lines = panel.in_hand(state, self.hand, names, width, now, self.cautioned())
        rows = below.size.height or len(lines)
        below.show(lines[:rows])
        said = bool(self.house.message)
        plan = self._plan(state, outlook, lines[rows : rows + 1 + said], now)
        self.query_one("#plan", Lines).show(plan)
        spare = [line for line in lines[rows:] if line not in plan][:1]
        self.query_one("#message", Lines).show([self.said()] if self.house.message else spare)
        offered = bool(outlook.trims), present_plan.offer(state, outlook, self.hand, names, now) is not None
        self.query_one("#keys", Lines).show(panel.keys_line(state, self.hand, width, *offered))

    def _show_strip(self, state: State, outlook: Outlook, now: datetime) -> None:
        """The next ten minutes where the screen is large enough; `/` v says them in words anywhere."""
        area = self.query_one("#strip", Lines)
        stations = [(s.id, s.name) for s in state.gym.stations]
        rows = 1 + 2 * len(stations)
        area.display = self.size.width >= present_plan.STRIP_WIDE and self.size.height >= present_plan.STRIP_TALL + rows
        if area.display:
            turns, names = present_plan.coming(state, outlook, now), self.house.session.names
            area.styles.height = rows
            area.show(strip(turns, stations, names, present_plan.steady(now), self.size.width - 2))

    def _plan(self, state: State, outlook: Outlook, spare: list[Content], now: datetime) -> list[Content]:
        """The line of the plan: its offer here and where to stand; while a set runs in hand, the panel's own line."""
        on = on_the_bar(state, self.hand)
        if on is not None and on.running:
            return spare[:1]
        names, zone = self.house.session.names, self.house.session.zone
        parts = (
            *(line for line in spare if line.plain.startswith(OR)),
            present_plan.offer(state, outlook, self.hand, names, now) or present_plan.own(state, self.hand),
            present_plan.leavers(state, outlook, names, zone),
            present_plan.stand(state, outlook, names, now),
            present_plan.plates(state, outlook, names, now),
            Content(self.house.no_plan) if self.house.no_plan else None,
            *(line for line in spare if line.plain.startswith(("cue", WHY, SEEN, TELL))),
        )
        line = present_plan.plan_line(parts, self.size.width - 2, now)
        return spare[:1] if line is None else [line]

    def on_screen_resume(self) -> None:
        """On top again, whatever went meanwhile: the app shows it, or check-in where no session is open."""
        if self.is_current:
            self.house.show()

    def show_outlook(self, outlook: Outlook) -> None:
        """A plan has come or is gone."""
        self.show_state(self.state, self.house.session.clock.now())

    # --- keys of the set in hand

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """While locked nothing acts but the unlocking, the help, leaving and the stop."""
        return not self.locked or action in ("unlock", "help", "quit", "stop")

    def typed(self, event: KeyPress) -> bool:
        """A bare letter, large or small, marks a fault on the rep just counted; nothing else uses letters here.

        Enter held down comes again and again, and acts twice at the most: a third so soon is no hand's.
        """
        if event.key == "enter":
            first, second = self._entered
            self._entered = (second, event.time)
            return event.time - first < 2 * self.house.held_down
        self._entered = (-math.inf, -math.inf)
        letter = (event.character or "").lower()
        if self.locked or len(letter) != 1 or not letter.isalpha():
            return False
        self.act(c.SeeFault(self.hand, letter))
        return True

    def action_go(self) -> None:
        """Enter: start; then all remaining reps made, unless a fault ends the set; then the suggested grade."""
        on = on_the_bar(self.state, self.hand)
        if on is None or not on.running:
            self.ask_start()
        elif on.set.full or ends_here(self.state.gym, on.set, self.state.lifters[on.present.lifter].youth):
            self.act(c.EndSet(self.hand))
        else:
            self.act(c.AllMade(self.hand))

    def action_overrule(self, action: str) -> None:
        """Overrule the proposal on screen."""
        last = last_done(self.state, self.hand)
        proposal = (proposal_after(self.state, *last) if last else None) or drill_stop(self.state, self.hand)
        if proposal is None:
            self.house.say("There is no proposal here to overrule.")
            return
        command = c.Overrule(proposal.lifter, proposal.lift, action)
        name = self.called(command.lifter)
        held = self.state.lifters[command.lifter].held  # then nothing is asked: it is refused
        if lifts_on(proposal) and not held:
            question = f"{name}: the rule says STOP, {reason(proposal.rule)}. Lift on all the same?"
            self.if_sure(question, "lift on", command)
            return
        self.act_if_sure(command, "set it")

    # --- which station is in hand

    def action_station(self, by: int) -> None:
        """The station to the left or right."""
        ids = [s.id for s in self.state.gym.stations]
        self.take(ids[(ids.index(self.hand) + by) % len(ids)])

    def action_next_station(self) -> None:
        """The next station that needs a key: a set to grade, a set running, somebody rested; else where one rests.

        A station where nobody is up needs none; the arrows go there.
        """
        ids = [s.id for s in self.state.gym.stations]
        at = ids.index(self.hand)
        others = [s for s in (*ids[at + 1 :], *ids[:at]) if on_the_bar(self.state, s) is not None]
        now = self.house.session.clock.now()
        if others:
            self.take(max(others, key=lambda s: (self._need(s, now), -others.index(s))))
        else:
            self.house.say("Nobody is up at another station. ← → go there.")

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
