"""Where one coach should stand, and when: as much of what needs eyes as one pair of eyes can see, exactly.

The sets on the bars now count too: the coach may be standing at one.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from floor.core.outlook import Watch
from floor.core.outlooking.tonight import Tonight
from floor.core.planner import Chain, Evening, PlannedSet, Turn
from floor.core.planner import watching as planned
from floor.core.state import TheSet


class Watching:
    """Some turns of an evening together with the sets on the bars."""

    def __init__(self, tonight: Tonight, evening: Evening, turns: Sequence[Turn]) -> None:
        self.tonight = tonight
        number = {spot.station: p for p, spot in enumerate(tonight.spots)}
        self.whose: list[tuple[int, tuple[TheSet, ...]]] = [
            (one.lifter, tuple(s.set for s in one.sets)) for one in tonight.lifters
        ]
        chains, on = [], []
        for ran in tonight.running:
            seen = tonight.eyes.get((ran.lifter, ran.set.no))
            start, end = tonight.seconds(ran.start), tonight.seconds(ran.end)
            if seen is not None and end > 0:
                chain = len(self.whose)
                self.whose.append((ran.lifter, (ran.set,)))
                chains.append(Chain(str(ran.lifter), (PlannedSet(end - start, 0, 0, eyes=seen.rank),)))
                on.append(Turn(chain, 0, number[ran.station], start, end, 0, 0, 0))
        self.evening = replace(evening, chains=(*evening.chains, *chains))
        self.turns = (*on, *turns)

    def stands(self) -> tuple[Watch, ...]:
        """What to stand at, in order of time: of all choices with no two at once, one of the greatest weight."""
        found = []
        for turn in planned.watch(self.evening, self.turns):
            lifter, sets = self.whose[turn.lifter]
            no = sets[turn.no].no
            found.append(
                Watch(
                    self.tonight.spots[turn.station].station, lifter, no, self.tonight.at(turn.start),
                    self.tonight.at(turn.end), self.tonight.eyes[lifter, no].why,
                )
            )  # fmt: skip
        return tuple(found)

    def share(self) -> float | None:
        """The share, by weight, of what needs eyes that one coach can see; None when nothing does."""
        return planned.watched_share(self.evening, self.turns)
