"""A card's lines, drawn from its view: pure, so that what changed can be told line by line."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import lru_cache
from typing import Any

from floor.core.gym import Plate
from floor.tui.draw.spans import Row, cut, fit, in_sentences, shorten, wrap
from floor.tui.draw.stack import LEAST_HEIGHT, draw_stack
from floor.tui.widgets.cardframe import Slot, frame
from floor.tui.widgets.cardparts import large_rows, load_rows, next_rows, now_rows, role_words
from floor.tui.widgets.cardview import CardView

STYLES = (
    "edge", "edge-hand", "title", "title-hand", "name", "role", "load", "unit", "rest", "status", "held",
    "made", "missed", "open", "letter", "change", "warn", "next", "setup",
    "bar", "plate0", "plate1", "on0", "on1", "face0", "face1", "onface0", "onface1", "number", "mark",
)  # fmt: skip
"""Every style name a card's line may carry."""

_EDGES = {False: tuple("╭─╮│╰╯"), True: tuple("┏━┓┃┗┛")}


def card_lines(view: CardView, width: int, height: int) -> list[Row]:
    """The card as `height` lines of exactly `width` columns; a pure function of its arguments."""
    if width < 4 or height < 3:
        return [fit(((view.name or view.title, "name"),), width) for _ in range(height)]
    pad = 1 if width < 40 else 2
    inner = width - 2 * pad
    slots = frame(inner, height - 2)
    parts = {slot.part for slot in slots}
    body: list[Row] = [()] * (height - 2)
    for slot in slots:
        for offset, row in enumerate(_part(view, slot, inner, parts)[: slot.rows]):
            body[slot.top + offset] = row
    return [
        fit(_top(view, width), width),
        *(_edged(row, width, pad, view.in_hand) for row in body),
        fit(_bottom(view, width, parts), width),
    ]


@lru_cache(maxsize=1024)
def _edged(row: Row, width: int, pad: int, in_hand: bool) -> Row:
    """A row of the body between the card's edges: most rows of a card are as they were a key ago."""
    edge, side = "edge-hand" if in_hand else "edge", _EDGES[in_hand][3]
    left, right = side + " " * (pad - 1), " " * (pad - 1) + side
    return fit(((left, edge), *fit(row, width - 2 * pad), (right, edge)), width)


@lru_cache(maxsize=256)
def _drawn(part: Callable[..., Sequence[Row]], *arguments: Any) -> tuple[Row, ...]:
    """A large part of the card: drawn once for the same words and the same room."""
    return tuple(part(*arguments))


def _sleeve(
    plates: tuple[Plate, ...], sleeve_mm: int, collar: bool, width: int, rows: int, on: frozenset[int]
) -> list[Row]:
    return draw_stack(plates, sleeve_mm, collar, width, rows, dict.fromkeys(on, "+"))


def _part(view: CardView, slot: Slot, width: int, parts: set[str]) -> Sequence[Row]:
    """The rows of one part of the card."""
    match slot.part:
        case "name":
            return _drawn(large_rows, view.name, width, slot.rows, "name")
        case "role":
            return [((shorten(role_words(view, width), width), "role"),)]
        case "load":
            return _drawn(load_rows, view.load_text, view.unit, view.reps_text, width, slot.rows)
        case "now":
            return now_rows(view, width, slot.rows, parts)
        case "draw":
            if slot.rows < LEAST_HEIGHT or not (view.load_text or view.plates):
                return []
            return _drawn(_sleeve, view.plates, view.sleeve_mm, view.collar, width, slot.rows, view.on)
        case "side":
            return [((cut(view.side_words, width), "setup"),)]
        case "change":
            lines = wrap(view.change_words, width, slot.rows)
            if view.change_short and " ".join(lines) != view.change_words:
                lines = wrap(view.change_short, width, slot.rows)
            if view.change_least and " ".join(lines) not in (view.change_words, view.change_short):
                lines = wrap(view.change_least, width, slot.rows)
            return [((line, "change"),) for line in lines]
        case "warn":
            return [((line, "warn"),) for line in in_sentences(_warning(view), width, slot.rows)]
        case "next":
            return next_rows(view, width, slot.rows)
        case _:
            return [((cut(view.setup_line, width), "setup"),)]


def _warning(view: CardView) -> str:
    return " ".join(words for words in (view.floor_words, view.caution) if words)


def _top(view: CardView, width: int) -> Row:
    """The upper edge with the station's name; in hand it is heavy, filled, and says so."""
    corner, line, end = _EDGES[view.in_hand][:3]
    edge = "edge-hand" if view.in_hand else "edge"
    room = width - 4
    titles = [f"{view.title} · {words}" for words in (view.stands, view.stands_short) if words] + [view.title]
    if view.in_hand:
        least = titles[-2] if view.stands_short else view.title
        words = "in hand" if len(least) + len("▶  in hand") + 2 <= room else "▶"
        space = room - len(words) - 2
        left = cut(f"▶ {next((title for title in titles if len(title) + 3 <= space), view.title)}", space)
        gap = " " * max(1, room - len(left) - len(words) - 2)
        return ((corner + line, edge), (f" {left}{gap}{words} ", "title-hand"), (line + end, edge))
    left = cut(next((title for title in titles if len(title) <= room - 2), view.title), room - 2)
    return ((corner + line, edge), (f" {left} ", "title"), (line * (room - len(left) - 2) + line + end, edge))


def _bottom(view: CardView, width: int, parts: set[str]) -> Row:
    """The lower edge; it carries what the frame has no line for, warnings first."""
    _, line, _, _, corner, end = _EDGES[view.in_hand]
    edge = "edge-hand" if view.in_hand else "edge"
    room = width - 4
    words, style = "", "setup"
    if "warn" not in parts and (warned := in_sentences(_warning(view), room - 2, 1)):
        words, style = warned[0], "warn"
    elif "setup" not in parts and view.setup_line:
        words = cut(view.setup_line, room - 2)
    if not words:
        return ((corner + line * (width - 2) + end, edge),)
    return ((corner + line, edge), (f" {words} ", style), (line * (room - len(words) - 2) + line + end, edge))
