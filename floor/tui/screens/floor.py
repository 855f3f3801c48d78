"""The floor: the board of all stations, and the keys of the one in hand."""

from __future__ import annotations

from datetime import datetime
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Horizontal
from textual.content import Content
from textual.events import Key as KeyPress

from floor.core import commands as c
from floor.core.askfirst import no_safeties
from floor.core.board import drill_stop, last_done, on_the_bar, proposal_after
from floor.core.decide.afterwards import wanted_load
from floor.core.gym import Grade
from floor.core.jumps import jump_from
from floor.core.outlook import Outlook
from floor.core.proposals import reason
from floor.core.rests import rest_left
from floor.core.state import State
from floor.core.units import show_with_unit
from floor.tui import panel, present, present_plan
from floor.tui.asking.care import CareQuestions
from floor.tui.asking.more import MoreQuestions
from floor.tui.asking.orders import OrderQuestions
from floor.tui.asking.people import PeopleQuestions
from floor.tui.asking.sets import SetQuestions
from floor.tui.dialogs.confirm import Confirm
from floor.tui.draw.strip import strip
from floor.tui.keys import bindings
from floor.tui.widgets.card import StationCard
from floor.tui.widgets.lines import Lines


class Floor(SetQuestions, PeopleQuestions, OrderQuestions, CareQuestions, MoreQuestions):
    """The screen a session runs on. View state only: which station is in hand, whether keys are locked."""

    CSS_PATH = "floor.tcss"
    BINDINGS: ClassVar[list[BindingType]] = bindings("floor")

    def compose(self) -> ComposeResult:
        """Header, board, rests, the panel, the plan, the message, the keys."""
        yield Lines(id="header")
        with Horizontal(id="board"):
            for station in self.state.gym.stations:
                yield StationCard(id=f"station-{station.id}")
        yield Lines(id="resting")
        yield Lines(id="strip")
        yield Lines(id="panel")
        yield Lines(id="plan")
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
        outlook = self.house.latest_outlook
        header = panel.header(state, now, self.house.session.zone, self.house.muted, self.locked, outlook, width)
        self.query_one("#header", Lines).show([header])
        for card in self.query(StationCard):
            station = int((card.id or "").removeprefix("station-"))
            view = present.card(state, station, names, now, station == self.hand)
            if view != card.view:
                card.show(view)
        rests = self.query_one("#resting", Lines)
        rests.show(panel.resting(state, names, now, width, rests.size.height))
        self._show_strip(state, outlook, now)
        below = self.query_one("#panel", Lines)
        lines = panel.in_hand(state, self.hand, names, width, now)
        rows = below.size.height or len(lines)
        below.show(lines[:rows])
        said = bool(self.house.message)
        plan = self._plan(state, outlook, lines[rows : rows + 1 + said], now)
        self.query_one("#plan", Lines).show(plan)
        spare = lines[rows + 1 : rows + 2]
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
        names = self.house.session.names
        parts = (
            present_plan.offer(state, outlook, self.hand, names, now) or present_plan.own(state, self.hand),
            present_plan.stand(state, outlook, names, now),
            Content(self.house.no_plan) if self.house.no_plan else None,
            *(line for line in spare if line.plain.startswith(("cue", panel.SEEN))),
        )
        line = present_plan.plan_line(parts, self.size.width - 2, now)
        return spare[:1] if line is None else [line]

    def show_outlook(self, outlook: Outlook) -> None:
        """A plan has come or is gone."""
        self.show_state(self.state, self.house.session.clock.now())

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
            if on is not None and no_safeties(self.state, on.present.lifter, on.set):
                name, lift = self.called(on.present.lifter), self.state.gym.lifts[on.set.lift].name
                question = f"{name}, {lift}: no safeties are noted. Do they stand right, or is somebody spotting?"
                self.app.push_screen(Confirm(question, "start"), lambda sure: self._start() if sure else None)
            else:
                self._start()
        elif on.set.full:
            self.act(c.EndSet(self.hand))
        else:
            self.act(c.AllMade(self.hand))

    def _start(self) -> None:
        """Start the set of whoever is up; rest that is cut short is said."""
        on = on_the_bar(self.state, self.hand)
        early = rest_left(self.state.gym, on.present, self.house.session.clock.now()) if on else 0
        if self.act(c.StartSet(self.hand)) and early:
            did, dot, follows = self.house.message.partition(" · ")  # the rest before what may be cut off
            self.house.say(f"{did}, {present.minutes(early)} of rest left: Backspace undoes it.{dot}{follows}")

    def action_rep(self, made: bool) -> None:
        """Count a rep."""
        self.act(c.CountRep(self.hand, made))

    def action_grade(self, grade: str) -> None:
        """Grade and end the set."""
        self.act(c.EndSet(self.hand, Grade(grade)))

    def action_overrule(self, action: str) -> None:
        """Overrule the proposal on screen."""
        last = last_done(self.state, self.hand)
        proposal = (proposal_after(self.state, *last) if last else None) or drill_stop(self.state, self.hand)
        if proposal is None:
            self.house.say("There is no proposal here to overrule.")
            return
        command = c.Overrule(proposal.lifter, proposal.lift, action)
        name, unit = self.called(command.lifter), self.state.gym.unit
        if proposal.action == "stop" and not proposal.overruled:
            question = f"{name}: the rule says STOP, {reason(proposal.rule)}. Lift on all the same?"
            self.if_sure(question, "lift on", command)
            return
        wanted = wanted_load(self.state, command.lifter, command.lift, action) or 0
        low = jump_from(self.state, command.lifter, command.lift, wanted, proposal.load)
        if low is None:
            self.act(command)
            return
        more = show_with_unit(wanted - low, unit)
        self.if_sure(f"{name}: {show_with_unit(wanted, unit)}, {more} more than before. Sure?", "add it", command)

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
