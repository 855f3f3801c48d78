"""One station, searched level by level: every prefix of the order that is still worth keeping, the best first.

A prefix is bounded from below by the bar (what is left to lift and its least
set-ups) and by each lifter's own chain; it is dropped when another with the same
sets done and the same set last is at least as early in everything. When nothing
was ever dropped for want of room, what was found is the optimum.
"""

from __future__ import annotations

from dataclasses import dataclass

from floor.core.planner.tables import Tables

Path = tuple["Path", int] | None
Node = tuple[float, int, int, tuple[int, ...], tuple[int, ...], int, int, Path]


@dataclass(frozen=True, slots=True)
class Found:
    """The lifters in order, when it finishes, the nodes it took, and whether nothing finishes earlier."""

    lifters: tuple[int, ...]
    finish: int
    nodes: int
    proven: bool


def beam(t: Tables, width: int, best: int, slack: float, pareto: int = 4) -> Found | None:
    """The earliest finish under `best` that a beam of that width sees; None when it sees none.

    `slack` weighs how hard the lifters' own chains press, against the bound, when prefixes are ranked.
    """
    place = t.evening.places[0]
    people = range(len(t.sets))
    sizes = [len(s) for s in t.sets]
    total = sum(sizes)
    lead, tail, seconds, rest, set_up = t.lead, t.tail, t.seconds, t.rest, t.set_up
    after = [[lead[s] + tail[s] for s in sets] + [-(10**9)] for sets in t.sets]
    tails = [[tail[s] for s in sets] + [-(10**9)] for sets in t.sets]
    step, unit = [], 1
    for size in sizes:
        step.append(unit)
        unit *= size + 1
    ready0 = tuple(c.ready for c in t.evening.chains)
    level: list[Node] = [
        (0.0, place.free, 0, (0,) * len(sizes), ready0, -1, sum(seconds) + sum(lead), None)
    ]
    nodes, cut = 0, False
    for depth in range(total):
        kept: dict[tuple[int, int], list[Node]] = {}
        for _, end, code, done, ready, last, left, path in level:
            row = set_up[last] if last >= 0 else t.first[0]
            for i in people:
                k = done[i]
                if k == sizes[i]:
                    continue
                nodes += 1
                s = t.sets[i][k]
                start = end + row[s]
                if ready[i] > start:
                    start = ready[i]
                off = start + seconds[s]
                rem = left - seconds[s] - lead[s]
                bound = off + rem
                press = 0
                rested = off + rest[s]
                for j in people:
                    if j == i:
                        chain = rested + tails[j][k + 1]
                    else:
                        chain = ready[j] + tails[j][done[j]]
                        soon = off + after[j][done[j]]
                        if soon > chain:
                            chain = soon
                    if chain > bound:
                        bound = chain
                    if chain > 0:
                        press += chain
                if bound >= best:
                    continue
                key = (code + step[i], s)
                node = (
                    bound + slack * press, off, code + step[i], done[:i] + (k + 1,) + done[i + 1 :],
                    ready[:i] + (rested,) + ready[i + 1 :], s, rem, (path, i),
                )  # fmt: skip
                others = kept.get(key)
                if others is None:
                    kept[key] = [node]
                elif not _worse(node, others):
                    others[:] = [o for o in others if not _beats(node, o)]
                    others.append(node)
        level = [node for group in kept.values() for node in group]
        if not level:
            return None
        if len(level) > width:
            cut = True
            level.sort(key=_score)
            del level[width:]
    node = min(level, key=_score)
    node = min(level, key=lambda n: n[1])
    return Found(_unroll(node[7]), node[1], nodes, not cut)


def _score(node: Node) -> float:
    return node[0]


def _beats(a: Node, b: Node) -> bool:
    """Whether a is at least as early as b in everything; both have the same sets done and the same last."""
    end = a[1]
    if end > b[1]:
        return False
    bend = b[1]
    return all(not (x > y and x > bend) for x, y in zip(a[4], b[4], strict=True))


def _worse(node: Node, others: list[Node]) -> bool:
    return any(_beats(o, node) for o in others)


def _unroll(path: Path) -> tuple[int, ...]:
    order = []
    while path is not None:
        path, i = path
        order.append(i)
    return tuple(reversed(order))
