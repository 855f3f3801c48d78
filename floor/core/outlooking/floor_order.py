"""The order the floor keeps, played to the end: the rising bar, its promises, the coach's own order.

The same rules as `queue.due` and `queue.station_for`, with the seconds a plan
has: whoever was told goes next, who is rested goes before who is not, and the
bar waits a little to keep the order. Nobody lifts before the least rest.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from heapq import heappop, heappush

from floor.core.outlooking.tonight import Tonight
from floor.core.planner import Turn
from floor.core.queue import NEXT_SLACK, UP_SLACK, WORTH_A_WAIT

ByHand = Mapping[int, tuple[int, ...]]
NOBODY: ByHand = {}


@dataclass(frozen=True, slots=True)
class Played:
    """Every turn by its start, and what the evening comes to.

    `finish` is the second the last bar is down (0 with nothing to do), `waits`
    how many rests are longer than sensible, `waited` by how many seconds in all,
    `moved` the plates handled.
    """

    turns: tuple[Turn, ...]
    finish: int
    waits: int
    waited: int
    moved: int

    @property
    def where(self) -> dict[tuple[int, int], int]:
        """The place of every set, by its lifter's number and its own from 0."""
        return {(turn.lifter, turn.no): turn.station for turn in self.turns}


def play(tonight: Tonight, by_hand: ByHand = NOBODY) -> Played:
    """The floor's order from now on; `by_hand` puts another coach's order at some stations, after the promises."""
    return _Floor(tonight, by_hand).play()


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
        return Played(tuple(self.found), finish, self.waits, self.waited, sum(turn.moved for turn in self.found))

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
        """Who is up and who next, by the rules of `queue.due`."""
        line = self._line(p)
        up = self.up[p]
        if not self.busy[p] and up not in line:
            up = self.next[p] if self.next[p] in line else None
            if up is None and line:
                up = line[0] if self.ahead[p] else self._pick(line, now, UP_SLACK)
            if up is not None and up in self.ahead[p]:
                self.ahead[p].remove(up)
                if self.t.spots[p].held:
                    self.ahead[p].append(up)
                line = self._line(p)
        told = self.next[p]
        if told == up or told not in line:
            others = [i for i in line if i != up]
            told = others[0] if others and others[0] in self.ahead[p] else self._pick(others, now, NEXT_SLACK)
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

    def _pick(self, line: list[int], now: int, slack: int) -> int | None:
        if not line:
            return None
        soon = max(now + slack, max(now, min(self.ready[i] for i in line)) + WORTH_A_WAIT)
        return next(i for i in line if self.ready[i] <= soon)

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
