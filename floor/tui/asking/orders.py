"""The plan's offers, the coach's own order, the trims."""

from __future__ import annotations

from floor.core import commands as c
from floor.tui.asking.base import FloorBase
from floor.tui.dialogs.pick import Option, Pick
from floor.tui.dialogs.tenminutes import TenMinutes
from floor.tui.draw.tenminutes import blocks
from floor.tui.present_plan import coming, share_words, trim_words, trims_title


class OrderQuestions(FloorBase):
    """What to take from the plan, and what to keep against it."""

    def action_take_offer(self) -> None:
        """The order offered at the station in hand."""
        self.act(c.TakeOffer(self.hand))

    def action_hold_order(self) -> None:
        """Hold the line as it stands; or back to the rising bar."""
        station = self.state.evening.stations.get(self.hand)
        held = station is not None and station.held
        self.act(c.FollowBar(self.hand) if held else c.HoldOrder(self.hand))

    def action_ten_minutes(self) -> None:
        """The next ten minutes in lines, for a screen with no room for the picture."""
        outlook, now = self.house.latest_outlook, self.house.session.clock.now()
        if not outlook.turns:
            self.house.say("There is no plan yet.")
            return
        stations = [(s.id, s.name) for s in self.state.gym.stations]
        turns = coming(self.state, outlook, now)
        shown = blocks(turns, stations, self.house.session.names, now, self.state.gym)
        self.app.push_screen(TenMinutes(shown, share_words(outlook)))

    def action_trims(self) -> None:
        """What could be left out or moved, each with the minutes it gains and what it costs whom."""
        outlook = self.house.outlook
        if not outlook.trims:
            self.house.say("There is nothing to trim now." if outlook.cmd else "There is no plan yet: no trims.")
            return
        names = self.house.session.names
        options = [Option(at, *trim_words(self.state, outlook, trim, names)) for at, trim in enumerate(outlook.trims)]

        def picked(trim: int | str | None) -> None:
            if isinstance(trim, int):
                self.house.act(c.TakeTrim(trim), outlook=outlook)  # the one that was read, if it is of now still

        title = trims_title(outlook, self.house.session.zone)
        self.app.push_screen(Pick(title, options, hint="A ramp stays as long as its lift does."), picked)
