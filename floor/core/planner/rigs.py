"""From what is on the bar to seconds of set-up: the tables an evening is planned with."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from floor.core.planner.problem import Table
from floor.core.stacks import Stack, change


@dataclass(frozen=True, slots=True)
class Rig:
    """A bar by its id, one sleeve's plates innermost first, and the height it stands at ("" for the floor)."""

    bar: str
    stack: Stack = ()
    height: str = ""


@dataclass(frozen=True, slots=True)
class Pace:
    """Seconds for a plate on or off (both sides at once), another bar, another height. Guesses, to be measured."""

    plate: int = 6
    bar: int = 30
    height: int = 20


def tables(rigs: Sequence[Rig], pace: Pace) -> tuple[Table, Table]:
    """The seconds from each rig to each, and the plates handled (both sides counted)."""
    seconds, plates = [], []
    for a in rigs:
        steps = [change(a.bar, a.stack, b.bar, b.stack) for b in rigs]
        plates.append(tuple(2 * step.moves for step in steps))
        seconds.append(
            tuple(
                pace.plate * step.moves + pace.bar * (step.bar is not None) + pace.height * (a.height != b.height)
                for step, b in zip(steps, rigs, strict=True)
            )
        )
    return tuple(seconds), tuple(plates)
