"""The second line: the running session once more, in a small file beside the gym file.

One JSON line a command, written and forced to the disk after the commit. A
database log that is cut short loses its last commands without a word; this
file shows it, and brings them back. It holds no names and no notes, only the
numbers of the lifters whose names or notes were written with a command.
"""

from __future__ import annotations

import json
import os
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from floor.core.events import Event
from floor.journal.rows import Head, Row, from_plain, rows_after, to_plain

Definition = tuple[str, int, str]
"""Id, version, text."""


@dataclass(frozen=True, slots=True)
class Line:
    """One command: where the record stood before it, its rows, and what came along with it."""

    before: Head
    after: Head
    rows: tuple[Row, ...]
    definitions: tuple[Definition, ...] = ()
    people: tuple[int, ...] = ()

    @property
    def events(self) -> tuple[Event, ...]:
        """The command's events."""
        return tuple(row.event for row in self.rows)

    def to_json(self) -> bytes:
        """The line as it stands in the file, with its line end."""
        plain = {
            "cmd": self.after.cmd,
            "seq": self.before.seq,
            "from": self.before.chain,
            "chain": self.after.chain,
            "events": [to_plain(event) for event in self.events],
            "definitions": [list(definition) for definition in self.definitions],
            "people": list(self.people),
        }
        return json.dumps(plain, separators=(",", ":")).encode() + b"\n"


def line_from(text: bytes) -> Line:
    """The line written as `text`; ValueError when it is torn or its chain does not hold."""
    try:
        plain: dict[str, Any] = json.loads(text)
        before = Head(plain["seq"], plain["cmd"] - 1, plain["from"])
        rows, after = rows_after(before, [from_plain(event) for event in plain["events"]])
        definitions = tuple((d[0], d[1], d[2]) for d in plain["definitions"])
        people = tuple(plain["people"])
    except (KeyError, TypeError, IndexError) as error:
        raise ValueError(f"not a line of a tail: {error}") from error
    if after.chain != plain["chain"] or not rows:
        raise ValueError("the chain does not hold")
    return Line(before, after, tuple(rows), definitions, people)


def read_tail(path: Path) -> tuple[list[Line], bool]:
    """The lines of a tail, and whether it is whole.

    A torn last line is what a kill leaves and is passed over: its command was
    never acknowledged. A bad line before the last, or lines that do not follow
    one another, make it not whole; reading stops there.
    """
    if not path.exists():
        return [], True
    pieces = path.read_bytes().split(b"\n")
    lines: list[Line] = []
    for number, piece in enumerate(pieces):
        if not piece:
            continue
        try:
            line = line_from(piece)
        except ValueError:
            return lines, number == len(pieces) - 1
        if lines and line.before != lines[-1].after:
            return lines, False
        lines.append(line)
    return lines, True


def sync_folder(folder: Path) -> None:
    """Force a rename in that folder to the disk, where the system can."""
    if os.name != "posix":
        return
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


class Tail:
    """The open tail of a gym file."""

    def __init__(self, path: Path) -> None:
        self.path = path
        self._handle: int | None = None

    def restart(self, lines: Iterable[Line]) -> None:
        """Begin again with these lines: a new file, forced to the disk, then renamed. OSError when it can't."""
        self.close()
        fresh = self.path.with_name(self.path.name + ".new")
        handle = os.open(fresh, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, 0o600)
        try:
            _write(handle, b"".join(line.to_json() for line in lines))
            os.fsync(handle)
        finally:
            os.close(handle)
        os.replace(fresh, self.path)
        sync_folder(self.path.parent)
        self._handle = os.open(self.path, os.O_WRONLY | os.O_APPEND)

    def append(self, line: Line) -> None:
        """Add one command and force it to the disk. OSError when it can't, or when the file was taken away."""
        if self._handle is None:
            raise OSError("the second copy is not open")
        there, open_file = os.stat(self.path), os.fstat(self._handle)
        if (there.st_dev, there.st_ino) != (open_file.st_dev, open_file.st_ino):
            raise OSError("the second copy was replaced")
        _write(self._handle, line.to_json())
        os.fsync(self._handle)

    def close(self) -> None:
        """Close the file; a closed tail is begun again by `restart`."""
        if self._handle is not None:
            os.close(self._handle)
            self._handle = None


def _write(handle: int, data: bytes) -> None:
    written = 0
    while written < len(data):
        written += os.write(handle, data[written:])


def lines_of(before: Head, rows: Sequence[Row], definitions: Sequence[tuple[int, Definition]]) -> list[Line]:
    """The rows of many commands as lines; `definitions` come with the command's number."""
    lines: list[Line] = []
    start = 0
    for index, row in enumerate(rows):
        if index + 1 < len(rows) and rows[index + 1].cmd == row.cmd:
            continue
        after = Head(row.seq, row.cmd, row.chain)
        mine = tuple(definition for cmd, definition in definitions if cmd == row.cmd)
        lines.append(Line(before, after, tuple(rows[start : index + 1]), mine))
        before, start = after, index + 1
    return lines
