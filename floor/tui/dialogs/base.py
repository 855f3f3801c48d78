"""What every dialog shares: a box of lines, a sentence for what was wrong, Escape, and its keys at the bottom."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import ClassVar, TypeVar

from rich.cells import cell_len
from rich.text import Text
from textual import events
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical
from textual.screen import ModalScreen
from textual.widgets import Input

from floor.tui.draw.spans import cut, wrap
from floor.tui.widgets.lines import Line, Lines

Answer = TypeVar("Answer")
MARK = "▶ "
"""Stands before the line that Enter takes."""

_EDGES = 2
_SIDES = 4


class Dialog(ModalScreen[Answer]):
    """A question in a box: lines above, fields if it has any, lines below; the last lines are its keys.

    A dialog says `head(width)` above its fields and `body(width, rows)` below
    them. `tell` puts a sentence on the line over the keys, kept free for it,
    until the next key. Nothing here knows the session: what is asked about
    comes in, the answer goes out.
    """

    CSS_PATH = "base.tcss"
    BINDINGS: ClassVar[list[BindingType]] = [Binding("escape", "leave", "leave", show=False)]
    WIDTH: ClassVar[int] = 66

    def __init__(self, heading: str, hint: str = "") -> None:
        super().__init__()
        self.heading = heading
        self.hint = hint
        self.told = ""
        self._early: int | None = None

    def compose(self) -> ComposeResult:
        """The box."""
        with Vertical(id="box"):
            yield Lines(id="head")
            yield from self.fields()
            yield Lines(id="body")

    def fields(self) -> Iterable[Input]:
        """The fields to type in; none by default."""
        return ()

    def head(self, width: int) -> list[Line]:
        """The question and its hint."""
        hints: list[Line] = [Text(line, "dim") for line in wrap(self.hint, width, 3)]
        return [*(Text(line, "bold") for line in wrap(self.heading, width, 3)), *hints]

    def body(self, width: int, rows: int) -> list[Line]:
        """The lines under the fields, at most `rows` of them, without the keys."""
        return []

    def keys(self) -> Sequence[str]:
        """The keys that act here, as they are shown."""
        raise TypeError(f"{type(self).__name__} shows no keys")

    def tell(self, words: str) -> None:
        """Say what was wrong, and stay."""
        self.told = words
        self.redraw()

    def hush(self) -> None:
        """Another key was pressed: what was said is over."""
        if self.told:
            self.tell("")

    def redraw(self) -> None:
        """Lay the lines out for the room there is."""
        width = max(10, min(self.WIDTH, self.app.size.width) - _SIDES)
        head = self.head(width)
        told = wrap(self.told, width - 2, 3)
        said = [Text(f"{'! ' if n == 0 else '  '}{line}", "bold") for n, line in enumerate(told)] or [Text("")]
        foot = [Text(line, "dim") for line in flow(self.keys(), width)]
        fields = 3 * len(self.query(Input))
        rows = self.app.size.height - _EDGES - len(head) - fields - len(said) - len(foot)
        self.query_one("#box").styles.width = width + _SIDES
        self._put("#head", head)
        self._put("#body", [*self.body(width, max(1, rows)), *said, *foot])

    def _put(self, where: str, lines: Sequence[Line]) -> None:
        block = self.query_one(where, Lines)
        block.styles.height = len(lines)
        block.show(lines)

    def on_mount(self) -> None:
        """The first drawing."""
        self.redraw()

    def on_key(self, event: events.Key) -> None:
        """A letter typed before the field was ready to take it stands in front of those typed since."""
        fields = self.query(Input)
        if not fields or not event.is_printable or not event.character:
            return
        event.stop()
        field = fields.first()
        if self._early is None:
            self._early = 0 if field.select_on_focus else len(field.value)
            if field.select_on_focus:
                field.clear()
                field.select_on_focus = False
        field.insert(event.character, self._early)
        self._early += 1
        field.cursor_position = len(field.value)

    def on_resize(self, event: events.Resize) -> None:
        """Another size of terminal."""
        self.redraw()

    def reply(self, answer: Answer) -> None:
        """Answer once: keys that were typed after it find the question closed."""
        if self.is_current:
            self.dismiss(answer)

    def action_leave(self) -> None:
        """Escape: no answer."""
        if self.is_current:
            self.dismiss(None)


def flow(items: Sequence[str], width: int) -> list[str]:
    """The items over as many lines as they need, three blanks between, none broken over two lines."""
    lines: list[str] = []
    for item in items:
        if lines and cell_len(f"{lines[-1]}   {item}") <= width:
            lines[-1] += f"   {item}"
        else:
            lines.append(cut(item, width))
    return lines


def listed(lines: Sequence[str], cursor: int, rows: int, width: int) -> list[Line]:
    """The lines with the cursor's marked, at most `rows`: the ones around it, and how many are out of sight."""
    first, last = 0, len(lines)
    above = below = False
    if len(lines) > rows:
        first, last = _window(len(lines), cursor, max(1, rows))
        above, below = rows >= 3 and first > 0, rows >= 3 and last < len(lines)
    out: list[Line] = []
    for at in range(first, last):
        words = cut(f"{MARK if at == cursor else '  '}{lines[at]}", width)
        if at == first and above:
            out.append(f"  ↑ {first + 1} more")
        elif at == last - 1 and below:
            out.append(f"  ↓ {len(lines) - at} more")
        elif at == cursor:
            out.append(Text(words + " " * (width - cell_len(words)), "reverse"))
        else:
            out.append(words)
    return out


def _window(count: int, cursor: int, rows: int) -> tuple[int, int]:
    """Which lines of `count` are in sight: `rows` of them, the cursor in the middle where that can be."""
    first = min(max(0, cursor - rows // 2), count - rows)
    return first, first + rows
