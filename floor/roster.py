"""Brings a roster file into a gym: all of it, or none of it with every bad line named. Shown before it is taken."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from floor.core.commands import BringRoster, RosterRow
from floor.core.people import PersonAdded
from floor.core.plausible import odd_load
from floor.core.roster import RosterLine, read_roster
from floor.core.state import NextPlan, State
from floor.exchange.names import Names
from floor.exchange.planlines import by_lifter, changed
from floor.session import Outcome, Refused, Session

MOST_BYTES = 5_000_000


@dataclass(frozen=True, slots=True)
class PreparedRoster:
    """A roster that can be brought in: every row read, and the command that brings what is not so already.

    `odd` are the loads that look like a slip: they are asked about on their own.
    `bare` says that some loads have no unit.
    """

    path: Path
    rows: tuple[RosterRow, ...]
    odd: tuple[str, ...]
    names: Names
    command: BringRoster
    bare: bool = False

    @property
    def people(self) -> tuple[PersonAdded, ...]:
        """Who has to be joined for it."""
        return tuple(self.names.new)


def prepare_roster(session: Session, path: Path) -> PreparedRoster | Refused:
    """Read the file against the gym; lifters are matched by their full name."""
    try:
        if path.stat().st_size > MOST_BYTES:
            return Refused(f"{path} is too large for a roster: nothing was taken.")
        text = path.read_text(encoding="utf-8-sig")
    except UnicodeDecodeError:
        return Refused(f"{path} is not UTF-8 text: save it as CSV (UTF-8) and try again. Nothing was taken.")
    except OSError as error:
        return Refused(f"{path} can't be read: {error.strerror}. Nothing was taken.")
    roster = read_roster(text, session.state.gym)
    if roster.bad:
        lines = "\n".join(f"  {bad}" for bad in roster.bad)
        return Refused(f"Nothing was taken from {path}:\n{lines}")
    names = Names(session)
    rows: list[RosterRow] = []
    odd: list[str] = []
    for line in roster.lines:
        number = names.number(line.lifter)
        if isinstance(number, str):
            return Refused(f"{number} Nothing was taken from {path}.")
        row = RosterRow(number, line.lift, line.sets, line.reps, line.load)
        stands = standing(session.state, row)
        if why := odd_load(line.load, (stands.load,) if stands else (), session.state.gym.unit):
            odd.append(_odd(line, why))
        rows.append(row)
    fresh = tuple(row for row in rows if not _so_already(session.state, row))
    command = BringRoster(fresh, tuple(person.id for person in names.new))
    bare = any(line.bare for line in roster.lines)
    return PreparedRoster(path, tuple(rows), tuple(odd), names, command, bare)


def roster_lines(prepared: PreparedRoster, session: Session) -> list[str]:
    """The roster as it will be read, a line a lifter, with the plans that change from what to what."""
    state, gym = session.state, session.state.gym
    names = {number: person.name for number, person in session.people.items()}
    names |= {person.id: person.name for person in prepared.people}
    said = []
    for row in prepared.rows:
        stands = standing(state, row)
        mark = "" if stands or row.lifter not in state.lifters else " (new)"
        mark = " (as it stands)" if _so_already(state, row) else mark
        said.append((row.lifter, f"{gym.lifts[row.lift].name} {changed(row, stands, gym)}{mark}"))
    lines = [f"{prepared.path.name}, as it will be read:", *by_lifter(said, names)]
    if prepared.bare:
        lines.append(f"  loads without a unit: read as {gym.unit}")
    for person in prepared.people:
        near = prepared.names.near(person.name)
        lines.append(f"  new: {person.name}" + (f"   (is it {near}? Then write that name in the file)" if near else ""))
    if prepared.people:
        lines.append("  Who is new joins as an adult and does what the roster says until given a programme.")
    asked = {row.lifter for row in prepared.command.rows}
    if any(state.lifters[lifter].programme for lifter in asked & set(state.lifters)):
        lines.append("  Who has a programme does its lifts in the roster's sets and reps, until given one anew.")
    return lines


def bring_roster(session: Session, path: Path, yes_odd: bool = False) -> Outcome:
    """Read the file and bring it in as one command, without asking.

    Loads that look like a slip are refused, and named, unless `yes_odd` takes them as they are.
    """
    prepared = prepare_roster(session, path)
    if isinstance(prepared, Refused):
        return prepared
    if prepared.odd and not yes_odd:
        return Refused(odd_loads(prepared))
    return session.do(prepared.command, prepared.people)


def odd_loads(prepared: PreparedRoster) -> str:
    """The loads that look like a slip, and what to do."""
    lines = "\n".join(prepared.odd)
    return f"These loads look odd:\n{lines}\nPut them right, or say --yes-odd. Nothing was taken."


def standing(state: State, row: RosterRow) -> NextPlan | None:
    """What is planned for the row's lift until now, if anything."""
    lifter = state.lifters.get(row.lifter)
    return lifter.plans.get(row.lift) if lifter else None


def _so_already(state: State, row: RosterRow) -> bool:
    """A row that asks what is planned already is left out: the repeats counted so far stay."""
    stands = standing(state, row)
    return stands is not None and (stands.sets, stands.reps, stands.load) == (row.sets, row.reps, row.load)


def _odd(line: RosterLine, why: str) -> str:
    return f"  line {line.line}, load: {line.lifter}, {line.lift}: {why}"
