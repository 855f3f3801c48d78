"""Plans for next time as a file would make them, beside those that stand: a line a lifter. Words only."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Protocol

from floor.core.gym import Gym
from floor.core.state import NextPlan
from floor.core.units import show_with_unit

MOST = 20
"""So many lifters of a history are told one by one: the rest are counted."""


class Planned(Protocol):
    """Sets, reps and load of a lift next time."""

    @property
    def sets(self) -> int: ...
    @property
    def reps(self) -> int: ...
    @property
    def load(self) -> int: ...


def planned(plan: Planned, gym: Gym) -> str:
    """ "3x5 62.5 kg"."""
    return f"{plan.sets}x{plan.reps} {show_with_unit(plan.load, gym.unit)}"


def changed(plan: Planned, was: NextPlan | None, gym: Gym) -> str:
    """ "3x5 60 kg -> 3x5 62.5 kg"; only the new one where there was none, or where it is the same."""
    old, new = "" if was is None else planned(was, gym), planned(plan, gym)
    return new if old in ("", new) else f"{old} -> {new}"


def by_lifter(said: Iterable[tuple[int, str]], names: Mapping[int, str], most: int | None = None) -> list[str]:
    """A line a lifter of what is said of each; after `most` lifters only how many more there are."""
    mine: dict[int, list[str]] = {}
    for lifter, words in said:
        mine.setdefault(lifter, []).append(words)
    lines = [f"    {names.get(lifter, f'lifter {lifter}')}: {'; '.join(words)}" for lifter, words in mine.items()]
    more = len(lines) - most if most is not None else 0
    return lines if most is None or more <= 0 else [*lines[:most], f"    and {more} more lifters"]
