"""Check-in's questions: a walk-in, a note, a clearance, a programme; asked of the highlighted lifter."""

from __future__ import annotations

from datetime import datetime

from floor.core import commands as c
from floor.core.arrivals import Coming, coming
from floor.core.groups import moves
from floor.core.people import NoteAdded, PersonChange
from floor.core.state import Lifter
from floor.tui import present_checkin as words
from floor.tui.asking.newcomer import NewcomerQuestions
from floor.tui.asking.notes import NoteQuestion
from floor.tui.asking.times import TimeQuestions
from floor.tui.dialogs.ask import AskText
from floor.tui.dialogs.pick import Option, Pick
from floor.tui.dialogs.reading import Reading

GROUPS_HINT = "Like loads and bars together, no station done long after the others. 1-9 puts anyone elsewhere."


class CheckInQuestions(TimeQuestions, NewcomerQuestions, NoteQuestion):
    """The list, the cursor in it, and what is asked in a dialog."""

    _at: int = 0

    @property
    def lifters(self) -> tuple[int, ...]:
        """The list, by board name."""
        return words.roll(self.state, self.house.session.names)

    @property
    def highlighted(self) -> Lifter | None:
        """The lifter under the cursor; None on the way to the floor, or in an empty gym."""
        listed = self.lifters
        return self.state.lifters[listed[self._at]] if self._at < len(listed) else None

    def action_walk_in(self) -> None:
        """Somebody new: name, station, go."""
        self.ask_walk_in(self._at_the)

    def _at_the(self, lifter: int) -> None:
        self._at = self.lifters.index(lifter)
        self.house.show()

    def action_late(self) -> None:
        """Expected late: in how many minutes; asked again, it is put right."""
        lifter = self.highlighted
        if lifter is not None and coming(self.state, lifter.id) in (Coming.EXPECTED, Coming.LATE):
            self.ask_late(lifter.id, self._called(lifter.id), self._on)
        elif lifter is not None:
            self.house.say(f"{self._called(lifter.id)} has come already.")

    def action_must_go(self) -> None:
        """When the highlighted lifter must go."""
        lifter = self.highlighted
        if lifter is not None and coming(self.state, lifter.id) is not Coming.LEFT:
            self.ask_leaving(lifter.id, self._called(lifter.id))
        elif lifter is not None:
            self.house.say(f"{self._called(lifter.id)} has left.")

    def action_groups(self) -> None:
        """Who shares which station; those here who have not lifted go there at a key."""
        moving = moves(self.state, self._now()) if self.state.open else ()
        lines = words.group_lines(self.state, self.house.session.names, self._now(), self._zone)
        going = "" if not moving else "1 lifter moves" if len(moving) == 1 else f"{len(moving)} lifters move"
        self.app.push_screen(
            Reading("Tonight's groups", GROUPS_HINT, lines, going), lambda yes: self._share(yes, moving)
        )

    def _share(self, yes: bool | None, moving: tuple[tuple[int, int], ...]) -> None:
        if yes and moving:
            self.act(c.ShareOut(moving))

    def action_note(self) -> None:
        """Read the notes about the highlighted lifter; a line typed is a caution added."""
        lifter = self.highlighted
        if lifter is not None:
            self.ask_notes(lifter.id)

    def action_clearance(self) -> None:
        """Record who cleared a held lifter, and when."""
        lifter = self.highlighted
        if lifter is None:
            return
        if not lifter.held:
            self.house.say(f"{self._called(lifter.id)} is not held.")
            return
        hint = "Only with a clearance from someone licensed to give it. Kept with the person, not on the board."
        self.app.push_screen(
            AskText(f"{self._called(lifter.id)}: who cleared it, and when?", hint),
            lambda text: self._noted(c.ClearPain(lifter.id), NoteAdded(lifter.id, "clearance", text)) if text else None,
        )

    def _noted(self, command: c.Command, note: PersonChange) -> None:
        self.act(command, [note])

    def action_programme(self) -> None:
        """Give the highlighted lifter a programme."""
        lifter = self.highlighted
        if lifter is None:
            return
        known = list(self.state.gym.programmes.values())
        if not known:
            self.house.say("The gym has no programme: add one to its documents.")
            return
        proposed = lifter.proposed.programme if lifter.proposed else ""
        known.sort(key=lambda p: p.id != proposed)
        options = [
            Option(p.id, p.name, "now" if p.id == lifter.programme else
                   f"{_days(len(p.days))}{', proposed' if p.id == proposed else ''}")
            for p in known
        ]
        hint = "Starts on day 1." + (" Tonight's sets stay as they are." if self._planned(lifter) else "")
        self.app.push_screen(
            Pick(f"{self._called(lifter.id)}: which programme?", options, hint),
            lambda picked: self._give(lifter.id, picked),
        )

    def _give(self, lifter: int, picked: int | str | None) -> None:
        if isinstance(picked, str):
            self.act(c.GiveProgramme(lifter, picked))

    # --- small helps

    def _on(self) -> None:
        """To the lifter below: as after a check-in, not past the last."""
        self._at = min(self._at + 1, len(self.lifters) - 1)
        self.house.show()

    def _opened(self) -> bool:
        """A session is open: the first check-in opens it, as a command of its own."""
        return self.state.open or self.act(c.OpenSession())

    def _planned(self, lifter: Lifter) -> bool:
        present = self.state.evening.here.get(lifter.id) if self.state.open else None
        return present is not None and bool(present.sets)

    def _now(self) -> datetime:
        return self.house.session.clock.now()

    def _called(self, lifter: int) -> str:
        return words.name_of(lifter, self.house.session.names)


def _days(count: int) -> str:
    return "1 day" if count == 1 else f"{count} days"
