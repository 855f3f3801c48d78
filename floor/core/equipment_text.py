"""A gym's equipment -> the document it is read from.

`parse_gym` of the text gives the same equipment back. What a document says
about itself on top, its first lines of comment, can be carried over with
`head_of`; a comment further down is lost.
"""

from __future__ import annotations

import json

from floor.core.documentparts import STANDS
from floor.core.gym import Bar, Gym, Plate, Station
from floor.core.units import show_load

HEAD = """\
# What the gym owns: bars, plates, stations. Edit it to match what is really there.
#
# Masses are in the gym's unit, to two decimals: what the scale says. A plate of the other
# unit goes in with its measured mass in the gym's unit. Lengths are whole millimetres.
# A plate's id is what is painted on it: up to six letters, digits or points, each once.
# Comments below this head are not kept when the equipment is changed on screen.
"""
"""The comment a document without one gets."""


def head_of(text: str) -> str:
    """The comment a document begins with, line for line; `HEAD` when it begins with none."""
    lines: list[str] = []
    for line in text.removeprefix("\ufeff").splitlines():
        if not line.startswith("#"):
            break
        lines.append(line.rstrip())
    return "\n".join(lines) + "\n" if lines else HEAD


def equipment_text(gym: Gym, head: str = HEAD) -> str:
    """The equipment document of this gym under `head`, which is lines of comment."""
    parts = [
        f"{head}\nunit = {_words(gym.unit)}\n"
        f"collar = {show_load(gym.collar)}          # mass of one collar; spring clips count as 0\n",
        *map(_bar, gym.bars),
        "# pairs = how many pairs the gym owns, for all stations together",
        *map(_plate, gym.plates),
        '# stands = what is there: "floor", "rack", "bench". bar = the bar that usually stands there.',
        *map(_station, gym.stations),
    ]
    return "\n".join(parts)


def _words(text: str) -> str:
    """A TOML string: JSON's escapes are TOML's, and whatever else can be printed stands as it is."""
    return json.dumps(text, ensure_ascii=False)


def _bar(bar: Bar) -> str:
    return (
        f"[[bar]]\nid = {_words(bar.id)}\nname = {_words(bar.name)}\nmass = {show_load(bar.mass)}\n"
        f"sleeve = {bar.sleeve}\ncount = {bar.count}\n"
    )


def _plate(plate: Plate) -> str:
    return (
        f"[[plate]]\nid = {_words(plate.id)}\nmass = {show_load(plate.mass)}\npairs = {plate.pairs}\n"
        f"diameter = {plate.diameter}\nthickness = {plate.thickness}\n"
        f"droppable = {'true' if plate.droppable else 'false'}\n"
    )


def _station(station: Station) -> str:
    stands = ", ".join(_words(what) for what in STANDS if what in station.stands)
    return (
        f"[[station]]\nid = {station.id}\nname = {_words(station.name)}\nstands = [{stands}]\n"
        f"bar = {_words(station.bar)}\n"
    )
