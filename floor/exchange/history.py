"""A history file and an open gym -> one command that brings it in, with a preview; or every reason why not.

Nothing is written here: the shell shows the preview, asks, and runs the command.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import UTC, date, datetime, time
from pathlib import Path
from zoneinfo import ZoneInfo

from floor.core.commands import BringHistory
from floor.core.history import Odd, Past, Place, Reading, Row, SetLine, grouped, rows_of
from floor.core.historyrows import read_rows
from floor.core.nearnames import near_names
from floor.core.olddates import Unclear, find_style
from floor.core.pastdays import PastDay, PastSet
from floor.core.people import PersonAdded
from floor.core.samerows import WrittenRow, far_apart, same_rows
from floor.exchange.headings import Asked, Table, find_tables
from floor.exchange.names import Names
from floor.exchange.spreadsheet import Unreadable, read_spreadsheet
from floor.journal.bygone import Bygone, read_bygone
from floor.session import Refused, Session


@dataclass(frozen=True, slots=True)
class Prepared:
    """A history that can be brought in: what was read, and the command that does it.

    `again` counts the sets that are in the gym already. `odd` has what must be
    said yes to on its own, with `left`, the rows that are left out. `pasts` is
    each sheet as it was read, `skip` the lifts the coach said to leave out.
    """

    path: Path
    tables: tuple[Table, ...]
    passed: tuple[str, ...]
    style: str
    sets: tuple[SetLine, ...]
    again: int
    odd: tuple[Odd, ...]
    left: tuple[Odd, ...]
    names: Names
    command: BringHistory
    pasts: tuple[Past, ...]
    skip: tuple[str, ...] = ()

    @property
    def people(self) -> tuple[PersonAdded, ...]:
        """Who has to be joined for it: those with something new."""
        return tuple(person for person in self.names.new if person.id in self.command.new)


def prepare(session: Session, path: Path, asked: Asked) -> Prepared | Refused:
    """Read the file against the gym. Raises JournalError when the record can't be read."""
    sheets = read_spreadsheet(path)
    if isinstance(sheets, Unreadable):
        return Refused(f"{sheets.words} Nothing was taken.")
    found = find_tables(sheets, asked, session.state.gym)
    if isinstance(found, str):
        return Refused(f"{path}: {found} Nothing was taken.")
    tables, passed = found
    cells = (_cell(row, t.columns.places["date"]) for t in tables for row in t.rows)
    style = find_style(cells, asked.dates)
    if isinstance(style, Unclear):
        return Refused(f"{path}: {style.words} Nothing was taken.")
    today = session.clock.now().astimezone(ZoneInfo(session.zone)).date()
    pasts = [_read(table, asked, style, today, session) for table in tables]
    bad = [odd for past in pasts for odd in past.bad]
    sets = tuple(one for past in pasts for one in past.sets)
    names = Names(session, by_board=True)
    numbers: dict[str, int] = {}
    for one in sets:
        if one.lifter not in numbers:
            number = names.number(one.lifter)
            if isinstance(number, str):
                bad.append(Odd(one.place, number))
                number = 0
            numbers[one.lifter] = number
    if bad:
        lines = "\n".join(f"  {line}" for line in grouped(bad))
        return Refused(f"Nothing was taken from {path}:\n{lines}")
    if not sets:
        return Refused(f"{path} holds no sets under its headings. Nothing was taken.")
    cursor = session.journal.cursor()
    try:
        bygone = read_bygone(cursor, min(s.day for s in sets), max(s.day for s in sets))
    finally:
        cursor.close()
    fresh, odd = _fresh(sets, numbers, bygone)
    known = {(name.casefold(), lift): (load,) for name, number in numbers.items()
             for (who, lift), load in bygone.heaviest.items() if who == number}  # fmt: skip
    slips = Past(sets).odd(session.state.gym.unit, known)
    new_places = {one.place for one in fresh}
    command = _command(fresh, numbers, bygone, session.zone, {person.id for person in names.new})
    left = tuple(one for past in pasts for one in past.left)
    twice = _twice(sets, numbers, command.new, tables)
    written = _written(tables, sets)
    slips += (*same_rows(written), *far_apart(written, session.state.gym.unit))
    odd = left + twice + tuple(slip for slip in slips if slip.place in new_places) + odd
    again = len(sets) - len(fresh)
    return Prepared(path, tables, passed, style, sets, again, odd, left, names, command, tuple(pasts), asked.skip)


def _written(tables: tuple[Table, ...], sets: tuple[SetLine, ...]) -> list[WrittenRow]:
    """The rows that hold sets, with what was read of them."""
    read: dict[tuple[str, int], list[SetLine]] = defaultdict(list)
    for one in sets:
        read[one.place.sheet, one.place.row].append(one)
    rows: list[WrittenRow] = []
    for table in tables:
        places = table.columns.places
        for row in table.rows:
            if mine := read.get((table.name, row.number)):
                unread = tuple(cell for place, cell in enumerate(row.cells) if place not in places.values())
                rows.append(WrittenRow(unread, tuple(mine), not {"work", "sets"}.isdisjoint(places)))
    return rows


def _twice(
    sets: tuple[SetLine, ...], numbers: Mapping[str, int], new: tuple[int, ...], tables: tuple[Table, ...]
) -> tuple[Odd, ...]:
    """New names that differ by a letter from another name of the file."""
    rows: dict[str, dict[Place, None]] = defaultdict(dict)
    heading = {table.name: table.columns.heading("lifter") for table in tables}
    for one in sets:
        rows[one.lifter][Place(one.place.sheet, one.place.row, heading[one.place.sheet])] = None
    odd: list[Odd] = []
    for pair in near_names(rows):
        if numbers[pair[0]] == numbers[pair[1]] or not {numbers[name] for name in pair} & set(new):
            continue
        other, rare = sorted(pair, key=lambda name: -len(rows[name]))
        both = f'"{rare}" ({rows_of(list(rows[rare]))}) and "{other}" ({rows_of(list(rows[other]))})'
        what = f"{both} differ by a letter. Write one name for one lifter, or take two lifters with --yes-odd."
        odd.append(Odd(next(iter(rows[rare])), what))
    return tuple(odd)


def _cell(row: Row, place: int) -> str:
    return row.cells[place] if place < len(row.cells) else ""


def _read(table: Table, asked: Asked, style: str, today: date, session: Session) -> Past:
    how = Reading(
        style=style, unit=asked.unit, lifts=asked.lifts, skip=asked.skip, fill=asked.fill, latest=today,
        lifter=table.name if asked.sheet_is == "lifter" else asked.lifter,
        lift=table.name if asked.sheet_is == "lift" else asked.lift,
    )
    return read_rows(table.name, table.rows, table.columns, how, session.state.gym)


def _fresh(
    sets: tuple[SetLine, ...], numbers: Mapping[str, int], bygone: Bygone
) -> tuple[list[SetLine], tuple[Odd, ...]]:
    """The sets the gym has not yet, and the days on which it has other sets of the same lift."""
    left = dict(bygone.counts)
    fresh: list[SetLine] = []
    for one in sets:
        key = (one.day, numbers[one.lifter], one.lift, one.load, one.made, one.missed)
        if left.get(key, 0) > 0:
            left[key] -= 1
        else:
            fresh.append(one)
    others: dict[tuple[date, int, str], int] = defaultdict(int)
    for (day, lifter, lift, *_), count in left.items():
        others[day, lifter, lift] += count
    odd: dict[Place, Odd] = {}
    for one in fresh:
        count = others.get((one.day, numbers[one.lifter], one.lift), 0)
        if count and one.place not in odd:
            others_are = f"{count} other {'set' if count == 1 else 'sets'} of this lift"
            what = f"the gym has {others_are} for {one.lifter} on {one.day}"
            odd[one.place] = Odd(one.place, f"{what}. Leave the row out if it is the same, or take it with --yes-odd.")
    return fresh, tuple(odd.values())


def _command(
    fresh: list[SetLine], numbers: Mapping[str, int], bygone: Bygone, zone: str, new: set[int]
) -> BringHistory:
    by_day: dict[date, list[SetLine]] = defaultdict(list)
    for one in fresh:
        by_day[one.day].append(one)
    days: list[PastDay] = []
    for day, lines in sorted(by_day.items()):
        session = bygone.sessions.get(day)
        number: dict[int, int] = {}
        if session is not None:
            number = {who: last for (where, who), last in bygone.last_set.items() if where == session}
        sets: list[PastSet] = []
        for one in lines:
            lifter = numbers[one.lifter]
            number[lifter] = number.get(lifter, 0) + 1
            sets.append(PastSet(lifter, one.lift, number[lifter], one.load, one.made, one.missed, one.grade))
        noon = datetime.combine(day, time(12), ZoneInfo(zone)).astimezone(UTC)
        days.append(PastDay(noon, tuple(sets), session, bygone.came.get(session, ()) if session is not None else ()))
    came = {one.lifter for day in days for one in day.sets}
    return BringHistory(tuple(days), tuple(sorted(new & came)), bygone.rest_on)
