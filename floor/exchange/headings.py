"""The row of each sheet that names its columns, and what the coach said of the file; or which column is not there."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from floor.core.columnguess import guess_columns
from floor.core.columns import FIELDS, Columns, find_columns, not_there
from floor.core.gym import Gym
from floor.core.history import Row
from floor.exchange.spreadsheet import Sheet

HEADINGS_WITHIN = 10
"""The row that names the columns is one of so many: a title may stand above it."""
_WORK = "what was done: work (sets in shorthand), or load and reps"


@dataclass(frozen=True, slots=True)
class Asked:
    """What the coach said about the file; everything may be left out.

    `headings` maps a heading to a field, `lifts` a lift as written to the gym's;
    rows of a lift in `skip` are left out.
    `sheet_is` is "lifter" or "lift" when the names of the sheets say it; `only`
    are the sheets to read, all when empty.
    """

    headings: Mapping[str, str] = field(default_factory=dict)
    lifts: Mapping[str, str] = field(default_factory=dict)
    unit: str = ""
    dates: str = ""
    lifter: str = ""
    lift: str = ""
    sheet_is: str = ""
    only: tuple[str, ...] = ()
    fill: bool = False
    skip: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Table:
    """A sheet with its headings found; `rows` are those below them."""

    name: str
    columns: Columns
    rows: tuple[Row, ...]


def find_tables(
    sheets: tuple[Sheet, ...], asked: Asked, gym: Gym
) -> tuple[tuple[Table, ...], tuple[str, ...]] | str:
    """The sheets with their headings, and the names of those passed over because they are empty or not wanted."""
    missing = [name for name in asked.only if name not in {s.name for s in sheets}]
    if missing:
        return f'there is no sheet called "{missing[0]}". It has: {", ".join(s.name for s in sheets)}.'
    tables: list[Table] = []
    passed: list[str] = []
    for sheet in sheets:
        if not sheet.rows or (asked.only and sheet.name not in asked.only):
            passed.append(sheet.name)
            continue
        table = _table(sheet, asked, gym)
        if isinstance(table, str):
            more = " To leave this sheet out, name the others with --sheet." if len(sheets) > 1 else ""
            return (f'sheet "{sheet.name}": ' if sheet.name else "") + table + more
        tables.append(table)
    return (tuple(tables), tuple(passed)) if tables else "there is nothing in it."


def _table(sheet: Sheet, asked: Asked, gym: Gym) -> Table | str:
    best, below = Columns(), sheet.rows[1:]
    for place, row in enumerate(sheet.rows[:HEADINGS_WITHIN]):
        columns = find_columns(row.cells, asked.headings)
        if len(columns.places) > len(best.places):
            best, below = columns, sheet.rows[place + 1 :]
    headings = best.headings or max((r.cells for r in sheet.rows[:HEADINGS_WITHIN]), key=lambda c: sum(map(bool, c)))
    if absent := not_there(headings, asked.headings):
        return f'there is no column called "{absent[0]}". It has: {", ".join(h for h in headings if h.strip())}.'
    lacks = [
        name
        for name, elsewhere in (("date", ""), ("lifter", asked.lifter), ("lift", asked.lift))
        if name not in best.places and not elsewhere and name != asked.sheet_is
    ]
    if not {"work", "reps", "sets", "load"} & set(best.places):
        lacks.append("work")
    if lacks:
        return _lacking(lacks, headings, best, below, gym)
    return best.wrong[0] if best.wrong else Table(sheet.name, best, below)


def _lacking(lacks: list[str], headings: Sequence[str], found: Columns, below: Sequence[Row], gym: Gym) -> str:
    """Which fields have no column, and what to type: the very words where the cells of a column say what it is."""
    named = [_WORK if name == "work" else name for name in lacks]
    words = f"no row at the top names a column for {', '.join(named)}."
    guessed = guess_columns(headings, below, lacks, set(found.places.values()), gym)
    if guessed:
        reads = " and ".join(f'"{heading}" reads as {FIELDS[name]}' for name, heading in guessed.items())
        say = " ".join(f'--map "{heading}={name}"' for name, heading in guessed.items())
        words += f" {reads}: say {say}"
        words += "." if len(guessed) < len(lacks) else " and bring it in again."
    if len(guessed) < len(lacks):
        there = ", ".join(heading for heading in headings if heading.strip())
        words += (
            f" The columns are: {there}. Name them date, lifter, lift, and work or load and reps, or say which is "
            'which, as in --map "Exercise done=lift".'
        )
    return words
