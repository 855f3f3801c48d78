"""Tonight as a planner sees it: every set still to come of everyone here or expected, the bars as they stand.

Times are whole seconds from `now`, loads hundredths of the gym's unit. Lifters
and stations are numbered from 0 in the order they came and stand in the gym.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime, timedelta

from floor.core.eyes import Seen
from floor.core.planner import Chain, Evening, Place, PlannedSet
from floor.core.planner.problem import Table
from floor.core.state import TheSet


@dataclass(frozen=True, slots=True)
class Coming:
    """One set to come. `places` are the stations it can be done at, by number.

    `rigs` is what it needs at each, by its number in that station's tables.
    """

    set: TheSet
    seconds: int
    rest: int
    longest: int
    places: tuple[int, ...]
    rigs: tuple[int, ...]
    eyes: int = 0

    @property
    def work(self) -> bool:
        """Whether it counts as a turn of the rising bar."""
        return self.set.role != "ramp"

    def rig_at(self, place: int) -> int:
        """What it needs at that place; ValueError if it can't be done there."""
        return self.rigs[self.places.index(place)]


@dataclass(frozen=True, slots=True)
class Standing:
    """One lifter: where, in which round, when the last bar was down (or they came), rested from `ready` on.

    `rested` is None when nothing has been lifted. `come` is 0 for who is here.
    `cold` is the second from which the wait for the first of these sets is too
    long, None when nothing was lifted before it. `leaves` is the second by which
    they must go (0 when that is past), None when they stay.
    """

    lifter: int
    place: int
    sets: tuple[Coming, ...]
    turns: int = 0
    since: int = 0
    ready: int = 0
    rested: datetime | None = None
    come: int = 0
    cold: int | None = None
    leaves: int | None = None


@dataclass(frozen=True, slots=True)
class Spot:
    """One station: free from `free` on, with rig number `rig` on its bar; who was promised, by number.

    `busy` says that a set runs there, `on` whose it is (None when it is their last),
    `turn` is 1 when it counts as a turn of the rising bar. `ahead` is the coach's
    own order, gone through again and again while it is `held`; `told` are those of
    all of them who wait here to lift first, in order.
    """

    station: int
    rig: int
    free: int = 0
    busy: bool = False
    on: int | None = None
    turn: int = 0
    up: int | None = None
    next: int | None = None
    ahead: tuple[int, ...] = ()
    held: bool = False
    told: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True)
class Running:
    """A set on a bar now: from when, until when it is expected to last, when the rest before it was over."""

    lifter: int
    set: TheSet
    station: int
    start: datetime
    end: datetime
    rested: datetime | None = None


@dataclass(frozen=True, slots=True)
class Tonight:
    """All there is to plan. `change` and `moved` are tables by station, for the rigs met there.

    `clash` is one table of all of them, station after station: 1 where two can't
    be on two bars at once. It is empty when there is no such pair.
    """

    now: datetime
    lifters: tuple[Standing, ...]
    spots: tuple[Spot, ...]
    change: tuple[Table, ...]
    moved: tuple[Table, ...]
    walk: int
    closing: int
    running: tuple[Running, ...] = ()
    eyes: Mapping[tuple[int, int], Seen] = field(default_factory=dict)
    clash: Table = ()

    @property
    def firsts(self) -> list[int]:
        """The number of each station's first rig where the rigs of all are counted on, and how many there are."""
        firsts = [0]
        for table in self.change:
            firsts.append(firsts[-1] + len(table))
        return firsts

    def at(self, seconds: int) -> datetime:
        """A second of the plan as a time."""
        return self.now + timedelta(seconds=seconds)

    def seconds(self, when: datetime) -> int:
        """A time as seconds of the plan, rounded up; below zero for what is past."""
        return -int((self.now - when).total_seconds() // 1)

    def evening(self, where: Mapping[tuple[int, int], int]) -> Evening:
        """For the planner. `where` gives the place of every set, by its lifter's number and its own from 0."""
        firsts = self.firsts
        chains = tuple(
            Chain(
                str(one.lifter),
                tuple(
                    PlannedSet(
                        s.seconds, s.rest, s.longest, firsts[where[i, k]] + s.rig_at(where[i, k]), (where[i, k],),
                        s.set.load, s.work, s.eyes,
                    )
                    for k, s in enumerate(one.sets)
                ),
                one.ready,
                one.leaves,
                one.cold,
            )
            for i, one in enumerate(self.lifters)
        )  # fmt: skip
        places = tuple(
            Place(str(spot.station), spot.free, firsts[p] + spot.rig, spot.told) for p, spot in enumerate(self.spots)
        )
        change, moved = _block(self.change, firsts), _block(self.moved, firsts)
        return Evening(chains, places, change, moved, self.walk, self.closing, self.clash)


def _block(tables: tuple[Table, ...], firsts: list[int]) -> Table:
    """One table of all stations' rigs: no bar goes from one station to another."""
    size = firsts[-1]
    return tuple(
        (0,) * first + row + (0,) * (size - first - len(row))
        for first, table in zip(firsts, tables, strict=False)
        for row in table
    )
