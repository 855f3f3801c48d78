"""The notes about a lifter, read and added to, asked alike wherever they are read."""

from __future__ import annotations

from floor.core.commands import AddNote
from floor.core.people import NoteAdded
from floor.tui.dialogs.notes import Notes
from floor.tui.screens.base import EveningScreen


class NoteQuestion(EveningScreen):
    """Shows the notes; a line typed is a caution added."""

    def ask_notes(self, lifter: int) -> None:
        """The notes about one lifter; of somebody whose name was erased there are none to read or add."""
        person = self.house.session.people.get(lifter)
        if person is None:
            self.house.say(f"Nothing is kept about lifter {lifter}: name and notes were erased.")
            return

        def told(text: str | None) -> None:
            if text:
                self.act(AddNote(lifter), [NoteAdded(lifter, "caution", text)])

        self.app.push_screen(Notes(person.board, [(note.kind, note.text) for note in person.notes]), told)
