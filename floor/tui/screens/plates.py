"""Plates, bars and stations: what the gym owns, where it is, what can't be built with it; and changing it."""

from __future__ import annotations

from datetime import datetime
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.content import Content

from floor.core.equipment_text import equipment_text, head_of
from floor.core.state import State
from floor.session import Done, Failed
from floor.tui.asking.equipment import EquipmentQuestions
from floor.tui.dialogs.confirm import Confirm
from floor.tui.keys import bindings
from floor.tui.keysline import keys_lines
from floor.tui.present_plates import PARTS, gap_lines, lines, rows, window
from floor.tui.widgets.lines import Lines

TALL = 34
"""Rows of terminal from which a step's gaps get three lines."""


class Plates(EquipmentQuestions):
    """The equipment. View state only: the cursor, and a draft until S adopts it."""

    CSS_PATH = "plates.tcss"
    BINDINGS: ClassVar[list[BindingType]] = bindings("plates")

    def compose(self) -> ComposeResult:
        """Header, the equipment, what can't be built, the message, the keys."""
        yield Lines(id="header")
        yield Lines(id="things")
        yield Lines(id="gaps")
        yield Lines(id="message")
        yield Lines(id="keys")

    # --- what is shown

    def show_state(self, state: State, now: datetime) -> None:
        """Draw the equipment around the cursor."""
        if not self.is_mounted or not self.size.width:
            return
        gym, width = self.draft, self.size.width
        self._put("#header", [self._header(state)])
        missing = gap_lines(gym, self._gap_bar(), width, 3 if self.size.height >= TALL else 1)
        self.query_one("#gaps").styles.height = len(missing)
        self._put("#gaps", missing)
        shown, at = lines(rows(gym, state), (self._row, self.column), width)
        self._put("#things", window(shown, at, self.size.height - 4 - len(missing)))
        self._put("#message", [self.said()])
        foot = (("F1", "keys"),)
        self._put("#keys", keys_lines("plates", width, self._acting(), always=foot))

    def _put(self, where: str, words: list[Content]) -> None:
        self.query_one(where, Lines).show(words)

    def _header(self, state: State) -> Content:
        version = state.gym.versions.get("equipment", 0)
        parts: list[str | tuple[str, str]] = [(" Plates, bars, stations ", "bold"), f" {state.gym.unit}, mm"]
        if state.open:
            parts.append(" · session: plates only")
        if not self._drafts:
            parts.append(f" · version {version}")
        else:
            count = len(self._drafts)
            parts.append((f"  {count} change{'' if count == 1 else 's'}: S saves ", "bold reverse"))
        return Content.assemble(*parts)

    def _gap_bar(self) -> str:
        """The bar the gaps are worked out for: the one under the cursor, else the first station's."""
        gym, row = self.draft, self.row
        if row.part == "bars":
            return gym.bars[row.at].id
        return gym.stations[row.at if row.part == "stations" else 0].bar

    def _acting(self) -> frozenset[str]:
        can = {"edit", "leave"} | ({"adopt", "back"} if self._drafts else set())
        part = self.row.part
        if self.state.open and part != "plates":
            return frozenset(can - {"edit"})
        if part in ("plates", "bars"):
            can |= {"count(1)", "count(-1)"}
        return frozenset(can | ({"add", "remove"} if part != "collar" else set()))

    # --- keys

    def action_row(self, by: int) -> None:
        """Up or down."""
        self._row = max(0, min(self._row + by, len(rows(self.draft, self.state)) - 1))
        self.house.show()

    def action_field(self, by: int) -> None:
        """Left or right."""
        self._field = max(0, min(self.column + by, len(PARTS[self.row.part]) - 1))
        self.house.show()

    def action_back(self) -> None:
        """The latest change here off; what was adopted is changed again, not taken back."""
        if not self._drafts:
            self.house.say("Nothing was changed here.")
            return
        self._drafts = self._drafts[:-1]
        self._row = min(self._row, len(rows(self.draft, self.state)) - 1)
        self.house.say("")

    def action_adopt(self) -> None:
        """Adopt the draft as a new version of the equipment."""
        if not self._drafts:
            self.house.say("Nothing was changed here.")
            return
        session = self.house.session
        outcome = session.adopt("equipment", equipment_text(self.draft, head_of(session.journal.document("equipment"))))
        if isinstance(outcome, Done):
            self._drafts = ()
        first, *more = outcome.words.split("\n")
        words = f"{first} (and {len(more)} more)" if more else first
        self.house.say(words, lasting=isinstance(outcome, Failed))

    def action_leave(self) -> None:
        """Back; what was not adopted is asked about."""
        if not self._drafts:
            self.house.say("")
            self.app.pop_screen()
            return

        def sure(leave: bool | None) -> None:
            if leave:
                self._drafts = ()
                self.action_leave()

        count = len(self._drafts)
        self.app.push_screen(Confirm(f"Leave without saving {count} change{'' if count == 1 else 's'}?", "leave"), sure)
