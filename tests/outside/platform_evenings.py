"""The random groups as evenings that floor plans."""

from __future__ import annotations

import json
from pathlib import Path

from floor.core.planner import Chain, Evening, PlannedSet
from tests.outside.random_groups import WALK, Group, change_seconds

FILE = Path(__file__).parent / "best_known.json"
LONGEST = 120
"""Seconds past the least rest that a lifter may stand about before it counts as a wait."""


def best_known() -> list[Group]:
    """The committed groups, each with `finish` (CP-SAT's best), `bound` (its proof) and `proven`."""
    groups: list[Group] = json.loads(FILE.read_text(encoding="utf-8"))["groups"]
    return groups


def evening_of(group: Group) -> Evening:
    """The same sets, rests and set-ups; plates are those taken off or put on, both sides."""
    stacks = group["stacks"]
    change = tuple(tuple(change_seconds(a, b) for b in stacks) for a in stacks)
    moved = tuple(tuple(_plates(a, b) for b in stacks) for a in stacks)
    loads = [round(100 * (stack[0] + 2 * sum(stack[1:]))) for stack in stacks]
    chains = []
    for n, sets in enumerate(group["lifters"]):
        work_rest = sets[-1][1]
        made = (
            PlannedSet(seconds, rest, rest + LONGEST, stack, load=loads[stack], work=rest == work_rest)
            for seconds, rest, stack in sets
        )
        chains.append(Chain(f"lifter {n + 1}", tuple(made)))
    return Evening(tuple(chains), change=change, moved=moved, walk=WALK)


def _plates(now: list[float], then: list[float]) -> int:
    keep = 0
    if now[0] == then[0]:
        keep = 1
        while keep < min(len(now), len(then)) and now[keep] == then[keep]:
            keep += 1
    return 2 * (len(now) + len(then) - 2 * max(keep, 1))
