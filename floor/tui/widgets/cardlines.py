"""A card's lines, drawn from its view: pure, so that what changed can be told line by line."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from floor.tui.draw.bigtext import ROWS, Size, big, big_width, spelled
from floor.tui.draw.spans import Row, Span, beside, cut, fit, row_width, wrap
from floor.tui.draw.stack import LEAST_HEIGHT, draw_stack
from floor.tui.widgets.cardframe import Slot, frame
from floor.tui.widgets.cardview import CardView, RepMark, Status

STYLES = (
    "edge", "edge-hand", "title", "title-hand", "name", "role", "load", "unit", "rest", "status", "held",
    "made", "missed", "open", "letter", "change", "warn", "next", "setup",
    "bar", "plate0", "plate1", "on0", "on1", "face0", "face1", "onface0", "onface1", "number", "mark",
)  # fmt: skip
"""Every style name a card's line may carry."""

_EDGES = {False: "╭─╮│╰╯", True: "┏━┓┃┗┛"}
_SIGNS = {True: ("●", "made"), False: ("✕", "missed"), None: ("○", "open")}
_BLOBS = {True: ("▄█▄", "▀█▀"), False: ("▀▄▀", "▄▀▄"), None: ("   ", "▄▄▄")}


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
    edge = "edge-hand" if view.in_hand else "edge"
    side = _EDGES[view.in_hand][3]
    left, right = side + " " * (pad - 1), " " * (pad - 1) + side
    lines = [_top(view, width)]
    lines += [((left, edge), *fit(row, inner), (right, edge)) for row in body]
    lines.append(_bottom(view, width, parts))
    return [fit(line, width) for line in lines]


def _part(view: CardView, slot: Slot, width: int, parts: set[str]) -> list[Row]:
    """The rows of one part of the card."""
    match slot.part:
        case "name":
            return _large(view.name, width, slot.rows, "name")
        case "role":
            return [((cut(_role(view, width), width), "role"),)]
        case "load":
            return load_rows(view.load_text, view.unit, view.reps_text, width, slot.rows)
        case "now":
            return now_rows(view, width, slot.rows, "role" in parts)
        case "draw":
            marks = dict.fromkeys(view.on, "+")
            if slot.rows < LEAST_HEIGHT or not view.load_text:
                return []
            return draw_stack(view.plates, view.sleeve_mm, view.collar, width, slot.rows, marks)
        case "change":
            return [((line, "change"),) for line in wrap(view.change_words, width, slot.rows)]
        case "warn":
            return [((line, "warn"),) for line in wrap(_warning(view), width, slot.rows)]
        case "next":
            return [((cut(view.next_line, width), "next"),)]
        case _:
            return [((cut(view.setup_line, width), "setup"),)]


def _warning(view: CardView) -> str:
    return " · ".join(words for words in (view.floor_words, view.caution) if words)


def _role(view: CardView, width: int) -> str:
    """Lift and set; the whole name goes before them when the large letters cannot show it."""
    if view.name and (big_width(view.name) > width or not spelled(view.name)):
        return f"{view.name} · {view.role_line}" if view.role_line else view.name
    return view.role_line


def _large(text: str, width: int, rows: int, style: str) -> list[Row]:
    """The text in the largest letters `rows` allow, tall ones only if it fits in them."""
    if rows < ROWS["small"]:
        return [((cut(text, width), style),)]
    size: Size = "tall" if rows >= ROWS["tall"] and big_width(text, "tall") <= width else "small"
    return [((line, style),) for line in big(text, width, size)]


def load_rows(load: str, unit: str, reps: str, width: int, rows: int) -> list[Row]:
    """Load and reps as large as fits, never cut: figures shrink to plain ones before one is lost."""
    plain = f"{load} {unit} {reps}".strip() if load else reps
    if not plain:
        return []
    if rows >= ROWS["small"]:
        count = reps.lstrip("×x ").strip()
        sizes: list[Size] = ["tall", "small"] if rows >= ROWS["tall"] else ["small"]
        for size in sizes:
            for times, gap in ((True, 1), (False, 1), (False, 0)):
                drawn = _load_block(load, unit, count, size, times, gap)
                if drawn and row_width(drawn[0]) <= width:
                    return drawn
    return [((cut(plain, width), "load"),)]


def _load_block(load: str, unit: str, count: str, size: Size, times: bool, gap: int) -> list[Row]:
    """The figures with the unit beside them; `times` draws a large ×, else a plain one over the unit."""
    figures: list[Row] = [((line, "load"),) for line in big(load, 999, size)] if load else []
    if not all(spelled(text, size) for text in (load, count)):
        return []
    beneath: list[Row] = [()] * (ROWS[size] - 2) + [((unit, "unit"),), ()]
    if count and not times:
        beneath[-3] = ((" ×" if len(unit) > 1 else "×", "unit"),)
    block = beside(figures, beneath, gap) if load else []
    if count:
        reps = big(f"×{count}" if times or not load else count, 999, size)
        block = beside(block, [((line, "load"),) for line in reps], gap)
    return block


def now_rows(view: CardView, width: int, rows: int, role_shown: bool) -> list[Row]:
    """What is going on: the reps of a running set, the time left of a rest, or the word for it."""
    if view.status is Status.LIFTING:
        return mark_rows(view.marks, width, rows)
    style = "held" if view.status is Status.HELD else "rest"
    if rows >= ROWS["small"]:
        large = view.rest_text or view.status.value
        size: Size = "tall" if rows >= ROWS["tall"] else "small"
        word = "rest" if view.rest_text else ""
        drawn: list[Row] = [((line, style),) for line in big(large, width, size)]
        note: list[Row] = [()] * (ROWS[size] - 2) + [((word, "status"),)]
        return beside(drawn, note, 1)
    words = f"rest {view.rest_text}" if view.rest_text else view.status.value
    rest = "" if role_shown else cut(_role(view, width), width - len(words) - 1)
    return [((words, style), (f" {rest}" if rest else "", "role"))]


def mark_rows(marks: Sequence[RepMark], width: int, rows: int) -> list[Row]:
    """The reps so far: large signs over their fault letters if there is room, else one line of both."""
    if rows >= 3 and len(marks) * 4 - 1 <= width:
        high = [_join((_BLOBS[mark.made][y], _SIGNS[mark.made][1]) for mark in marks) for y in (0, 1)]
        under = _join((mark.letters[:3].center(3), "letter") for mark in marks)
        return [*high, under]
    if sum(2 + len(mark.letters) for mark in marks) - 1 <= width:
        line: list[tuple[str, str]] = []
        for mark in marks:
            line += [_SIGNS[mark.made], (f"{mark.letters} ", "letter")]
        return [tuple(line)]
    made = sum(mark.made is True for mark in marks)
    missed = sum(mark.made is False for mark in marks)
    faults = "".join(mark.letters for mark in marks)
    words = f"{made} of {len(marks)} made" + (f" {missed} ✕" if missed else "")
    return [((words, "made"), (f" {faults}" if faults else "", "letter"))]


def _join(pieces: Iterable[Span]) -> Row:
    """The pieces with a clear column after each."""
    return tuple(span for piece in pieces for span in (piece, (" ", "")))


def _top(view: CardView, width: int) -> Row:
    """The upper edge with the station's name; in hand it is heavy, filled, and says so."""
    corner, line, end = _EDGES[view.in_hand][:3]
    edge = "edge-hand" if view.in_hand else "edge"
    room = width - 4
    title = f"{view.title} · {view.stands}" if view.stands else view.title
    if view.in_hand:
        words = "in hand"
        left = cut(f"▶ {title}", room - len(words) - 2)
        gap = " " * max(1, room - len(left) - len(words) - 2)
        return ((corner + line, edge), (f" {left}{gap}{words} ", "title-hand"), (line + end, edge))
    left = cut(title, room - 2)
    return ((corner + line, edge), (f" {left} ", "title"), (line * (room - len(left) - 2) + line + end, edge))


def _bottom(view: CardView, width: int, parts: set[str]) -> Row:
    """The lower edge; it carries what the frame has no line for, warnings first."""
    _, line, _, _, corner, end = _EDGES[view.in_hand]
    edge = "edge-hand" if view.in_hand else "edge"
    room = width - 4
    words, style = "", "setup"
    if "warn" not in parts and _warning(view):
        words, style = cut(_warning(view), room - 2), "warn"
    elif "setup" not in parts and view.setup_line:
        words = cut(view.setup_line, room - 2)
    if not words:
        return ((corner + line * (width - 2) + end, edge),)
    return ((corner + line, edge), (f" {words} ", style), (line * (room - len(words) - 2) + line + end, edge))
