"""What stays on the sleeve between sets: the exact search behind `sequence.least_moves`.

Between two sets some beginning r of the sleeve stays on. A set with stack s
between the beginnings r and r' that stay before and after it moves
(|s| - |r|) + (|s| - |r'|) plates. Both begin s, so one begins the other, and
any s that begins with the longer will do: the shortest such s is best, whatever
comes before and after. So it is enough to choose what stays, among the
beginnings that both loads have (`Ways.shared`), and from the last set back

    V(r) = min over r' of  2 |shortest stack with the longer of r, r'| - |r| - |r'| + V'(r')

splits into the r' that begin with r (a minimum handed from children to parents)
and those that r begins with (from parents to children): the work of a set grows
with the tree and not with its square. To let less stay than could only counts
too many moves, so the minimum is the true one. What is left out, and why
nothing is lost:

- a stack that is not the shortest with some beginning: shown above. A stack
  whose cost is its own (the usual one of its load) is kept beside the shortest;
- different stacks for one load in a row: the cheapest of them all the way gets
  there and on in no more moves, by the triangle inequality of changes;
- what stays on at a change of bar: nothing does.

Costs are whole numbers: MOVE for a plate moved, 1 for a plate on the sleeve
during a set, so that of equal moves the fewest plates win.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from floor.core.stacks import Stack
from floor.core.ways import ALONE, ROOT, Wanted, Ways

MOVE = 10**6
"""More than all the plates on the sleeve in all the sets of any evening."""
_NEVER = 10**15


@dataclass(frozen=True, slots=True)
class Run:
    """Sets in a row with one load on one bar.

    `usual` is the usual stack of that load if it can be built; with any other
    each set costs `unusual` more.
    """

    bar: str
    ways: Ways
    wanted: Wanted
    times: int
    usual: Stack | None = None
    unusual: int = 0


class Tail:
    """One run and all after it, by what may stay on after the run.

    `more` is the least cost with that beginning or one that begins with it,
    `less` the least beyond the run with it or one that it begins with; `each`
    what one plate of the run's stack costs, `unusual` what another stack than
    the usual one does.
    """

    def __init__(self, run: Run, after: Run | None, later: Sequence[int]) -> None:
        self.run = run
        goes_on = after is not None and after.bar == run.bar
        self.each = (1 if after is None else 2) * MOVE + run.times
        self.unusual = run.unusual * run.times
        self.usual: dict[int, int] = {}
        if run.usual is not None and run.unusual:
            begins = run.ways.along(run.wanted, run.usual)
            if run.ways.makes(begins[-1], run.wanted, run.usual):
                self.usual = dict.fromkeys(begins, self.each * len(run.usual))
        shared = run.ways.shared(run.wanted, after.wanted) if after is not None and goes_on else ALONE
        self.place = shared.place
        short = shared.left if goes_on else (run.ways.fewest(run.wanted, ROOT),)
        each, unusual = self.each, self.unusual
        less = [cost - MOVE * deep for cost, deep in zip(later, shared.depth, strict=True)]
        more = [each * m + unusual + cost for m, cost in zip(short, less, strict=True)]
        for node, cost in self.usual.items():
            at = shared.place.get(node)
            if at is not None and cost + less[at] < more[at]:
                more[at] = cost + less[at]
        up = shared.up
        for at in range(len(up) - 1, 0, -1):
            if more[at] < more[up[at]]:
                more[up[at]] = more[at]
        for at in range(1, len(up)):
            if less[up[at]] < less[at]:
                less[at] = less[up[at]]
        more.append(_NEVER)
        self.more, self.less = more, less

    def before(self, run: Run | None, after: Run | None) -> list[int]:
        """The least cost from here on, for each beginning that may stay on before this run."""
        here = self.run
        if run is None or run.bar != here.bar:
            return [self.least(ROOT, 0)]
        shared = here.ways.shared(run.wanted, here.wanted)
        next_wanted = after.wanted if after is not None and after.bar == here.bar else None
        own, nearest = here.ways.places(run.wanted, here.wanted, next_wanted)
        each, unusual, more, less = self.each, self.unusual, self.more, self.less
        found = []
        for at, near, short, deep in zip(own, nearest, shared.right, shared.depth, strict=True):
            cost = each * short + unusual + less[near]
            found.append((more[at] if more[at] < cost else cost) - MOVE * deep)
        for node, cost in self.usual.items():
            i = shared.place.get(node)
            if i is not None:
                found[i] = min(found[i], cost + less[nearest[i]] - MOVE * shared.depth[i])
        return found

    def least(self, node: int, near: int) -> int:
        """The least cost of a stack with that beginning, arriving not counted; `near` is as `less` wants it."""
        cost = self.each * self.run.ways.fewest(self.run.wanted, node) + self.unusual
        if self.usual:
            cost = min(cost, self.usual.get(node, cost))
        return min(cost + self.less[near], self.more[self.place.get(node, -1)])

    def best(self, stays: Sequence[int]) -> list[Stack]:
        """The best stacks, alike in masses, the heavier inside; `stays` is what may stay on from before."""
        ways, wanted = self.run.ways, self.run.wanted
        near, arriving = 0, list[int]()
        for deep, node in enumerate(stays):
            near = self.place.get(node, near)
            arriving.append(self.least(node, near) - 2 * MOVE * deep)
        for deep in range(len(stays) - 2, -1, -1):
            arriving[deep] = min(arriving[deep], arriving[deep + 1])
        on_way = dict(zip(stays, arriving, strict=True))
        target = arriving[0]
        # Beginnings of best stacks: node, the place for `less`, and how much of it stays on from before.
        open_: list[tuple[int, int, int]] = [(ROOT, 0, 0)]
        while ways.nodes[open_[0][0]].mass < wanted.side:
            heaviest, longer = 0, list[tuple[int, int, int]]()
            for node, near, stay in open_:
                for child in ways.children(wanted, node):
                    mass = ways.nodes[child].mass
                    if mass < heaviest:
                        break
                    place = self.place.get(child, near)
                    cost = on_way.get(child)
                    kept = stay if cost is None else stay + 1
                    if cost is None:
                        cost = self.least(child, place) - 2 * MOVE * stay
                    if cost == target:
                        if mass > heaviest:
                            heaviest, longer = mass, []
                        longer.append((child, place, kept))
            open_ = longer
        return [ways.stack(node) for node, _, _ in open_]


def tails(runs: Sequence[Run]) -> list[Tail]:
    """For each run, what it and all after it cost; found from the last one back."""
    found = list[Tail]()
    later, after, after_that = [0], None, None
    for run in reversed(runs):
        if found:
            later = found[-1].before(run, after_that)
        tail = Tail(run, after, later)
        found.append(tail)
        after, after_that = run, after
    return found[::-1]
