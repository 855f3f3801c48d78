"""Somebody who walked in: the name, Enter, done."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import ClassVar

from textual.binding import Binding, BindingType
from textual.widgets import Input

from floor.core.nearnames import near_names
from floor.core.people import Person, board_name, name_wrong, same_name
from floor.tui.dialogs.base import Dialog, listed
from floor.tui.dialogs.pick import Option
from floor.tui.present_checkin import NEW_HERE
from floor.tui.widgets.lines import Line


@dataclass(frozen=True, slots=True)
class WalkInAnswer:
    """The full name, the name for the board, whether it is a young lifter, and the station's number."""

    name: str
    board: str
    youth: bool
    station: int


class WalkIn(Dialog[WalkInAnswer | None]):
    """A name typed; the station proposed (the first without one) and "not young" unless a key says otherwise.

    `stations` carry the station's number as value. ValueError when there is none.
    `programme` is what they start on. Somebody of the gym is not taken for new: their
    hold, notes and history would be left behind.
    """

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("f2", "youth", show=False),
        Binding("up", "station(-1)", show=False),
        Binding("down,f3", "station(1)", show=False),
    ]

    def __init__(
        self, stations: Sequence[Option], people: Sequence[Person], proposed: int | None = None, programme: str = ""
    ) -> None:
        super().__init__("A walk-in", f"Type the name as they say it. New here: {NEW_HERE}")
        if not stations:
            raise ValueError("a walk-in needs a station to go to")
        self.stations = tuple(stations)
        self.people = tuple(people)
        self.taken = frozenset(person.board for person in people)
        self.asked = ""
        self.programme = programme
        self.cursor = next((at for at, station in enumerate(self.stations) if station.value == proposed), 0)
        self.youth = False

    def fields(self) -> Iterable[Input]:
        """The name."""
        yield Input(placeholder="name", max_length=60)

    def body(self, width: int, rows: int) -> list[Line]:
        """What the board will say, young or not, and the stations."""
        board = board_name(self.query_one(Input).value, self.taken)
        lines = [f"{s.label}  {s.hint}".rstrip() for s in self.stations]
        above = [
            f"on the board: {board}" if board else "on the board: the first word",
            f"young lifter: {'yes' if self.youth else 'no'}",
            *([f"starts on: {self.programme}"] if self.programme else []),
            "station:",
        ]
        return [*above, *listed(lines, self.cursor, rows - len(above), width)]

    def keys(self) -> Sequence[str]:
        """The keys that act here."""
        return ("Enter check in", "F2 young or not", "↑ ↓ or F3 station", "Esc leave")

    def on_input_changed(self, event: Input.Changed) -> None:
        """Show the name for the board."""
        self.told = ""
        self.redraw()

    def on_input_submitted(self, event: Input.Submitted) -> None:
        """Answer, or say that a name is missing."""
        name = " ".join(event.value.split())
        if not name:
            self.tell("A walk-in needs a name: type at least the first one.")
            return
        if words := name_wrong(name) or self._known(name):
            self.tell(words)
            return
        station = int(self.stations[self.cursor].value)
        self.reply(WalkInAnswer(name, board_name(name, self.taken), self.youth, station))

    def _known(self, name: str) -> str:
        """What is said of a name the gym has: the same again is never taken, one like it with a second Enter."""
        if same := next((p.name for p in self.people if same_name(name, p.name)), ""):
            return f"{same} belongs to this gym: Esc, and check in from the list. Another one? Add to the name."
        near = self._near(name)
        if not near or name == self.asked:
            return ""
        self.asked = name
        return f"Is it {near}? Then Esc, and check in from the list. Somebody new: Enter again."

    def _near(self, name: str) -> str:
        """Somebody on the board under that name, or whose name is a letter away; "" for nobody."""
        board = [person.name for person in self.people if same_name(name, person.board)]
        pairs = near_names([*(person.name for person in self.people), name])
        near = [one if other == name else other for one, other in pairs if name in (one, other)]
        return next(iter([*board, *near]), "")

    def action_youth(self) -> None:
        """Young, or not."""
        self.told = ""
        self.youth = not self.youth
        self.redraw()

    def action_station(self, by: int) -> None:
        """The station before or after."""
        self.told = ""
        self.cursor = (self.cursor + by) % len(self.stations)
        self.redraw()
