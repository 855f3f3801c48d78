"""Seeded evenings of a whole gym: three lifts a lifter, ramps and work sets, several stations, eyes-on sets.

Plain numbers of common practice, no source: 20-50 s a set, a minute's rest after
a ramp set, two to four after a work set.
"""

from __future__ import annotations

from random import Random

from floor.core.planner import Chain, Evening, Handling, Place, PlannedSet, Rig, tables

PLATES = (25.0, 20.0, 15.0, 10.0, 5.0, 2.5, 1.25)
LIFTS = (("squat", 180, 60), ("press", 150, 45), ("pull", 210, 60))
"""Name, rest after a work set, rest after a ramp set."""


def stack(load: float) -> tuple[str, ...]:
    """One sleeve's plates on a bar of 20, heaviest first."""
    side, plates = (load - 20) / 2, []
    for plate in PLATES:
        while side >= plate:
            side -= plate
            plates.append(f"{plate:g}")
    return tuple(plates)


def linked_evening(number: int, lifters: int = 14, stations: int = 3, open_floor: bool = False) -> Evening:
    """Lifters of three lifts each: every lift at a station of its own, or, on an open floor, wherever it fits.

    On an open floor the last station cannot take a squat. Half the lifters begin
    with the second lift, so that the stations fill from the start. A press and a
    squat stand at their lifter's height.
    """
    chance = Random(7000 + number)
    rigs: list[Rig] = []
    chains = []
    for n in range(lifters):
        sets = []
        top = 20 + 5 * chance.randint(4, 16)
        high = str(chance.randint(6, 12))
        turn = n % 2
        for k in range(3):
            lift = (k + turn) % 3
            name, rest, ramp_rest = LIFTS[lift]
            work = 20 + 5 * round((top - 20) * (1.0, 0.6, 1.2)[lift] / 5)
            loads = sorted({20 + 5 * round((work - 20) * share / 5) for share in (0.0, 0.5, 0.8)} - {work})
            where = (lift % stations,)
            if open_floor:
                where = tuple(range(stations if name != "squat" else max(1, stations - 1)))
            eyes = chance.choice([0, 0, 0, 1, 2])
            for load in loads + [work] * chance.choice([1, 3, 3]):
                rig = Rig("20", stack(load), "" if name == "pull" else f"{name} {high}")
                if rig not in rigs:
                    rigs.append(rig)
                ramp = load != work
                least = ramp_rest if ramp else rest
                sets.append(
                    PlannedSet(
                        chance.randint(20, 35) if ramp else chance.randint(28, 50), least, least + 120,
                        rigs.index(rig), where, round(100 * load), not ramp, 0 if ramp else eyes,
                    )
                )  # fmt: skip
        chains.append(Chain(f"lifter {n + 1}", tuple(sets), chance.choice([0, 0, 0, 0, 0, 300])))
    change, moved = tables(rigs, Handling())
    return Evening(tuple(chains), tuple(Place(str(p + 1)) for p in range(stations)), change, moved, 10, 5400)
