"""What a history will be read as, in words, before anything is taken."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping

from floor.core.columns import FIELDS
from floor.core.firstplans import first_plans
from floor.core.gym import Grade, Gym
from floor.core.history import Odd, SetLine, grouped, rows_of
from floor.core.liftnames import plain_name
from floor.core.olddates import read_counted
from floor.core.state import State
from floor.core.units import show_with_unit
from floor.core.words import many
from floor.exchange.headings import Table
from floor.exchange.history import Prepared
from floor.exchange.planlines import MOST, by_lifter, changed, planned

FIRST = 3
"""Rows of each sheet shown as they will be read."""
REMARKS = 5
"""So many remarks that are not read are told one by one."""
_STYLE = {"dmy": ", day first", "mdy": ", month first", "": ""}


def preview(prepared: Prepared, state: State, names: Mapping[int, str], unit: str) -> list[str]:
    """The lines of the preview, with full `names` by number.

    `unit` is what was said for loads without one, "" for the gym's own.
    """
    gym = state.gym
    lines = [f"{prepared.path.name}, as it will be read:"]
    shown: set[tuple[str, ...]] = set()
    for table in prepared.tables:
        if table.columns.headings in shown:
            lines.append(f'  sheet "{table.name}" has the same columns, {len(table.rows)} rows')
            continue
        shown.add(table.columns.headings)
        if table.name:
            lines.append(f'  sheet "{table.name}", {len(table.rows)} rows')
        lines += _columns(table, prepared.style, unit or gym.unit)
    if any(prepared.passed):
        lines.append(f"  passed over: {', '.join(prepared.passed)}")
    lines += ["The first rows:", *_first(prepared.sets, gym)]
    lines += _aside(prepared)
    if prepared.left:
        lines += ["Left out:", *(f"    {line}" for line in grouped(prepared.left))]
    lines += _people(prepared)
    return lines + _sum(prepared) + _plans(prepared, state, names)


def _columns(table: Table, style: str, unit: str) -> list[str]:
    columns = table.columns
    field_of = {place: name for name, place in columns.places.items()}
    wide = max(len(h) for h in columns.headings if h.strip()) + 2
    lines = []
    for place, heading in enumerate(columns.headings):
        if not heading.strip():
            continue
        name = field_of.get(place)
        what = FIELDS[name] if name else "not read"
        if name == "sets":
            what = "how many sets" if "reps" in columns.places else FIELDS["work"]
        if name == "date":
            what += _STYLE[style]
            if any(read_counted(row.cells[place]) for row in table.rows if place < len(row.cells)):
                what += "; bare numbers are the days a spreadsheet counts"
        if name in ("load", "work") or (name == "sets" and "reps" not in columns.places):
            own = " where the row says no other" if "unit" in columns.places else ""
            what += f", in {columns.load_unit or unit}{own}"
        quoted = f'"{heading}"'
        lines.append(f"    {quoted:<{wide}}  {what}")
    return lines


def _first(sets: tuple[SetLine, ...], gym: Gym) -> list[str]:
    rows: dict[str, dict[int, list[SetLine]]] = {}
    for one in sets:
        rows.setdefault(one.place.sheet, {}).setdefault(one.place.row, []).append(one)
    lines = []
    for mine in (mine for of_sheet in rows.values() for mine in list(of_sheet.values())[:FIRST]):
        one = mine[0]
        loads = list(dict.fromkeys(s.load for s in mine))
        reps = {load: ",".join(_reps(s) for s in mine if s.load == load) for load in loads}
        parts = [f"{show_with_unit(load, gym.unit)} x{reps[load]}" for load in loads]
        where = f"{one.place.sheet}, row {one.place.row}".removeprefix(", ")
        lines.append(f"    {where}: {one.day}  {one.lifter}  {gym.lifts[one.lift].name}  {'; '.join(parts)}")
    return lines


def _reps(one: SetLine) -> str:
    return f"{one.made}" + (f" ({one.missed} missed)" if one.missed else "")


def _aside(prepared: Prepared) -> list[str]:
    """Abbreviations as they are read, rows left out as the coach said, and remarks that are not read."""
    short = {written: lift for past in prepared.pasts for written, lift in past.short.items()}
    lines = [f'  "{written}" is read as {lift}' for written, lift in short.items()]
    skipped = Counter(plain_name(lift) for past in prepared.pasts for lift in past.skipped)
    lines += [f'  left out as you said: "{lift}", {many(skipped[plain_name(lift)], "row")}' for lift in prepared.skip]
    said: dict[str, list[Odd]] = {}
    for odd in (odd for past in prepared.pasts for odd in past.remarks):
        said.setdefault(odd.what.casefold(), []).append(odd)
    told = [f'"{odds[0].what}" ({rows_of([odd.place for odd in odds])})' for odds in list(said.values())[:REMARKS]]
    if told:
        more = f" and {len(said) - REMARKS} others" if len(said) > REMARKS else ""
        lines.append(f"  not read, the sets beside them are: {', '.join(told)}{more}")
    return lines


def _people(prepared: Prepared) -> list[str]:
    lines = [f'  "{name}" is taken for {full}' for name, full in prepared.names.taken_for.items()]
    for person in prepared.people:
        near = prepared.names.near(person.name)
        lines.append(f"  new: {person.name}" + (f"   (is it {near}? Then write that name in the file)" if near else ""))
    if prepared.people:
        lines.append("  Who is new joins as an adult; the gym's usual programme says which lift comes when.")
    return ["Lifters:", *lines] if lines else []


def _sum(prepared: Prepared) -> list[str]:
    days = prepared.command.days
    count = sum(len(day.sets) for day in days)
    again = f"{prepared.again:,} of {len(prepared.sets):,} sets are in the gym already and are left alone."
    if not count:
        return [again]
    first, last = min(s.day for s in prepared.sets), max(s.day for s in prepared.sets)
    lines = [f"{many(count, 'set')} on {many(len(days), 'day')} between {first} and {last}."]
    if prepared.again:
        lines.append(again)
    if not any(s.grade is not Grade.UNSEEN for day in days for s in day.sets):
        lines.append("No grades in the file: the sets count as unseen, for loads and estimated maxima, not for form.")
    return lines


def _plans(prepared: Prepared, state: State, names: Mapping[int, str]) -> list[str]:
    """What next time starts from, which plans change for it, and which are left alone and why."""
    command, gym = prepared.command, state.gym
    if not command.days:
        return []
    names = {**names, **{person.id: person.name for person in prepared.people}}
    lines = [
        "Where nothing is planned for a lift, next time starts from the last day's heaviest fives, in as many",
        "sets and reps as there were, until a programme is given at check-in.",
    ]
    found = [p for p in first_plans(state, command.days, command.rest_on) if p.stands is not None]
    follow = [
        (p.lifter, f"{gym.lifts[p.lift].name} {changed(p, p.stands, gym)}")
        for p in found
        if not p.stays and p.stands is not None and planned(p, gym) != planned(p.stands, gym)
    ]
    if follow:
        lines += ["Plans of an earlier history follow the newer day:", *by_lifter(follow, names, MOST)]
    left = [
        (p.lifter, f"{gym.lifts[p.lift].name} {planned(p.stands, gym)}, {p.stays}")
        for p in found
        if p.stays and p.stands is not None
    ]
    if left:
        lines += ["Plans left alone:", *by_lifter(left, names, MOST)]
    return lines
