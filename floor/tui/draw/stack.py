"""One sleeve seen from the side: the plates on it true to scale, their numbers on and under them.

Left to right: the bar's shaft, the sleeve's flange, the plates innermost first,
the spring clip, the free end of the sleeve. Diameters share one vertical scale
(the drawn body is `FULL_SIZE_MM` high, half a text row is the finest step);
thicknesses share one horizontal scale, `mm_per_column`, at least one column
each. Neighbours differ in shade as well as in colour. The last row has every
plate's number, innermost first, as near under its plate as there is room, with
its mark before it: "20 15 +2.5" puts a 2.5 on. A plate wider than its number
carries it on its face too.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from floor.core.gym import FULL_SIZE_MM, Plate
from floor.tui.draw.spans import Row, Span, fit, wrap

SHAFT = 3
"""Columns of bar shaft drawn to the left of the flange."""

LEAST_HEIGHT, MOST_HEIGHT = 4, 9
LEAST_WIDTH, MOST_WIDTH = 20, 60

_SHADES = ("█", "▓")
_CLIP = {True: "╫", False: "╥╨"}


def mm_per_column(sleeve_mm: int, width: int) -> float:
    """The horizontal scale: the whole loadable sleeve fills what shaft and flange leave of `width`."""
    return sleeve_mm / (width - SHAFT - 1)


@dataclass(frozen=True, slots=True)
class Disc:
    """A plate as drawn: its place in the stack, first column, columns and half rows."""

    index: int
    plate: Plate
    column: int
    columns: int
    halves: int


def place(plates: Sequence[Plate], sleeve_mm: int, width: int, height: int) -> list[Disc]:
    """Where each plate is drawn; empty when there are no plates or they cannot all be drawn.

    A stack too long for the width (many thin plates, each needing its column)
    is drawn at the largest scale at which it fits.
    """
    room = width - SHAFT - 1 - 1
    if not plates or len(plates) > room:
        return []
    scale = mm_per_column(sleeve_mm, width)
    columns = _columns(plates, scale)
    while sum(columns) > room:
        scale *= 1.05
        columns = _columns(plates, scale)
    deep = 2 * (height - 1)
    discs: list[Disc] = []
    at = SHAFT + 1
    for index, (plate, wide) in enumerate(zip(plates, columns, strict=True)):
        halves = max(1, min(deep, round(plate.diameter * deep / FULL_SIZE_MM)))
        discs.append(Disc(index, plate, at, wide, halves))
        at += wide
    return discs


def draw_stack(
    plates: Sequence[Plate],
    sleeve_mm: int,
    collar: bool,
    width: int,
    height: int,
    marks: Mapping[int, str] | None = None,
) -> list[Row]:
    """`height` lines of exactly `width` columns showing the sleeve.

    `marks` maps a plate's place (0 innermost) to the sign before its number.
    `height` counts the row of numbers and is held between 4 and 9, `width`
    between 20 and 60. Styles: "bar"; "plate0" and "plate1", taking turns, or
    "on0" and "on1" for a marked plate; "face0" and so on for a number on a
    plate's face; "number" and "mark" in the row of numbers. When the numbers
    cannot all stand in one row, the stack is written out in words instead: a
    number is never left out.
    """
    width = max(LEAST_WIDTH, min(MOST_WIDTH, width))
    height = max(LEAST_HEIGHT, min(MOST_HEIGHT, height))
    signs = marks or {}
    discs = place(plates, sleeve_mm, width, height)
    foot = _numbers(discs, signs, width)
    if plates and foot is None:
        return _in_words(plates, signs, width, height)
    grid: list[list[Span]] = [[(" ", "")] * width for _ in range(height - 1)]
    after = discs[-1].column + discs[-1].columns if discs else SHAFT + 1
    _draw_bar(grid, after, width, collar and bool(plates))
    for disc in discs:
        _draw_disc(grid, disc, bool(signs.get(disc.index)))
    return [fit(cells, width) for cells in [*grid, foot or []]]


def _columns(plates: Sequence[Plate], scale: float) -> list[int]:
    return [max(1, round(plate.thickness / scale)) for plate in plates]


def _numbers(discs: Sequence[Disc], signs: Mapping[int, str], width: int) -> list[Span] | None:
    """The row of numbers, in order, each as near under its plate as the others allow; None if too long."""
    words = [signs.get(disc.index, "") + disc.plate.id for disc in discs]
    if not discs or sum(map(len, words)) + len(words) - 1 > width:
        return None
    starts: list[int] = []
    for disc, word in zip(discs, words, strict=True):
        wanted = disc.column + (disc.columns - len(word)) // 2
        starts.append(max(wanted, starts[-1] + len(words[len(starts) - 1]) + 1 if starts else 0))
    end = width
    for i in reversed(range(len(words))):
        starts[i] = min(starts[i], end - len(words[i]))
        end = starts[i] - 1
    cells: list[Span] = [(" ", "")] * width
    for disc, start in zip(discs, starts, strict=True):
        sign = signs.get(disc.index, "")
        for x, letter in enumerate(sign + disc.plate.id):
            cells[start + x] = (letter, "mark" if sign else "number")
    return cells


def _draw_bar(grid: list[list[Span]], after: int, width: int, clip: bool) -> None:
    """Shaft, flange, sleeve and clip along the middle: on a row, or where two rows meet."""
    body = len(grid)
    if body % 2:
        rows = {body // 2: ("─", "┃", "━", _CLIP[True])}
    else:
        clips = _CLIP[False]
        rows = {body // 2 - 1: ("▁", "╻", "▂", clips[0]), body // 2: (" ", "╹", "▔", clips[1])}
    for y, (shaft, flange, sleeve, spring) in rows.items():
        for x in range(SHAFT):
            grid[y][x] = (shaft, "bar")
        grid[y][SHAFT] = (flange, "bar")
        for x in range(SHAFT + 1, width):
            grid[y][x] = (sleeve, "bar")
        if clip and after < width:
            grid[y][after] = (spring, "bar")


def _draw_disc(grid: list[list[Span]], disc: Disc, marked: bool) -> None:
    """Fill the plate's cells half row by half row, then print its number on its face if it is wide enough."""
    body = len(grid)
    top = (2 * body - disc.halves) // 2
    tone = disc.index % 2
    style = f"{'on' if marked else 'plate'}{tone}"
    for y in range(body):
        high, low = (top <= half < top + disc.halves for half in (2 * y, 2 * y + 1))
        if high or low:
            sign = _SHADES[tone] if high and low else "▀" if high else "▄"
            for x in range(disc.column, disc.column + disc.columns):
                grid[y][x] = (sign, style)
    y = (body - 1) // 2
    spare = disc.columns - len(disc.plate.id)
    if spare > 0 and top <= 2 * y and 2 * y + 1 < top + disc.halves:
        face = "face" if not marked else "onface"
        for x, letter in enumerate(disc.plate.id, start=disc.column + spare // 2):
            grid[y][x] = (letter, f"{face}{tone}")


def _in_words(plates: Sequence[Plate], signs: Mapping[int, str], width: int, height: int) -> list[Row]:
    """The stack as a list of numbers, innermost first, "+" before those that come on."""
    words = " ".join(f"{signs.get(i, '')}{plate.id}" for i, plate in enumerate(plates))
    lines = wrap(words, width, height)
    rows = [fit(((line, "number"),), width) for line in lines]
    return rows + [fit((), width)] * (height - len(rows))
