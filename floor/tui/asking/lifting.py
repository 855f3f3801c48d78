"""The questions round a set that starts, runs and is graded: each so that one key too many does no harm."""

from __future__ import annotations

from floor.core import commands as c
from floor.core.askfirst import uncounted
from floor.core.board import on_the_bar
from floor.core.gym import Grade
from floor.core.rests import rest_left
from floor.tui.asking.base import FloorBase
from floor.tui.dialogs.confirm import Confirm
from floor.tui.dialogs.keypick import KeyPick
from floor.tui.present import minutes
from floor.tui.present_sure import UNCOUNTED, before_start, not_counted


class LiftingQuestions(FloorBase):
    """Start, count, grade: asked about only where the usual key would be the less safe way."""

    def ask_start(self) -> None:
        """Start the set of whoever is up, once what speaks against it has been answered with a Y."""
        on, evening = on_the_bar(self.state, self.hand), self.state.evening
        refused = on is None or on.running or evening.stopped or evening.drill is not None
        asked = "" if on is None or refused else before_start(
            self.state, on, self.called(on.present.lifter), self.house.session.clock.now()
        )
        if not asked:
            self._start()
            return
        self.app.push_screen(Confirm(asked, "start", careful=True), lambda sure: self._start() if sure else None)

    def _start(self) -> None:
        """Start the set of whoever is up, a bar heavier than planned on a Y alone; rest that is cut short is said."""
        on = on_the_bar(self.state, self.hand)
        early = rest_left(self.state.gym, on.present, self.house.session.clock.now()) if on else 0

        def started() -> None:
            if early:
                did, dot, follows = self.house.message.partition(" · ")  # the rest before what may be cut off
                self.house.say(f"{did}, {minutes(early)} of rest left: Backspace undoes it.{dot}{follows}")

        self.act_if_sure(c.StartSet(self.hand), "start", started)

    def action_rep(self, made: bool) -> None:
        """Count a rep; one after a fault that ends the set is asked about."""
        self.act_if_sure(c.CountRep(self.hand, made), "count it")

    def action_grade(self, grade: str) -> None:
        """Grade and end the set; reps that nobody counted are asked about: made, or not done."""
        on, given = on_the_bar(self.state, self.hand), c.EndSet(self.hand, Grade(grade))
        youth = on is not None and self.state.lifters[on.present.lifter].youth
        left = uncounted(self.state.gym, on.set, youth) if on is not None and on.running else 0
        if on is None or not left:
            self.act(given)
            return

        def answered(key: str | None) -> None:
            if key == "full_stop" or (key == "enter" and self.act(c.AllMade(given.station))):
                self.act(given)

        self.app.push_screen(KeyPick(not_counted(self.called(on.present.lifter), left), UNCOUNTED), answered)
