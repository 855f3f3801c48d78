"""The evening as flat lists that a search can run over, and sequences of lifters turned into start times."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from floor.core.planner.problem import Evening


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

    `lead[s]` is the least set-up s can have, `tail[s]` the least time from its
    start to the end of its chain, `cold[s]` what may pass after its rest before
    the wait counts.
    """

    evening: Evening
    sets: list[list[int]] = field(default_factory=list)
    seconds: list[int] = field(default_factory=list)
    rest: list[int] = field(default_factory=list)
    cold: list[int] = field(default_factory=list)
    lead: list[int] = field(default_factory=list)
    tail: list[int] = field(default_factory=list)
    rig: list[int] = field(default_factory=list)
    owner: list[int] = field(default_factory=list)
    where: list[tuple[int, ...]] = field(default_factory=list)
    set_up: list[list[int]] = field(default_factory=list)
    first: list[list[int]] = field(default_factory=list)

    @classmethod
    def of(cls, evening: Evening) -> Tables:
        """Work the tables out once; n sets make n x n set-ups."""
        t = cls(evening)
        for i, chain in enumerate(evening.chains):
            t.sets.append(list(range(len(t.seconds), len(t.seconds) + len(chain.sets))))
            after = 0
            tails = []
            for one in reversed(chain.sets):
                after = one.seconds + (one.rest + after if tails else 0)
                tails.append(after)
            t.tail += reversed(tails)
            for one in chain.sets:
                t.seconds.append(one.seconds)
                t.rest.append(one.rest)
                t.cold.append(one.longest - one.rest)
                t.rig.append(one.rig)
                t.owner.append(i)
                t.where.append(one.stations)
        t._set_ups()
        return t

    def _set_ups(self) -> None:
        change, walk, owner, rig = self.evening.change, self.evening.walk, self.owner, self.rig
        count = range(len(rig))
        for a in count:
            row, mine = change[rig[a]], owner[a]
            self.set_up.append([row[rig[b]] + (walk if owner[b] != mine else 0) for b in count])
        for place in self.evening.places:
            known = None if place.rig is None else change[place.rig]
            self.first.append([0 if known is None else known[rig[b]] + walk for b in count])
        for b in count:
            before = [self.set_up[a][b] for a in count if owner[a] != owner[b] or a == b - 1]
            firsts = [self.first[s][b] for s in self.where[b]]
            self.lead.append(min(before + firsts))

    def lifters(self, order: Sequence[int]) -> list[int]:
        """Set numbers as the lifters they belong to: the k-th time a lifter appears is that lifter's k-th set."""
        return [self.owner[s] for s in order]

    def turns(self, lifters: Sequence[int]) -> list[Turn]:
        """Every set as early as the rules allow, taken in that order; each where it can start first.

        Of stations where it could start together, the one where fewer plates
        move, then the first named.
        """
        evening = self.evening
        free = [p.free for p in evening.places]
        last = [-1] * len(free)
        ready = [c.ready for c in evening.chains]
        done = [0] * len(ready)
        turns = []
        for i in lifters:
            no = done[i]
            s = self.sets[i][no]

            def at(place: int, s: int = s, i: int = i) -> tuple[int, int, int]:
                set_up = self.first[place][s] if last[place] < 0 else self.set_up[last[place]][s]
                return max(ready[i], free[place] + set_up), set_up, place

            start, set_up, place = min(at(p) for p in self.where[s])
            before = evening.places[place].rig if last[place] < 0 else self.rig[last[place]]
            moved = 0 if before is None else evening.moved[before][self.rig[s]]
            end = start + self.seconds[s]
            waited = max(0, start - ready[i] - self.cold[s - 1]) if no else 0
            turns.append(Turn(i, no, place, start, end, waited, set_up, moved))
            free[place], last[place], ready[i] = end, s, end + self.rest[s]
            done[i] += 1
        return turns
