"""Questions about people and their order: arrive, walk in, leave, move, pass, swap."""

from __future__ import annotations

from floor.core import commands as c
from floor.core.groups import place_for
from floor.core.queue import promised_line
from floor.core.units import show_with_unit
from floor.tui import present_checkin as words
from floor.tui.asking.base import FloorBase
from floor.tui.asking.newcomer import NewcomerQuestions
from floor.tui.asking.times import TimeQuestions
from floor.tui.dialogs.pick import Option, Pick


class PeopleQuestions(FloorBase, TimeQuestions, NewcomerQuestions):
    """Who comes, goes, moves, passes and swaps."""

    def action_pass_turn(self) -> None:
        """The next one goes first."""
        self.act(c.Pass(self.hand))

    def action_swap(self) -> None:
        """Whoever is up changes places with someone in the line."""
        turns = promised_line(self.state, self.hand)
        if len(turns) < 2:
            self.house.say("Nobody to swap with at this station.")
            return
        first = turns[0].lifter
        unit = self.state.gym.unit
        others = [Option(t.lifter, self.called(t.lifter), show_with_unit(t.set.load, unit)) for t in turns[1:]]

        def swapped(other: int | str | None) -> None:
            if isinstance(other, int):
                self.act(c.Swap(self.hand, first, other))

        self.app.push_screen(Pick(f"Swap {self.called(first)} with", others), swapped)

    def action_swap_lifts(self) -> None:
        """The rack is taken."""
        present = self.in_hand()
        if present is not None:
            self.act(c.SwapLifts(present.lifter))

    def action_stop(self) -> None:
        """Stop everything at once; the same key goes on."""
        self.act(c.ResumeAll() if self.state.evening.stopped else c.StopAll())


    def action_people(self) -> None:
        """Arrive, walk in, leave, move."""
        ways = [
            Option("a", "arrive", "a lifter of the gym who is not here yet"),
            Option("w", "walk-in", "somebody new"),
            Option("t", "late", "when somebody who is not here yet will come"),
            Option("g", "must go", "at a time: the plan ends their sets by then"),
            Option("l", "leave", "goes home"),
            Option("m", "move", "to another station"),
        ]
        self.app.push_screen(Pick("People", ways, letters="awtglm"), self._people)

    def _people(self, way: int | str | None) -> None:
        if way == "a":
            self.ask_whom("Who has arrived?", self._absent(), self._arrived)
        elif way == "w":
            self.ask_walk_in()
        elif way == "t":
            self.ask_whom("Who comes late?", self._absent(), lambda lifter: self.ask_late(lifter, self.called(lifter)))
        elif way == "g":
            self.ask_whom_here("Who must go?", lambda lifter: self.ask_leaving(lifter, self.called(lifter)))
        elif way == "l":
            self.ask_whom_here("Who leaves?", lambda lifter: self.act(c.Leave(lifter)))
        elif way == "m":
            self.ask_whom_here("Who moves?", self._move)

    def _absent(self) -> list[Option]:
        """Everyone of the gym who has not come, and when who is late is expected."""
        late = self.state.evening.late
        away = [i for i in self.state.lifters if i not in self.state.evening.here]
        named = sorted((self.called(i), i) for i in away if i in self.house.session.people)
        return [Option(i, name, words.late_words(self.state, i, self._zone) if i in late else "") for name, i in named]

    def _arrived(self, lifter: int) -> None:
        now = self.house.session.clock.now()
        best = place_for(self.state, self.state.lifters[lifter], now).station
        ordered = sorted(self.state.gym.stations, key=lambda s: (best is None or s.id != best.id, s.id))
        hints = ["suggested" if best is not None and s.id == best.id else " · ".join(sorted(s.stands)) for s in ordered]
        stations = [Option(s.id, s.name, hint) for s, hint in zip(ordered, hints, strict=True)]
        self.ask_whom(f"{self.called(lifter)}: where?", stations, lambda at: self.act(c.Arrive(lifter, at)))

    def _move(self, lifter: int) -> None:
        stations = [Option(s.id, s.name, " · ".join(sorted(s.stands))) for s in self.state.gym.stations]
        self.ask_whom(f"{self.called(lifter)}: where to?", stations, lambda to: self.act(c.Move(lifter, to)))
