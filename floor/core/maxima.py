"""A lift's estimated maximum over its evenings: what each says, which say nothing of a fall, what stands lately.

An estimate from training is a floor: the lifter can do at least that. So an
evening says no less than its heaviest load made, however that went; an easy one
far under the last says nothing of a fall; and what stands is the best of two weeks.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta

from floor.core.evidence.maximum import EQUATIONS, band, estimate
from floor.core.past import WEEK, Best, SetPast

EQUATION = EQUATIONS["epley"]
"""The equation of the screens, as in the ready question about maxima; others differ by a few per cent."""

LIGHT = 90
"""An evening that was easy throughout and came to so many per cent of the last full one or less was a light day.

Light days ask for four fifths or nine tenths. Common practice, no source.
"""

FULL_FOR = timedelta(weeks=4)
"""What has been light for longer is what is lifted now: our choice, no source."""

LATELY = 2 * WEEK
"""The estimate that stands is the best of so long: the two weeks of the week screen."""


@dataclass(frozen=True, slots=True)
class Estimate:
    """An estimated maximum (hundredths) with its band, and the evening it comes from."""

    evening: date
    value: int
    low: int
    high: int


def bests(sets: Iterable[SetPast]) -> tuple[Best, ...]:
    """The heaviest work set for each evening, lift and number of reps, strong ones and others apart, oldest first."""
    return heaviest(
        Best(done.evening, done.lifter, done.lift, done.made, done.load, done.strong)
        for done in sets if not done.ramp
    )  # fmt: skip


def heaviest(sets: Iterable[Best]) -> tuple[Best, ...]:
    """Of those alike in all but the load the heaviest, oldest first: days brought in may fall on an evening's own."""
    found: dict[tuple[date, int, str, int, bool], Best] = {}
    for best in sets:
        key = (best.evening, best.lifter, best.lift, best.reps, best.strong)
        found[key] = max(best, found.get(key, best))
    return tuple(sorted(found.values()))


def by_evening(sets: Iterable[Best]) -> dict[date, int]:
    """What each evening says the maximum is (hundredths), oldest first; those that say nothing are left out.

    They are the evenings without a set the equation can speak for, and light days.
    """
    evenings: dict[date, list[Best]] = {}
    for best in sets:
        evenings.setdefault(best.evening, []).append(best)
    found: dict[date, int] = {}
    last: date | None = None
    for evening in sorted(evenings):
        done = evenings[evening]
        value = _says(done)
        if value is None:
            continue
        recent = last is not None and evening - last <= FULL_FOR
        if recent and last is not None and all(b.strong for b in done) and value * 100 <= LIGHT * found[last]:
            continue
        found[evening], last = value, evening
    return found


def _says(done: Iterable[Best]) -> int | None:
    """The best estimate of an evening, no less than its heaviest load made; None where no set speaks."""
    done = list(done)
    told = [value for b in done if b.strong and isinstance(value := estimate(EQUATION, b.load, b.reps), int)]
    return max(*told, *_made(done)) if told else None


def _made(done: Iterable[Best]) -> list[int]:
    """The loads of which a rep was made."""
    return [best.load for best in done if best.reps]


def estimates(sets: Iterable[Best]) -> tuple[Estimate, ...]:
    """The estimate of each evening that has one, oldest first."""
    return tuple(Estimate(day, value, *band(value)) for day, value in by_evening(sets).items())


def lately(sets: Iterable[Best]) -> Estimate | None:
    """The best of the two weeks up to the latest estimate; None without one.

    Never under a load of which a rep was made in these weeks or since.
    """
    done = tuple(sets)
    found = by_evening(done)
    if not found:
        return None
    start = max(found) - LATELY
    near = [(value, day) for day, value in found.items() if day > start]
    near += [(best.load, best.evening) for best in done if best.reps and best.evening > start]
    value, day = max(near)
    return Estimate(day, value, *band(value))
