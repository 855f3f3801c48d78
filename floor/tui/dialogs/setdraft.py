"""A set being written down afterwards, as plain values: what each key makes of it, and its words."""

from __future__ import annotations

from dataclasses import dataclass, replace

from floor.core.gym import Fault, Grade
from floor.core.reps import most_reps, over_words
from floor.core.units import show_with_unit

MOST_MINUTES = 30
Marks = tuple[tuple[int, str], ...]
"""Faults as (rep, fault id), rep from 1; 0 is "somewhere in the set"."""


@dataclass(frozen=True, slots=True)
class SetRow:
    """A set to choose. `reps` planned, `load` in hundredths; the rest as it is recorded, if it is."""

    lifter: int
    name: str
    set_no: int
    lift_name: str
    words: str
    reps: int
    load: int
    faults: Marks = ()
    fault_keys: tuple[Fault, ...] = ()
    made: int = 0
    missed: int = 0
    grade: Grade | None = None


@dataclass(frozen=True, slots=True)
class SetAnswer:
    """What is to be recorded: all faults of the set, `minutes` since the bar was put down."""

    lifter: int
    set_no: int
    made: int
    missed: int
    load: int
    grade: Grade
    faults: Marks
    minutes: int


@dataclass(frozen=True, slots=True)
class Draft:
    """The set as the keys have made it so far.

    `hand` is the rep a letter marks, None for the last one: such a mark stays
    on the last rep when the reps change. A mark past the last rep counts there.
    """

    row: SetRow
    made: int
    missed: int
    load: int
    grade: Grade
    marks: tuple[tuple[int | None, str], ...] = ()
    hand: int | None = None
    minutes: int = 0

    @property
    def total(self) -> int:
        """Reps tried."""
        return self.made + self.missed

    @property
    def rep(self) -> int:
        """The rep a letter marks."""
        return self._place(self.hand)

    @property
    def faults(self) -> Marks:
        """Every fault on its rep, each once, in order."""
        return tuple(sorted({(self._place(rep), fault) for rep, fault in self.marks}))

    def _place(self, rep: int | None) -> int:
        return self.total if rep is None else min(rep, self.total)

    def more(self) -> Draft:
        """A rep more was made: one of those missed if there are any, else one more was tried."""
        if self.missed:
            return self.unmiss()
        return replace(self, made=self.made + 1) if self.total < most_reps(self.row.reps) else self

    def fewer(self) -> Draft:
        """A rep that was made was not tried."""
        return replace(self, made=max(0, self.made - 1))

    def miss(self) -> Draft:
        """A rep missed: one of those made if all planned ones are counted, else one more was tried."""
        if self.total < self.row.reps:
            return replace(self, missed=self.missed + 1)
        return replace(self, made=self.made - 1, missed=self.missed + 1) if self.made else self

    def unmiss(self) -> Draft:
        """A rep that was missed was made after all."""
        return replace(self, made=self.made + 1, missed=self.missed - 1) if self.missed else self

    def toggle(self, fault: str) -> Draft:
        """The fault on the rep in hand, or withdrawn from it if it stands there."""
        kept = tuple(m for m in self.marks if (self._place(m[0]), m[1]) != (self.rep, fault))
        return replace(self, marks=kept if len(kept) < len(self.marks) else (*kept, (self.hand, fault)))

    def turn(self, by: int) -> Draft:
        """The rep before or after in hand; 0 is "somewhere in the set"."""
        rep = min(max(0, self.rep + by), self.total)
        return replace(self, hand=None if rep == self.total else rep)

    def ago(self, by: int) -> Draft:
        """The bar was down that many minutes earlier, from 0 to 30 minutes ago."""
        return replace(self, minutes=min(max(0, self.minutes + by), MOST_MINUTES))

    def answer(self, grade: Grade) -> SetAnswer:
        """The set to record with that grade."""
        return SetAnswer(
            self.row.lifter, self.row.set_no, self.made, self.missed, self.load, grade, self.faults, self.minutes
        )


def late(row: SetRow) -> Draft:
    """A planned set as nobody saw it: all reps made, just now."""
    return Draft(row, row.reps, 0, row.load, Grade.UNSEEN)


def recorded(row: SetRow) -> Draft:
    """A set as it is recorded, the first rep with a fault in hand: its letter withdraws it."""
    draft = Draft(row, row.made, row.missed, row.load, row.grade or Grade.UNSEEN, marks=row.faults)
    reps = [rep for rep, _ in draft.faults]
    return replace(draft, hand=next((rep for rep in reps if rep), reps[0])) if reps else draft


def rep_words(rep: int) -> str:
    """Which rep, in words."""
    return f"on rep {rep}" if rep else "somewhere in the set"


def _faults(draft: Draft) -> list[str]:
    names = {fault.id: fault.name for fault in draft.row.fault_keys}
    return [f"{names.get(fault, fault)} {rep_words(rep)}" for rep, fault in draft.faults]


def _ago(minutes: int) -> str:
    return f"bar down {minutes} min ago" if minutes else "bar down just now"


def sentence(draft: Draft, unit: str, is_late: bool) -> str:
    """What Enter records, exactly: who, lift, load, reps, grade, faults, and when if it was seen late."""
    row = draft.row
    over = over_words(row.reps, draft.total)
    reps = [f"{draft.made} made", f"{draft.missed} missed", *([f"{draft.total} of {row.reps}: {over}"] if over else [])]
    words = [*reps, str(draft.grade), *_faults(draft)]
    if is_late:
        words.append(_ago(draft.minutes))
    return f"{row.name} {row.lift_name} {show_with_unit(draft.load, unit)}: {', '.join(words)}"


def row_words(row: SetRow, unit: str, is_late: bool) -> str:
    """A set to choose, in one line: what is planned, or what is recorded with its faults, by letter and rep.

    A rep not made was missed, unless it says otherwise.
    """
    load = show_with_unit(row.load, unit)
    if is_late:
        return f"{load} × {row.reps}"
    missed = "" if row.missed == max(0, row.reps - row.made) else f", {row.missed or 'none'} missed"
    letters = {fault.id: fault.letter for fault in row.fault_keys}
    marks = [letters.get(fault, fault) + (f" rep {rep}" if rep else "") for rep, fault in sorted(row.faults)]
    faults = f" ({', '.join(marks)})" if marks else ""
    return f"{load}: {row.made} of {row.reps}{missed}, {row.grade or Grade.UNSEEN}{faults}"
