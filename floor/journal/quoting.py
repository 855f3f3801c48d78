"""Texts and names as SQL writes them, and texts read back from it. Pure."""

from __future__ import annotations


def literal(words: str) -> str:
    """A text as SQL writes it: O'Hara is 'O''Hara'."""
    return f"'{inside(words)}'"


def inside(words: str) -> str:
    """A text as it stands between its quotes."""
    return words.replace("'", "''")


def outside(written: str) -> str:
    """The text that stands so between quotes."""
    return written.replace("''", "'")


def identifier(words: str) -> str:
    """A name as SQL writes it."""
    return '"' + words.replace('"', '""') + '"'
