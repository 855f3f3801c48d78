"""Names as they stand in a file -> the numbers of lifters; unknown ones get the next free numbers."""

from __future__ import annotations

import difflib

from floor.core.people import FORGOTTEN, PersonAdded, board_name, name_wrong
from floor.session import Session


class Names:
    """Who is meant by a name. `new` gathers those who have to be joined, `taken_for` the board names that were used.

    A full name goes before a name on the board; capitals and blanks make no difference.
    """

    def __init__(self, session: Session, by_board: bool = False) -> None:
        """With `by_board` the name on the board means its lifter too, where no full name is the same."""
        people = [p for p in session.people.values() if p.name != FORGOTTEN]
        self._full: dict[str, list[int]] = {}
        self._board: dict[str, list[int]] = {}
        for person in people:
            self._full.setdefault(person.name.casefold(), []).append(person.id)
            if by_board:
                self._board.setdefault(person.board.casefold(), []).append(person.id)
        self._names = {person.id: person.name for person in people}
        self._boards = {name.casefold() for name in session.names.values()}
        self._free = session.free_number()
        self.new: list[PersonAdded] = []
        self.taken_for: dict[str, str] = {}

    def number(self, written: str) -> int | str:
        """The lifter's number, or a sentence when more than one is called so or nobody can be."""
        name = " ".join(written.split())
        key = name.casefold()
        found = self._full.get(key) or self._board.get(key) or []
        if len(found) > 1:
            return f'{len(found)} lifters of the gym are called "{name}": rename one of them first.'
        if found:
            if key not in self._full:
                self.taken_for[name] = self._names[found[0]]
            return found[0]
        if wrong := name_wrong(name):
            return wrong
        board = board_name(name, self._boards)
        self._boards.add(board.casefold())
        self._full[key] = [self._free]
        self.new.append(PersonAdded(self._free, name, board))
        self._free += 1
        return self._full[key][0]

    def near(self, name: str) -> str:
        """Somebody of the gym whose name is nearly this one, or ""."""
        known = {full.casefold(): full for full in self._names.values()}
        hits = difflib.get_close_matches(name.casefold(), list(known), 1, 0.8)
        return known[hits[0]] if hits else ""
