"""A walk-in, asked alike at check-in and on the floor: where they go, what they start on, what to ask them first."""

from __future__ import annotations

from collections.abc import Callable

from floor.core import commands as c
from floor.core.groups import place_new
from floor.core.people import FORGOTTEN, PersonAdded
from floor.tui import present_checkin as words
from floor.tui.dialogs.pick import Option
from floor.tui.dialogs.walkin import WalkIn, WalkInAnswer
from floor.tui.screens.base import EveningScreen


class NewcomerQuestions(EveningScreen):
    """Somebody new: name, station, go."""

    def ask_walk_in(self, then: Callable[[int], object] | None = None) -> None:
        """The cursor is at the station proposed; opens the session if none is. `then` is told the new number."""
        session, gym = self.house.session, self.state.gym
        if not gym.stations:
            self.house.say("The gym has no station to lift at: add one to its equipment first.")
            return
        best = place_new(self.state, session.free_number(), session.clock.now()).station
        options = [
            Option(s.id, s.name, "proposed" if best is not None and s.id == best.id else " · ".join(sorted(s.stands)))
            for s in gym.stations
        ]
        known = [person for person in session.people.values() if person.name != FORGOTTEN]
        dialog = WalkIn(options, known, best.id if best else None, words.start_words(self.state))

        def answered(answer: WalkInAnswer | None) -> None:
            if answer is not None and (self.state.open or self.act(c.OpenSession())):
                self._walk_in(answer, then)

        self.app.push_screen(dialog, answered)

    def _walk_in(self, answer: WalkInAnswer, then: Callable[[int], object] | None) -> None:
        number = self.house.session.free_number()
        arrive = c.Arrive(number, answer.station, new=True, youth=answer.youth)
        if not self.act(arrive, [PersonAdded(number, answer.name, answer.board)]):
            return
        if then is not None:
            then(number)
        self.house.say(words.newcomer_words(self.state, number, self.house.session.names))
