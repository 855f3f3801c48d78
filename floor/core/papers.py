"""Fast entry from the paper sheet: the sets still to enter, in the sheet's order."""

from __future__ import annotations

from dataclasses import dataclass

from floor.core.arrivals import here_tonight
from floor.core.commands import RecordWhole
from floor.core.gym import Grade
from floor.core.loading import buildable
from floor.core.state import PLANNED, State, TheSet


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


def to_enter(state: State) -> tuple[PaperSet, ...]:
    """Every set of tonight not recorded yet, numbered as on the sheet: all sets of all who came, in turn.

    Sets of someone who has left are among them; a running set and those taken
    off are not.
    """
    rows = [(present.lifter, s) for present in here_tonight(state).values() for s in present.sets]
    return tuple(PaperSet(no, lifter, s) for no, (lifter, s) in enumerate(rows, 1) if s.status == PLANNED)


@dataclass(frozen=True, slots=True)
class Draft:
    """What was typed about a set before its grade. `steps` of the lift's step more (or less) on the bar."""

    missed: int = 0
    steps: int = 0
    faults: tuple[str, ...] = ()

    @property
    def empty(self) -> bool:
        """Nothing typed: all reps made, the load as planned, no fault."""
        return self == EMPTY


EMPTY = Draft()


def lifted(state: State, paper: PaperSet, draft: Draft) -> int:
    """The load lifted, in hundredths: as planned, or so many steps from it, down to what can be built."""
    if not draft.steps:
        return paper.set.load
    step = state.gym.lifts[paper.set.lift].step
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
