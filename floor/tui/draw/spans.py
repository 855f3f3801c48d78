"""A line on screen before it has colours: pieces of text, each with the name of its style."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from itertools import groupby
from operator import itemgetter

from rich.cells import cell_len, chop_cells, set_cell_size

_STOP = re.compile(r"(?<=[.!?])\s+")

Span = tuple[str, str]
"""(text, style name); the empty name is the plain style."""

Row = tuple[Span, ...]
"""One line, left to right."""


def row_width(row: Iterable[Span]) -> int:
    """Columns the line takes."""
    return sum(cell_len(text) for text, _ in row)


def row_text(row: Iterable[Span]) -> str:
    """The line's words alone."""
    return "".join(text for text, _ in row)


def fit(row: Iterable[Span], width: int, style: str = "") -> Row:
    """The line cut or filled with blanks to exactly `width` columns; equal neighbours are joined."""
    left = max(0, width)
    out: list[Span] = []
    for name, pieces in groupby((span for span in row if span[0]), key=itemgetter(1)):
        if left <= 0:
            break
        text = "".join(piece for piece, _ in pieces)
        wide = cell_len(text)
        if wide > left:
            text, wide = set_cell_size(text, left), left
        left -= wide
        out.append((text, name))
    if left:
        if out and out[-1][1] == style:
            out[-1] = (out[-1][0] + " " * left, style)
        else:
            out.append((" " * left, style))
    return tuple(out)


def cut(text: str, width: int) -> str:
    """`text` in at most `width` columns, cut between words so that no number is left half; "…" marks the cut."""
    if cell_len(text) <= width:
        return text
    if width <= 0:
        return ""
    kept = ""
    for word in text.split(" "):
        longer = f"{kept} {word}" if kept else word
        if cell_len(longer) + 2 > width:
            break
        kept = longer
    if kept:
        return kept.rstrip(" ·,;") + " …"
    head = text.split(" ")[0]
    if any(sign.isdigit() for sign in head):
        return "…"
    return set_cell_size(head, width - 1) + "…"


def cell(text: str, width: int) -> str:
    """`text` in a column of exactly `width`: cut with a mark when too long, one blank after it at least."""
    return set_cell_size(text if cell_len(text) < width else set_cell_size(text, width - 2) + "…", width)


def shorten(text: str, width: int) -> str:
    """`text` in at most `width` columns: parts set apart by " · " stand most important first and are dropped whole."""
    while cell_len(text) > width and " · " in text:
        text = text.rpartition(" · ")[0]
    return cut(text, width)


def wrap(text: str, width: int, rows: int) -> list[str]:
    """`text` over at most `rows` lines of `width` columns, broken between words; the last is cut if it must be."""
    lines: list[str] = []
    words = text.split()
    while words and len(lines) < rows - 1:
        line = words.pop(0)
        while words and cell_len(f"{line} {words[0]}") <= width:
            line = f"{line} {words.pop(0)}"
        lines.append(cut(line, width))
    if words and rows > 0:
        lines.append(cut(" ".join(words), width))
    return lines


def whole(text: str, width: int) -> list[str]:
    """All of `text` over as many lines of `width` columns as it takes; a word too long for one is broken, not cut."""
    parts = [part for word in text.split() for part in chop_cells(word, width)]
    return wrap(" ".join(parts), width, len(parts))


def sentences(text: str) -> list[str]:
    """The sentences of `text`, each with its stop."""
    return [one for one in _STOP.split(text.strip()) if one]


def in_sentences(text: str, width: int, rows: int) -> list[str]:
    """`text` in at most `rows` lines of `width` columns by whole sentences, what matters most first: none is cut.

    From the first that fits on, as many as fit together; nothing where none does.
    """
    kept = ""
    for one in sentences(text):
        longer = f"{kept} {one}".strip()
        if _fits(longer, width, rows):
            kept = longer
        elif kept:
            break
    return wrap(kept, width, rows)


def _fits(text: str, width: int, rows: int) -> bool:
    return " ".join(wrap(text, width, rows)) == " ".join(text.split())


def by_sentences(text: str, width: int) -> list[str]:
    """`text` in lines of `width` that end where a sentence does; only one longer than a line goes on in the next."""
    lines: list[str] = []
    for one in sentences(text):
        if lines and cell_len(f"{lines[-1]} {one}") <= width:
            lines[-1] += f" {one}"
        else:
            lines += wrap(one, width, len(one))
    return lines


def beside(left: Sequence[Row], right: Sequence[Row], gap: int) -> list[Row]:
    """Two blocks of lines next to each other; the left block is filled to its widest line."""
    wide = max((row_width(row) for row in left), default=0)
    count = max(len(left), len(right))
    blank: Row = ()
    out: list[Row] = []
    for y in range(count):
        first = fit(left[y] if y < len(left) else blank, wide + gap)
        out.append((*first, *(right[y] if y < len(right) else blank)))
    return out
