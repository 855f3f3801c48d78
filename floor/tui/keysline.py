"""The two lines at the foot of a screen: what was said last, and the keys, greyed while they cannot act. Pure."""

from __future__ import annotations

from collections.abc import Mapping

from textual.content import Content

from floor.tui.keys import keys_of

ALWAYS: tuple[tuple[str, str], ...] = (("Backspace", "undo"), ("F1", "keys"), ("Ctrl+Q", "quit"))
"""Keys of every screen that a footer names."""
ALWAYS_SHORT: tuple[tuple[str, str], ...] = (("Bksp", "undo"), *ALWAYS[1:])
"""The same where a screen has many keys of its own."""


def message_line(words: str, lasting: bool) -> Content:
    """What was said last; a failure stays and is marked."""
    return Content.assemble((f"! {words}", "bold reverse $error")) if lasting and words else Content(words)


def keys_lines(
    where: str,
    width: int,
    acting: frozenset[str],
    rows: int = 2,
    always: tuple[tuple[str, str], ...] = ALWAYS,
    instead: Mapping[str, str] | None = None,
) -> list[Content]:
    """The keys of a screen in up to `rows` lines; a key that cannot act now is greyed.

    `instead` gives an action other words than the table's short ones.
    """
    named = instead or {}
    keys = [(k.shown, named.get(k.action, k.short), k.action in acting) for k in keys_of(where) if k.short]
    lines: list[list[str | tuple[str, str]]] = [[]]
    used = 0
    for shown, short, can in (*keys, *((shown, short, True) for shown, short in always)):
        size = len(shown) + len(short) + 3
        if used + size > width and len(lines) < rows:
            lines.append([])
            used = 0
        used += size
        lines[-1] += [(f" {shown}", "bold $accent" if can else "dim"), (f" {short} ", "" if can else "dim")]
    return [Content.assemble(*line) for line in lines]
