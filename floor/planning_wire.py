"""What goes between the app and its planner: whole values, each behind its length.

Pickles are read from our own child and by it alone, never from a file or a network.
"""

from __future__ import annotations

import pickle
import struct
from dataclasses import dataclass
from datetime import datetime
from typing import IO, Any

from floor.core.outlook import Outlook
from floor.core.pace import NO_PACE, Pace
from floor.core.state import State

_LENGTH = struct.Struct("<Q")
MOST = 64 << 20
"""Bytes of the longest message that is taken; a longer one means that the other side is out of its mind."""


@dataclass(frozen=True, slots=True)
class Request:
    """A state to plan for: the one after command `cmd`, at `now` (aware UTC)."""

    cmd: int
    now: datetime
    state: State
    pace: Pace = NO_PACE


@dataclass(frozen=True, slots=True)
class NoPlan:
    """No plan for the state after command `cmd` (0: for none any more), and why."""

    words: str
    cmd: int = 0


Answer = Outlook | NoPlan


def pack(value: Request | Answer) -> bytes:
    """A value as bytes, to be sent."""
    return pickle.dumps(value, pickle.HIGHEST_PROTOCOL)


def unpack(data: bytes) -> Any:
    """What `pack` was given."""
    return pickle.loads(data)


def send(stream: IO[bytes], data: bytes) -> None:
    """Write one message and flush it."""
    stream.write(_LENGTH.pack(len(data)) + data)
    stream.flush()


def receive(stream: IO[bytes]) -> bytes | None:
    """The next message; None at the end, when half of one came, or one too long to be taken."""
    head = stream.read(_LENGTH.size)
    if len(head) < _LENGTH.size:
        return None
    size: int = _LENGTH.unpack(head)[0]
    if size > MOST:
        return None
    data = stream.read(size)
    return data if len(data) == size else None
