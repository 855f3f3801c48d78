"""Words in large letters: half blocks, three or four text rows, capitals only.

Accents fold to their base letter. What does not fit is cut between letters and
the cut is shown by two dots; numbers that must not be cut should be measured
with `big_width` first.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Sequence
from functools import lru_cache
from typing import Literal

from floor.tui.draw.glyphs import SHEETS, UNKNOWN, Glyph

Size = Literal["small", "tall"]

ROWS: dict[str, int] = {"small": 3, "tall": 4}
"""Text rows each size takes."""

CUT = "…"
_SPELT = {
    "Æ": "AE", "Œ": "OE", "Ø": "O", "Ł": "L", "Đ": "D", "Ð": "D", "Þ": "TH", "ß": "SS", "ẞ": "SS", "ı": "I",
    "’": "'", "‘": "'", "`": "'", "–": "-", "—": "-", "−": "-", "*": "×",
}  # fmt: skip
_BLOCKS = {(False, False): " ", (True, False): "▀", (False, True): "▄", (True, True): "█"}


def fold(text: str) -> str:
    """The capitals that stand for `text`: accents dropped, a few letters spelt out."""
    spelt = "".join(_SPELT.get(sign, sign) for sign in text)
    spelt = "".join(_SPELT.get(sign, sign) for sign in spelt.upper())
    parts = unicodedata.normalize("NFD", spelt)
    return "".join(sign for sign in parts if not unicodedata.combining(sign))


@lru_cache(maxsize=256)
def spelled(text: str, size: Size = "small") -> bool:
    """True when every sign of `text` has a drawing, so the large letters can be read."""
    return all(sign in SHEETS[size] for sign in fold(text))


@lru_cache(maxsize=256)
def big_width(text: str, size: Size = "small") -> int:
    """Columns `text` takes in large letters, one clear column between letters."""
    return _width([_glyph(sign, size) for sign in fold(text)])


@lru_cache(maxsize=256)
def big(text: str, width: int, size: Size = "small") -> tuple[str, ...]:
    """`text` in large letters: 3 rows ("small") or 4 ("tall"), equally long, at most `width` columns.

    Too long a text is cut after the last whole letter that leaves room for the
    mark of the cut; with no room for the mark either, the rows are empty.
    """
    glyphs = [_glyph(sign, size) for sign in fold(text.strip())]
    if _width(glyphs) > width:
        mark = SHEETS[size][CUT]
        while glyphs and _width([*glyphs, mark]) > width:
            glyphs.pop()
        while glyphs and glyphs[-1] == SHEETS[size][" "]:
            glyphs.pop()
        glyphs = [*glyphs, mark] if _width([*glyphs, mark]) <= width else []
    return half_blocks(_pixels(glyphs), ROWS[size])


def half_blocks(pixels: Sequence[Sequence[bool]], rows: int) -> tuple[str, ...]:
    """Pixel rows (top first) as `rows` text rows, two pixel rows to each; missing rows are clear."""
    wide = len(pixels[0]) if pixels else 0
    clear = [False] * wide
    deep = [*pixels, *([clear] * (2 * rows - len(pixels)))]
    return tuple(
        "".join(_BLOCKS[top, low] for top, low in zip(deep[2 * y], deep[2 * y + 1], strict=True)) for y in range(rows)
    )


def _glyph(sign: str, size: Size) -> Glyph:
    return SHEETS[size].get(sign, UNKNOWN[size])


def _width(glyphs: Sequence[Glyph]) -> int:
    return sum(len(glyph[0]) for glyph in glyphs) + max(0, len(glyphs) - 1)


def _pixels(glyphs: Sequence[Glyph]) -> list[list[bool]]:
    if not glyphs:
        return []
    return [[pixel == "#" for pixel in ".".join(g[y] for g in glyphs)] for y in range(len(glyphs[0]))]
