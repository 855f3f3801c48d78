"""Which plates go on a sleeve, and what hands must do to get from one stack to the next.

A stack is the plates of ONE sleeve by id, innermost first, heaviest inside; the
other sleeve carries the same. Loads and masses are whole hundredths of the
gym's unit, lengths whole millimetres, plates are counted in pairs. A load that
cannot be made is a `CannotBuild` with its reason. An id that is not the gym's
raises KeyError wherever a mass is asked for.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import lru_cache

from floor.core.fewest import fewest_stack, makeable
from floor.core.gym import Bar, Gym, Lift, Plate
from floor.core.units import show_load, show_with_unit

Stack = tuple[str, ...]
NONE_TAKEN: Mapping[str, int] = {}
NO_FULL_SIZE = "Blocks or hang. No full-size plate on."
NOT_TO_DROP = "Lower by hand. No plate that may be dropped."
ONE_LIGHT_PAIR = "Lower by hand. One light full-size pair carries the rest."
_ANY_LENGTH = 10**9


@dataclass(frozen=True, slots=True)
class CannotBuild:
    """Why a load cannot be made, with the nearest loads that can (None where there is none)."""

    why: str
    below: int | None = None
    above: int | None = None


@dataclass(frozen=True, slots=True)
class Change:
    """What one sleeve needs: `off` outermost first, `on` innermost first, as hands do it.

    `bar` is the id of the bar to change to, or None when the bar stays.
    """

    off: Stack = ()
    on: Stack = ()
    bar: str | None = None

    @property
    def moves(self) -> int:
        """Plates moved on one side; the other side moves as many."""
        return len(self.off) + len(self.on)


def load_of(gym: Gym, bar_id: str, stack: Stack) -> int:
    """The whole load: the bar, both sleeves and both collars, in hundredths."""
    return gym.bar(bar_id).mass + 2 * gym.collar + 2 * sum(gym.plate(p).mass for p in stack)


def held_elsewhere(stacks: Iterable[Stack]) -> Counter[str]:
    """Pairs of each plate held by these stacks: one pair for each plate on a sleeve."""
    return Counter(plate for stack in stacks for plate in stack)


def build(
    gym: Gym, load: int, bar_id: str, taken: Mapping[str, int] = NONE_TAKEN, lift_from_floor: bool = False
) -> Stack | CannotBuild:
    """The stack with the fewest plates that makes exactly `load` on that bar, or why there is none.

    `taken` is the pairs other bars hold. Among equals the heavier plate is
    inside, so the same load looks the same all evening. A pull from the floor
    gets a full-size disc that may be dropped if any stack has one, then one
    with any full-size disc, even with more plates; other lifts leave the
    full-size one of two equal masses to the pulls.
    """
    refusal = _unfit(gym, load, bar_id)
    if refusal:
        return CannotBuild(refusal)
    bar, free = gym.bar(bar_id), _free(gym, taken)
    over = load - load_of(gym, bar_id, ())
    if over < 0:
        empty = load - over
        bare = f"{_named(gym, bar)} {'with its collars' if gym.collar else 'alone'}, {_kg(gym, empty)}"
        return CannotBuild(f"{_kg(gym, load)} is less than {bare}.", None, empty)
    if over == 0:
        return ()
    stack = fewest_stack(gym.plates, free, bar.sleeve, over // 2, lift_from_floor) if over % 2 == 0 else None
    return _refuse(gym, load, bar, free) if stack is None else stack


def nearest(
    gym: Gym,
    wanted: int,
    bar_id: str,
    taken: Mapping[str, int] = NONE_TAKEN,
    lift_from_floor: bool = False,
    above: bool = False,
) -> tuple[int, Stack]:
    """The buildable load nearest to `wanted` at or below it, with its stack; never less than the empty bar.

    With `above`, at or above it; the heaviest there is when nothing is.
    """
    empty = load_of(gym, bar_id, ())
    if wanted <= empty or _unfit(gym, wanted, bar_id):
        return empty, ()
    sleeve, free = gym.bar(bar_id).sleeve, _free(gym, taken)
    stack = None
    if (wanted - empty) % 2 == 0:
        stack = fewest_stack(gym.plates, free, sleeve, (wanted - empty) // 2, lift_from_floor)
    if stack is None:
        low, high = _around(gym, wanted, bar_id, free)
        wanted = high if above and high is not None else low
        stack = fewest_stack(gym.plates, free, sleeve, (wanted - empty) // 2, lift_from_floor)
    return wanted, stack or ()


def loads_of(gym: Gym, bar_id: str, taken: Mapping[str, int] = NONE_TAKEN) -> tuple[int, ...]:
    """Every load that can be built on that bar, rising, the empty bar first; none when the gym can't be read."""
    empty = load_of(gym, bar_id, ())
    if _unfit(gym, empty, bar_id):
        return ()
    return tuple(empty + 2 * side for side in makeable(gym.plates, _free(gym, taken), gym.bar(bar_id).sleeve))


def bar_for(gym: Gym, load: int, station_bar: str, away: Mapping[str, int] = NONE_TAKEN) -> str:
    """The bar to lift that load with: the station's own, unless it outweighs the load with its collars.

    Then the heaviest kind that does not, or the lightest the gym has. `away` is
    how many bars of a kind stand at other stations: of those there is one less.
    """
    kinds = sorted((b for b in gym.bars if b.count > away.get(b.id, 0)), key=lambda b: (b.mass, b.id))
    if any(b.id == station_bar and b.mass + 2 * gym.collar <= load for b in kinds):
        return station_bar
    if not kinds:
        return station_bar
    light_enough = [b for b in kinds if b.mass + 2 * gym.collar <= load]
    return (light_enough[-1] if light_enough else kinds[0]).id


def change(now_bar: str, now: Stack, then_bar: str, then: Stack) -> Change:
    """The fewest plates moved from one stack to the other: a sleeve is last in, first out."""
    if now_bar != then_bar:
        return Change(off=now[::-1], on=then, bar=then_bar)
    keep = 0
    while keep < min(len(now), len(then)) and now[keep] == then[keep]:
        keep += 1
    return Change(off=now[keep:][::-1], on=then[keep:])


def apply_change(bar: str, stack: Stack, step: Change) -> tuple[str, Stack]:
    """The bar and stack after the change. Raises ValueError if those plates are not the outermost."""
    keep = len(stack) - len(step.off)
    if keep < 0 or stack[keep:][::-1] != step.off or (step.bar is not None and keep):
        raise ValueError(f"cannot take {step.off} off {stack}")
    return step.bar or bar, stack[:keep] + step.on


def words(step: Change, gym: Gym) -> str:
    """The change as one says it across the floor, plates by the number painted on them."""
    parts = []
    if step.off:
        parts.append(f"off {_list(step.off)}" + ("" if step.on else ", each side"))
    if step.bar is not None:
        parts.append(f"bar to {_named(gym, gym.bar(step.bar))}")
    if step.on:
        parts.append(f"on {_list(step.on)}, each side")
    return "; ".join(parts) or "nothing to change"


def short_words(step: Change, gym: Gym) -> str:
    """The same change in as few letters as can be read: "off 10 1 · on 5", "15 kg bar, on 5"."""
    if step.bar is not None:
        bar = f"{show_load(gym.bar(step.bar).mass)} {gym.unit} bar"
        return f"{bar}, on {' '.join(step.on)}" if step.on else f"{bar}, empty"
    parts = [f"off {' '.join(step.off)}"] if step.off else []
    if step.on:
        parts.append(f"on {' '.join(step.on)}")
    return " · ".join(parts) or "nothing to change"


def least_words(step: Change, gym: Gym) -> str:
    """The same change where even those are too many: how many come off, what goes on."""
    if step.bar is not None or not step.off or not step.on:
        return short_words(step, gym)
    off = "1 plate" if len(step.off) == 1 else f"{len(step.off)} plates"
    return f"off {off}, on {' '.join(step.on)}"


def floor_start(gym: Gym, lift: Lift, stack: Stack) -> str:
    """What to say before a pull from the floor off this stack: "" when the discs hold it at its height.

    A bar that may be dropped stands on full-size discs that may be, and not on
    one thin light pair (common practice, no source): a lone such disc lighter
    than the plates beside it is said too.
    """
    if not lift.from_floor:
        return ""
    plates = [gym.plate(p) for p in stack]
    full = [p for p in plates if p.full_size]
    to_drop = [p for p in full if p.droppable]
    if not full:
        return NO_FULL_SIZE
    if not to_drop:
        return NOT_TO_DROP
    if len(to_drop) == 1 and 2 * to_drop[0].mass < sum(p.mass for p in plates):
        return ONE_LIGHT_PAIR
    return ""


# --- what a gym cannot be asked


def _kg(gym: Gym, load: int) -> str:
    return show_with_unit(load, gym.unit)


def _named(gym: Gym, bar: Bar) -> str:
    """By its mass, as lifters say it; by its name where another bar weighs the same."""
    alike = sum(b.mass == bar.mass for b in gym.bars)
    return f"the {bar.name}" if alike > 1 else f"the {_kg(gym, bar.mass)} bar"


def _list(plates: Stack) -> str:
    return " and ".join(filter(None, (", ".join(plates[:-1]), plates[-1])))


def _free(gym: Gym, taken: Mapping[str, int]) -> tuple[int, ...]:
    return tuple(max(0, p.pairs - max(0, taken.get(p.id, 0))) for p in gym.plates)


def _unfit(gym: Gym, load: int, bar_id: str) -> str:
    """Why the question itself cannot stand, or "" when it can."""
    if load <= 0:
        return "A load must be more than zero."
    bars = [b for b in gym.bars if b.id == bar_id]
    if not bars:
        return f'The gym has no bar "{bar_id}".'
    if bars[0].mass <= 0 or bars[0].sleeve < 0:
        return f'Bar "{bar_id}" needs a mass, and a sleeve of no less than 0 mm.'
    if gym.collar < 0:
        return "A collar cannot weigh less than nothing."
    return _unfit_plates(gym.plates)


@lru_cache(maxsize=64)
def _unfit_plates(plates: tuple[Plate, ...]) -> str:
    twice = [name for name, times in Counter(p.id for p in plates).items() if times > 1]
    if twice:
        return f'Plate "{twice[0]}" is in the stock twice.'
    for p in plates:
        if p.mass <= 0 or p.thickness <= 0 or p.diameter <= 0:
            return f'Plate "{p.id}" needs a mass, a thickness and a diameter of more than zero.'
        if p.pairs < 0:
            return f'Plate "{p.id}" has fewer than no pairs.'
    return ""


def _refuse(gym: Gym, load: int, bar: Bar, free: tuple[int, ...]) -> CannotBuild:
    """The one reason that stands in the way, the easiest to put right first."""
    empty = load_of(gym, bar.id, ())
    low, high = _around(gym, load, bar.id, free)
    side, odd = divmod(load - empty, 2)
    all_pairs = tuple(p.pairs for p in gym.plates)
    if not gym.plates:
        why = "The gym has no plates."
    elif odd:
        why = f"{_kg(gym, load)} cannot be shared equally between two sleeves."
    elif fewest_stack(gym.plates, all_pairs, bar.sleeve, side, False) is not None:
        why = f"{_kg(gym, load)} needs plates that other bars hold."
    elif fewest_stack(gym.plates, all_pairs, _ANY_LENGTH, side, False) is not None:
        why = f"{_kg(gym, load)} does not fit on the sleeve of {_named(gym, bar)}."
    else:
        why = f"{_kg(gym, load)} cannot be made with the gym's plates on {_named(gym, bar)}."
    return CannotBuild(why, low, high)


def _around(gym: Gym, load: int, bar_id: str, free: tuple[int, ...]) -> tuple[int, int | None]:
    """The nearest makeable loads below and above one that cannot be made and outweighs the bar."""
    empty = load_of(gym, bar_id, ())
    loads = [empty + 2 * side for side in makeable(gym.plates, free, gym.bar(bar_id).sleeve)]
    return max(x for x in loads if x < load), min((x for x in loads if x > load), default=None)
