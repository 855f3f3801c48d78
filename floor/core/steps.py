"""How much is added: the step of a lift for a lifter, never past a tenth, and what is done when it can't be built.

Steps are loads, not percentages: a percentage is reckless for the strong and
can't be built for a beginner. Everything is in hundredths of the gym's unit.
"""

from __future__ import annotations

from collections.abc import Callable

from floor.core.gym import Gym
from floor.core.state import Lifter, TheSet

MOST_PERCENT = 10
"""No increase is more than this per cent of the load: the upper end of 2-10 %, ACSM position stand 2009,
Med Sci Sports Exerc 41(3):687-708 (read). One step of a strong lifter may well be under the lower end."""

EXTRA_REPS = 2
"""So many reps come first, one a session, while the next load can't be built: ACSM adds load when one to two
reps over the target can be done (position stand 2009; read)."""

LARGEST = 2000
"""A lifter's own step in hundredths, at the most: guards a slip of the finger, no source."""


def smallest_step(gym: Gym) -> int:
    """The lightest pair of plates the gym owns; 1 when it owns none."""
    return min((2 * plate.mass for plate in gym.plates if plate.pairs > 0), default=1)


def usual_step(gym: Gym, lifter: Lifter, lift: str) -> int:
    """The lift's step on the lifter's programme, never under the lightest pair unless the lift's own is."""
    step = gym.lifts[lift].step
    programme = gym.programmes.get(lifter.programme)
    percent = programme.step_percent if programme else 100
    return max(step * percent // 100, min(step, smallest_step(gym)))


def step_of(gym: Gym, lifter: Lifter, lift: str) -> int:
    """What is added for this lifter on this lift: a step of their own, or the usual one."""
    return lifter.steps.get(lift) or usual_step(gym, lifter, lift)


def halved(gym: Gym, step: int) -> int:
    """Half a step for one who slows, never under the lightest pair; never more than it was.

    Common practice, no source: smaller steps as a lift slows.
    """
    return min(step, max(step // 2, smallest_step(gym)))


def most_after(load: int) -> int:
    """The heaviest load that may follow a load."""
    return load * (100 + MOST_PERCENT) // 100


def counts_as(done: TheSet) -> int:
    """The load a set speaks for: its own, or what was planned where it was lifted, or typed, far over that."""
    far_over = done.planned is not None and done.load > most_after(done.planned)
    return done.planned if far_over and done.planned is not None else done.load


def eased(gym: Gym, load: int, buildable: Callable[[int], int]) -> int:
    """A load made lighter by the gym's per cent, as near below as it can be built.

    Where that would take a lighter bar and the empty one in hand is already half
    the way, the empty bar: nobody changes bars for half a kilo. Common practice, no source.
    """
    percent = gym.settings.ease_percent
    wanted = buildable(load * (100 - percent) // 100)
    empty = (buildable(bar.mass) for bar in gym.bars if wanted < bar.mass < load)
    return min((e for e in empty if e > wanted and e * 200 <= load * (200 - percent)), default=wanted)


def stepped(load: int, step: int, buildable: Callable[[int], int]) -> int:
    """The load one step up, as near as it can be built and no more than a tenth; not above `load` when none can."""
    return buildable(min(load + step, most_after(load)))


def next_up(load: int, buildable: Callable[[int], int]) -> int | None:
    """The lightest load above this one that can be built within a tenth of it, None when there is none."""
    low, high = load, most_after(load)
    if buildable(high) <= load:
        return None
    while high - low > 1:
        middle = (low + high) // 2
        if buildable(middle) > load:
            high = middle
        else:
            low = middle
    return buildable(high)
