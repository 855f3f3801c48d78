"""What the gym owns, changed: what can be built with it, what is held where, and whether it may change now."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import replace

from floor.core.gym import Gym
from floor.core.stacks import loads_of
from floor.core.state import State
from floor.core.units import show_load

SPANS = {"kg": (2_000, 20_000), "lb": (4_500, 44_500)}
"""From the usual empty bar up: the loads, in hundredths, whose gaps are looked for."""
STEPS = {"kg": (250, 100, 50), "lb": (500, 250, 100)}
"""The steps they are looked for in, the coarsest first."""


def held_at(state: State) -> dict[str, dict[int, int]]:
    """For each plate that stands on a bar: the pairs of it at each station. Empty when no session is open."""
    held: dict[str, dict[int, int]] = {}
    for station in state.evening.stations.values() if state.open else ():
        for plate, pairs in Counter(station.stack).items():
            held.setdefault(plate, {})[station.id] = pairs
    return held


def gaps(gym: Gym, bar_id: str, step: int) -> tuple[int, ...]:
    """The loads in the gym's span, counted up from its lowest by `step`, that all its plates can't make on a bar."""
    low, high = SPANS[gym.unit]
    there = set(loads_of(gym, bar_id))
    return tuple(load for load in range(low, high + 1, step) if load not in there)


def runs(loads: Sequence[int], step: int) -> tuple[tuple[int, int], ...]:
    """Rising loads as stretches without a hole: first and last of each."""
    out: list[tuple[int, int]] = []
    for load in loads:
        if out and load - out[-1][1] == step:
            out[-1] = (out[-1][0], load)
        else:
            out.append((load, load))
    return tuple(out)


def run_words(stretches: Iterable[tuple[int, int]]) -> tuple[str, ...]:
    """Each stretch in figures: "22.5", or "181 to 200"."""
    return tuple(
        show_load(first) if first == last else f"{show_load(first)} to {show_load(last)}" for first, last in stretches
    )


def why_not_now(state: State, new: Gym) -> str:
    """Why this equipment can't be adopted while the session is open, "" when it can.

    Plates come and go during an evening, between sets, as long as every one that
    stands on a bar stays what it is: the change is worked out from those, and a
    restart reads tonight's record against the new equipment. Bars, stations and
    collars wait: loads recorded tonight were made with them.
    """
    if not state.open:
        return ""
    old = state.gym
    for present in state.evening.here.values():
        if present.running() is not None:
            return f"A set is running at {old.station(present.station).name}: grade it first."
    if (new.bars, new.stations, new.collar) != (old.bars, old.stations, old.collar):
        return "A session is open: only plates can change now. Bars, stations and collars wait for its close."
    stock = {plate.id: plate for plate in new.plates}
    for plate_id, where in held_at(state).items():
        pairs = sum(where.values())
        names = " and ".join(old.station(station).name for station in where)
        plate = stock.get(plate_id)
        if plate is None or plate.pairs < pairs:
            left = plate.pairs if plate is not None else 0
            return f"{names}: {_pairs(pairs)} of the {plate_id} on the bar, {left} would be left. Take it off first."
        if replace(plate, pairs=0) != replace(old.plate(plate_id), pairs=0):
            return f"{names}: the {plate_id} is on the bar. Take it off before it is changed."
    return ""


def _pairs(number: int) -> str:
    return "1 pair" if number == 1 else f"{number} pairs"
