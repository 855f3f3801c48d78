"""An evening as a planner sees it: chains of sets, stations with one bar each, seconds.

Every time is a whole number of seconds from the moment the plan is for. The
rules, and there are no others:

- a lifter does the sets of one chain in order, and rests at least `rest` after
  each, whoever lifts in between;
- a station holds one set at a time, and between two consecutive sets there the
  bar is made ready: walking on (if the lifter is another) and the change from
  one rig to the next. Hands may change the bar while the next lifter rests;
- nobody lifts before they have come, no station before it is free;
- two rigs that clash (together they take more plates or bars than there are)
  are never on two stations at once: of two such sets, the set-up of the later
  begins when the earlier is over. The rig on a bar that is not free yet is in use
  until it is.

The model of rests as least delays between jobs of a chain on one machine is
Wikum, Llewellyn and Nemhauser 1994, Oper Res Lett 16:87-99; set-ups that
depend on the order are added to it here.
"""

from __future__ import annotations

from dataclasses import dataclass

Table = tuple[tuple[int, ...], ...]


@dataclass(frozen=True, slots=True)
class PlannedSet:
    """One set to come. `seconds` is from stepping on to stepping off.

    `longest` is the longest sensible rest after it: waiting longer is counted, not
    forbidden. `rig` is the bar, stack and height it needs, by its number in the
    evening's tables; `stations` are those it can be done at. `load` (hundredths)
    and `work` serve the rising bar alone. `eyes` is how much the coach should
    see it, 0 for not at all.
    """

    seconds: int
    rest: int
    longest: int
    rig: int = 0
    stations: tuple[int, ...] = (0,)
    load: int = 0
    work: bool = True
    eyes: int = 0


@dataclass(frozen=True, slots=True)
class Chain:
    """One lifter's sets in order. `ready` is when the first can start: come, and rested.

    `leaves` is when the lifter must be done, None when they stay: later is
    counted, not forbidden. Waiting for the first set counts from `patience` on,
    in seconds from the start (the end of the longest sensible rest of someone
    who has lifted); None: it never does.
    """

    name: str
    sets: tuple[PlannedSet, ...]
    ready: int = 0
    leaves: int | None = None
    patience: int | None = None


@dataclass(frozen=True, slots=True)
class Place:
    """One station as it stands: free from then on, with `rig` on its bar (None: whatever comes first is on it).

    `told` are the lifters, by number, who were promised the next turns there, in order.
    """

    name: str
    free: int = 0
    rig: int | None = None
    told: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True)
class Evening:
    """All there is to plan. `change[a][b]` is the seconds from rig a to rig b, `moved[a][b]` the plates handled.

    `walk` is the seconds it takes another lifter to step on. `closing` is when
    the session ends, None when the finish is simply to be as early as can be.
    `clash[a][b]` is 1 when rigs a and b cannot be on two stations at once, 0
    when they can; an empty table has no clash.
    """

    chains: tuple[Chain, ...]
    places: tuple[Place, ...] = (Place("1"),)
    change: Table = ((0,),)
    moved: Table = ((0,),)
    walk: int = 0
    closing: int | None = None
    clash: Table = ()


def wrong_with(evening: Evening) -> str:
    """Why the evening cannot be planned, as one sentence, or "" when it can."""
    rigs, places = len(evening.change), len(evening.places)
    if not places:
        return "There is no station."
    for name, table in (("change", evening.change), ("moved", evening.moved)):
        if len(table) != rigs or any(len(row) != rigs for row in table):
            return f"The {name} table must have a row and a column for each of the {rigs} rigs."
        if any(cell < 0 for row in table for cell in row):
            return f"The {name} table has a number below zero."
    if evening.clash and (len(evening.clash) != rigs or any(len(row) != rigs for row in evening.clash)):
        return f"The clash table must have a row and a column for each of the {rigs} rigs, or be empty."
    if any(a != b for a, b in zip(evening.clash, zip(*evening.clash, strict=True), strict=True)):
        return "A clash is between two rigs: the table must be the same both ways."
    if evening.walk < 0:
        return "Walking on takes no less than 0 seconds."
    for chain in evening.chains:
        if chain.ready < 0:
            return f"{chain.name} comes before the evening starts."
        if chain.leaves is not None and chain.leaves < 0:
            return f"{chain.name} leaves before the evening starts."
        for no, one in enumerate(chain.sets, 1):
            where = f"{chain.name}, set {no}"
            if one.seconds <= 0:
                return f"{where}: a set takes more than 0 seconds."
            if one.rest < 0 or one.longest < one.rest:
                return f"{where}: the longest sensible rest is no shorter than the least one."
            if not 0 <= one.rig < rigs:
                return f"{where}: there is no rig {one.rig}."
            if not one.stations or any(not 0 <= s < places for s in one.stations):
                return f"{where}: it needs a station that is there."
            if one.eyes < 0:
                return f"{where}: eyes on is no less than 0."
    told = [n for place in evening.places for n in place.told]
    if len(told) != len(set(told)):
        return "A lifter can be told one turn only."
    for station, place in enumerate(evening.places):
        if place.free < 0 or (place.rig is not None and not 0 <= place.rig < rigs):
            return f"Station {place.name}: it is free at 0 or later, with a rig that is there."
        for n in place.told:
            if not 0 <= n < len(evening.chains) or not evening.chains[n].sets:
                return f"Station {place.name}: a lifter who was told has no set to do."
            if station not in evening.chains[n].sets[0].stations:
                return f"Station {place.name}: {evening.chains[n].name} was told, and cannot lift there."
    return ""
