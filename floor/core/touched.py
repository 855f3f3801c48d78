"""Which stations a change concerns: two states side by side. A state never changes, so what is the same is the same."""

from __future__ import annotations

from floor.core.state import Present, State


def touched(before: State, after: State) -> frozenset[int]:
    """The stations of `after` where who lifts, who waits or what is to be loaded may not be as in `before`.

    What stands on one bar is missing at every other, so a change of plates or
    of the gym itself concerns them all, and so does stopping everything.
    """
    if before is after:
        return frozenset()
    if before.evening.stopped != after.evening.stopped:
        return frozenset(after.evening.stations)
    was, now = before.evening.stations, after.evening.stations
    if before.gym is not after.gym or was.keys() != now.keys() or any(was[i].stack != now[i].stack for i in now):
        return frozenset(now)
    found = {i for i in now if was[i] is not now[i]}
    for lifter in before.evening.here.keys() | after.evening.here.keys():
        sides = before.evening.here.get(lifter), after.evening.here.get(lifter)
        if sides[0] is sides[1] and before.lifters.get(lifter) is after.lifters.get(lifter):
            continue
        found.update(*(_where(side) for side in sides if side is not None))
        found.update(i for i, station in now.items() if lifter in (station.up, station.next))
    return frozenset(found & now.keys())


def _where(present: Present) -> set[int]:
    """The station a lifter belongs to, and the one where they are lifting."""
    running = present.running()
    return {present.station} if running is None or running.station is None else {present.station, running.station}
