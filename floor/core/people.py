"""The people of a gym: names and notes, the only facts about anyone that can be erased.

A change here goes along with a command of events: the journal writes both in
one transaction. Events carry a lifter's number, never a name or a note.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from unicodedata import category

BODYWEIGHT, BORN = "bodyweight", "born"
"""The kinds of a note that holds a bodyweight with its day, and of one that holds a birth year; see body.py."""

FORGOTTEN = "forgotten"
"""The name of whoever was erased, in place of theirs."""

NOTE_KINDS: tuple[str, ...] = ("caution", "pain", "clearance", "incident", BODYWEIGHT, BORN)
"""What a note can be about."""


@dataclass(frozen=True, slots=True)
class Note:
    """Words about a lifter, written with command `cmd`; 0 is "not by a command" and always stands."""

    cmd: int
    kind: str
    text: str


@dataclass(frozen=True, slots=True)
class Person:
    """A lifter's full `name`, the `board` name others may read, and private notes, oldest first."""

    id: int
    name: str
    board: str
    notes: tuple[Note, ...] = ()

    def noted(self, kind: str) -> tuple[Note, ...]:
        """The notes of one kind, oldest first."""
        return tuple(note for note in self.notes if note.kind == kind)


@dataclass(frozen=True, slots=True)
class PersonAdded:
    """Somebody new, under a number nobody has had before."""

    id: int
    name: str
    board: str


@dataclass(frozen=True, slots=True)
class PersonRenamed:
    """A name put right. It is not a fact of the evening, so undo leaves it."""

    id: int
    name: str
    board: str


@dataclass(frozen=True, slots=True)
class NoteAdded:
    """A note written with a command; when the command is undone the note is out of sight."""

    id: int
    kind: str
    text: str


PersonChange = PersonAdded | PersonRenamed | NoteAdded


_TURNS = frozenset("\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069")
"""Signs that turn the direction of writing: what stands after them is read in another order."""


def name_wrong(name: str) -> str:
    """What is wrong with a name that holds a sign no name has: one a terminal acts on, or is turned by. "" for none."""
    if not any(sign in _TURNS or category(sign) in ("Cc", "Zl", "Zp") for sign in name):
        return ""
    shown = "".join("?" if sign in _TURNS or not (sign.isprintable() or sign == " ") else sign for sign in name)
    return f'"{shown}" holds a sign that cannot be shown, where a ? stands: type the name anew.'


def check_change(change: PersonChange) -> None:
    """Refuse a change that can't be kept: a name that is none, or an unknown kind of note (ValueError)."""
    if isinstance(change, NoteAdded):
        if change.kind not in NOTE_KINDS:
            raise ValueError(f"unknown kind of note: {change.kind!r}")
        if not change.text.strip():
            raise ValueError("a note needs words")
    elif not change.name.strip() or not change.board.strip():
        raise ValueError("a lifter needs a name and a name for the board")
    elif wrong := name_wrong(change.name) or name_wrong(change.board):
        raise ValueError(wrong)


def board_name(name: str, taken: Iterable[str]) -> str:
    """The first word of the name with a capital, made unlike every one that is taken (capitals make no difference).

    "Ben" is taken: "Ben K" for Ben Kettle, else "Ben 2", "Ben 3" and on. Empty for an empty name.
    """
    words = [word[0].upper() + word[1:] for word in name.split()]
    if not words:
        return ""
    used = {other.casefold() for other in taken}
    tries = [words[0]]
    if len(words) > 1:
        tries.append(f"{words[0]} {words[-1][0]}")
    for board in tries:
        if board.casefold() not in used:
            return board
    count = 2
    while f"{words[0]} {count}".casefold() in used:
        count += 1
    return f"{words[0]} {count}"


def same_name(one: str, other: str) -> bool:
    """Whether two names are the same; capitals and blanks make no difference."""
    return one.casefold().split() == other.casefold().split()
