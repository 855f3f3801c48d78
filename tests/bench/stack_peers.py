"""Two other ways to load the bars of an evening, and ours as the app uses it: what the least moves are held against."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from math import sqrt
from statistics import mean, stdev

from floor.core.gym import Gym, Plate
from floor.core.ladder import better
from floor.core.sequence import SequencePlan, Step, least_moves
from floor.core.stacks import Stack, build, change, load_of, loads_of
from floor.sim.plates import CEILING, SimSet


def moves(bar: str, stacks: Sequence[Stack]) -> int:
    """Plates moved on one side over the evening, from the empty bar."""
    return sum(change(bar, a, bar, b).moves for a, b in zip(((), *stacks), stacks, strict=False))


def fewest_each_time(gym: Gym, bar: str, loads: Sequence[int]) -> list[Stack]:
    """Every load with the fewest plates, always the same ones."""
    found = []
    for load in loads:
        stack = build(gym, load, bar)
        assert isinstance(stack, tuple), stack
        found.append(stack)
    return found


def largest_first(gym: Gym, bar: str, loads: Sequence[int]) -> list[Stack]:
    """The largest plate that still goes on, again and again; one back where that leaves a rest nothing can make."""
    plates = sorted(gym.plates, key=lambda p: (-p.mass, p.diameter, p.id))
    known: dict[int, Stack] = {}
    for load in set(loads):
        side = (load - load_of(gym, bar, ())) // 2
        found = _largest(plates, 0, side, gym.bar(bar).sleeve, set())
        assert found is not None, load
        known[load] = tuple(p.id for p in sorted(found, key=lambda p: (-p.mass, -p.diameter, p.id)))
    return [known[load] for load in loads]


def _largest(
    plates: Sequence[Plate], i: int, side: int, room: int, dead: set[tuple[int, int, int]]
) -> list[Plate] | None:
    if side == 0:
        return []
    if i == len(plates) or (i, side, room) in dead:
        return None
    plate = plates[i]
    for n in range(min(plate.pairs, side // plate.mass, room // plate.thickness), -1, -1):
        rest = _largest(plates, i + 1, side - n * plate.mass, room - n * plate.thickness, dead)
        if rest is not None:
            return [plate] * n + rest
    dead.add((i, side, room))
    return None


def whole_evening(gym: Gym, bar: str, loads: Sequence[int]) -> list[Stack]:
    """The least moves, every load of the evening known from the start."""
    return list(_plan(gym, bar, loads, ()).stacks)


def ahead(gym: Gym, bar: str, loads: Sequence[int], horizon: int, habit_cost: int) -> Iterator[Stack]:
    """Planned again before every set, `horizon` sets ahead; the habit of a load is how it was built last."""
    habits: dict[tuple[str, int], Stack] = {}
    on: Stack = ()
    for n, load in enumerate(loads):
        on = _plan(gym, bar, loads[n : n + horizon], on, habits, habit_cost).stacks[0]
        habits[bar, load] = on
        yield on


def with_better_ramps(
    gym: Gym, lifters: Sequence[Sequence[SimSet]], order: Callable[[Sequence[Sequence[SimSet]]], Sequence[SimSet]]
) -> tuple[int, int]:
    """The least moves with the evening's own ramp loads, and with its rungs moved for it; the same order of sets.

    A rung stays under everybody's ceiling: CEILING per cent of the work load behind it.
    """
    bar = gym.bars[0]
    caps: dict[int, int] = {}
    for sets in lifters:
        for n, s in enumerate(sets):
            if not s.work:
                work = next(later.load for later in sets[n:] if later.work)
                caps[s.load] = min(caps.get(s.load, work), work * CEILING // 100)
    rungs, coming = tuple(sorted(caps)), order(lifters)

    def moved(ladder: Sequence[int]) -> int | None:
        if any(load > caps[rung] for rung, load in zip(rungs, ladder, strict=True)):
            return None
        new = dict(zip(rungs, ladder, strict=True))
        steps = [Step(bar.id, s.load if s.work else new[s.load]) for s in coming]
        plan = least_moves(gym, steps, bar.id, ())
        return plan.moves if isinstance(plan, SequencePlan) else None

    before = moved(rungs)
    assert before is not None
    return before, better(rungs, loads_of(gym, bar.id), moved)[1] if rungs else before


def _plan(
    gym: Gym, bar: str, loads: Sequence[int], on: Stack,
    habits: dict[tuple[str, int], Stack] | None = None, habit_cost: int = 0,
) -> SequencePlan:  # fmt: skip
    plan = least_moves(gym, [Step(bar, load) for load in loads], bar, on, {}, habits or {}, habit_cost)
    assert isinstance(plan, SequencePlan), plan
    return plan


def built_anew(loads: Sequence[int], stacks: Sequence[Stack]) -> tuple[int, int]:
    """Sets whose load was on the bar before this evening, and how many of them built otherwise than the last time."""
    last: dict[int, Stack] = {}
    again = otherwise = 0
    for load, stack in zip(loads, stacks, strict=True):
        again += load in last
        otherwise += last.get(load, stack) != stack
        last[load] = stack
    return again, otherwise


def with_interval(values: Sequence[float]) -> str:
    """The mean in percent with its 95 % interval, 1.96 standard errors each way."""
    half = 1.96 * stdev(values) / sqrt(len(values))
    return f"{100 * mean(values):.1f} ± {100 * half:.1f}"
