"""What goes on the bar for a set: the load that can be built, its stack, and the change.

The stack is chosen for the sets to come, not for this one alone: the fewest
plates moved over what the station's bar is going to meet, each load built as
it was built before here unless a change saves more than it confuses.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import lru_cache

from floor.core import stacks
from floor.core.forecast import coming_at
from floor.core.gym import Bar, Gym, Plate
from floor.core.sequence import Step, least_moves
from floor.core.state import State, TheSet

HABIT_COST = 2
"""Plate moves (one side) that building a known load in a new way must save. Common practice, no source."""


@dataclass(frozen=True, slots=True)
class Loading:
    """`load` is what can be built, `wanted` what was planned (both hundredths); `stack` one sleeve."""

    load: int
    wanted: int
    bar: str
    stack: tuple[str, ...]
    change: stacks.Change

    @property
    def heavier(self) -> bool:
        """Whether it outweighs the set: every bar light enough stands at another station."""
        return self.load > self.wanted


def held_at_others(state: State, station_id: int) -> dict[str, int]:
    """Pairs of plates that stand on the other stations' bars."""
    others = [s.stack for s in state.evening.stations.values() if s.id != station_id]
    return dict(stacks.held_elsewhere(others))


def bars_at_others(state: State, station_id: int) -> Counter[str]:
    """How many bars of each kind stand at the other stations."""
    return Counter(s.bar for s in state.evening.stations.values() if s.id != station_id)


def loading(state: State, station_id: int, coming: TheSet, lifter: int) -> Loading:
    """The finished bar for a lifter's set at a station, given what the other bars hold and what comes after."""
    gym = state.gym
    station = state.evening.stations[station_id]
    taken, away = held_at_others(state, station_id), bars_at_others(state, station_id)
    steps = [_step(gym, station_id, s, taken, away) for s in coming_at(state, station_id, coming, lifter)]
    stack = _first_stack(
        gym.unit, gym.plates, gym.bars, gym.collar, tuple(steps), station.bar, station.stack,
        _that_matter(gym, steps, taken), _of_these(steps, station.built),
    )
    step = steps[0]
    change = stacks.change(station.bar, station.stack, step.bar, stack)
    return Loading(step.load, coming.load, step.bar, stack, change)


def _step(gym: Gym, station_id: int, coming: TheSet, taken: dict[str, int], away: Mapping[str, int]) -> Step:
    """The nearest load that can be built for a set, on the bar it is lifted with."""
    bar = stacks.bar_for(gym, coming.load, gym.station(station_id).bar, away)
    from_floor = gym.lifts[coming.lift].from_floor
    load, _ = stacks.nearest(gym, coming.load, bar, taken, from_floor)
    return Step(bar, load, from_floor)


def _that_matter(gym: Gym, steps: list[Step], taken: dict[str, int]) -> tuple[tuple[str, int], ...]:
    """What others hold, as far as these sets could want it: then a change elsewhere asks for nothing anew."""
    most = max((step.load - stacks.load_of(gym, step.bar, ())) // 2 for step in steps)
    held = []
    for plate in gym.plates:
        free = max(0, plate.pairs - taken.get(plate.id, 0))
        held.append((plate.id, plate.pairs - min(free, max(0, most) // plate.mass)))
    return tuple(held)


def _of_these(
    steps: list[Step], built: Mapping[tuple[str, int], stacks.Stack]
) -> tuple[tuple[tuple[str, int], stacks.Stack], ...]:
    """The habits that these sets meet."""
    met = {(step.bar, step.load) for step in steps}
    return tuple(sorted((key, stack) for key, stack in built.items() if key in met))


@lru_cache(maxsize=512)
def _first_stack(
    unit: str,
    plates: tuple[Plate, ...],
    bars: tuple[Bar, ...],
    collar: int,
    steps: tuple[Step, ...],
    bar: str,
    stack: stacks.Stack,
    taken: tuple[tuple[str, int], ...],
    built: tuple[tuple[tuple[str, int], stacks.Stack], ...],
) -> stacks.Stack:
    """The stack for the first step of the sequence: worked out once, however often it is drawn."""
    gym = Gym(unit=unit, plates=plates, bars=bars, collar=collar)
    plan = least_moves(gym, steps, bar, stack, dict(taken), dict(built), HABIT_COST)
    if isinstance(plan, stacks.CannotBuild):
        first = steps[0]
        return stacks.nearest(gym, first.load, first.bar, dict(taken), first.from_floor)[1]
    return plan.stacks[0]


def buildable(gym: Gym, lift: str, wanted: int) -> int:
    """The nearest load at or below `wanted` with all of the gym's plates, never under the lightest bar."""
    return _buildable(gym.unit, gym.plates, gym.bars, gym.collar, gym.lifts[lift].from_floor, wanted)


@lru_cache(maxsize=4096)
def _buildable(
    unit: str, plates: tuple[Plate, ...], bars: tuple[Bar, ...], collar: int, from_floor: bool, wanted: int
) -> int:
    """Worked out once for these plates: every line of check-in asks for the loads of the whole evening."""
    gym = Gym(unit=unit, plates=plates, bars=bars, collar=collar)
    load, _ = stacks.nearest(gym, wanted, stacks.bar_for(gym, wanted, _usual_bar(gym)), {}, from_floor)
    return load


def builder(gym: Gym, lift: str) -> Callable[[int], int]:
    """`buildable` for one lift."""
    return lambda wanted: buildable(gym, lift, wanted)


def _usual_bar(gym: Gym) -> str:
    return max(gym.bars, key=lambda b: (b.count, b.mass)).id
