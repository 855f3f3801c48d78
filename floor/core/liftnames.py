"""What a coach calls a lift -> the gym's lift, or what to say of a name the gym has not. Pure."""

from __future__ import annotations

import difflib
import re
from collections.abc import Iterator, Mapping

from floor.core.gym import Gym

SHORT: dict[str, tuple[str, ...]] = {
    "bp": ("bench press", "bench"),
    "dl": ("deadlift",),
    "sq": ("squat", "back squat"),
    "pc": ("power clean",),
    "ohp": ("press", "overhead press", "strict press"),
}
"""The trade's abbreviations, and the names a gym may have for the one lift each stands for."""

_SAME = frozenset(
    {"back", "bar", "barbell", "bb", "conventional", "flat", "high", "low", "overhead", "standing", "strict"}
)
"""Words beside a lift's name that leave it the same lift for most coaches: a reason to ask, none to take it."""
_LIKE = 0.8
"""How alike a name has to be to be taken for a slip of the pen."""


def lift_named(text: str, gym: Gym, told: Mapping[str, str]) -> str | None:
    """The gym's lift of that id or name, or of the name the coach gave for it; None when there is none."""
    wanted = plain_name(text)
    wanted = {plain_name(written): lift for written, lift in told.items()}.get(wanted, wanted).casefold()
    for lift in gym.lifts.values():
        if wanted in (lift.id.casefold(), lift.name.casefold()):
            return lift.id
    return None


def short_for(text: str, gym: Gym) -> str | None:
    """The one lift of the gym that an abbreviation of the trade stands for; None where it could be another."""
    short = plain_name(text)
    names = SHORT.get(short, ())
    found = {
        lift.id
        for lift in gym.lifts.values()
        if lift.id.casefold() in names or lift.name.casefold() in names or _initials(lift.name) == short
    }
    return found.pop() if names and len(found) == 1 else None


def near_lift(text: str, gym: Gym) -> str | None:
    """The name of the lift most likely meant, to ask about; None when a word makes another lift of it ("front")."""
    if short := short_for(text, gym):
        return gym.lifts[short].name
    words = [word for word in re.split(r"[^\w]+", plain_name(text)) if word]
    core = [word for word in words if word not in _SAME] or words
    names = {name.casefold(): lift.name for lift in gym.lifts.values() for name in (lift.id, lift.name)}
    joined = {name.replace(" ", ""): full for name, full in names.items()}
    for tried in _singular("".join(core)):
        if tried in joined:
            return joined[tried]
    alike = difflib.get_close_matches(" ".join(core), [n for n in names if len(n.split()) == len(core)], 1, _LIKE)
    if alike:
        return names[alike[0]]
    short = "".join(core)
    initials = [lift.name for lift in gym.lifts.values() if len(short) > 1 and _initials(lift.name) == short]
    return initials[0] if len(initials) == 1 else None


def unknown_lift(text: str, gym: Gym) -> str:
    """What to say of a lift the gym has not: the name most likely meant, else how to add it or leave its rows out."""
    if near := near_lift(text, gym):
        return f'the gym has no lift called "{text}". If the {near} is meant, say --lift "{text}={near}".'
    has = ", ".join(lift.name for lift in gym.lifts.values())
    return (
        f'the gym has no lift called "{text}". It has: {has}. Leave its rows out with --skip-lift "{text}", add it '
        f'first (floor show lifts, floor adopt lifts), or say which of these is meant: --lift "{text}=...".'
    )


def plain_name(text: str) -> str:
    """A name as it is compared: blanks and capitals make no difference."""
    return " ".join(text.split()).casefold()


def _initials(name: str) -> str:
    words = name.casefold().split()
    return "".join(word[0] for word in words) if len(words) > 1 else ""


def _singular(word: str) -> Iterator[str]:
    yield word
    if word.endswith("es"):
        yield word[:-2]
    if word.endswith("s"):
        yield word[:-1]
