"""Check-in: where each lifter of the gym stands tonight, and what tonight holds."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta
from enum import StrEnum

from floor.core.loading import buildable
from floor.core.programme import Planned, todays_sets
from floor.core.state import DROPPED, Lifter, Present, State

NOT_YET = timedelta(minutes=2)
"""In how long a lifter who should have come by now is taken to come. No source."""


class Coming(StrEnum):
    """Whether a lifter has come tonight; the value is the word on screen."""

    EXPECTED = "expected"
    LATE = "late"
    HERE = "here"
    LEFT = "left"


def coming(state: State, lifter: int) -> Coming:
    """Where a lifter stands tonight. With no session open everyone is expected."""
    present = here_tonight(state).get(lifter)
    if present is not None:
        return Coming.LEFT if present.gone else Coming.HERE
    return Coming.LATE if state.open and lifter in state.evening.late else Coming.EXPECTED


def expected_at(state: State, lifter: int, now: datetime) -> datetime:
    """When a lifter who is late is taken to come: as told, and not in this very minute.

    KeyError for a lifter who is not late.
    """
    return max(state.evening.late[lifter], now + NOT_YET)


def here_tonight(state: State) -> Mapping[int, Present]:
    """Everyone who came to the session that is open, in the order they came; nobody when none is."""
    return state.evening.here if state.open else {}


def stopped_tonight(state: State, lifter: int) -> Mapping[str, str]:
    """The lifts a rule has stopped tonight for a lifter, each with its rule."""
    present = here_tonight(state).get(lifter)
    return present.stopped if present is not None else {}


def sets_tonight(state: State, lifter: Lifter, now: datetime) -> tuple[Planned, ...]:
    """Tonight's sets: as planned when they came, less those taken off, else what checking in now would plan.

    None while held.
    """
    if lifter.held:
        return ()
    present = here_tonight(state).get(lifter.id)
    if present is not None:
        return tuple(Planned(s.lift, s.role, s.reps, s.load, s.stage) for s in present.sets if s.status != DROPPED)
    return todays_sets(state.gym, lifter, now, lambda lift, load: buildable(state.gym, lift, load))


@dataclass(frozen=True, slots=True)
class Block:
    """One lift of tonight: its ramp sets, then its work sets, in order."""

    lift: str
    ramp: tuple[Planned, ...]
    work: tuple[Planned, ...]


def blocks(sets: tuple[Planned, ...]) -> tuple[Block, ...]:
    """The sets lift by lift, each lift once, in the order they begin."""
    lifts = dict.fromkeys(s.lift for s in sets)
    return tuple(
        Block(
            lift,
            tuple(s for s in sets if s.lift == lift and s.role == "ramp"),
            tuple(s for s in sets if s.lift == lift and s.role != "ramp"),
        )
        for lift in lifts
    )


def first_numbers(state: State, now: datetime) -> dict[int, int]:
    """Each lifter's first number on the evening sheet: everyone of the gym in turn, a number for every set.

    Sets taken off keep their numbers, so that those behind them keep theirs.
    """
    here = here_tonight(state)
    firsts: dict[int, int] = {}
    no = 1
    for lifter in sorted(state.lifters):
        firsts[lifter] = no
        sets = here[lifter].sets if lifter in here else sets_tonight(state, state.lifters[lifter], now)
        no += len(sets)
    return firsts
