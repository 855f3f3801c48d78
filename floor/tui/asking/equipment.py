"""The questions of the equipment screen: each changes a draft, which is adopted as a whole or not at all."""

from __future__ import annotations

from collections.abc import Callable, Generator
from dataclasses import replace
from itertools import combinations
from typing import Any, TypeVar

from textual.screen import ModalScreen

from floor.core.definitions import Problems, parse_equipment
from floor.core.documentparts import STANDS
from floor.core.equipment_text import equipment_text
from floor.core.gym import Bar, Gym, Plate, Station
from floor.core.restock import why_not_now
from floor.core.units import convert, show_load, show_with_unit
from floor.tui.dialogs.ask import AskLoad, AskText
from floor.tui.dialogs.pick import Option, Pick
from floor.tui.dialogs.whole import AskWhole
from floor.tui.present_plates import COMPETITION, PARTS, Row, rows, stands_words
from floor.tui.screens.base import EveningScreen

LIMITS = {
    "pairs": (0, 500, "pairs the gym owns"),
    "count": (1, 100, "bars of this kind"),
    "diameter": (50, 600, "diameter in mm; 450 is full-size"),
    "thickness": (1, 200, "thickness in mm, measured"),
    "sleeve": (50, 1000, "length in mm that plates can go on"),
}
OTHER = -1

Given = TypeVar("Given")
Asking = Generator[ModalScreen[Any], Any, Given]
"""Questions in a row: dialogs out, their answers in, what they come to at the end."""


class EquipmentQuestions(EveningScreen):
    """The draft, the cursor in it, and what is asked in a dialog. View state only until it is adopted."""

    _drafts: tuple[Gym, ...] = ()
    _row: int = 0
    _field: int = 0

    @property
    def draft(self) -> Gym:
        """The gym as it would be with what was typed here."""
        return self._drafts[-1] if self._drafts else self.state.gym

    @property
    def row(self) -> Row:
        """The line under the cursor."""
        listed = rows(self.draft, self.state)
        return listed[min(self._row, len(listed) - 1)]

    @property
    def column(self) -> int:
        """The field under the cursor in that line."""
        return min(self._field, len(PARTS[self.row.part]) - 1)

    def change(self, gym: Gym) -> bool:
        """Take the changed gym as the draft, or say why it can't be: True when it was taken."""
        read = parse_equipment(equipment_text(gym), gym.unit)
        if isinstance(read, Problems):
            first = read.found[0]
            self.house.say(f"{first.place}: {first.sentence}".lstrip(": "))
            return False
        why = why_not_now(self.state, gym)
        if why:
            self.house.say(why)
            return False
        self._drafts = (*self._drafts, gym)
        self.house.say("")
        return True

    def ask(self, questions: Asking[None], answer: object = None) -> None:
        """Ask one question after the other: each is yielded as its dialog and gets its answer, None when left."""
        try:
            dialog = questions.send(answer)
        except StopIteration:
            return
        self.app.push_screen(dialog, lambda given: self.ask(questions, given))

    def _with(self, **fields: Any) -> Gym:
        """The draft with fields of the line under the cursor changed."""
        part, at = self.row.part, self.row.at
        if part == "collar":
            return replace(self.draft, **fields)
        things = list(getattr(self.draft, part))
        was = things[at]
        things[at] = replace(was, **fields)
        gym = self._listing(part, tuple(things))
        if part == "bars" and "id" in fields:
            moved = tuple(replace(s, bar=fields["id"]) if s.bar == was.id else s for s in gym.stations)
            gym = replace(gym, stations=moved)
        return gym

    def _listing(self, part: str, things: tuple[Any, ...]) -> Gym:
        """The draft with a part's things replaced."""
        named: dict[str, Any] = {part: things}
        return replace(self.draft, **named)

    # --- one field

    def action_edit(self) -> None:
        """Enter: ask for the field under the cursor."""
        self.ask(self._edit())

    def _edit(self) -> Asking[None]:
        row, field = self.row, PARTS[self.row.part][self.column].field
        thing: Any = self.draft if row.part == "collar" else getattr(self.draft, row.part)[row.at]
        now = getattr(thing, field)
        title = f"{self._called(row)}: {field}"
        answer: Any
        if field == "droppable":
            answer = not now
        elif field == "collar":
            answer = yield from self._collar()
        elif field == "stands":
            answer = yield from self._stands(title)
        elif field == "bar":
            answer = yield Pick(title, [Option(b.id, b.name) for b in self.draft.bars])
        elif field == "mass":
            hint = "What the scale says; a plate of the other unit too, in the gym's unit."
            answer = yield AskLoad(title, self.draft.unit, now, hint)
        elif field in LIMITS:
            low, high, hint = LIMITS[field]
            answer = yield AskWhole(title, low, high, now, hint)
        elif row.part == "stations" and field == "id":
            answer = yield AskWhole(title, 1, 99, now)
        else:
            answer = yield AskText(title, initial=now)
        if answer is not None and answer != now:
            self.change(self._with(**{field: answer}))

    def _called(self, row: Row) -> str:
        if row.part == "collar":
            return "Collars"
        thing = getattr(self.draft, row.part)[row.at]
        return f"The {thing.id}" if isinstance(thing, Plate) else str(thing.name)

    def _stands(self, title: str) -> Asking[frozenset[str] | None]:
        ways = [frozenset(some) for n in (1, 2, 3) for some in combinations(STANDS, n)]
        picked = yield Pick(title, [Option(n, stands_words(way)) for n, way in enumerate(ways)])
        return None if picked is None else ways[picked]

    def _collar(self) -> Asking[int | None]:
        unit = self.draft.unit
        heavy = convert(COMPETITION, "kg", unit)
        options = [
            Option(0, "spring clips", f"counted as 0 {unit}"),
            Option(heavy, "competition collars", f"{show_with_unit(heavy, unit)} each"),
            Option(OTHER, "others", "weighed"),
        ]
        picked: int | None = yield Pick("Collars on every bar", options)
        if picked != OTHER:
            return picked
        return int(load) if (load := (yield AskLoad("One collar weighs", unit, None))) else None

    # --- one more, one less

    def action_count(self, by: int) -> None:
        """A pair or a bar more or less."""
        field = {"plates": "pairs", "bars": "count"}.get(self.row.part)
        if field is None:
            self.house.say("Pairs of plates and bars are counted: put the cursor on one.")
            return
        thing = getattr(self.draft, self.row.part)[self.row.at]
        low, high, _ = LIMITS[field]
        number = getattr(thing, field) + by
        if not low <= number <= high:
            self.house.say(f"{self._called(self.row)}: {field} from {low} to {high}. X takes the line out.")
            return
        self.change(self._with(**{field: number}))

    def action_add(self) -> None:
        """One more of what the cursor is in."""
        self.ask(self._add())

    def _add(self) -> Asking[None]:
        part = self.row.part
        makers: dict[str, Callable[[], Asking[Plate | None] | Asking[Bar | None] | Asking[Station | None]]] = {
            "plates": self._new_plate, "bars": self._new_bar, "stations": self._new_station,
        }  # fmt: skip
        if part not in makers:
            self.house.say("Put the cursor on a plate, a bar or a station: A adds another.")
            return
        new = yield from makers[part]()
        if new is None:
            return
        things = getattr(self.draft, part)
        at = self._row - self.row.at + len(things)
        if self.change(self._listing(part, (*things, new))):
            self._row, self._field = at, 0
            self.house.show()

    def _new_plate(self) -> Asking[Plate | None]:
        number = yield AskText("A new plate: the number painted on it", 'Such as 25, 1.25, 5T, 45lb.')
        if number is None:
            return None
        title = f"The {number}"
        mass = yield AskLoad(f"{title}: what one weighs", self.draft.unit, None, "What the scale says.")
        if mass is None:
            return None
        sizes = []
        for field in ("diameter", "thickness", "pairs"):
            low, high, hint = LIMITS[field]
            size = yield AskWhole(f"{title}: {field}", low, high, None, hint)
            if size is None:
                return None
            sizes.append(size)
        return Plate(number, mass, pairs=sizes[2], diameter=sizes[0], thickness=sizes[1])

    def _new_bar(self) -> Asking[Bar | None]:
        unit = self.draft.unit
        mass = yield AskLoad("A new bar: what it weighs", unit, None, "What the scale says.")
        if mass is None:
            return None
        low, high, hint = LIMITS["sleeve"]
        sleeve = yield AskWhole("The new bar: sleeve", low, high, None, hint)
        name = None
        if sleeve is not None:
            taken = any(b.name == f"{show_with_unit(mass, unit)} bar" for b in self.draft.bars)
            usual = "" if taken else f"{show_with_unit(mass, unit)} bar"
            name = yield AskText("The new bar: name", "As you say it.", usual)
        if name is None:
            return None
        ids = {b.id for b in self.draft.bars}
        figure = show_load(mass)
        free = next(x for x in (figure, *(f"{figure[:4]}{n}" for n in "bcdefghijklmnopqrstuvwxyz")) if x not in ids)
        return Bar(free[:6], name, mass, sleeve, 1)

    def _new_station(self) -> Asking[Station | None]:
        name = yield AskText("A new station: name")
        if name is None:
            return None
        stands = yield from self._stands(f"{name}: stands")
        if stands is None:
            return None
        bar = yield Pick(f"{name}: usual bar", [Option(b.id, b.name) for b in self.draft.bars])
        return None if bar is None else Station(max(s.id for s in self.draft.stations) + 1, name, stands, bar)

    def action_remove(self) -> None:
        """Take the line out of the equipment."""
        row = self.row
        if row.part == "collar":
            self.house.say("Collars stay: Enter chooses which.")
            return
        things, called = getattr(self.draft, row.part), self._called(row)
        if self.change(self._listing(row.part, things[: row.at] + things[row.at + 1 :])):
            self.house.say(f"{called} is out of the equipment; Backspace takes that back.")
