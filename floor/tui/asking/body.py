"""The questions of a lifter's bodyweight and birth year: for the coach's eyes, kept with the person."""

from __future__ import annotations

from datetime import date

from floor.core.body import checked_born, checked_weight, weight_note
from floor.core.commands import AddNote
from floor.core.people import BODYWEIGHT, BORN, NoteAdded
from floor.tui.dialogs.ask import AskLoad, AskText
from floor.tui.dialogs.pick import Option, Pick
from floor.tui.screens.base import EveningScreen

HINT = "Kept with the person, never on the board. It only ever speaks for smaller steps."


class BodyQuestion(EveningScreen):
    """Asks for one of the two and notes it; a later one holds."""

    def ask_body(self, lifter: int, today: date) -> None:
        """Which of the two, and then what."""
        name = self.house.session.names.get(lifter, f"lifter {lifter}")
        ways = [Option(BODYWEIGHT, "bodyweight", f"in {self.state.gym.unit}, as of today"), Option(BORN, "birth year")]

        def picked(kind: int | str | None) -> None:
            if kind == BODYWEIGHT:
                ask = AskLoad(f"{name}: bodyweight", self.state.gym.unit, None, HINT)
                self.app.push_screen(ask, lambda weight: self._weighed(lifter, weight, today))
            elif kind == BORN:
                year = AskText(f"{name}: birth year", HINT)
                self.app.push_screen(year, lambda typed: self._born(lifter, typed, today))

        self.app.push_screen(Pick(f"{name}: what is noted?", ways, HINT, letters="wy"), picked)

    def _weighed(self, lifter: int, weight: int | None, today: date) -> None:
        unit = self.state.gym.unit
        if weight is not None:
            self._note(lifter, BODYWEIGHT, weight_note(weight, unit, today), checked_weight(weight, unit))

    def _born(self, lifter: int, typed: str | None, today: date) -> None:
        if typed is not None:
            self._note(lifter, BORN, typed, checked_born(typed, today))

    def _note(self, lifter: int, kind: str, words: str, wrong: str | None) -> None:
        if wrong:
            self.house.say(wrong)
        else:
            self.act(AddNote(lifter), [NoteAdded(lifter, kind, words)])
