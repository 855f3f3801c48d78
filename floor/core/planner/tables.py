"""The evening as flat lists that a search can run over, and sequences of lifters turned into start times."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from floor.core.planner.problem import Evening, Table
from floor.core.planner.sharing import clear, held_at_first

NEVER = 10**9
"""Seconds no evening lasts."""


@dataclass(frozen=True, slots=True)
class Turn:
    """One set in a plan: whose (by number), which of theirs (from 0), where, from when to when.

    `waited` is how long the lifter stood about past the longest sensible rest,
    `set_up` the seconds of set-up before it, `moved` the plates handled for it.
    """

    lifter: int
    no: int
    station: int
    start: int
    end: int
    waited: int
    set_up: int
    moved: int


@dataclass(slots=True)
class Tables:
    """Sets by running number. `sets[i]` are the numbers of lifter i's sets, in order.

    `lead[s]` is the least time the bar can be without a set before s (a set-up, or
    the whole rest when the lifter's own last set was the one before), `tail[s]` the least time from its
    start to the end of its chain, `cold[s]` what may pass after the rest before
    it until the wait counts, `due[s]` when it must be over (when its lifter
    leaves, for their last set). `clash` is the evening's, None without any;
    `eyes[s]` how much the set should be seen. `set_up[a][b]` and `moved[a][b]` are for b straight
    after a; `first` and `first_moved` for the first set at each station.
    """

    evening: Evening
    sets: list[list[int]] = field(default_factory=list)
    seconds: list[int] = field(default_factory=list)
    rest: list[int] = field(default_factory=list)
    cold: list[int] = field(default_factory=list)
    due: list[int] = field(default_factory=list)
    eyes: list[int] = field(default_factory=list)
    lead: list[int] = field(default_factory=list)
    tail: list[int] = field(default_factory=list)
    rig: list[int] = field(default_factory=list)
    owner: list[int] = field(default_factory=list)
    where: list[tuple[int, ...]] = field(default_factory=list)
    set_up: list[list[int]] = field(default_factory=list)
    moved: list[list[int]] = field(default_factory=list)
    first: list[list[int]] = field(default_factory=list)
    first_moved: list[list[int]] = field(default_factory=list)

    @classmethod
    def of(cls, evening: Evening) -> Tables:
        """Work the tables out once; n sets make n x n set-ups."""
        t = cls(evening)
        for i, chain in enumerate(evening.chains):
            t.sets.append(list(range(len(t.seconds), len(t.seconds) + len(chain.sets))))
            tails: list[int] = []
            for one in reversed(chain.sets):
                tails.append(one.seconds + (one.rest + tails[-1] if tails else 0))
            t.tail += reversed(tails)
            may = NEVER if chain.patience is None else max(0, chain.patience - chain.ready)
            for one in chain.sets:
                t.seconds.append(one.seconds)
                t.rest.append(one.rest)
                t.cold.append(may)
                may = one.longest - one.rest
                t.due.append(NEVER)
                t.eyes.append(one.eyes)
                t.rig.append(one.rig)
                t.owner.append(i)
                t.where.append(one.stations)
            if chain.sets and chain.leaves is not None:
                t.due[-1] = chain.leaves
        for station, place in enumerate(evening.places):
            for i in place.told:
                t.where[t.sets[i][0]] = (station,)
        t._set_ups()
        return t

    def _set_ups(self) -> None:
        evening, owner, rig = self.evening, self.owner, self.rig
        count = range(len(rig))
        for a in count:
            row, mine = evening.change[rig[a]], owner[a]
            self.set_up.append([row[g] + (evening.walk if o != mine else 0) for g, o in zip(rig, owner, strict=True)])
            plates = evening.moved[rig[a]]
            self.moved.append([plates[g] for g in rig])
        for place in evening.places:
            known, plates = (None, ()) if place.rig is None else (evening.change[place.rig], evening.moved[place.rig])
            self.first.append([0 if known is None else known[g] + evening.walk for g in rig])
            self.first_moved.append([0 if known is None else plates[g] for g in rig])
        for b in count:
            before = [self.set_up[a][b] for a in count if owner[a] != owner[b]]
            earlier = [self.where[a] for a in self.sets[owner[b]] if a < b]
            before += [self.first[p][b] for p in self.where[b] if (p,) not in earlier]
            if b and owner[b - 1] == owner[b]:
                before.append(max(self.rest[b - 1], self.set_up[b - 1][b]))
            self.lead.append(min(before))

    def told(self) -> list[int]:
        """The lifters who were promised the first turns, in order, station by station."""
        return [i for place in self.evening.places for i in place.told]

    @property
    def clash(self) -> Table | None:
        """The evening's table of rigs that cannot be on two stations at once, None without any."""
        return self.evening.clash if len(self.evening.places) > 1 and any(map(any, self.evening.clash)) else None

    def turns(self, lifters: Sequence[int]) -> list[Turn]:
        """Every set as early as the rules allow, taken in that order; each where it can start first.

        The k-th time a lifter appears is that lifter's k-th set. Of stations where
        it could start together, the one with less set-up, then the first named.
        """
        free = [p.free for p in self.evening.places]
        last = [-1] * len(free)
        ready = [c.ready for c in self.evening.chains]
        done = [0] * len(ready)
        held = held_at_first(self.evening.places)
        clash = self.clash
        turns = []
        for i in lifters:
            s = self.sets[i][done[i]]
            rows = [self.first[p] if last[p] < 0 else self.set_up[last[p]] for p in range(len(free))]
            could = []
            for p in self.where[s]:
                start = max(ready[i], free[p] + rows[p][s])
                if clash is not None:
                    start = clear(held, p, start, rows[p][s], self.seconds[s], clash[self.rig[s]])
                could.append((start, rows[p][s], p))
            start, set_up, place = min(could)
            moved = self.first_moved[place][s] if last[place] < 0 else self.moved[last[place]][s]
            end = start + self.seconds[s]
            waited = max(0, start - ready[i] - self.cold[s])
            turns.append(Turn(i, done[i], place, start, end, waited, set_up, moved))
            held[place] = (start, end, set_up, self.rig[s], self.eyes[s], held[place])
            free[place], last[place], ready[i] = end, s, end + self.rest[s]
            done[i] += 1
        return turns
