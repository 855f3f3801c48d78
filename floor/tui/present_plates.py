"""The gym's equipment as the lines of a screen. Pure: no widget, nothing remembered."""

from __future__ import annotations

from dataclasses import dataclass

from rich.cells import cell_len
from textual.content import Content

from floor.core.documentparts import STANDS
from floor.core.gym import Gym, Station
from floor.core.restock import SPANS, STEPS, gaps, held_at, run_words, runs
from floor.core.state import State
from floor.core.units import convert, show_load, show_with_unit
from floor.tui.draw.spans import cut, wrap

HELD = "free, on station:pairs"
COMPETITION = 250
"""What a competition collar weighs, in hundredths of a kg."""


@dataclass(frozen=True, slots=True)
class Column:
    """A field of a part: its name in the gym's values, its heading, its width; `right` sets figures right."""

    field: str
    heading: str
    width: int
    right: bool = True


PARTS: dict[str, tuple[Column, ...]] = {
    "plates": (
        Column("id", "plate", 6),
        Column("mass", "weighs", 9),
        Column("pairs", "pairs", 5),
        Column("diameter", "across", 6),
        Column("thickness", "thick", 6),
        Column("droppable", "drop", 4, False),
    ),
    "bars": (
        Column("id", "bar", 6),
        Column("mass", "weighs", 9),
        Column("count", "count", 5),
        Column("sleeve", "sleeve", 6),
        Column("name", "name", 22, False),
    ),
    "stations": (
        Column("id", "station", 7),
        Column("name", "name", 22, False),
        Column("stands", "stands", 18, False),
        Column("bar", "bar", 6, False),
    ),
    "collar": (Column("collar", "collar", 9),),
}
"""The parts of the equipment in the order they are shown; `collar` is one line."""


@dataclass(frozen=True, slots=True)
class Row:
    """One line of the equipment: its part, its place in it, its cells, and what stands behind them."""

    part: str
    at: int
    cells: tuple[str, ...]
    note: str = ""


def rows(gym: Gym, state: State) -> list[Row]:
    """Every plate, bar and station, and the collar last; notes say where things are now."""
    unit, held = gym.unit, held_at(state)
    out: list[Row] = []
    for at, p in enumerate(gym.plates):
        drop = "yes" if p.droppable else "no"
        cells = (p.id, show_with_unit(p.mass, unit), str(p.pairs), str(p.diameter), str(p.thickness), drop)
        out.append(Row("plates", at, cells, _free(p.pairs, held.get(p.id, {}))))
    for at, b in enumerate(gym.bars):
        where = [str(s.id) for s in gym.stations if s.bar == b.id]
        note = f"stands at {' '.join(where)}" if where else ""
        out.append(Row("bars", at, (b.id, show_with_unit(b.mass, unit), str(b.count), f"{b.sleeve}", b.name), note))
    for at, s in enumerate(gym.stations):
        out.append(Row("stations", at, (str(s.id), s.name, stands_words(s.stands), s.bar), _on_bar(state, s)))
    out.append(Row("collar", 0, (show_with_unit(gym.collar, unit),), collar_words(gym.collar, unit)))
    return out


def _free(pairs: int, where: dict[int, int]) -> str:
    if not where:
        return ""
    return f"{pairs - sum(where.values())} free, on " + " ".join(f"{s}:{n}" for s, n in sorted(where.items()))


def _on_bar(state: State, station: Station) -> str:
    here = state.evening.stations.get(station.id) if state.open else None
    return f"on it: {' '.join(here.stack) or 'nothing'}" if here else ""


def stands_words(stands: frozenset[str]) -> str:
    """What stands at a station, always in one order."""
    return " ".join(what for what in STANDS if what in stands)


def collar_words(collar: int, unit: str) -> str:
    """What such a collar is."""
    if not collar:
        return "each: spring clips, counted as nothing"
    return "each: competition collars" if collar == convert(COMPETITION, "kg", unit) else "each"


def lines(listed: list[Row], cursor: tuple[int, int], width: int) -> tuple[list[Content], int]:
    """All lines with their headings, and which of them holds the cursor (row, field)."""
    out: list[Content] = []
    at_line = 0
    for n, row in enumerate(listed):
        columns = PARTS[row.part]
        if row.at == 0:
            heads = [_cell(c.heading, c) for c in columns]
            held = row.part == "plates" and any(x.note for x in listed if x.part == "plates")
            words = f"  {'  '.join(heads)}  {HELD if held else ''}"
            out.append(Content.styled(words.rstrip(), "bold $accent"))
        here = n == cursor[0]
        at_line = len(out) if here else at_line
        parts: list[str | tuple[str, str]] = ["▶ " if here else "  "]
        for m, (text, column) in enumerate(zip(row.cells, columns, strict=True)):
            parts += [(_cell(text, column), "bold reverse" if here and m == cursor[1] else ""), "  "]
        room = max(0, width - sum(c.width + 2 for c in columns) - 2)
        parts.append((cut(row.note, room), "dim"))
        out.append(Content.assemble(*parts))
    return out, at_line


def _cell(text: str, column: Column) -> str:
    short = cut(text, column.width)
    blank = " " * (column.width - cell_len(short))
    return blank + short if column.right else short + blank


def window(shown: list[Content], at: int, height: int) -> list[Content]:
    """The lines around the one with the cursor, at most `height`; what is out of sight is counted."""
    if len(shown) <= height or height < 3:
        return shown[:height]
    first = min(max(0, at - height // 2), len(shown) - height)
    out = shown[first : first + height]
    if first:
        out[0] = Content.styled(f"  ↑ {first + 1} more", "dim")
    if first + height < len(shown):
        out[-1] = Content.styled(f"  ↓ {len(shown) - first - height + 1} more", "dim")
    return out


def gap_lines(gym: Gym, bar_id: str, width: int, rows_each: int) -> list[Content]:
    """What can't be built with every plate on that bar, in the gym's span, for each of its steps."""
    low, high = (show_load(x) for x in SPANS[gym.unit])
    bar = next((b.name for b in gym.bars if b.id == bar_id), bar_id)
    head = f" Not to be built on the {bar} with every plate, {low} to {high} {gym.unit}"
    out = [Content.styled(cut(head, width), "bold")]
    for step in STEPS[gym.unit]:
        missing = gaps(gym, bar_id, step)
        name = f" in steps of {show_load(step)}: ".rjust(18)
        told = _told(run_words(runs(missing, step)), len(missing), max(10, width - len(name)), rows_each)
        out += [Content(f"{name if n == 0 else ' ' * len(name)}{line}") for n, line in enumerate(told)]
    return out


def _told(stretches: tuple[str, ...], count: int, width: int, rows_each: int) -> list[str]:
    """As many stretches as fit, and how many loads there are in all when some do not."""
    if not stretches:
        return ["nothing, every load can be built"]
    whole = wrap(", ".join(stretches), width, rows_each + 1)
    if len(whole) <= rows_each:
        return whole
    for some in range(len(stretches) - 1, 0, -1):
        told = wrap(f"{', '.join(stretches[:some])} … {count} loads in all", width, rows_each + 1)
        if len(told) <= rows_each:
            return told
    return [cut(f"{count} loads", width)]
