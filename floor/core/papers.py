"""Fast entry from the paper sheet: the sets still to enter, in the sheet's order."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from floor.core.arrivals import first_numbers, here_tonight
from floor.core.commands import RecordWhole
from floor.core.gym import Grade
from floor.core.loading import buildable
from floor.core.state import PLANNED, State, TheSet
from floor.core.steps import step_of


@dataclass(frozen=True, slots=True)
class PaperSet:
    """One set still to enter; `no` is its number on the sheet."""

    no: int
    lifter: int
    set: TheSet

    @property
    def key(self) -> tuple[int, int]:
        """What stays the same when other sets are entered: the lifter and the set's number in the evening."""
        return self.lifter, self.set.no


def to_enter(state: State, now: datetime) -> tuple[PaperSet, ...]:
    """Every set of those who came that is not recorded yet, in the sheet's order and with its numbers.

    Sets of someone who has left are among them; a running set and those taken
    off are not.
    """
    here = here_tonight(state)
    rows: list[PaperSet] = []
    for lifter, first in first_numbers(state, now).items():
        sets = sorted(here[lifter].sets, key=lambda s: s.no) if lifter in here else []
        rows += [PaperSet(first + i, lifter, s) for i, s in enumerate(sets) if s.status == PLANNED]
    return tuple(rows)


@dataclass(frozen=True, slots=True)
class Draft:
    """What was typed about a set before its grade. `steps` of the lifter's step more (or less) on the bar."""

    missed: int = 0
    steps: int = 0
    faults: tuple[str, ...] = ()

    @property
    def empty(self) -> bool:
        """Nothing typed: all reps made, the load as planned, no fault."""
        return self == EMPTY


EMPTY = Draft()


def lifted(state: State, paper: PaperSet, draft: Draft) -> int:
    """The load lifted, in hundredths: as planned, or so many of the lifter's steps from it, where it can be built."""
    if not draft.steps:
        return paper.set.load
    step = step_of(state.gym, state.lifters[paper.lifter], paper.set.lift)
    return buildable(state.gym, paper.set.lift, paper.set.load + draft.steps * step)


def record(state: State, paper: PaperSet, draft: Draft, grade: Grade) -> RecordWhole:
    """The command that enters the set; the faults stand on its last rep."""
    return RecordWhole(
        lifter=paper.lifter,
        set_no=paper.set.no,
        made=paper.set.reps - draft.missed,
        missed=draft.missed,
        grade=grade,
        load=lifted(state, paper, draft),
        faults=tuple((paper.set.reps, fault) for fault in draft.faults),
    )
