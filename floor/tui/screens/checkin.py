"""Check-in: who is here, who is late, at which station, with what to lift tonight."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import datetime
from typing import ClassVar
from zoneinfo import ZoneInfo

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.content import Content
from textual.worker import Worker, get_current_worker

from floor.core import commands as c
from floor.core.arrivals import Coming, coming
from floor.core.groups import place_for
from floor.core.state import Lifter, State
from floor.sheets import Written, write_sheets
from floor.tui import present_checkin as words
from floor.tui.asking.checkin import CheckInQuestions
from floor.tui.keys import bindings
from floor.tui.keysline import ALWAYS_SHORT, keys_lines
from floor.tui.widgets.lines import Lines

HEAD_ROWS, FOOT_ROWS = 1, 3
LEAST_LIST = 6
"""Rows the list keeps whatever the details need."""
AHEAD = 12
"""Lifters whose record is read before their check-in is asked for."""


class CheckIn(CheckInQuestions):
    """The start of an evening. View state only: where the cursor is."""

    CSS_PATH = "checkin.tcss"
    BINDINGS: ClassVar[list[BindingType]] = [
        *bindings("checkin"),
        *(Binding(str(n), f"to_station({n})", show=False) for n in range(2, 10)),
    ]

    _reading: Worker[None] | None = None

    def compose(self) -> ComposeResult:
        """Header, the list, the highlighted lifter, the cautions, the message, the keys."""
        yield Lines(id="header")
        yield Lines(id="roll")
        yield Lines(id="details")
        yield Lines(id="cautions")
        yield Lines(id="message")
        yield Lines(id="keys")

    # --- what is shown

    def show_state(self, state: State, now: datetime) -> None:
        """Draw the list and the highlighted lifter."""
        if not self.is_mounted or not self.size.width:
            return
        self._at = min(self._at, len(state.lifters))
        zone = ZoneInfo(self.house.session.zone)
        self._put("#header", [words.header(state, now, zone, self.size.width)])
        detail = self._details(state, now, zone)
        self._put("#message", [self.said()])
        self._put("#keys", keys_lines("checkin", self.size.width, self._acting(state), always=ALWAYS_SHORT))
        room = self.size.height - HEAD_ROWS - FOOT_ROWS
        rows = min(len(detail), max(room - LEAST_LIST - 1, 1))
        spare = room - rows - (len(state.lifters) + 1)
        some = max(1, min(spare, len(state.gym.settings.cautions)))
        cautions = words.caution_lines(state, now, some)
        for name, size in (("#details", rows), ("#cautions", len(cautions))):
            self.query_one(name).styles.height = size
        self._put("#details", [line.truncate(self.size.width, ellipsis=True) for line in detail[:rows]])
        self._put("#cautions", cautions)
        self._put("#roll", self._roll(state, now, zone, room - rows - len(cautions)))
        self._read_ahead()

    def _read_ahead(self) -> None:
        """Beside the keys, read what checking in the highlighted lifter and those after will ask of the record."""
        if self._reading is not None and not self._reading.is_finished:
            return
        read = self.house.session.evidence_reader(self.lifters[self._at : self._at + AHEAD])
        if read is not None:
            self._reading = self.run_worker(lambda: read(_wanted()), thread=True, group="ahead")

    def _put(self, where: str, lines: Sequence[Content | str]) -> None:
        self.query_one(where, Lines).show(lines)

    def _details(self, state: State, now: datetime, zone: ZoneInfo) -> list[Content]:
        session = self.house.session
        lifter = self.highlighted
        stations = Content.assemble((" stations ", "bold"), words.station_words(state))
        if lifter is None:
            if not state.lifters:
                return [stations]
            return [Content(" Enter goes to the floor." if state.open else " Nobody is checked in yet."), stations]
        lines = words.details(state, lifter, session.people.get(lifter.id), now, zone)
        enter = words.enter_words(state, lifter, session.names, now)
        entering = Content.assemble((" Enter ", "bold $accent"), enter)
        whole = Content.assemble(entering, " ·", stations)
        return [*lines, *([whole] if whole.cell_length <= self.size.width else [entering, stations])]

    def _roll(self, state: State, now: datetime, zone: ZoneInfo, rows: int) -> list[Content]:
        if not state.lifters:
            return [Content(line) for line in words.EMPTY_GYM]
        people = self.house.session.people
        listed = self.lifters
        window = max(1, rows)
        first = min(max(0, self._at - window // 2), max(0, len(listed) + 1 - window))
        lines: list[Content] = []
        for at in range(first, min(first + window, len(listed) + 1)):
            mark = "▶ " if at == self._at else "  "
            if at == len(listed):
                line = Content.assemble(mark, (words.TO_FLOOR, "bold"))
            else:
                lifter = state.lifters[listed[at]]
                line = Content.assemble(
                    mark, words.row(state, lifter, people.get(lifter.id), now, zone, self.size.width)
                )
            line = line.truncate(self.size.width, ellipsis=True, pad=True)
            lines.append(line.stylize("on $primary 40%") if at == self._at else line)
        if first + window < len(listed) + 1:
            lines[-1] = _marked(lines[-1], "  ↓ more", self.size.width)
        if first:
            lines[0] = _marked(lines[0], "  ↑ more", self.size.width)
        return lines

    def _acting(self, state: State) -> frozenset[str]:
        """The actions that can act now."""
        lifter = self.highlighted
        can = {"walk_in", "equipment", "week"} | ({"sheet", "groups"} if state.lifters else set())
        if state.open:
            can.add("floor")
        if lifter is None:
            return frozenset(can | ({"check_in"} if state.open and state.lifters else set()))
        can |= {"note", "programme"}
        status = coming(state, lifter.id)
        if status is Coming.HERE:
            can |= {"to_station(1)", "must_go"}
        elif status is not Coming.LEFT:
            can |= {"check_in", "to_station(1)", "late", "must_go"}
        return frozenset(can | ({"clearance"} if lifter.held else set()))

    # --- keys

    def action_cursor(self, by: int) -> None:
        """Up or down the list; the way to the floor is its last line."""
        self._at = max(0, min(self._at + by, len(self.lifters)))
        self.house.show()

    def action_check_in(self) -> None:
        """Enter: check in at the suggested station; on the last line, go to the floor."""
        lifter = self.highlighted
        if lifter is None:
            if self.state.lifters:
                self.action_floor()
            else:
                self.house.say("Nobody belongs to this gym yet: W adds a lifter.")
            return
        if coming(self.state, lifter.id) in (Coming.HERE, Coming.LEFT):
            self.house.say(words.enter_words(self.state, lifter, self.house.session.names, self._now()) + ".")
            return
        station = place_for(self.state, lifter, self._now()).station
        if station is None:
            self.house.say("The gym has no station to lift at: add one to its equipment first.")
        else:
            at = self._at
            if not lifter.held:  # moved on first, so that all is drawn once
                self._at = min(at + 1, len(self.lifters) - 1)  # not past the last: one Enter more starts nothing
            self._arrive(lifter, station.id)
            if coming(self.state, lifter.id) is not Coming.HERE:
                self._at = at
                self.house.show()

    def _arrive(self, lifter: Lifter, station: int) -> None:
        if self._opened() and self.act(c.Arrive(lifter.id, station)) and lifter.held:
            name = self._called(lifter.id)
            self.house.say(f"{name} is here and held: no lift is planned until C records the clearance.")

    def action_to_station(self, number: int) -> None:
        """A digit: check in at that station, or move there."""
        lifter = self.highlighted
        if lifter is None:
            return
        if coming(self.state, lifter.id) is Coming.HERE:
            self.act(c.Move(lifter.id, number))
        elif all(s.id != number for s in self.state.gym.stations):
            self.house.say(f"The gym has no station {number}.")
        else:
            self._arrive(lifter, number)

    def action_sheet(self) -> None:
        """Write the evening sheet, to print."""
        done = write_sheets(self.house.session)
        self.house.say(done.words, lasting=not isinstance(done, Written))

    def action_equipment(self) -> None:
        """Plates, bars and stations."""
        from floor.tui.screens.plates import Plates

        self.app.push_screen(Plates())

    def action_week(self) -> None:
        """The week."""
        from floor.tui.screens.week import Week

        self.app.push_screen(Week())

    def action_floor(self) -> None:
        """To the floor."""
        if not self.state.open:
            self.house.say("Nobody is checked in yet: Enter checks in the highlighted lifter.")
            return
        from floor.tui.screens.floor import Floor

        self.app.switch_screen(Floor())


def _wanted() -> Callable[[], bool]:
    """Whether the worker that asks is still wanted."""
    worker = get_current_worker()
    return lambda: not worker.is_cancelled


def _marked(line: Content, mark: str, width: int) -> Content:
    """A line with a mark at the right edge."""
    return Content.assemble(line.truncate(width - len(mark), ellipsis=True, pad=True), (mark, "dim"))
