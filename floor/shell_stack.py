"""`floor stack`: one load from the shell. The finished bar first, the change second."""

from __future__ import annotations

import json
import sys
from collections import Counter
from dataclasses import dataclass

from floor.core import stacks
from floor.core.gym import Bar, Gym, Lift
from floor.core.stacks import CannotBuild, Change, Stack
from floor.core.units import parse_load, show_load, show_with_unit

RIGHT = "from the floor at its height: full-size plates that may be dropped"
_SHOWN = 24


@dataclass(frozen=True, slots=True)
class Finished:
    """A load on a bar: `load` is built where `wanted` was asked, `why` says why not that one ("" when it is)."""

    gym: Gym
    wanted: int
    load: int
    bar: Bar
    stack: Stack
    lift: Lift | None
    change: Change | None
    why: str

    @property
    def side(self) -> int:
        """The plates of one sleeve, in hundredths."""
        return sum(self.gym.plate(plate).mass for plate in self.stack)

    @property
    def start(self) -> str:
        """Whether a pull from the floor starts right; "" for any other lift."""
        if self.lift is None or not self.lift.from_floor:
            return ""
        return stacks.floor_start(self.gym, self.lift, self.stack) or RIGHT


def finish(gym: Gym, load: str, bar: str = "", lift: str = "", now: str | None = None) -> Finished | str:
    """The bar for what was typed, or one sentence saying what is wrong with it.

    `bar` and `lift` by id or name, "" for the usual bar and any lift; `now` is
    what stands on one sleeve, innermost first, None when that is not asked.
    """
    wanted = parse_load(load, gym.unit)
    if isinstance(wanted, str):
        return wanted
    the_lift = next((x for x in gym.lifts.values() if _is(lift, x.id, x.name)), None) if lift else None
    if lift and the_lift is None:
        return f'The gym has no lift "{_cut(lift)}". It has {", ".join(gym.lifts)}.'
    the_bar = _bar(gym, wanted, bar, the_lift)
    if isinstance(the_bar, str):
        return the_bar
    on = _standing(gym, the_bar, now)
    if isinstance(on, str):
        return on
    from_floor = the_lift is not None and the_lift.from_floor
    built = stacks.build(gym, wanted, the_bar.id, {}, from_floor)
    why = built.why if isinstance(built, CannotBuild) else ""
    if isinstance(built, CannotBuild) and built.below is None:
        return why
    got, stack = stacks.nearest(gym, wanted, the_bar.id, {}, from_floor)
    change = None if on is None else stacks.change(the_bar.id, on, the_bar.id, stack)
    return Finished(gym, wanted, got, the_bar, stack, the_lift, change, why)


def tell(answer: Finished | str, as_json: bool = False) -> int:
    """Print the answer, or what is wrong to the standard error; the exit status."""
    if isinstance(answer, str):
        print(answer, file=sys.stderr)
        return 1
    print(json_text(answer) if as_json else "\n".join(lines(answer)))
    return 0


def lines(done: Finished) -> list[str]:
    """The finished bar, the load per side, the collars, the start from the floor; the change last."""
    gym, unit = done.gym, done.gym.unit
    head = [show_with_unit(done.load, unit)]
    if done.why:
        head = [f"{show_load(done.wanted)} wanted, {head[0]} on the bar", done.why]
    plates = "   ".join(done.stack) if done.stack else "no plates"
    out = [
        *head,
        f"  bar         {done.bar.name}",
        f"  each side   {plates}" + ("   (innermost first)" if len(done.stack) > 1 else ""),
        f"  per side    {show_with_unit(done.side, unit)} of plates",
        f"  collars     {collar_words(gym)}",
    ]
    if done.start:
        out.append(f"  start       {done.start}")
    if done.change is not None:
        out.append(f"  change      {stacks.words(done.change, gym)}")
    return out


def collar_words(gym: Gym) -> str:
    """What holds the plates: "spring clips, counted as 0 kg" or "2.5 kg each"."""
    if not gym.collar:
        return f"spring clips, counted as 0 {gym.unit}"
    return f"{show_with_unit(gym.collar, gym.unit)} each, in the load"


def json_text(done: Finished) -> str:
    """The same as one JSON object; loads are numbers in the gym's unit."""
    change = None if done.change is None else {"off": list(done.change.off), "on": list(done.change.on)}
    return json.dumps(
        {
            "wanted": _number(done.wanted),
            "load": _number(done.load),
            "unit": done.gym.unit,
            "bar": done.bar.id,
            "bar_mass": _number(done.bar.mass),
            "collar": _number(done.gym.collar),
            "side": _number(done.side),
            "stack": list(done.stack),
            "change": change,
            "lift": done.lift.id if done.lift else None,
            "start": done.start,
            "why": done.why,
        }
    )


def _number(load: int) -> int | float:
    """Hundredths as JSON writes them: two decimals come out as they went in."""
    return load // 100 if load % 100 == 0 else float(show_load(load))


def _is(typed: str, *names: str) -> bool:
    return typed.strip().casefold() in [name.casefold() for name in names]


def _cut(typed: str) -> str:
    plain = "".join(letter if letter.isprintable() else "?" for letter in typed)
    return plain if len(plain) <= _SHOWN else plain[: _SHOWN - 1] + "…"


def _bar(gym: Gym, load: int, typed: str, lift: Lift | None) -> Bar | str:
    """The bar asked for; else the one that stands where the lift is done, or a lighter one for a light load."""
    if typed:
        found = next((b for b in gym.bars if _is(typed, b.id, b.name)), None)
        return found or f'The gym has no bar "{_cut(typed)}". It has {", ".join(b.id for b in gym.bars)}.'
    fit = [s for s in gym.stations if lift is None or lift.needs in s.stands] or list(gym.stations)
    return gym.bar(stacks.bar_for(gym, load, fit[0].bar))


def _standing(gym: Gym, bar: Bar, typed: str | None) -> Stack | str | None:
    """The plates named by `--from`, or what is wrong with them."""
    if typed is None:
        return None
    stack = tuple(typed.replace(",", " ").split())
    owned = {plate.id: plate for plate in gym.plates}
    for plate, times in Counter(stack).items():
        if plate not in owned:
            return f'The gym has no plate "{_cut(plate)}". It has {", ".join(owned)}.'
        if times > owned[plate].pairs:
            pairs = f"{owned[plate].pairs} pair{'' if owned[plate].pairs == 1 else 's'}"
            return f"The gym has {pairs} of the {plate}, and {times} a side are said to be on."
    if sum(owned[plate].thickness for plate in stack) > bar.sleeve:
        return f"{' '.join(stack)} does not fit on the sleeve of the {bar.name}."
    return stack
