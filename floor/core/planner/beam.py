"""One station, searched level by level: every prefix of the order still worth keeping, the best first.

A prefix is bounded from below by the bar (what is left to lift and its least
set-ups) and by each lifter's own chain; it is dropped when another with the same
sets done and the same set last is at least as early in everything. When none
was dropped for want of room, what was found is the optimum.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from floor.core.planner.tables import NEVER, Tables

_Path = tuple[Any, int] | None  # the path before, and the lifter
# Least finish, then: bar free, sets done as one number and by lifter, rested by lifter, last set, bar's work left.
_Node = tuple[int, int, int, tuple[int, ...], tuple[int, ...], int, int, _Path]


@dataclass(frozen=True, slots=True)
class Found:
    """The lifters in order (none when nothing finishes under `best`), the finish, the nodes it took.

    `whole` says that no prefix was left out for want of room: nothing finishes
    earlier than `finish`, or than the `best` that was given.
    """

    lifters: tuple[int, ...]
    finish: int
    nodes: int
    whole: bool


def beam(t: Tables, width: int, best: int = NEVER) -> Found:
    """The earliest finish under `best` that a beam of that width sees at the first station.

    Whoever was told goes first. A node is one prefix made and bounded.
    """
    told = t.told()
    sizes = [len(s) for s in t.sets]
    people = [i for i, size in enumerate(sizes) if size]
    seconds, rest, sets, lead = t.seconds, t.rest, t.sets, t.lead
    tails = [[t.tail[s] for s in chain] + [-NEVER] for chain in sets]
    after = [[lead[s] + t.tail[s] for s in chain] + [-NEVER] for chain in sets]
    step, unit = [], 1
    for size in sizes:
        step.append(unit)
        unit *= size + 1
    ready0 = tuple(c.ready for c in t.evening.chains)
    free = t.evening.places[0].free
    level: list[_Node] = [(0, free, 0, (0,) * len(sizes), ready0, -1, sum(seconds) + sum(lead), None)]
    nodes, whole = 0, True
    for depth in range(len(seconds)):
        kept: dict[tuple[int, int], list[_Node]] = {}
        who = [told[depth]] if depth < len(told) else people
        for _, end, code, done, ready, last, left, path in level:
            row = t.set_up[last] if last >= 0 else t.first[0]
            for i in who:
                k = done[i]
                if k == sizes[i]:
                    continue
                nodes += 1
                s = sets[i][k]
                start = end + row[s]
                if ready[i] > start:
                    start = ready[i]
                off = start + seconds[s]
                bar_left = left - seconds[s] - lead[s]
                rested = off + rest[s]
                bound = max(off + bar_left, rested + tails[i][k + 1])
                for j in people:
                    if j != i:
                        chain = ready[j] + tails[j][done[j]]
                        soon = off + after[j][done[j]]
                        if soon > chain:
                            chain = soon
                        if chain > bound:
                            bound = chain
                if bound >= best:
                    continue
                node: _Node = (
                    bound, off, code + step[i], done[:i] + (k + 1,) + done[i + 1 :],
                    ready[:i] + (rested,) + ready[i + 1 :], s, bar_left, (path, i),
                )  # fmt: skip
                _keep(kept, node)
        level = [node for alike in kept.values() for node in alike]
        if not level:
            return Found((), best, nodes, whole)
        if len(level) > width:
            whole = False
            level.sort(key=_least_finish)
            del level[width:]
    least = min(level, key=_least_finish)
    return Found(_unroll(least[7]), least[1], nodes, whole)


def _least_finish(node: _Node) -> int:
    return node[0]


def _keep(kept: dict[tuple[int, int], list[_Node]], node: _Node) -> None:
    """Put the node with those alike, unless one of them is as early in everything; drop those it makes idle."""
    alike = kept.setdefault((node[2], node[5]), [])
    for other in alike:
        if _no_later(other, node):
            return
    if alike:
        alike[:] = [other for other in alike if not _no_later(node, other)]
    alike.append(node)


def _no_later(a: _Node, b: _Node) -> bool:
    """Whether a is at least as early as b for the bar and for every lifter who could feel it."""
    end = b[1]
    return a[1] <= end and not any(x > y and x > end for x, y in zip(a[4], b[4], strict=True))


def _unroll(path: _Path) -> tuple[int, ...]:
    order = []
    while path is not None:
        order.append(path[1])
        path = path[0]
    return tuple(reversed(order))
