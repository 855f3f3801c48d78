"""The parts of a card: each a few lines, drawn from the view for the room it is given."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence

from rich.cells import cell_len

from floor.tui.draw.bigtext import ROWS, Size, big, big_width, half_blocks, spelled
from floor.tui.draw.spans import Row, Span, beside, cut, row_width, shorten
from floor.tui.widgets.cardview import CardView, RepMark, Status

REP_SIGNS = {True: ("●", "made"), False: ("✕", "missed"), None: ("○", "open")}
"""A rep's small sign and its style: made, missed, still to come."""
_NOTES = ("role", "next", "rest")


def role_words(view: CardView, width: int, room: int | None = None) -> str:
    """Lift and set, in short where `room` (the card's `width` without one) has none for the whole.

    The whole name goes before them when the large letters cannot show it.
    """
    plain = view.name if view.name and (big_width(view.name) > width or not spelled(view.name)) else ""
    said = [" · ".join(filter(None, (plain, role))) for role in (view.role_line, view.role_short or view.role_line)]
    return next((words for words in said if cell_len(words) <= (width if room is None else room)), said[-1])


def large_rows(text: str, width: int, rows: int, style: str) -> list[Row]:
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
            for large, gap in (("×5", 1), ("5", 1), ("5", 0), ("", 1), ("", 0)):
                drawn = _load_block(load, unit, count, size, large, gap)
                if drawn and max(map(row_width, drawn)) <= width:
                    return drawn
    return [((cut(plain, width), "load"),)]


def _load_block(load: str, unit: str, count: str, size: Size, large: str, gap: int) -> list[Row]:
    """The figures with the unit beside them; what of "×5" is not `large` stands plain over the unit."""
    if not all(spelled(text, size) for text in (load, count)):
        return []
    if not load:
        return [((line, "load"),) for line in big(f"×{count}", 999, size)]
    figures: list[Row] = [((line, "load"),) for line in big(load, 999, size)]
    plain = {"×5": "", "5": "×".rjust(len(unit)), "": f"×{count}"}[large] if count else ""
    beneath: list[Row] = [()] * (ROWS[size] - 3) + [((plain, "unit"),), ((unit, "unit"),), ()]
    block = beside(figures, beneath, gap)
    if count and large:
        reps = big(large.replace("5", count), 999, size)
        block = beside(block, [((line, "load"),) for line in reps], gap)
    return block


def now_rows(view: CardView, width: int, rows: int, shown: Collection[str]) -> list[Row]:
    """What is going on: the reps of a running set, the time left of a rest, or the word for it.

    `shown` names the parts the card has; heights to be set stand beside the
    large figures when they have no line of their own, the role beside small ones.
    """
    if view.status is Status.LIFTING and view.marks:
        return mark_rows(view.marks, width, rows)
    style = "held" if view.status in (Status.HELD, Status.STOPPED) else "rest"
    if rows >= ROWS["small"]:
        large = view.rest_text or view.status.value
        size: Size = "tall" if rows >= ROWS["tall"] else "small"
        notes: list[Row] = [((words, "setup"),) for words in heights_beside(view, width, shown)]
        notes += [()] * (ROWS[size] - 1 - len(notes))
        if view.rest_text:
            notes.append((("rest", "status"),))
        return beside([((line, style),) for line in big(large, width, size)], notes, 1)
    words = f"rest {view.rest_text}" if view.rest_text else view.status.value
    rest = "" if "role" in shown else shorten(role_words(view, width, room := width - len(words) - 1), room)
    return [((words, style), (f" {rest}" if rest else "", "role"))]


def heights_beside(view: CardView, width: int, shown: Collection[str]) -> list[str]:
    """The heights that stand beside the large time or word: all of them, or none if they do not fit."""
    if "setup" in shown or not view.setup_line or view.status is Status.LIFTING:
        return []
    heights = view.setup_line.split(" · ")
    room = width - big_width(view.rest_text or view.status.value) - 1
    fits = len(heights) < ROWS["small"] and max(map(cell_len, heights)) <= room
    return heights if fits else []


def mark_rows(marks: Sequence[RepMark], width: int, rows: int) -> list[Row]:
    """The reps so far: large signs over their fault letters if there is room, else one line of both."""
    for side, high in ((5, 3), (3, 2)):
        if rows > high and len(marks) * (side + 1) - 1 <= width:
            signs = [half_blocks(_sign(mark.made, side), high) for mark in marks]
            large = [
                _join((sign[y], REP_SIGNS[mark.made][1]) for sign, mark in zip(signs, marks, strict=True))
                for y in range(high)
            ]
            return [*large, _join((mark.letters[:side].center(side), "letter") for mark in marks)]
    if sum(2 + len(mark.letters) for mark in marks) - 1 <= width:
        return [tuple(span for mark in marks for span in (REP_SIGNS[mark.made], (f"{mark.letters} ", "letter")))]
    made = sum(mark.made is True for mark in marks)
    missed = sum(mark.made is False for mark in marks)
    faults = "".join(mark.letters for mark in marks)
    words = f"{made} of {len(marks)} made" + (f" {missed} ✕" if missed else "")
    return [((words, "made"), (f" {faults}" if faults else "", "letter"))]


def next_rows(view: CardView, width: int, rows: int) -> list[Row]:
    """Who is next, with what, and when; the time is kept whole where words must be cut."""
    if not view.next_name:
        return []
    if rows >= ROWS["small"]:
        notes = ("next", view.next_set, view.next_wait)
        room = width - max(map(cell_len, notes)) - 2
        if big_width(view.next_name) <= room and spelled(view.next_name):
            name: list[Row] = [((line, "next"),) for line in big(view.next_name, room)]
            return beside(name, [((note, style),) for note, style in zip(notes, _NOTES, strict=True)], 2)
    if rows >= 2:
        return [_ends(f"next {view.next_name}", view.next_wait, width), ((cut(view.next_set, width), "next"),)]
    return [_ends(f"next {view.next_name} {view.next_set}".rstrip(), view.next_wait, width)]


def _ends(left: str, right: str, width: int) -> Row:
    """Words at the left, cut if they must be, and a time after them."""
    return ((f"{cut(left, width - cell_len(right) - 1)} ", "next"), (right, "next"))


def _sign(made: bool | None, side: int) -> list[list[bool]]:
    """A rep as pixels: a full square made, a cross missed, a line on the ground still to come."""
    across = range(side)
    if made is None:
        return [[y == side - 1 for _ in across] for y in across]
    return [[made or x in (y, side - 1 - y) for x in across] for y in across]


def _join(pieces: Iterable[Span]) -> Row:
    """The pieces with a clear column after each."""
    return tuple(span for piece in pieces for span in (piece, (" ", "")))
