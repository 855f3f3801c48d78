"""The order the floor keeps, played to the end: the rising bar, its promises, the coach's own order.

Who is up and who next is `queue.promised`, with the seconds a plan has; where a
lift sends a lifter follows `queue.station_for`. Nobody lifts before the least rest.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from heapq import heappop, heappush

from floor.core.outlooking.tonight import Tonight
from floor.core.planner import Turn
from floor.core.planner.sharing import Held, clear
from floor.core.queue import promised

ByHand = Mapping[int, tuple[int, ...]]
NOBODY: ByHand = {}


@dataclass(frozen=True, slots=True)
class Played:
    """Every turn by its start, and what the evening comes to.

    `finish` is the second the last bar is down (0 with nothing to do), `waits`
    how many rests are longer than sensible, `waited` by how many seconds in all,
    `moved` the plates handled, `overdue` the seconds lifters lift past their time
    to go. `plates` has the turns that wait for plates, by their lifter's number and
    their own from 0: for how many seconds, and at which place the plates are.
    """

    turns: tuple[Turn, ...]
    finish: int
    waits: int
    waited: int
    moved: int
    overdue: int = 0
    plates: Mapping[tuple[int, int], tuple[int, int]] = field(default_factory=dict)

    @property
    def ends(self) -> dict[int, int]:
        """By lifter's number, the second their last bar is down."""
        ends: dict[int, int] = {}
        for turn in self.turns:
            ends[turn.lifter] = max(turn.end, ends.get(turn.lifter, 0))
        return ends

    @property
    def where(self) -> dict[tuple[int, int], int]:
        """The place of every set, by its lifter's number and its own from 0."""
        return {(turn.lifter, turn.no): turn.station for turn in self.turns}


def play(tonight: Tonight, by_hand: ByHand = NOBODY) -> Played:
    """The floor's order from now on; `by_hand` puts another coach's order at some stations, after the promises."""
    return _Floor(tonight, by_hand).play()


def overdue(tonight: Tonight, played: Played) -> dict[int, int]:
    """By lifter's number, the seconds they lift past their time to go; nobody who is done in time."""
    ends = played.ends
    late = {i: ends[i] - one.leaves for i, one in enumerate(tonight.lifters) if one.leaves is not None and i in ends}
    return {i: seconds for i, seconds in late.items() if seconds > 0}


class _Floor:
    def __init__(self, tonight: Tonight, by_hand: ByHand) -> None:
        self.t = tonight
        people, spots = tonight.lifters, tonight.spots
        self.sets = [one.sets for one in people]
        self.left = [len(one.sets) for one in people]
        self.done = [0] * len(people)
        self.turns = [one.turns for one in people]
        self.since = [one.since for one in people]
        self.ready = [one.ready for one in people]
        self.place = [one.place for one in people]
        self.here = [one.come <= 0 for one in people]
        self.lifts = [False] * len(people)
        self.free = [spot.free for spot in spots]
        self.rig = [spot.rig for spot in spots]
        self.busy = [spot.busy for spot in spots]
        self.up = [spot.up for spot in spots]
        self.next = [spot.next for spot in spots]
        self.ahead = [list(by_hand.get(p, spot.ahead)) for p, spot in enumerate(spots)]
        self.there = [[i for i, one in enumerate(people) if one.place == p] for p in range(len(spots))]
        self.cold = [one.cold for one in people]
        self.last = [-1] * len(spots)
        self.turn = [0] * len(people)
        self.found: list[Turn] = []
        self.waits = self.waited = 0
        self.leave = any(one.leaves is not None for one in people)
        self.firsts = tonight.firsts if tonight.clash else []
        self.plates: dict[tuple[int, int], tuple[int, int]] = {}
        self.held: list[Held] = [
            (0, spot.free, 0, self.firsts[p] + spot.rig, 0, None) if self.firsts and spot.busy else None
            for p, spot in enumerate(spots)
        ]

    def play(self) -> Played:
        """Every end of a set and every late arrival in turn; of two at the same second the first station's."""
        waiting: list[tuple[int, int, int]] = []
        for p, spot in enumerate(self.t.spots):
            if spot.busy:
                heappush(waiting, (spot.free, p, -1 if spot.on is None else spot.on))
                if spot.on is not None:
                    self.lifts[spot.on] = True
                    self.turn[spot.on] = spot.turn
        for i, one in enumerate(self.t.lifters):
            if one.come > 0:
                heappush(waiting, (one.come, len(self.busy), i))
        self._settle(0, waiting)
        while waiting:
            now, p, i = heappop(waiting)
            if p == len(self.busy):
                self.turns[i] = self._round_at(self.place[i], 0)
                self.here[i] = True
            else:
                self.busy[p] = False
                self.up[p] = None
                if i >= 0:
                    self.lifts[i] = False
                    self.turns[i] += self.turn[i]
            self._settle(now, waiting)
        self.found.sort(key=lambda turn: (turn.start, turn.station))
        finish = max((turn.end for turn in self.found), default=0)
        moved = sum(turn.moved for turn in self.found)
        played = Played(tuple(self.found), finish, self.waits, self.waited, moved, 0, self.plates)
        return replace(played, overdue=sum(overdue(self.t, played).values())) if self.leave else played

    # --- what happens after every event

    def _settle(self, now: int, waiting: list[tuple[int, int, int]]) -> None:
        self._moves()
        for p in range(len(self.busy)):
            if self.busy[p] and self.next[p] is not None:
                continue
            self._promise(p, now)
            if not self.busy[p] and self.up[p] is not None:
                self._start(p, waiting)

    def _moves(self) -> None:
        """Whoever's next lift needs another station goes to the emptiest that has it."""
        away = [
            i
            for i, k in enumerate(self.done)
            if k < self.left[i] and self.here[i] and not self.lifts[i] and self.place[i] not in self.sets[i][k].places
        ]
        if not away:
            return
        crowd = [sum(self.here[i] and self.done[i] < self.left[i] for i in there) for there in self.there]
        for i in away:
            to = min(self.sets[i][self.done[i]].places, key=lambda p: (crowd[p], p))
            for p in range(len(self.busy)):
                self.up[p] = None if self.up[p] == i else self.up[p]
                self.next[p] = None if self.next[p] == i else self.next[p]
                self.ahead[p] = [x for x in self.ahead[p] if x != i]
            self.turns[i] = self._round_at(to, self.turns[i])
            self.there[self.place[i]].remove(i)
            self.there[to].append(i)
            self.place[i] = to

    def _round_at(self, p: int, alone: int) -> int:
        turns = [
            self.turns[i] for i in self.there[p] if self.here[i] and (self.done[i] < self.left[i] or self.lifts[i])
        ]
        return min(turns, default=alone)

    def _promise(self, p: int, now: int) -> None:
        """Who is up and who next, by the floor's own rule; who steps up has had the turn the coach gave."""
        was, ahead = self.up[p], self.ahead[p]
        up, told = promised(self._line(p), was, self.next[p], ahead, self.busy[p], self.ready, now)
        if up != was and up in ahead:
            ahead.remove(up)
            if self.t.spots[p].held:
                ahead.append(up)
        self.up[p], self.next[p] = up, told

    def _line(self, p: int) -> list[int]:
        ahead = self.ahead[p]
        found = []
        for i in self.there[p]:
            if self.here[i] and not self.lifts[i] and self.done[i] < self.left[i]:
                coming = self.sets[i][self.done[i]]
                if p in coming.places:
                    by_hand = ahead.index(i) if i in ahead else len(ahead)
                    key = (by_hand, self.turns[i], coming.set.load, self.since[i], self.t.lifters[i].lifter)
                    found.append((key, i))
        found.sort()
        return [i for _, i in found]

    def _start(self, p: int, waiting: list[tuple[int, int, int]]) -> None:
        """Whoever is up lifts as soon as the bar is made ready and they are rested."""
        i = self.up[p]
        assert i is not None
        k = self.done[i]
        coming = self.sets[i][k]
        rig = coming.rig_at(p)
        set_up = self.t.change[p][self.rig[p]][rig] + (0 if self.last[p] == i else self.t.walk)
        moved = self.t.moved[p][self.rig[p]][rig]
        start = max(self.ready[i], self.free[p] + set_up)
        if self.firsts:
            start = self._with_plates(i, k, p, rig, start, set_up, coming.seconds)
        end = start + coming.seconds
        cold = self.cold[i]
        late = 0 if cold is None else max(0, start - max(cold, self.ready[i]))
        self.waited += late
        self.waits += late > 0
        self.found.append(Turn(i, k, p, start, end, late, set_up, moved))
        self.free[p] = self.since[i] = end
        self.rig[p], self.last[p] = rig, i
        self.ready[i], self.cold[i] = end + coming.rest, end + coming.longest
        self.done[i] += 1
        self.turn[i] = coming.work
        self.lifts[i] = self.busy[p] = True
        heappush(waiting, (end, p, i))

    def _with_plates(self, i: int, k: int, p: int, rig: int, start: int, set_up: int, seconds: int) -> int:
        """The earliest start from `start` on when no other bar has the plates; who waits for them is kept."""
        mine = self.firsts[p] + rig
        row = self.t.clash[mine]
        then = clear(self.held, p, start, set_up, seconds, row)
        if then > start:
            self.plates[i, k] = then - start, next(
                q for q, last in enumerate(self.held) if q != p and _until(last, then - set_up, row)
            )
        self.held[p] = (then, then + seconds, set_up, mine, 0, self.held[p])
        return then


def _until(last: Held, end: int, row: Sequence[int]) -> bool:
    """Whether one of these sets ended just then and clashed."""
    while last is not None and last[1] >= end:
        if last[1] == end and row[last[3]]:
            return True
        last = last[5]
    return False
