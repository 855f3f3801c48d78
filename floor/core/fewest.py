"""The search for one sleeve: the fewest plates that make a mass. Exact, and the same answer every time.

Masses are whole hundredths of the gym's unit, lengths whole millimetres; `free`
counts the pairs of each plate that may be used.
"""

from __future__ import annotations

from functools import lru_cache

from floor.core.gym import Plate


@lru_cache(maxsize=256)
def makeable(plates: tuple[Plate, ...], free: tuple[int, ...], sleeve: int) -> tuple[int, ...]:
    """Every mass a sleeve of that length can carry with these plates, rising from 0."""
    thinnest = {0: 0}
    for plate, pairs in zip(plates, free, strict=True):
        for mass, thick in list(thinnest.items()):
            for n in range(1, min(pairs, (sleeve - thick) // plate.thickness) + 1):
                more, thicker = mass + n * plate.mass, thick + n * plate.thickness
                if thicker < thinnest.get(more, sleeve + 1):
                    thinnest[more] = thicker
    return tuple(sorted(thinnest))


@lru_cache(maxsize=8192)
def fewest_stack(
    plates: tuple[Plate, ...], free: tuple[int, ...], sleeve: int, side: int, from_floor: bool
) -> tuple[str, ...] | None:
    """The plate ids for that mass on one sleeve, heaviest inside, as `stacks.build` promises them; None if none do."""
    stock = [(p, n) for p, n in zip(plates, free, strict=True) if n > 0 and p.mass <= side]
    if from_floor:
        stock.sort(key=lambda x: (-x[0].mass, not (x[0].full_size and x[0].droppable), -x[0].diameter, x[0].id))
        may_drop = tuple(p.full_size and p.droppable for p, _ in stock)
        wishes = [w for w in (may_drop, tuple(p.full_size for p, _ in stock)) if any(w)]
    else:
        stock.sort(key=lambda x: (-x[0].mass, x[0].diameter, x[0].id))
        wishes = []
    search = _Search(stock, side)
    for wish in (*wishes, None):
        found = search.fewest(side, sleeve, wish)
        if found is not None:
            return tuple(p.id for p in sorted(found, key=lambda p: (-p.mass, -p.diameter, p.id)))
    return None


class _Search:
    """Depth first over plates falling in mass, for one plate, then two, and so on: the first hit is fewest."""

    def __init__(self, stock: list[tuple[Plate, int]], side: int) -> None:
        self.plates = [plate for plate, _ in stock]
        self.pairs = [min(pairs, side // plate.mass) for plate, pairs in stock]
        self.wish: tuple[bool, ...] | None = None
        self.dead: set[tuple[int, int, int, int, bool]] = set()
        # From each kind on: the masses that can be made (as set bits), the thinnest plate, the most mass a mm.
        self.rest, self.thin, self.dense = [1], list[int](), list[Plate]()
        for plate, pairs in zip(reversed(self.plates), reversed(self.pairs), strict=True):
            bits = self.rest[-1]
            for _ in range(pairs):
                bits |= bits << plate.mass
            self.rest.append(bits & ((2 << side) - 1))
            self.thin.append(min([plate.thickness, *self.thin[-1:]]))
            best = self.dense[-1] if self.dense else plate
            self.dense.append(plate if plate.mass * best.thickness > best.mass * plate.thickness else best)
        for falling in (self.rest, self.thin, self.dense):
            falling.reverse()

    def fewest(self, side: int, sleeve: int, wish: tuple[bool, ...] | None) -> list[Plate] | None:
        """The plates that make `side` within `sleeve`, one at least of those wished for; None if none do."""
        if not self.plates or not self.rest[0] >> side & 1:
            return None
        self.wish = wish
        self.dead.clear()
        most = min(sum(self.pairs), sleeve // self.thin[0], side // self.plates[-1].mass)
        for count in range(-(-side // self.plates[0].mass), most + 1):
            found = self._from(0, side, sleeve, count, wish is not None)
            if found is not None:
                return found
        return None

    def _from(self, i: int, side: int, room: int, count: int, wanting: bool) -> list[Plate] | None:
        """Exactly `count` plates from the i-th kind on that make `side`, heaviest first; None if none do."""
        if side == 0:
            return [] if count == 0 and not wanting else None
        if i == len(self.plates) or not self.rest[i] >> side & 1:
            return None
        plate, dense = self.plates[i], self.dense[i]
        if count * plate.mass < side or count * self.plates[-1].mass > side or count * self.thin[i] > room:
            return None
        if side * dense.thickness > room * dense.mass or (i, side, room, count, wanting) in self.dead:
            return None
        serves = self.wish is not None and self.wish[i]
        for n in range(min(self.pairs[i], count, side // plate.mass, room // plate.thickness), -1, -1):
            still = wanting and not (serves and n)
            tail = self._from(i + 1, side - n * plate.mass, room - n * plate.thickness, count - n, still)
            if tail is not None:
                return [plate] * n + tail
        self.dead.add((i, side, room, count, wanting))
        return None
