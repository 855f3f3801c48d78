"""Simulated evenings at one station, as the loads that its bar meets one after another.

They prove nothing about real floors: the lifters, their loads and the gyms'
plates are invented. They only let several ways of loading be compared on the
same evenings, in the same order of lifters.

A station is left with the plates that the other stations did not take, and one
bar all evening. Every load can be built with them. Which lift a load belongs to
is left out: the load of a pull from the floor is the same, whatever disc it
asks for. Only `Random.random` is used, the one method whose numbers Python
promises to keep from version to version.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from random import Random
from typing import NamedTuple, TypeVar

from floor.core.gym import FULL_SIZE_MM, Bar, Gym, Plate
from floor.core.stacks import nearest

TRIAL_SEEDS = range(1000)
"""The evenings on which ways of loading are compared."""
TUNING_SEEDS = range(10_000, 10_200)
"""The evenings to try things out on; none of them is a trial."""

ROTATION, RISING = "rotation", "rising"
CEILING, MOST_RAMPS = 90, 4
"""A ramp ends at this percent of the work load, and has so many sets at most: the lightest and the last few."""
MISSES, EASED = 0.15, (90, 95)
"""The chance that the last work sets of a lift are lightened after a miss, and to how many percent. Invented."""
TAKEN = 0.3
"""The chance that other stations hold a pair of a kind, asked twice a kind; one pair always stays. Invented."""

T = TypeVar("T")


class _Stock(NamedTuple):
    """A kind of gym: its plates, a station's bars, ramp ladders, and the work loads of its lifters.

    `lifts` gives, for each lift, the work load of a beginner and of somebody a
    year in; `steps` is what work loads are whole numbers of. All hundredths.
    """

    unit: str
    plates: tuple[Plate, ...]
    bars: tuple[Bar, ...]
    ladders: tuple[tuple[int, ...], ...]
    lifts: tuple[tuple[int, int], ...]
    steps: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class PlateEvening:
    """One station's whole evening. Loads in hundredths of `unit`, each one buildable.

    `plates` are the pairs this station may use. `orders` holds, by name, the
    same sets in two orders of lifters, which start from the empty bar:
    "rotation", everybody's next set in a fixed round, and "rising", fewest work
    sets done first, then the lightest bar, then who has waited longest.
    """

    seed: int
    plates: tuple[Plate, ...]
    bar: Bar
    unit: str
    orders: Mapping[str, tuple[int, ...]]


class SimSet(NamedTuple):
    """One set: its load, and whether it is a work set or one of the ramp."""

    load: int
    work: bool


def plate_evening(seed: int) -> PlateEvening:
    """The evening with that number: 3 to 6 lifters with one or two lifts each. The same one every time."""
    gym, lifters = lifters_of(seed)
    orders = {name: tuple(s.load for s in order(lifters)) for name, order in ORDERS.items()}
    return PlateEvening(seed, gym.plates, gym.bars[0], gym.unit, orders)


def lifters_of(seed: int) -> tuple[Gym, list[list[SimSet]]]:
    """What the station of that evening has, one bar, and the sets of each of its lifters."""
    rng = Random(seed)
    stock = _pick(rng, STOCKS)
    bar = _pick(rng, stock.bars)
    plates = tuple(replace(p, pairs=_left(rng, p.pairs)) for p in stock.plates)
    gym = Gym(unit=stock.unit, plates=plates, bars=(bar,))
    ladder = _pick(rng, (*stock.ladders, _by_pairs(gym, bar)))
    first = _whole(rng, 0, len(stock.lifts) - 1)
    tonight = (stock.lifts[first], stock.lifts[first - _whole(rng, 1, len(stock.lifts) - 1)])
    return gym, [_sets(rng, gym, bar, stock, ladder, tonight) for _ in range(_whole(rng, 3, 6))]


def canonical(evening: PlateEvening) -> str:
    """Everything about an evening on one line, the same for the same evening; for its checksum."""
    bar = evening.bar
    plates = " ".join(
        f"{p.id}:{p.mass}:{p.pairs}:{p.diameter}:{p.thickness}:{int(p.droppable)}" for p in evening.plates
    )
    orders = " | ".join(f"{name} {' '.join(map(str, loads))}" for name, loads in sorted(evening.orders.items()))
    return f"{evening.seed} {evening.unit} | {bar.id}:{bar.mass}:{bar.sleeve} | {plates} | {orders}\n"


# --- who lifts what


def _sets(
    rng: Random, gym: Gym, bar: Bar, stock: _Stock, ladder: Sequence[int], tonight: Sequence[tuple[int, int]]
) -> list[SimSet]:
    """One lifter's evening: a ramp and 3 to 5 work sets across, for one lift or both."""
    strength = rng.random()
    order = tonight if rng.random() < 0.7 else tonight[::-1]
    lifts = order if rng.random() < 0.5 else order[:1]
    done: list[SimSet] = []
    for beginner, year_in in lifts:
        step = _pick(rng, stock.steps)
        wanted = beginner + int((year_in - beginner) * strength * (0.85 + 0.3 * rng.random()))
        work = _buildable(gym, bar, wanted // step * step)
        ramp = [x for x in dict.fromkeys(_buildable(gym, bar, x) for x in ladder) if x * 100 <= work * CEILING]
        if len(ramp) > MOST_RAMPS:
            ramp = [ramp[0], *ramp[1 - MOST_RAMPS :]]
        done += [SimSet(load, False) for load in ramp]
        sets = _whole(rng, 3, 5)
        light = _whole(rng, 1, sets - 1) if rng.random() < MISSES else sets
        eased = _buildable(gym, bar, work * _pick(rng, EASED) // 100)
        done += [SimSet(work if n < light else eased, True) for n in range(sets)]
    return done


def _by_pairs(gym: Gym, bar: Bar) -> tuple[int, ...]:
    """The ladder of whole big pairs: the bar, half a big plate a side, then one more of the big kind each time."""
    heavy = max(gym.plates, key=lambda p: (min(p.pairs, 3) * p.mass, p.mass))
    light = max((p for p in gym.plates if p.mass <= heavy.mass // 2), key=lambda p: (p.mass, p.id))
    return (bar.mass, bar.mass + 2 * light.mass, *(bar.mass + 2 * n * heavy.mass for n in range(1, heavy.pairs + 1)))


def _buildable(gym: Gym, bar: Bar, wanted: int) -> int:
    return nearest(gym, wanted, bar.id)[0]


# --- in which order


def rotation(lifters: Sequence[Sequence[SimSet]]) -> tuple[SimSet, ...]:
    """Everybody's next set in turn, always in the same round; whoever is done drops out."""
    rounds = max(map(len, lifters))
    return tuple(sets[n] for n in range(rounds) for sets in lifters if n < len(sets))


def rising(lifters: Sequence[Sequence[SimSet]]) -> tuple[SimSet, ...]:
    """Fewest work sets done, then the lightest, then the longest wait, then the lower number."""
    done, turns, last = ([0] * len(lifters) for _ in range(3))
    order: list[SimSet] = []
    while waiting := [i for i, sets in enumerate(lifters) if done[i] < len(sets)]:
        up = min(waiting, key=lambda i: (turns[i], lifters[i][done[i]].load, last[i], i))
        coming = lifters[up][done[up]]
        order.append(coming)
        done[up] += 1
        turns[up] += coming.work
        last[up] = len(order)
    return tuple(order)


ORDERS = {ROTATION: rotation, RISING: rising}


# --- drawn by lot, from `random` alone


def _whole(rng: Random, low: int, high: int) -> int:
    """A whole number from `low` to `high`, both included."""
    return low + int(rng.random() * (high - low + 1))


def _pick(rng: Random, choices: Sequence[T]) -> T:
    return choices[int(rng.random() * len(choices))]


def _left(rng: Random, pairs: int) -> int:
    """How many of a kind's pairs the other stations leave here: one at least."""
    return max(1, pairs - sum(rng.random() < TAKEN for _ in range(2)))


# --- the gyms; lengths in mm, typical of training plates, no source


def _kg(mass: float) -> int:
    return round(mass * 100)


def _plate(name: str, pairs: int, thickness: int, diameter: int, droppable: bool = False) -> Plate:
    return Plate(name, _kg(float(name.rstrip("T"))), pairs, diameter, thickness, droppable)


def _bumper(name: str, pairs: int, thickness: int) -> Plate:
    return _plate(name, pairs, thickness, FULL_SIZE_MM, not name.endswith("T"))


_BIG = (_bumper("25", 3, 65), _bumper("20", 3, 55))
_MIDDLE = (_bumper("10", 4, 35), _bumper("5T", 2, 25), _plate("5", 3, 26, 230), _plate("2.5", 3, 19, 190))
_BAR_20, _BAR_15 = Bar("20", "20 kg bar", 2000, 415, 1), Bar("15", "15 kg bar", 1500, 320, 1)
_EVEN = (2000, 4000, 6000, 8000, 10000, 12000, 14000)
_CLOSE = (2000, 3000, 4000, 5000, 6000, 8000, 10000, 12000)
_LIFTS = ((3500, 12500), (2200, 5500), (2600, 8500), (5000, 15000), (3000, 8000))

STOCKS: tuple[_Stock, ...] = (
    # Everything: eleven kinds, the light full-size 5 among them.
    _Stock("kg", (*_BIG, _bumper("15", 3, 45), *_MIDDLE, _plate("2", 2, 16, 180), _plate("1.5", 2, 14, 165),
                  _plate("1", 3, 13, 150), _plate("0.5", 3, 10, 135)),
           (_BAR_20, _BAR_20, _BAR_15), (_EVEN, _CLOSE), _LIFTS, (100, 200, 250)),
    # A gym without 15s, with 1.25s.
    _Stock("kg", (*_BIG, *_MIDDLE, _plate("1.25", 3, 14, 160), _plate("0.5", 2, 10, 135)),
           (_BAR_20, _BAR_20, _BAR_15), (_EVEN, _CLOSE), _LIFTS, (100, 250)),
    # Iron, none of it full-size, with few change plates.
    _Stock("kg", (_plate("20", 4, 38, 440), _plate("15", 2, 32, 400), _plate("10", 3, 28, 325), _plate("5", 2, 22, 230),
                  _plate("2.5", 1, 18, 190), _plate("1.25", 1, 14, 160)),
           (_BAR_20,), (_EVEN, _CLOSE), _LIFTS, (250, 500)),
    # A gym in pounds.
    _Stock("lb", (_bumper("45", 4, 60), _bumper("35", 2, 52), _bumper("25", 3, 42), _plate("10", 4, 28, 230),
                  _plate("5", 3, 20, 190), _plate("2.5", 2, 15, 160)),
           (Bar("45", "45 lb bar", 4500, 415, 1), Bar("35", "35 lb bar", 3500, 320, 1)),
           ((4500, 9500, 13500, 18500, 22500, 27500, 31500), (4500, 6500, 9500, 11500, 13500, 18500, 22500)),
           ((7500, 27500), (4500, 12000), (5500, 18500), (11000, 33500), (6500, 17500)), (500, 500, 1000)),
    # A school with a few light plates.
    _Stock("kg", (_bumper("15", 2, 45), _bumper("10", 3, 35), _bumper("5T", 3, 25), _plate("2.5", 2, 19, 190),
                  _plate("1", 2, 13, 150), _plate("0.5", 2, 10, 135)),
           (_BAR_15, Bar("10", "10 kg bar", 1000, 250, 1)), ((1500, 2500, 3500, 4500, 5500), (1500, 2000, 3000, 4000)),
           ((2000, 6000), (1500, 3500), (1700, 4500), (2500, 7000)), (100, 200, 250)),
)
"""The kinds of gym. Invented, as whole pairs owned; common practice, no source."""
