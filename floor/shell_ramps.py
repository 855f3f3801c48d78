"""`floor ramps`: shared ramp loads with which fewer plates come off, for the coach to adopt or not."""

from __future__ import annotations

from collections.abc import Sequence

from floor.core.gym import Gym
from floor.core.ladder import Rungs, better_ladders
from floor.core.state import State
from floor.core.units import show_load


def ramp_lines(gym: Gym, found: Sequence[Rungs]) -> list[str]:
    """What to print: for each lift the ramp it has, the one that moves fewer plates, and how many."""
    if not found:
        return ["No ramp was found that moves fewer plates than the ones the lifts have."]
    lines = []
    for rungs in found:
        lines.append(f"{gym.lifts[rungs.lift].name}, {gym.unit}")
        for word, ladder, moves in (("now", rungs.was, rungs.was_moves), ("or", rungs.loads, rungs.moves)):
            loads = ", ".join(show_load(load) for load in ladder)
            lines.append(f"  {word:<4}[{loads}]  {moves} plates moved a side")
    return [
        *lines, "",
        "Counted for the lifters of this gym at one bar, all starting together. To take one:",
        "`floor show lifts > lifts.toml`, change its line `ramp`, `floor adopt lifts lifts.toml`.",
    ]


def print_ramps(state: State) -> int:
    """Work them out and print them; the exit status. Takes some seconds."""
    print("\n".join(ramp_lines(state.gym, better_ladders(state))))
    return 0
