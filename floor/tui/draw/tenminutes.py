"""The next ten minutes in lines: a heading for each station, a set a line, stations beside each other. Pure."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from itertools import zip_longest

from rich.cells import cell_len, set_cell_size
from rich.text import Text

from floor.core.gym import Gym
from floor.core.outlook import ComingSet
from floor.core.units import show_with_unit
from floor.tui.draw.spans import cut
from floor.tui.draw.strip import SPAN, is_early

GAP = 3
"""Blanks between two stations."""
NARROWEST = 5
"""A lift's name keeps so many columns at least."""
EARLY, WATCH = "!", "="
"""Before a set: its rest is not over; it is worth watching."""
LEGEND = {EARLY: f"{EARLY} rest not over", WATCH: f"{WATCH} watch"}


@dataclass(frozen=True, slots=True)
class Row:
    """A set to come: its signs, when it starts, who, what, how heavy; `under` is what has a line of its own."""

    signs: str
    when: str
    name: str
    lift: str
    load: str
    under: str = ""


@dataclass(frozen=True, slots=True)
class Block:
    """A station's name and its sets within the ten minutes, in order."""

    label: str
    rows: tuple[Row, ...]


def blocks(
    turns: Sequence[ComingSet], stations: Sequence[tuple[int, str]], names: Mapping[int, str], now: datetime, gym: Gym
) -> list[Block]:
    """What each station's bar has before it in the next ten minutes."""
    found = []
    for station, label in stations:
        coming = sorted((t for t in turns if t.station == station and t.end > now and t.start < now + SPAN), key=_start)
        found.append(Block(label, tuple(_row(turn, stations, names, now, gym) for turn in coming)))
    return found


def _start(turn: ComingSet) -> datetime:
    return turn.start


def _row(
    turn: ComingSet, stations: Sequence[tuple[int, str]], names: Mapping[int, str], now: datetime, gym: Gym
) -> Row:
    left = round((turn.start - now).total_seconds())
    return Row(
        signs=(EARLY if is_early(turn) else "") + (WATCH if turn.eyes else ""),
        when="now" if left <= 0 else f"{left // 60}:{left % 60:02d}",
        name=names.get(turn.lifter, f"lifter {turn.lifter}"),
        lift=gym.lifts[turn.lift].name,
        load=show_with_unit(turn.load, gym.unit),
        under=_plates(turn, stations),
    )


def _plates(turn: ComingSet, stations: Sequence[tuple[int, str]]) -> str:
    """How long a set waits for plates, and where they are; "" when it has them."""
    if turn.plates_from is None:
        return ""
    where = dict(stations).get(turn.plates_from, f"station {turn.plates_from}")
    return f"waits {turn.plates_wait // 60}:{turn.plates_wait % 60:02d} for plates from {where}"


def legend(shown: Sequence[Block]) -> str:
    """What the signs mean, of those that stand in front of a set."""
    return " · ".join(words for sign, words in LEGEND.items() if any(sign in r.signs for b in shown for r in b.rows))


def across(shown: Sequence[Block], width: int) -> int:
    """How many stations go beside each other in `width` columns: those whose names and loads are whole."""
    least = max((_wide(block, NARROWEST) for block in shown), default=width)
    return max(1, min(len(shown), (width + GAP) // (least + GAP)))


def _wide(block: Block, lift: int) -> int:
    """Columns of a block whose lifts are cut to so many."""
    sizes = _sizes(block)
    return max(cell_len(block.label), sum(sizes) - sizes[3] + min(sizes[3], lift) + 3) if block.rows else 0


def _sizes(block: Block) -> list[int]:
    """The widest cell of each column: signs, time, name, lift, load."""
    cells = [(row.signs, row.when, row.name, row.lift, row.load) for row in block.rows]
    return [max(cell_len(cell) for cell in column) for column in zip(*cells, strict=True)]


def page(shown: Sequence[Block], width: int, rows: int, top: int) -> tuple[list[Text], int]:
    """(the lines, how many more there are below): as many sets of each station from number `top` on as `rows` hold.

    Every station keeps its heading, which says how many of its lines are in sight when not all of them are.
    """
    beside = across(shown, width)
    bands = [shown[at : at + beside] for at in range(0, len(shown), beside)]
    each = max(1, (rows - len(bands) + 1) // max(1, len(bands)) - 1)
    wide = (width + GAP) // beside - GAP
    lines: list[Text] = []
    for band in bands:
        columns = [_lines(block, wide, each, top) for block in band]
        told = zip_longest(*columns, fillvalue=Text(""))
        lines += [*([Text("")] if lines else []), *(_joined(parts, wide) for parts in told)]
    longest = max((len(_written(block, wide)) for block in shown), default=0)
    return lines, max(0, longest - top - each)


def _joined(parts: Sequence[Text], wide: int) -> Text:
    line = Text()
    for n, part in enumerate(parts):
        line.append(" " * ((wide + GAP) * n - line.cell_len)).append_text(part)
    return line


def _lines(block: Block, wide: int, each: int, top: int) -> list[Text]:
    """The heading, then so many of the station's lines."""
    written = _written(block, wide)
    first = min(top, max(0, len(written) - each))
    last = min(first + each, len(written))
    part = f"  {first + 1}-{last} of {len(written)}" if len(written) > each else ""
    head = Text(cut(block.label, wide - len(part)), "bold").append(part, "dim")
    return [head, *(Text(line) for line in written[first:last])] if written else [head, Text("  nobody")]


def _written(block: Block, wide: int) -> list[str]:
    """A line for each set, its cells in columns, and under it what has a line of its own."""
    if not block.rows:
        return []
    signs, when, name, lift, load = _sizes(block)
    lift = min(lift, max(NARROWEST, wide - signs - when - name - load - 3))
    lines = []
    for row in block.rows:
        what = set_cell_size(row.lift if cell_len(row.lift) <= lift else set_cell_size(row.lift, lift - 1) + "…", lift)
        lines.append(f"{row.signs:>{signs}}{row.when:>{when}} {_filled(row.name, name)} {what} {row.load:>{load}}")
        if row.under:
            lines.append(cut(" " * (signs + when + 1) + row.under, wide))
    return lines


def _filled(text: str, width: int) -> str:
    return text + " " * (width - cell_len(text))
