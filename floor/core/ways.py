"""Every way to load one sleeve with the plates that are free, as a tree of beginnings.

A beginning is the plates of a sleeve from the inside out, heavier inside, the
wider inside of two equal masses: one node of the tree, which keeps its number.
Masses are hundredths of the gym's unit, lengths millimetres.

Nothing is pruned here: a node belongs to a load if and only if some stack that
makes that load within the sleeve begins so. `fewest` decides it, by trying
every number of every kind once for each (kind, pairs left, mass, room).
"""

from __future__ import annotations

from functools import lru_cache
from typing import NamedTuple

from floor.core.gym import Plate
from floor.core.stacks import Stack

ROOT = 0
NO_WAY = 10**6
"""More plates than any sleeve holds: `fewest` where there is no stack."""


class Wanted(NamedTuple):
    """One sleeve's mass, and what must be on it: 0 anything, 1 a full-size disc, 2 one that may be dropped."""

    side: int
    disc: int = 0


class Shared(NamedTuple):
    """The beginnings that two loads share, parents first. All lists run along `nodes`.

    `up` is the place of the parent in these lists (the root's own is 0),
    `depth` the plates of the beginning, `left` and `right` the fewest plates of
    a whole stack of either load that begins so.
    """

    nodes: tuple[int, ...]
    up: tuple[int, ...]
    depth: tuple[int, ...]
    left: tuple[int, ...]
    right: tuple[int, ...]
    place: dict[int, int]


ALONE = Shared((ROOT,), (0,), (0,), (0,), (0,), {ROOT: 0})
"""Nothing but the bare sleeve. `left` and `right` mean nothing here."""


class Node(NamedTuple):
    """A beginning: its last kind and how many pairs of it are still free, its mass, thickness, and best disc."""

    parent: int
    kind: int
    still: int
    mass: int
    thick: int
    disc: int
    depth: int


class Ways:
    """The tree for some kinds of plates, the pairs that are free of each, and a sleeve."""

    def __init__(self, plates: tuple[Plate, ...], free: tuple[int, ...], sleeve: int) -> None:
        stock = sorted(zip(plates, free, strict=True), key=lambda x: (-x[0].mass, -x[0].diameter, x[0].id))
        self.plates = [p for p, n in stock if n > 0]
        self.pairs = [n for _, n in stock if n > 0]
        self.disc = [(2 if p.droppable else 1) if p.full_size else 0 for p in self.plates]
        self.sleeve = sleeve
        self.nodes = [Node(ROOT, 0, self.pairs[0] if self.pairs else 0, 0, 0, 0, 0)]
        self._child: list[dict[int, int]] = [{}]
        self._stacks: list[Stack] = [()]
        self._fewest: dict[tuple[int, int, int, int, int], int] = {}
        self._of: dict[Wanted, dict[int, int]] = {}
        self._children: dict[Wanted, dict[int, tuple[int, ...]]] = {}
        self._shared: dict[tuple[Wanted, Wanted], Shared] = {}
        self._places: dict[tuple[Wanted, Wanted, Wanted | None], tuple[list[int], list[int]]] = {}
        # From each kind on: the masses that can be made, as set bits.
        self._makes = [1]
        for plate, pairs in zip(reversed(self.plates), reversed(self.pairs), strict=True):
            bits = self._makes[-1]
            for _ in range(pairs):
                bits |= bits << plate.mass
            self._makes.append(bits)
        self._makes.reverse()

    def stack(self, node: int) -> Stack:
        """The plates of that beginning, innermost first."""
        return self._stacks[node]

    def child(self, node: int, kind: int) -> int:
        """That beginning with one more plate, of the same kind or a later one."""
        known = self._child[node].get(kind)
        if known is not None:
            return known
        old, plate = self.nodes[node], self.plates[kind]
        still = (old.still if kind == old.kind else self.pairs[kind]) - 1
        disc = max(old.disc, self.disc[kind])
        self.nodes.append(
            Node(node, kind, still, old.mass + plate.mass, old.thick + plate.thickness, disc, old.depth + 1)
        )
        self._child.append({})
        self._stacks.append((*self._stacks[node], plate.id))
        self._child[node][kind] = len(self.nodes) - 1
        return len(self.nodes) - 1

    def fewest(self, wanted: Wanted, node: int) -> int:
        """The fewest plates, those of the beginning included, of a stack that makes it; NO_WAY if none does."""
        known = self._of.setdefault(wanted, {})
        if node not in known:
            it = self.nodes[node]
            lacks = wanted.disc if it.disc < wanted.disc else 0
            more = self._more(it.kind, it.still, wanted.side - it.mass, self.sleeve - it.thick, lacks)
            known[node] = min(NO_WAY, it.depth + more)
        return known[node]

    def _more(self, kind: int, still: int, side: int, room: int, disc: int) -> int:
        """The fewest plates more, `still` of this kind and all of the later ones being free."""
        if side == 0 and room >= 0:
            return NO_WAY if disc else 0
        if side <= 0 or room < 0 or kind == len(self.plates) or not self._makes[kind] >> side & 1:
            return NO_WAY
        key = (kind, still, side, room, disc)
        known = self._fewest.get(key)
        if known is None:
            known = self._more(kind + 1, self._pairs(kind + 1), side, room, disc)
            if still:
                plate = self.plates[kind]
                lacks = disc if self.disc[kind] < disc else 0
                took = self._more(kind, still - 1, side - plate.mass, room - plate.thickness, lacks)
                known = min(known, 1 + took)
            self._fewest[key] = known
        return known

    def _pairs(self, kind: int) -> int:
        return self.pairs[kind] if kind < len(self.pairs) else 0

    def children(self, wanted: Wanted, node: int) -> tuple[int, ...]:
        """The beginnings one plate longer that still lead to it, the heaviest plate first."""
        known = self._children.setdefault(wanted, {})
        found = known.get(node)
        if found is None:
            it = self.nodes[node]
            kinds = range(it.kind if it.still else it.kind + 1, len(self.plates))
            left, room = wanted.side - it.mass, self.sleeve - it.thick
            longer = [
                self.child(node, k)
                for k in kinds
                if (rest := left - self.plates[k].mass) >= 0
                and self.plates[k].thickness <= room
                and self._makes[k] >> rest & 1
            ]
            found = known[node] = tuple(n for n in longer if self.fewest(wanted, n) < NO_WAY)
        return found

    def along(self, wanted: Wanted, stack: Stack) -> list[int]:
        """The beginnings of `stack` that lead to it too, from the bare sleeve on."""
        found = [ROOT]
        for plate in stack:
            longer = next((n for n in self.children(wanted, found[-1]) if self._stacks[n][-1] == plate), None)
            if longer is None:
                break
            found.append(longer)
        return found

    def shared(self, left: Wanted, right: Wanted) -> Shared:
        """Every beginning that leads to both, parents before their children."""
        known = self._shared.get((left, right))
        if known is not None:
            return known
        nodes, up = [ROOT], [0]
        waiting = [0]
        while waiting:
            at = waiting.pop()
            for longer in self.children(left, nodes[at]):
                if self.fewest(right, longer) < NO_WAY:
                    waiting.append(len(nodes))
                    nodes.append(longer)
                    up.append(at)
        found = Shared(
            tuple(nodes),
            tuple(up),
            tuple(self.nodes[n].depth for n in nodes),
            tuple(self.fewest(left, n) for n in nodes),
            tuple(self.fewest(right, n) for n in nodes),
            {n: i for i, n in enumerate(nodes)},
        )
        self._shared[left, right] = found
        return found

    def places(self, before: Wanted, now: Wanted, after: Wanted | None) -> tuple[list[int], list[int]]:
        """For each beginning shared with the load before: its place among those shared with the load after.

        The first list has one past the last place where it has none there; the
        second has the place of the longest of its own beginnings that has one.
        With no load after, only the bare sleeve is shared.
        """
        known = self._places.get((before, now, after))
        if known is None:
            left, right = self.shared(before, now), self.shared(now, after) if after else ALONE
            none = len(right.nodes)
            own, nearest = [], list[int]()
            for node, up in zip(left.nodes, left.up, strict=True):
                at = right.place.get(node, none)
                own.append(at)
                nearest.append(nearest[up] if at == none else at)
            known = self._places[before, now, after] = own, nearest
        return known

    def makes(self, node: int, wanted: Wanted, stack: Stack) -> bool:
        """True if that beginning is the whole of `stack` and makes the load."""
        return self.nodes[node].mass == wanted.side and self._stacks[node] == stack

    def all_fewest(self, wanted: Wanted) -> list[Stack]:
        """Every stack with the fewest plates, in the tree's own order."""
        least = self.fewest(wanted, ROOT)
        ends, waiting = list[Stack](), [ROOT]
        while waiting:
            node = waiting.pop()
            if self.nodes[node].mass == wanted.side:
                ends.append(self._stacks[node])
            else:
                waiting += [n for n in self.children(wanted, node) if self.fewest(wanted, n) == least]
        return ends


@lru_cache(maxsize=64)
def ways(plates: tuple[Plate, ...], free: tuple[int, ...], sleeve: int) -> Ways:
    """The tree for that stock and sleeve; it grows as it is asked, its answers never change."""
    return Ways(plates, free, sleeve)
