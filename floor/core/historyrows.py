"""Rows of a spreadsheet -> sets of the past, and every row that can't be taken. Pure.

One row a set (load and reps, or sets, reps and load), or one row a lift in
shorthand. Nothing is guessed: a row is read in one way or named with its
column, what is wrong and what to do. Loads come out in hundredths of the
gym's unit.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from datetime import date

from floor.core.columns import Columns
from floor.core.gym import Grade, Gym
from floor.core.history import (
    EMPTY_BAR,
    MANY_BARS,
    Odd,
    Past,
    Place,
    Reading,
    Row,
    SetLine,
    empty_bar,
)
from floor.core.liftnames import lift_named, plain_name, short_for, unknown_lift
from floor.core.olddates import read_date
from floor.core.remarks import set_aside
from floor.core.shorthand import REPS_AT_MOST, SETS_AT_MOST, Written, read_shorthand
from floor.core.units import UNITS, convert, parse_load

_DONE = ("work", "sets", "reps", "load")
_LIFTED = re.compile(r"[0-9]|\bbar")
_SHOWN = 40
"""So much of a row that is left out is shown."""


def read_rows(sheet: str, rows: Sequence[Row], columns: Columns, how: Reading, gym: Gym) -> Past:
    """Read every row under the headings of one sheet."""
    sets: list[SetLine] = []
    bad: list[Odd] = []
    left: list[Odd] = []
    remarks: list[Odd] = []
    skipped: list[str] = []
    short: dict[str, str] = {}
    above: dict[str, str] = {}
    for row in rows:
        reader = _RowReader(sheet, row, columns, how, gym, above)
        if reader.is_note():
            left.append(reader.left_out())
            continue
        if lift := reader.skipped():
            skipped.append(lift)
            continue
        sets += reader.sets()
        bad += reader.bad
        left += reader.past_the_headings()
        remarks += reader.remarks
        short |= reader.short
    return Past(tuple(sets), tuple(bad), tuple(left), tuple(remarks), tuple(skipped), short)


class _RowReader:
    """One row being read: what is wrong with it gathers in `bad`, what is set aside in `remarks`."""

    def __init__(
        self, sheet: str, row: Row, columns: Columns, how: Reading, gym: Gym, above: dict[str, str]
    ) -> None:
        self.sheet, self.row, self.columns, self.how, self.gym = sheet, row, columns, how, gym
        self.bad: list[Odd] = []
        self.remarks: list[Odd] = []
        self.short: dict[str, str] = {}
        self._above = above
        self._done_cells = {name: self._without_remarks(name) for name in _DONE}

    def cell(self, name: str) -> str:
        """The text of a field; "" where there is no such column, or the row is too short."""
        if name in _DONE:
            return self._done_cells[name]
        return self._text(name)

    def _text(self, name: str) -> str:
        place = self.columns.places.get(name)
        return self.row.cells[place].strip() if place is not None and place < len(self.row.cells) else ""

    def _without_remarks(self, name: str) -> str:
        """A cell of what was lifted; ratings and remarks beside it gather in `remarks`."""
        text, aside = set_aside(self._text(name))
        self.remarks += [Odd(self.place(name), remark) for remark in aside]
        return text

    def place(self, name: str) -> Place:
        return Place(self.sheet, self.row.number, self.columns.heading(name))

    def wrong(self, name: str, what: str) -> None:
        self.bad.append(Odd(self.place(name), what))

    def is_note(self) -> bool:
        """Whether the row names no lift and nothing that was lifted; what it says of day and lifter may still fill."""
        done = " ".join(self.cell(name) for name in _DONE).lower()
        if self.cell("lift") or _LIFTED.search(done):
            return False
        for name in ("date", "lifter"):
            self._above_or(name)
        return True

    def skipped(self) -> str:
        """The row's lift where the coach said to leave its rows out, else ""; what it says may still fill."""
        text = self.cell("lift") or (self._above.get("lift", "") if self.how.fill else "") or self.how.lift
        if plain_name(text) not in map(plain_name, self.how.skip):
            return ""
        for name in ("date", "lifter", "lift"):
            self._above_or(name)
        return text

    def left_out(self) -> Odd:
        """What the preview and the question say of a note."""
        text = " · ".join(cell.strip() for cell in self.row.cells if cell.strip())
        what = f"no lift and no load, the row is left out: {_cut(text)}. Put it right, or leave it out with --yes-odd."
        return Odd(self.place("lift"), what)

    def past_the_headings(self) -> list[Odd]:
        """In a CSV a comma without quotes cuts a cell in two, and the second half lies past the last heading."""
        more = " · ".join(cell.strip() for cell in self.row.cells[len(self.columns.headings) :] if cell.strip())
        if self.sheet or not more:
            return []
        what = f"past the last heading, not read: {_cut(more)}. Put a cell with commas in quotes, or say --yes-odd."
        return [Odd(Place(self.sheet, self.row.number, self.columns.headings[-1]), what)]

    def sets(self) -> list[SetLine]:
        """The row's sets, or none with `bad` filled."""
        day, lifter, lift = self._day(), self._lifter(), self._lift()
        unit = self._unit()
        done = self._done(unit, lift)
        missed, grade = self._missed(), self._grade()
        if self.bad or day is None or lift is None or done is None:
            return []
        main = next(n for n in ("work", "load", "sets", "reps") if n in self.columns.places)
        where = self.place(main)
        sets = [SetLine(where, day, lifter, lift, load, reps, 0, grade) for load, reps in done]
        if missed:
            last = sets[-1]
            sets[-1] = SetLine(last.place, day, lifter, lift, last.load, last.made, missed, grade)
        return sets

    def _above_or(self, name: str) -> str:
        found = self.cell(name)
        if found:
            self._above[name] = found
        elif self.how.fill:
            found = self._above.get(name, "")
        return found

    def _day(self) -> date | None:
        text = self._above_or("date")
        day = read_date(text, self.how.style)
        if isinstance(day, str):
            more = "" if text else " Write it in every row, or say --fill to take it from the row above."
            self.wrong("date", day + more)
            return None
        if day > self.how.latest:
            self.wrong("date", f"{day.isoformat()} has not been yet.")
            return None
        return day

    def _lifter(self) -> str:
        name = " ".join((self._above_or("lifter") or self.how.lifter).split())
        if not name:
            self.wrong("lifter", "the name is missing. Write it in every row, or say --fill to take it from above.")
        return name

    def _lift(self) -> str | None:
        text = self._above_or("lift") or self.how.lift
        if not text:
            self.wrong("lift", "the lift is missing. Write it in every row, or say --fill to take it from above.")
            return None
        found = lift_named(text, self.gym, self.how.lifts)
        if found is None and (found := short_for(text, self.gym)):
            self.short[text] = self.gym.lifts[found].name
        if found is None:
            self.wrong("lift", unknown_lift(text, self.gym))
        return found

    def _unit(self) -> str:
        text = self.cell("unit").lower().rstrip("s.")
        if text and text not in UNITS:
            self.wrong("unit", f'"{self.cell("unit")}" is neither kg nor lb.')
            return self.gym.unit
        return text or self.columns.load_unit or self.how.unit or self.gym.unit

    def _done(self, unit: str, lift: str | None) -> list[tuple[int, int]] | None:
        """(load, reps) of every set of the row."""
        name = "work" if self.columns.places.get("work") is not None else "load"
        load = None
        if "load" in self.columns.places and (self.cell("load") or (name == "load" and not self._groups("reps"))):
            alone = not any(n in self.columns.places for n in ("work", "sets", "reps"))
            if not alone and not (self._groups("load") and not any(self.cell(n) for n in ("work", "sets", "reps"))):
                load = self._load(unit, lift)
                if load is None:
                    return None
        written = self._written(load is not None)
        if written is None:
            return None
        loads: list[tuple[int, int]] = []
        for one in written:
            mine = load if one.load is None else self._bar(lift) if one.bar else None
            if mine is None and one.load is not None:
                mine = convert(one.load, one.unit or unit, self.gym.unit)
            if mine is None:
                return None
            loads.append((mine, one.reps))
        return loads

    def _written(self, load_elsewhere: bool) -> tuple[Written, ...] | None:
        """The sets of the row, from shorthand or from the numbers in its columns."""
        reps, sets = self.cell("reps"), self.cell("sets")
        if self.cell("work"):
            name = "work"
        elif self._groups("load") and not load_elsewhere:
            name = "load"
        elif "reps" in self.columns.places:
            name = "reps"
        else:
            name = "sets" if "sets" in self.columns.places else "load" if "work" not in self.columns.places else "work"
        text = self.cell(name)
        if not text:
            self.wrong(name, "the cell is empty.")
            return None
        if _is_date(text):
            self.wrong(name, f"the spreadsheet has made a date ({text}) of what was typed: make it text, as in 5,5,4.")
            return None
        if name == "reps" and _whole(text):
            count = 1
            if sets and (not _whole(sets) or not 1 <= int(sets) <= SETS_AT_MOST):
                self.wrong("sets", f'"{sets}" is not a whole number from 1 to {SETS_AT_MOST}.')
                return None
            count = int(sets) if sets else 1
            missed = count == 1 and _whole(self.cell("missed")) and int(self.cell("missed")) > 0
            if not (0 if missed else 1) <= int(reps) <= REPS_AT_MOST:
                self.wrong("reps", f'"{reps}" is not a whole number from 1 to {REPS_AT_MOST}.')
                return None
            if not load_elsewhere:
                self.wrong("load", "the load is missing.")
                return None
            return (Written(int(reps)),) * count
        if name == "reps" and sets and not _whole(sets):
            self.wrong("sets", f'"{sets}" and "{text}" both hold sets: leave one out.')
            return None
        answer = read_shorthand(text, load_elsewhere)
        if isinstance(answer, str):
            self.wrong(name, answer)
            return None
        if name == "reps" and sets and int(sets) != len(answer):
            self.wrong("sets", f'"{sets}" sets, but "{text}" are {len(answer)}.')
            return None
        return answer

    def _groups(self, name: str) -> bool:
        """Whether a cell for one number holds loads with their reps: "bar x5, 40x5"."""
        return not isinstance(read_shorthand(self.cell(name)), str)

    def _load(self, unit: str, lift: str | None) -> int | None:
        text = self.cell("load").lower().replace("lbs", "lb").replace("kgs", "kg")
        if text in EMPTY_BAR:
            return self._bar(lift)
        other = next((u for u in UNITS if text.endswith(u)), unit)
        load = parse_load(text, other)
        if isinstance(load, str):
            self.wrong("load", load if text else "the load is missing.")
            return None
        return convert(load, other, self.gym.unit)

    def _bar(self, lift: str | None) -> int | None:
        """What the empty bar weighs where the lift is done; a sentence when stations have different bars."""
        if lift is None:
            return None
        mass = empty_bar(self.gym, lift)
        if mass is None:
            self.wrong("work" if "work" in self.columns.places else "load", MANY_BARS)
        return mass

    def _missed(self) -> int:
        text = self.cell("missed")
        if text and (not _whole(text) or int(text) > REPS_AT_MOST):
            self.wrong("missed", f'"{text}" is not a whole number of reps.')
            return 0
        return int(text or 0)

    def _grade(self) -> Grade:
        text = self.cell("grade").lower()
        if text and text not in list(Grade):
            self.wrong("grade", f'"{text}" is no grade: {", ".join(Grade)}, or leave it empty.')
            return Grade.UNSEEN
        return Grade(text or "unseen")


def _cut(text: str) -> str:
    return f'"{text}"' if len(text) <= _SHOWN else f'"{text[: _SHOWN - 1]}…"'


def _is_date(text: str) -> bool:
    return len(text) == 10 and text[4] == text[7] == "-" and text[:4].isdigit()


def _whole(text: str) -> bool:
    return text.isascii() and text.isdigit() and len(text) <= 4
