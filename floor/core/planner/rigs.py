"""From what is on the bar to seconds of set-up: the tables an evening is planned with."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
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
class Handling:
    """Seconds for a plate on or off (both sides at once), another bar, another height. Guesses, to be measured."""

    plate: int = 6
    bar: int = 30
    height: int = 20


def tables(rigs: Sequence[Rig], handling: Handling) -> tuple[Table, Table]:
    """The seconds from each rig to each, and the plates handled (both sides counted)."""
    seconds, plates = [], []
    for a in rigs:
        steps = [change(a.bar, a.stack, b.bar, b.stack) for b in rigs]
        plates.append(tuple(2 * step.moves for step in steps))
        seconds.append(
            tuple(
                handling.plate * step.moves
                + handling.bar * (step.bar is not None)
                + handling.height * (a.height != b.height)
                for step, b in zip(steps, rigs, strict=True)
            )
        )
    return tuple(seconds), tuple(plates)


def clashes(rigs: Sequence[Rig], pairs: Mapping[str, int], bars: Mapping[str, int] | None = None) -> Table:
    """1 where two rigs together need more than the gym has, 0 where not; a rig beside itself counts as two of it.

    `pairs` are the pairs of each plate by the name on it, `bars` how many there
    are of each bar; what is not named there is taken to be enough. Three stations
    at once can need more than any two: that is not seen here.
    """
    need = [Counter(rig.stack) for rig in rigs]

    def clash(a: int, b: int) -> bool:
        both = need[a] + need[b]
        if any(count > pairs.get(plate, count) for plate, count in both.items()):
            return True
        return rigs[a].bar == rigs[b].bar and (bars or {}).get(rigs[a].bar, 2) < 2

    return tuple(tuple(int(clash(a, b)) for b in range(len(rigs))) for a in range(len(rigs)))
