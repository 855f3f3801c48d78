"""Messages between a question's child process and the app: a letter, a length, so many bytes."""

from __future__ import annotations

import struct
from collections.abc import Callable
from typing import IO

WORDS, PIECE = b"W", b"P"
"""A message of JSON, and a piece of a file that is being saved."""

MOST = 64 << 20
"""Bytes of the longest message that is taken; a longer one means that the child is out of its mind."""

_HEAD = struct.Struct("<cQ")


class BadFrame(Exception):
    """What came is no message, or one too long to be taken."""


def send(write: Callable[[bytes], int], kind: bytes, data: bytes) -> None:
    """Write one message, however little of it `write` takes at a time."""
    left = memoryview(_HEAD.pack(kind, len(data)) + data)
    while left:
        left = left[write(bytes(left[: 1 << 20])) :]


def receive(stream: IO[bytes]) -> tuple[bytes, bytes] | None:
    """The next message, its letter and its bytes; None at the end. Raises BadFrame."""
    head = stream.read(_HEAD.size)
    if not head:
        return None
    if len(head) < _HEAD.size:
        raise BadFrame("half a message")
    kind, size = _HEAD.unpack(head)
    if kind not in (WORDS, PIECE) or size > MOST:
        raise BadFrame("no message")
    data = stream.read(size)
    if len(data) < size:
        raise BadFrame("half a message")
    return kind, data
