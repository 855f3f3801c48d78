"""The next ten minutes as a picture: a line for each station, who is on the bar when, and the rests waited for. Pure.

Told apart without colour: a set is ├Name──┤, one to watch ╞Name══╡, a bar that
waits for somebody's rest is dotted. The time runs from now to the right.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import datetime, timedelta

from rich.cells import cell_len, set_cell_size
from textual.content import Content

from floor.core.outlook import ComingSet
from floor.core.units import show_load
from floor.tui.draw.spans import cell

SPAN = timedelta(minutes=10)
"""What the picture shows."""
LABEL = 12
"""Columns of a station's name, one blank after it at least."""
LEAST = 4
"""A set takes so many columns at least, to be seen."""
REST = "·"


def strip(
    turns: Sequence[ComingSet], stations: Sequence[tuple[int, str]], names: Mapping[int, str], now: datetime, width: int
) -> list[Content]:
    """The axis, then for each station its sets by name and, below them, their loads, in `width` columns."""
    room = width - LABEL
    if not turns:
        blank = [Content("")] * (2 * len(stations) - 1)
        return [_axis(room), Content.assemble(cell("", LABEL), ("no plan yet", "dim")), *blank]
    lines = [_axis(room)]
    for station, label in stations:
        coming = [t for t in turns if t.station == station and t.end > now and t.start < now + SPAN]
        sets, loads = _line(sorted(coming, key=lambda t: t.start), names, now, room)
        lines.append(Content.assemble((cell(label, LABEL), "bold"), sets))
        lines.append(Content.assemble(cell("", LABEL), (loads, "dim")))
    return lines


def _axis(room: int) -> Content:
    """Minutes from now, every two of them where the room is."""
    cells = [" "] * room
    for minute in range(0, int(SPAN.total_seconds()) // 60, 2):
        at = minute * 60 * room // int(SPAN.total_seconds())
        word = "now" if minute == 0 else f"+{minute} min"
        for n, letter in enumerate(word):
            if at + n < room:
                cells[at + n] = letter
    return Content.assemble(cell("next 10 min", LABEL), ("".join(cells), "dim"))


def _line(
    coming: Sequence[ComingSet], names: Mapping[int, str], now: datetime, room: int
) -> tuple[Content, str]:
    parts: list[str | tuple[str, str]] = []
    labels: list[tuple[int, str]] = []
    used = 0
    for turn in coming:
        start = max(used, _column(turn.start, now, room))
        end = min(room, max(_column(turn.end, now, room), start + LEAST))
        if end - start < LEAST:
            break
        if start > used:
            rested = min(start, _column(turn.rested, now, room)) if turn.rested else used
            waits = max(0, rested - used)
            parts += [REST * waits, " " * (start - used - waits)]
        name = ("!" if is_early(turn) else "") + names.get(turn.lifter, f"lifter {turn.lifter}")
        parts.append((_block(name, end - start, turn.eyes > 0), "bold" if turn.eyes else ""))
        labels.append((start + 1, show_load(turn.load)))
        used = end
    return Content.assemble(*parts), _whole(labels, room)


def is_early(turn: ComingSet) -> bool:
    """Whether a set is planned to start before the least rest before it is over."""
    return turn.rested is not None and turn.start < turn.rested


def _whole(labels: Sequence[tuple[int, str]], room: int) -> str:
    """Each label at its column, where all of it goes before the next one's column; else it is left out."""
    line = ""
    for at, (column, label) in enumerate(labels):
        end = labels[at + 1][0] - 1 if at + 1 < len(labels) else room
        if column + cell_len(label) <= end:
            line += " " * (column - cell_len(line)) + label
    return line


def _block(name: str, wide: int, watch: bool) -> str:
    left, fill, right = ("╞", "═", "╡") if watch else ("├", "─", "┤")
    inside = wide - 2
    shown = name if cell_len(name) <= inside else set_cell_size(name, inside)
    return left + shown + fill * (inside - cell_len(shown)) + right


def _column(at: datetime, now: datetime, room: int) -> int:
    return max(0, min(room, round((at - now) / SPAN * room)))
