"""What goes on the bar for a set: the load that can be built, its stack, and the change."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from floor.core import stacks
from floor.core.gym import Gym
from floor.core.state import State, TheSet


@dataclass(frozen=True, slots=True)
class Loading:
    """`load` is what can be built, `wanted` what was planned (both hundredths); `stack` one sleeve."""

    load: int
    wanted: int
    bar: str
    stack: tuple[str, ...]
    change: stacks.Change


def held_at_others(state: State, station_id: int) -> dict[str, int]:
    """Pairs of plates that stand on the other stations' bars."""
    others = [s.stack for s in state.evening.stations.values() if s.id != station_id]
    return dict(stacks.held_elsewhere(others))


def loading(state: State, station_id: int, coming: TheSet) -> Loading:
    """The finished bar for a set at a station, given what the other bars hold."""
    gym = state.gym
    station = state.evening.stations[station_id]
    taken = held_at_others(state, station_id)
    bar = stacks.bar_for(gym, coming.load, gym.station(station_id).bar)
    from_floor = gym.lifts[coming.lift].from_floor
    load, stack = stacks.nearest(gym, coming.load, bar, taken, from_floor)
    change = stacks.change(station.bar, station.stack, bar, stack)
    return Loading(load, coming.load, bar, stack, change)


def buildable(gym: Gym, lift: str, wanted: int) -> int:
    """The nearest load at or below `wanted` with all of the gym's plates, never under the lightest bar."""
    bar = stacks.bar_for(gym, wanted, _usual_bar(gym))
    load, _ = stacks.nearest(gym, wanted, bar, {}, gym.lifts[lift].from_floor)
    return load


def builder(gym: Gym, lift: str) -> Callable[[int], int]:
    """`buildable` for one lift."""
    return lambda wanted: buildable(gym, lift, wanted)


def _usual_bar(gym: Gym) -> str:
    return max(gym.bars, key=lambda b: (b.count, b.mass)).id
