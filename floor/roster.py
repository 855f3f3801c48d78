"""Brings a roster file into a gym: all of it, or none of it with every bad line named."""

from __future__ import annotations

from pathlib import Path

from floor.core.commands import BringRoster, RosterRow
from floor.core.plausible import odd_load
from floor.core.roster import RosterLine, read_roster
from floor.exchange.names import Names
from floor.session import Outcome, Refused, Session

MOST_BYTES = 5_000_000


def bring_roster(session: Session, path: Path, yes_odd: bool = False) -> Outcome:
    """Read the file and bring it in as one command; lifters are matched by their full name.

    Loads that look like a slip are refused, and named, unless `yes_odd` takes them as they are.
    """
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
        why = odd_load(line.load, _planned(session, number, line), session.state.gym.unit)
        if why:
            odd.append(f"  line {line.line}, load: {line.lifter}, {line.lift}: {why}")
        rows.append(RosterRow(number, line.lift, line.sets, line.reps, line.load))
    if odd and not yes_odd:
        lines = "\n".join(odd)
        return Refused(f"These loads look odd:\n{lines}\nPut them right, or say --yes-odd. Nothing was taken.")
    return session.do(BringRoster(tuple(rows), tuple(person.id for person in names.new)), names.new)


def _planned(session: Session, number: int, line: RosterLine) -> tuple[int, ...]:
    """What is planned for the lifter's lift until now, if anything."""
    lifter = session.state.lifters.get(number)
    plan = lifter.plans.get(line.lift) if lifter else None
    return (plan.load,) if plan else ()
