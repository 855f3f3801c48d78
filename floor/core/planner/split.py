"""An evening in its independent parts, planned one by one.

Stations that no lifter goes between and that no two clashing rigs are on.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from floor.core.planner.problem import Evening
from floor.core.planner.sharing import held_at_first
from floor.core.planner.tables import Turn


@dataclass(frozen=True, slots=True)
class Part:
    """Some stations and all who lift there, numbered anew; `lifters` and `stations` give the numbers of the whole."""

    evening: Evening
    lifters: tuple[int, ...]
    stations: tuple[int, ...]

    def whole(self, turns: Sequence[Turn]) -> list[Turn]:
        """The turns with the numbers of the whole evening."""
        return [replace(u, lifter=self.lifters[u.lifter], station=self.stations[u.station]) for u in turns]


def parts(evening: Evening) -> list[Part]:
    """The parts in the order of their first station; a station nobody needs is in none."""
    root = list(range(len(evening.places)))

    def find(p: int) -> int:
        while root[p] != p:
            p = root[p]
        return p

    def join(p: int, q: int) -> None:
        a, b = sorted((find(p), find(q)))
        root[b] = a

    needs = [sorted({p for one in chain.sets for p in one.stations}) for chain in evening.chains]
    for stations in needs:
        for p in stations[1:]:
            join(stations[0], p)
    for p, q in _together(evening):
        join(p, q)
    found = []
    for top in sorted({find(stations[0]) for stations in needs if stations}):
        stations = [p for p in range(len(root)) if find(p) == top]
        lifters = [i for i, need in enumerate(needs) if need and find(need[0]) == top]
        found.append(Part(_only(evening, lifters, stations), tuple(lifters), tuple(stations)))
    return found


def _together(evening: Evening) -> list[tuple[int, int]]:
    """Pairs of stations with rigs that cannot be on both at once."""
    if not any(map(any, evening.clash)):
        return []
    count = range(len(evening.places))
    in_use = held_at_first(evening.places)
    rigs: list[set[int]] = [set() if last is None else {last[3]} for last in in_use]
    for chain in evening.chains:
        for one in chain.sets:
            for p in one.stations:
                rigs[p].add(one.rig)
    return [(p, q) for p in count for q in range(p) if any(evening.clash[a][b] for a in rigs[p] for b in rigs[q])]


def _only(evening: Evening, lifters: list[int], stations: list[int]) -> Evening:
    if len(stations) == len(evening.places) and len(lifters) == len(evening.chains):
        return evening
    new_lifter = {old: new for new, old in enumerate(lifters)}
    new_station = {old: new for new, old in enumerate(stations)}
    chains = []
    for i in lifters:
        chain = evening.chains[i]
        sets = tuple(replace(one, stations=tuple(new_station[p] for p in one.stations)) for one in chain.sets)
        chains.append(replace(chain, sets=sets))
    places = []
    for p in stations:
        place = evening.places[p]
        places.append(replace(place, told=tuple(new_lifter[i] for i in place.told)))
    return replace(evening, chains=tuple(chains), places=tuple(places))
