"""A set written down whole: one seen late, or an older one put right."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import ClassVar, Literal

from rich.cells import cell_len
from rich.text import Text
from textual import events
from textual.binding import Binding, BindingType

from floor.core.gym import Grade
from floor.core.reps import MOST
from floor.tui.dialogs.ask import AskLoad
from floor.tui.dialogs.base import Dialog, listed
from floor.tui.dialogs.setdraft import (
    MOST_MINUTES,
    Draft,
    SetAnswer,
    SetRow,
    late,
    recorded,
    rep_words,
    row_words,
    sentence,
)
from floor.tui.draw.spans import cut, wrap
from floor.tui.widgets.lines import Line

__all__ = ["SetAnswer", "SetForm", "SetRow"]

_GRADES = dict(zip("12345", Grade, strict=True))
_FEW, _MANY = 12, 3
_MORE = f"No more reps than that: {MOST}."
_AGO = f"The bar was put down 0 to {MOST_MINUTES} minutes ago, not longer."
_REP_KEYS: dict[str, tuple[Callable[[Draft], Draft], str]] = {
    "+": (lambda d: d.more(), _MORE),
    "-": (lambda d: d.fewer(), "No rep was made."),
    ".": (lambda d: d.miss(), "Every rep was missed."),
    ",": (lambda d: d.unmiss(), "No rep was missed."),
}
_LATE_KEYS: dict[str, tuple[Callable[[Draft], Draft], str]] = {
    "<": (lambda d: d.ago(1), _AGO),
    ">": (lambda d: d.ago(-1), _AGO),
}


class SetForm(Dialog[SetAnswer | None]):
    """Choose the set, change what was otherwise, answer with Enter or a grade.

    "late": rows are planned sets; Enter records all reps made, unseen, unless
    changed. "right": rows are recorded sets, latest first; Enter keeps the grade.
    """

    WIDTH = 96
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("up", "choose(-1)", show=False),
        Binding("down", "choose(1)", show=False),
        Binding("left", "turn(-1)", show=False),
        Binding("right", "turn(1)", show=False),
        Binding("enter", "record", show=False),
        Binding("f7,equals_sign", "load", show=False),
        Binding("backspace", "afresh", show=False),
    ]

    def __init__(self, title: str, rows: Sequence[SetRow], unit: str, mode: Literal["late", "right"]) -> None:
        super().__init__(title)
        self.rows = tuple(rows)
        self.unit = unit
        self.late = mode == "late"
        self.cursor = 0
        self.drafts = [self._fresh(row) for row in self.rows]

    def _fresh(self, row: SetRow) -> Draft:
        return late(row) if self.late else recorded(row)

    @property
    def draft(self) -> Draft:
        """The chosen set as the keys have made it."""
        return self.drafts[self.cursor]

    def body(self, width: int, rows: int) -> list[Line]:
        """The sets, the faults of the chosen one's lift, and what will be recorded."""
        if not self.rows:
            return ["", "No set to record." if self.late else "No set is recorded yet."]
        will = wrap(f"Enter records: {sentence(self.draft, self.unit, self.late)}", width, 8)
        faults, told = self._faults(width), [Text(line, "bold") for line in will]
        left = rows - len(faults) - len(told)
        gap: list[Line] = [""] if left >= len(self.rows) + 3 else []
        sets = listed(self._sets(), self.cursor, left - 3 * len(gap), width)
        return [*gap, *sets, *gap, *faults, *gap, *told]

    def _sets(self) -> list[str]:
        names = max(cell_len(row.name) for row in self.rows)
        lifts = max(cell_len(row.lift_name) for row in self.rows)
        words = max(cell_len(row.words) for row in self.rows)
        return [
            f"{_filled(row.name, names)}  {_filled(row.lift_name, lifts)}  {_filled(row.words, words)}  "
            f"{row_words(row, self.unit, self.late)}"
            for row in self.rows
        ]

    def _faults(self, width: int) -> list[Line]:
        """The lift's fault list with its letters; [x] stands on the rep in hand, the other reps behind the name."""
        draft = self.draft
        last = ", the last" if draft.rep == draft.total and draft.total else ""
        out: list[Line] = [f"faults {rep_words(draft.rep)}{last}"]
        keys = draft.row.fault_keys
        across = 2 if len(keys) <= _FEW else _MANY
        room = width // across
        deep = -(-len(keys) // across)
        for y in range(deep):
            cells = []
            for fault in keys[y::deep]:
                mark = "x" if (draft.rep, fault.id) in draft.faults else " "
                elsewhere = [rep for rep, marked in draft.faults if marked == fault.id and rep not in (0, draft.rep)]
                reps = f" (rep {', '.join(map(str, elsewhere))})" if elsewhere else ""
                cells.append(_filled(cut(f"{fault.letter} [{mark}] {fault.name}{reps}", room - 1), room))
            out.append("".join(cells).rstrip())
        return out

    def keys(self) -> Sequence[str]:
        """The keys that act here."""
        if not self.rows:
            return ("Esc leave",)
        when = ("< > down earlier, later",) if self.late else ()
        return (
            "↑ ↓ set", "+ - reps made", ". a rep missed", ", not missed", "letter fault", "← → its rep", *when,
            "= F7 load", "Backspace as it was",
            "grade and record: " + " ".join(f"{key} {grade}" for key, grade in _GRADES.items()), "Esc leave",
        )  # fmt: skip

    def on_key(self, event: events.Key) -> None:
        """Reps, minutes, faults and grades: whatever is typed as one character."""
        key = event.character if event.is_printable else None
        if not key or not self.rows or key == "=":
            return
        event.stop()
        if key in _GRADES:
            self._answer(_GRADES[key])
        elif key in _REP_KEYS or (key in _LATE_KEYS and self.late):
            change, unless = (_REP_KEYS | _LATE_KEYS)[key]
            self._change(change(self.draft), unless)
        else:
            self._mark(key.lower())

    def _mark(self, letter: str) -> None:
        row = self.draft.row
        fault = next((f for f in row.fault_keys if f.letter == letter), None)
        if fault is None:
            self.tell(f'The {row.lift_name} has no fault on the key "{letter}".')
            return
        self._change(self.draft.toggle(fault.id))

    def _change(self, draft: Draft, unless: str = "") -> None:
        """Take the draft; where nothing changed, say why."""
        self.told = unless if draft == self.draft else ""
        self.drafts[self.cursor] = draft
        self.redraw()

    def _answer(self, grade: Grade) -> None:
        if not self.draft.total:
            self.tell("Not one rep made or missed: say at least one.")
            return
        self.reply(self.draft.answer(grade))

    def action_choose(self, by: int) -> None:
        """Another set; past the end is the other end."""
        if self.rows:
            self.cursor = (self.cursor + by) % len(self.rows)
        self.told = ""
        self.redraw()

    def action_turn(self, by: int) -> None:
        """Another rep of the set for the letters."""
        if self.rows:
            self._change(self.draft.turn(by))

    def action_record(self) -> None:
        """As the line says."""
        if self.rows:
            self._answer(self.draft.grade)

    def action_afresh(self) -> None:
        """The chosen set as it was before any key."""
        if self.rows:
            self._change(self._fresh(self.draft.row))

    def action_load(self) -> None:
        """Another load, typed."""
        if not self.rows:
            return
        title = f"{self.draft.row.name} {self.draft.row.lift_name}: the load of this set"
        self.app.push_screen(AskLoad(title, self.unit, self.draft.load), self._loaded)

    def _loaded(self, load: int | None) -> None:
        if load is not None:
            self._change(replace(self.draft, load=load))


def _filled(text: str, width: int) -> str:
    return text + " " * (width - cell_len(text))
