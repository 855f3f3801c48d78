"""The same top load, evening after evening: a lift that has stopped rising, told without any statistic.

An evening's top is its heaviest work load with a rep made, and the most reps
made with it. Sets brought in count like any other. What was planned is not
asked: a load kept on purpose is named too, for the coach to know why.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from floor.core.past import Best, Top
from floor.core.units import show_with_unit

SAME = 4
"""So many evenings with one top load and no rep more at it are a stall: as many as three repeats in a row make.

Common practice, no source.
"""

LIGHTER = 2
"""So many lighter evenings running are light or bad days and are passed over; more are an ease-back or a fall.

After these the count starts anew. Our choice, no source.
"""


@dataclass(frozen=True, slots=True)
class Same:
    """A top load (hundredths) that has not risen over `evenings` with it, `lighter` ones among and after them aside."""

    load: int
    evenings: int
    lighter: int

    @property
    def stalled(self) -> bool:
        """Long enough to be called a stall."""
        return self.evenings >= SAME

    def words(self, unit: str) -> str:
        """Which load and how many evenings."""
        aside = f", {self.lighter} lighter aside" if self.lighter else " running"
        return f"same top load, {show_with_unit(self.load, unit)}, {self.evenings} evenings{aside}"


def tops_of(sets: Iterable[Best]) -> tuple[Top, ...]:
    """The top of each evening with a rep made, oldest first; one lift of one lifter."""
    found: dict[date, Top] = {}
    for best in sets:
        if best.reps:
            top = Top(best.load, best.reps)
            found[best.evening] = max(top, found.get(best.evening, top))
    return tuple(found[evening] for evening in sorted(found))


def same_load(tops: Iterable[Top]) -> Same | None:
    """How long the top load has stood, from tops oldest first; None without any.

    The load is the heaviest of the last evenings, LIGHTER of which may be under it. Counted back from there,
    it ends at a heavier evening or at more than LIGHTER lighter ones running, and begins with the most reps.
    """
    latest = tuple(tops)[::-1]
    if not latest:
        return None
    load = max(top.load for top in latest[: LIGHTER + 1])
    reps: list[int] = []
    lighter, passed, running = [], 0, 0
    for top in latest:
        running = running + 1 if top.load < load else 0
        if top.load > load or running > LIGHTER:
            break
        if running:
            passed += 1
        else:
            reps.append(top.reps)
            lighter.append(passed)
    first = max(n for n, count in enumerate(reps) if count == max(reps))
    return Same(load, first + 1, lighter[first])
