"""`floor rename`, `floor forget`: a name put right, or erased for good."""

from __future__ import annotations

import argparse
from collections import Counter
from zoneinfo import ZoneInfo

from floor.core.people import FORGOTTEN, Person, PersonRenamed, board_name, name_wrong
from floor.core.words import many
from floor.session import Session
from floor.shell_gym import agreed, no, with_gym


def rename(options: argparse.Namespace) -> int:
    """Put a lifter's name right, and the name on the board with it; or that alone."""

    def body(session: Session) -> int:
        person = whom(session, options.old)
        if isinstance(person, str):
            return no(f"{person} Nothing was changed.")
        if options.new is None and not options.board:
            return no("Say the new name, or the name on the board with --board. Nothing was changed.")
        change = renamed(session, person, person.name if options.new is None else options.new, options.board or "")
        if isinstance(change, str):
            return no(f"{change} Nothing was changed.")
        session.journal.rename(change)
        print(f"{person.name} is {change.name} now, {change.board} on the board.")
        return 0

    return with_gym(options, body, made=False)


def forget(options: argparse.Namespace) -> int:
    """Erase a lifter's name and notes for good, once the coach has seen whose and says yes."""

    def body(session: Session) -> int:
        person = whom(session, options.name, erased=True)
        if isinstance(person, str):
            return no(f"{person} Nothing was erased.")
        print("\n".join(told(session, person)))
        if not options.yes and not agreed("Erase it?", "erase it"):
            return no("Nothing was erased.")
        session.journal.forget(person.id)
        print(f"Name and notes are erased from {session.journal.path}. Copies and backups are yours to erase.")
        return 0

    return with_gym(options, body, made=False)


def whom(session: Session, written: str, erased: bool = False) -> Person | str:
    """The lifter of that full name, of that name on the board or of that number; else a sentence.

    With `erased` the number may be of somebody whose name went already.
    """
    key = _key(written)
    people = [p for p in session.people.values() if p.name != FORGOTTEN]
    numbered = session.people.values() if erased else people
    found = (
        [p for p in people if _key(p.name) == key]
        or [p for p in people if _key(p.board) == key]
        or [p for p in numbered if str(p.id) == key]
    )
    if len(found) == 1:
        return found[0]
    if not found:
        return f'Nobody in the gym is called "{" ".join(written.split())}".'
    boards = ", ".join(p.board for p in found)
    return f"{len(found)} lifters are called {found[0].name}: say the name on the board, one of {boards}."


def renamed(session: Session, person: Person, name: str, board: str) -> PersonRenamed | str:
    """The change of name, or a sentence why not. Without `board` the name on the board follows the new name."""
    name, board = " ".join(name.split()), " ".join(board.split())
    others = [p for p in session.people.values() if p.id != person.id]
    if not name:
        return "A lifter needs a name."
    if wrong := name_wrong(name) or name_wrong(board):
        return wrong
    if _key(name) == FORGOTTEN or _key(board) == FORGOTTEN:
        return f'"{FORGOTTEN}" stands for whoever was erased.'
    if other := next((p for p in others if _key(p.name) == _key(name)), None):
        return f"There is a {other.name} already, {other.board} on the board."
    taken = [p.board for p in others]
    if board and _key(board) in map(_key, taken):
        return f"{board} stands on the board for somebody else already."
    if not board:
        board = person.board if name == person.name else board_name(name, taken)
    if (name, board) == (person.name, person.board):
        return f"{name} is called so already, {board} on the board."
    return PersonRenamed(person.id, name, board)


def told(session: Session, person: Person) -> list[str]:
    """Whom it is about, what will be erased and what stays."""
    if person.name == FORGOTTEN:
        return [
            f"The name of lifter number {person.id} was erased already.",
            "The gym file is written anew once more, and the copies beside it go: nothing of it is left then.",
        ]
    lifter = session.state.lifters.get(person.id)
    came = "never here"
    if lifter is not None and lifter.last_came is not None:
        last = lifter.last_came.astimezone(ZoneInfo(session.zone)).date()
        came = f"here on {many(lifter.sessions, 'day')}, last on {last}"
    kinds = Counter(note.kind for note in person.notes)
    notes = f"{many(len(person.notes), 'note')} ({', '.join(f'{kind} {count}' for kind, count in kinds.items())})"
    return [
        f"{person.name}, {person.board} on the board, lifter number {person.id}: {came}.",
        f"  erased for good: the name, the name on the board, {notes if kinds else 'no notes, there are none'}",
        f"  stays, under the number {person.id} and no name: sets, faults, loads, plans",
        "Nothing brings a name back: undo does not, and the copies beside the gym file go too.",
    ]


def _key(name: str) -> str:
    return " ".join(name.split()).casefold()
