"""A lifter's bodyweight and birth year, kept with the person alone, and the smaller steps they speak for. Pure.

Both are notes: they can be forgotten with the person, and no event, view or
board has them. What follows from them is only ever a smaller step, said to the
coach, who sets it or not. Weights are hundredths of the gym's unit.
"""

from __future__ import annotations

from contextlib import suppress
from dataclasses import dataclass
from datetime import date

from floor.core.gym import Gym
from floor.core.people import BODYWEIGHT, BORN, Person
from floor.core.proposals import PRACTICE
from floor.core.state import Lifter
from floor.core.steps import halved, step_of
from floor.core.units import convert, parse_load, show_load, show_with_unit

OLDER = 60
"""From about this age on smaller steps are proposed. Common practice, no source."""
LIGHT = 5000
"""Under this bodyweight (hundredths of a kg) smaller steps are proposed. Common practice, no source."""
OLDEST = 110
"""A birth year further back is a slip of the finger."""
LIGHTEST, HEAVIEST = 1500, 30000
"""Bodyweights taken for real, hundredths of a kg: guards a slip of the finger."""
_ON = " on "


@dataclass(frozen=True, slots=True)
class Body:
    """What is noted: `weight` and the day it was, `born` the year; None is not noted."""

    weight: int | None = None
    weighed: date | None = None
    born: int | None = None


def checked_weight(weight: int, unit: str) -> str | None:
    """A sentence saying what is wrong with a bodyweight in hundredths of `unit`, None when it can be."""
    if LIGHTEST <= convert(weight, unit, "kg") <= HEAVIEST:
        return None
    low, high = (show_load(convert(limit, "kg", unit) // 100 * 100) for limit in (LIGHTEST, HEAVIEST))
    return f"A bodyweight is between {low} and {high} {unit}."


def weight_note(weight: int, unit: str, today: date) -> str:
    """The words of the note: a bodyweight in hundredths of `unit`, with its day."""
    return f"{show_with_unit(weight, unit)}{_ON}{today.isoformat()}"


def checked_born(typed: str, today: date) -> str | None:
    """A sentence saying what is wrong with a birth year, None when it can be."""
    if len(typed) != 4 or not (typed.isascii() and typed.isdigit()):
        return "A birth year has four digits."
    if not today.year - OLDEST <= int(typed) <= today.year:
        return f"A birth year is between {today.year - OLDEST} and {today.year}."
    return None


def body_of(person: Person | None, unit: str) -> Body:
    """The latest of each that can be read; a bodyweight noted in another unit can't."""
    weight, weighed, born = None, None, None
    for note in person.notes if person else ():
        if note.kind == BORN and note.text.isascii() and note.text.isdigit():
            born = int(note.text)
        elif note.kind == BODYWEIGHT:
            told, _, when = note.text.partition(_ON)
            read = parse_load(told, unit)
            with suppress(ValueError):  # no such day: the note is not one of ours
                day = date.fromisoformat(when)
                weight, weighed = (read, day) if isinstance(read, int) else (weight, weighed)
    return Body(weight, weighed, born)


def smaller_step(gym: Gym, lifter: Lifter, lift: str, body: Body, today: date) -> tuple[int, str] | None:
    """(step, why) where the body speaks for a smaller step than the lifter's: half of the lift's own, never more.

    None where nothing does, or the step is as small already.
    """
    half = halved(gym, gym.lifts[lift].step)
    why = _why(gym.unit, body, today)
    return (half, f"{why}, {PRACTICE}") if why and half < step_of(gym, lifter, lift) else None


def _why(unit: str, body: Body, today: date) -> str:
    if body.born is not None and today.year - body.born >= OLDER:
        return f"about {OLDER} or older"
    if body.weight is not None and convert(body.weight, unit, "kg") < LIGHT:
        return f"under {show_load(convert(LIGHT, 'kg', unit))} {unit} bodyweight"
    return ""


def body_words(gym: Gym, lifter: Lifter, lift: str, body: Body, today: date) -> str:
    """What is noted, and the smaller step it speaks for; empty where nothing is noted."""
    said = []
    if body.weight is not None and body.weighed is not None:
        said.append(f"{show_with_unit(body.weight, gym.unit)} on {body.weighed.day} {body.weighed:%b %Y}")
    if body.born is not None:
        said.append(f"born {body.born}")
    found = smaller_step(gym, lifter, lift, body, today)
    if found is not None:
        said.append(f"smaller steps: {show_with_unit(found[0], gym.unit)} proposed ({found[1]}); S sets it")
    return " · ".join(said)
