"""Whether a list of turns keeps the rules of an evening. Knows the rules alone, nothing of how turns are found."""

from __future__ import annotations

from collections.abc import Iterable

from floor.core.planner import Evening, Turn


def breaches(evening: Evening, turns: Iterable[Turn]) -> list[str]:
    """A sentence for each rule that is broken; none when the turns can be lifted as they stand."""
    turns = list(turns)
    found = []
    for i, chain in enumerate(evening.chains):
        mine = sorted((turn for turn in turns if turn.lifter == i), key=lambda turn: turn.no)
        if [turn.no for turn in mine] != list(range(len(chain.sets))):
            found.append(f"{chain.name} does not do every set once")
            continue
        rested = chain.ready
        for turn, one in zip(mine, chain.sets, strict=True):
            if turn.start < rested:
                found.append(f"{chain.name} is not rested for set {turn.no}")
            if turn.end - turn.start != one.seconds:
                found.append(f"{chain.name}'s set {turn.no} has the wrong length")
            if turn.station not in one.stations:
                found.append(f"{chain.name}'s set {turn.no} is at a station where it can't be done")
            before = chain.sets[turn.no - 1] if turn.no else None
            waited = max(0, turn.start - mine[turn.no - 1].end - before.longest) if before else 0
            if before is None and chain.patience is not None:
                waited = max(0, turn.start - max(chain.patience, chain.ready))
            if turn.waited != waited:
                found.append(f"{chain.name}'s wait before set {turn.no} is {waited}, not {turn.waited}")
            rested = turn.end + one.rest
    for station, place in enumerate(evening.places):
        here = sorted((turn for turn in turns if turn.station == station), key=lambda turn: turn.start)
        if tuple(turn.lifter for turn in here[: len(place.told)]) != place.told:
            found.append(f"who was told at {place.name} does not go first")
        free, rig, last = place.free, place.rig, -1
        for turn in here:
            one = evening.chains[turn.lifter].sets[turn.no]
            set_up = 0 if rig is None else evening.change[rig][one.rig] + (evening.walk if turn.lifter != last else 0)
            moved = 0 if rig is None else evening.moved[rig][one.rig]
            if turn.start < free + set_up:
                found.append(f"{place.name} is not ready at {turn.start}")
            if (turn.set_up, turn.moved) != (set_up, moved):
                found.append(f"{place.name} is made ready with {set_up} s and {moved} plates")
            free, rig, last = turn.end, one.rig, turn.lifter
    return found + _clashes(evening, turns)


def _clashes(evening: Evening, turns: list[Turn]) -> list[str]:
    found = []
    for first in turns:
        for second in turns:
            if first.station == second.station or second.start < first.start or not evening.clash:
                continue
            rigs = [evening.chains[turn.lifter].sets[turn.no].rig for turn in (first, second)]
            if evening.clash[rigs[0]][rigs[1]] and second.start - second.set_up < first.end:
                found.append(f"{rigs} are on two stations at {second.start}")
    for station, place in enumerate(evening.places):
        if place.rig is None or not place.free or not evening.clash:
            continue
        for turn in turns:
            rig = evening.chains[turn.lifter].sets[turn.no].rig
            if turn.station != station and evening.clash[place.rig][rig] and turn.start - turn.set_up < place.free:
                found.append(f"{rig} is set up while {place.name} has {place.rig} on its bar")
    return found
