"""The whole evening from its first set, for people who share the stations so or so: when its last bar is down.

The same durations, rests, set-ups and rising bar as tonight's plan, as if
everybody began together with nothing done: who shares a station is settled by
what people have to lift, not by who came a minute sooner. Seconds throughout.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import UTC, datetime

from floor.core.gym import Gym
from floor.core.outlooking.floor_order import Played, play
from floor.core.outlooking.gathering import gather
from floor.core.programme import Planned
from floor.core.state import Evening, Lifter, Present, State, StationNow, TheSet

BEGIN = datetime(2000, 1, 1, tzinfo=UTC)
"""When it begins: any one moment, since only seconds from it are told."""
WORTH = 60
"""How many seconds earlier the evening must end for a change. No source."""


class WholeEvening:
    """`people` with `sets` to do, in any order of stations. ValueError when the gym has no station."""

    def __init__(self, gym: Gym, people: Mapping[int, Lifter], sets: Mapping[int, Sequence[Planned]]) -> None:
        if not gym.stations:
            raise ValueError("an evening needs a station")
        first = gym.stations[0].id
        here = {
            lifter: Present(lifter, first, BEGIN, tuple(
                TheSet(no, s.lift, s.role, s.reps, s.load, s.stage) for no, s in enumerate(sets[lifter], 1)
            ))
            for lifter in people
        }  # fmt: skip
        stations = {s.id: StationNow(s.id, s.bar) for s in gym.stations}
        evening = Evening(1, BEGIN, here=here, stations=stations)
        self._tonight = gather(State(gym, people, evening), BEGIN)
        self._place = {spot.station: place for place, spot in enumerate(self._tonight.spots)}
        self._played: dict[tuple[int, ...], Played] = {}

    def finish(self, at: Mapping[int, int]) -> int:
        """The second the last bar is down when everybody begins at the station `at` gives; 0 with nothing to lift."""
        return self._play(at).finish

    def ends(self, at: Mapping[int, int]) -> dict[int, int]:
        """By station, the second the last bar is down there; a station where nobody lifts is not in it."""
        ends: dict[int, int] = {}
        for turn in self._play(at).turns:
            station = self._tonight.spots[turn.station].station
            ends[station] = max(turn.end, ends.get(station, 0))
        return ends

    def mend(self, at: Mapping[int, int], fits: Mapping[int, Sequence[int]], tries: int) -> dict[int, int]:
        """`at` with single moves, else swaps of two, of those in `fits` to a station of theirs.

        Each is taken while the evening then ends more than `WORTH` earlier, in the order
        of their numbers; as many as `tries` are tried.
        """
        now, best = dict(at), self.finish(at)
        better = True
        while better and tries > 0:
            better = False
            for change in self._changes(now, fits):
                if tries <= 0:
                    break
                tries -= 1
                finish = self.finish({**now, **change})
                if finish < best - WORTH:
                    now, best, better = {**now, **change}, finish, True
                    break
        return now

    def _changes(self, at: Mapping[int, int], fits: Mapping[int, Sequence[int]]) -> list[dict[int, int]]:
        """Every move, then every swap, that takes somebody out of the last station's way."""
        played, lifters = self._play(at), self._tonight.lifters
        full = next((turn.station for turn in played.turns if turn.end == played.finish), None)
        who = {lifters[turn.lifter].lifter for turn in played.turns if turn.station == full}
        last = sorted(who.intersection(fits))
        found = [{lifter: to} for lifter in last for to in fits[lifter] if to != at[lifter]]
        for lifter in last:
            for other in sorted(fits):
                here, there = at[lifter], at[other]
                if here != there and there in fits[lifter] and here in fits[other]:
                    found.append({lifter: there, other: here})
        return found

    def _play(self, at: Mapping[int, int]) -> Played:
        lifters = self._tonight.lifters
        key = tuple(self._place[at[one.lifter]] for one in lifters)
        if key not in self._played:
            there = tuple(replace(one, place=place) for one, place in zip(lifters, key, strict=True))
            self._played[key] = play(replace(self._tonight, lifters=there))
        return self._played[key]
