"""Brings a roster file into a gym: all of it, or none of it with every bad line named."""

from __future__ import annotations

from pathlib import Path

from floor.core.commands import BringRoster, RosterRow
from floor.core.people import PersonAdded, board_name
from floor.core.roster import read_roster
from floor.session import Outcome, Refused, Session

MOST_BYTES = 5_000_000


def bring_roster(session: Session, path: Path) -> Outcome:
    """Read the file and bring it in as one command; lifters are matched by their full name."""
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
    known = {person.name.casefold(): person.id for person in session.people.values()}
    taken = {name.casefold() for name in session.names.values()}
    number = session.free_number()
    new: list[PersonAdded] = []
    rows: list[RosterRow] = []
    for line in roster.lines:
        name = " ".join(line.lifter.split())
        if name.casefold() not in known:
            board = board_name(name, taken)
            taken.add(board.casefold())
            known[name.casefold()] = number
            new.append(PersonAdded(number, name, board))
            number += 1
        rows.append(RosterRow(known[name.casefold()], line.lift, line.sets, line.reps, line.load))
    return session.do(BringRoster(tuple(rows), tuple(person.id for person in new)), new)
