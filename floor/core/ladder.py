"""Shared ramp loads that mostly add: where a rung of the ladder moves a little, fewer plates come off.

Everybody at a bar shares the ramp loads of a lift, so they are chosen for the
lift and not for one lifter, from the plates the gym owns and the loads its
lifters work with. A local search: no worse than the ladder it starts from, not
always the best. Loads are hundredths of the gym's unit; plates are counted on
one side, from an empty bar.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from floor.core.gym import Gym, Lift
from floor.core.ramps import ramp_loads
from floor.core.sequence import Step, least_moves
from floor.core.stacks import CannotBuild, bar_for, loads_of, nearest
from floor.core.state import State

WITHIN = 20
"""Per cent of itself that a rung may move. Common practice, no source: a ramp load is nobody's exact load."""
WORK_SETS = 3
"""Work sets across that every lifter is taken to do."""

AT_A_BAR = 6
"""So many lifters share one bar at most: of more, some are taken, evenly from the lightest to the heaviest."""

Ladder = tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Rungs:
    """A ladder and the plates moved with it over one evening of the gym's lifters; `was` is the one it replaces."""

    lift: str
    was: Ladder
    was_moves: int
    loads: Ladder
    moves: int


def better(ladder: Ladder, loads: Sequence[int], moves: Callable[[Ladder], int | None]) -> tuple[Ladder, int]:
    """The ladder with its rungs moved to where `moves` is least, and that least.

    The first rung stays; each other moves by at most WITHIN per cent to one of
    `loads`, between its neighbours. `moves` is None for a ladder that will not do.
    Raises ValueError when it will not have the ladder it starts from.
    """
    least = moves(ladder)
    if least is None:
        raise ValueError("the ladder to start from will not do")
    best, start = ladder, ladder
    while True:
        before = least
        for at in range(1, len(start)):
            for load in loads:
                if abs(load - start[at]) * 100 <= start[at] * WITHIN:
                    tried = (*best[:at], load, *best[at + 1 :])
                    rising = all(a < b for a, b in pairwise(tried))
                    counted = moves(tried) if rising else None
                    if counted is not None and counted < least:
                        best, least = tried, counted
        if least == before:
            return best, least


def for_lift(gym: Gym, lift: Lift, works: Sequence[int]) -> Rungs | None:
    """A better ladder for a lift whose lifters work with these loads; None where the present one can't be bettered.

    The bar is that of the first station where the lift can be done.
    """
    stations = [s for s in gym.stations if lift.needs in s.stands]
    heavy = max(works, default=0)
    if not stations or len(lift.ramp) < 2 or not heavy:
        return None
    bar = bar_for(gym, heavy, stations[0].bar)
    sets = [len(ramp_loads(lift, work)) for work in works]

    def moves(ladder: Ladder) -> int | None:
        changed = replace(lift, ramp=ladder)
        ramps = [ramp_loads(changed, work) for work in works]
        if any(len(ramp) < many for ramp, many in zip(ramps, sets, strict=True)):
            return None
        steps = [Step(bar, nearest(gym, load, bar)[0], lift.from_floor) for load in _rising(ramps, works)]
        plan = least_moves(gym, steps, bar, ())
        return None if isinstance(plan, CannotBuild) else plan.moves

    was = moves(lift.ramp)
    if was is None:
        return None
    found, least = better(lift.ramp, loads_of(gym, bar), moves)
    return Rungs(lift.id, lift.ramp, was, found, least) if least < was else None


def better_ladders(state: State) -> tuple[Rungs, ...]:
    """For each lift of the gym whose ladder can be bettered, by the loads of everybody's plans: the better one."""
    found = []
    for lift in state.gym.lifts.values():
        works = sorted(who.plans[lift.id].load for who in state.lifters.values() if lift.id in who.plans)
        rungs = for_lift(state.gym, lift, _some(works))
        if rungs is not None:
            found.append(rungs)
    return tuple(found)


def _some(works: Sequence[int]) -> Sequence[int]:
    if len(works) <= AT_A_BAR:
        return works
    return [works[n * (len(works) - 1) // (AT_A_BAR - 1)] for n in range(AT_A_BAR)]


def _rising(ramps: Sequence[Ladder], works: Sequence[int]) -> list[int]:
    """The rising bar when all start together: ramps and first work sets lightest first, then round by round."""
    first = sorted([*(load for ramp in ramps for load in ramp), *works])
    return first + sorted(works) * (WORK_SETS - 1)
