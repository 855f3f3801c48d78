"""How long a set takes: the gym's own record where there is enough of it, a plain guess where not.

Guesses are common practice, no source: a moment to take the bar and to put it
down again, and a few seconds for every rep.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

TAKE_THE_BAR, RAMP_TAKE_THE_BAR = 15, 12
"""Seconds from stepping on to the first rep, and from the last rep to the bar down. Common practice, no source."""
REP, RAMP_REP = 5, 4
"""Seconds a rep. Common practice, no source."""
WALK_ON = 15
"""Seconds until the next lifter stands at a bar that is ready. Common practice, no source."""
ENOUGH = 5
"""Sets of a lift and reps on record from which their mean is heeded. No source."""
GUESS_WEIGHT = 5
"""How many sets on record the guess counts for beside their mean. No source."""


@dataclass(frozen=True, slots=True)
class Pace:
    """`learned` is, by (lift, reps), the mean seconds from stepping on to the bar down, and of how many sets.

    A lift that is recorded with fewer than `ENOUGH` sets of those reps is guessed.
    Ramp and work sets of the same reps share their record.
    """

    learned: Mapping[tuple[str, int], tuple[float, int]] = field(default_factory=dict)
    walk: int = WALK_ON

    def seconds(self, lift: str, reps: int, role: str = "work") -> int:
        """Whole seconds from stepping on to the bar down: the recorded mean drawn towards the guess.

        (n sets of mean m and a guess g count as (n m + `GUESS_WEIGHT` g) / (n + `GUESS_WEIGHT`).)
        """
        guess = guessed(reps, role)
        mean, count = self.learned.get((lift, reps), (0.0, 0))
        if count < ENOUGH or mean <= 0:
            return guess
        return max(1, round((count * mean + GUESS_WEIGHT * guess) / (count + GUESS_WEIGHT)))


NO_PACE = Pace()
"""Nothing learned: every set is guessed."""


def guessed(reps: int, role: str = "work") -> int:
    """Seconds of a set nobody has timed."""
    if role == "ramp":
        return RAMP_TAKE_THE_BAR + RAMP_REP * reps
    return TAKE_THE_BAR + REP * reps
