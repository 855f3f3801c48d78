"""Questions of care: pain, its clearance, incidents, notes. For the coach's eyes, never the board."""

from __future__ import annotations

from floor.core import commands as c
from floor.core.people import NoteAdded, PersonAdded
from floor.core.state import Present
from floor.core.words import set_stands
from floor.session import Done
from floor.tui.asking.base import FloorBase
from floor.tui.asking.notes import NoteQuestion
from floor.tui.dialogs.ask import AskText
from floor.tui.dialogs.pick import KEYS, Option
from floor.tui.present_care import pain_words

THE_GYM = 0
"""The number an incident is noted under when it concerns nobody in particular."""
NOBODY = "0"
"""The key of nobody in particular: the others are the lifters' own."""


class CareQuestions(FloorBase, NoteQuestion):
    """Pain holds every lift until a clearance is recorded."""

    def cautioned(self) -> frozenset[int]:
        """Those here and held about whom a caution is noted: that there is one is said, never its words."""
        return frozenset(p.lifter for p in self.here() if self._held(p) and self._cautioned(p.lifter))

    def _cautioned(self, lifter: int) -> bool:
        person = self.house.session.people.get(lifter)
        return person is not None and bool(person.noted("caution"))

    def action_pain(self) -> None:
        """Pain: hold a lifter, or record who cleared one; the one at the bar in hand first under the cursor."""
        there = self.here()
        ways = ["held: record the clearance" if self._held(p) else "hold every lift" for p in there]
        options = [Option(p.lifter, self.called(p.lifter), way) for p, way in zip(there, ways, strict=True)]
        self.ask_whom("Pain: who?", options, self._pain, self.keys_here(), self.at_the_bar())

    def _held(self, present: Present) -> bool:
        return self.state.lifters[present.lifter].held

    def _pain(self, lifter: int) -> None:
        name = self.called(lifter)
        if self.state.lifters[lifter].held:
            hint = "Only with a clearance from someone licensed to give it. Kept with the person, not on the board."
            self._note(f"{name}: who cleared it, and when?", hint, lifter, "clearance", c.ClearPain(lifter))
        else:
            hint = "Every lift is held, Esc too, until a clearance is recorded. A licensed clinician decides that."
            title = f"{name}: where does it hurt? (may be empty)"
            self.app.push_screen(AskText(title, hint, required=False), lambda where: self._hurts(lifter, where or ""))

    def _hurts(self, lifter: int, where: str) -> None:
        """Hold every lift, and say so before what became of a set that was running; Backspace is for a slip."""
        outcome = self.house.act(c.ReportPain(lifter), [NoteAdded(lifter, "pain", where)] if where else [])
        if not isinstance(outcome, Done):
            return
        held = pain_words(
            self.state, lifter, self.called(lifter), self._cautioned(lifter), self.size.width - 2
        )
        stands = set_stands(outcome.events, self.state.gym)
        follows = self.house.message.removeprefix(outcome.words)
        self.house.say(f"{held}{f' · {stands}' if stands else ''}{follows}")

    def _note(self, title: str, hint: str, lifter: int, kind: str, command: c.Command) -> None:
        def told(text: str | None) -> None:
            if text:
                self.act(command, [NoteAdded(lifter, kind, text)])

        self.app.push_screen(AskText(title, hint), told)

    def action_incident(self) -> None:
        """An incident note: about anybody who came, gone or not, or about nobody in particular."""
        everybody = list(self.state.evening.here.values())
        options = [Option(THE_GYM, "nobody in particular"), *self.options(everybody)]
        self.ask_whom("Incident: about whom?", options, self._incident, NOBODY + KEYS)

    def _incident(self, lifter: int) -> None:
        people = self.house.session.people
        new = [PersonAdded(THE_GYM, "the gym", "the gym")] if lifter == THE_GYM and THE_GYM not in people else []

        def told(text: str | None) -> None:
            if text:
                self.act(c.NoteIncident(lifter), [*new, NoteAdded(lifter, "incident", text)])

        self.app.push_screen(AskText("What happened?", "Facts only: what, where, who helped."), told)

    def action_notes(self) -> None:
        """Read the notes about a lifter, and add a caution: for the coach's eyes."""
        self.ask_whom_here("Notes about whom?", self.ask_notes)
