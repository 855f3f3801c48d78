"""What a plan is for, in the order that counts: the words a gym uses for it, and the costs a search adds up."""

from __future__ import annotations

from collections.abc import Sequence

GOALS = ("closing", "leaving", "care", "finish", "plates")
"""In this order unless told otherwise: seconds after closing (without one, the finish), seconds after lifters leave,
care, the finish, plates. Care is the seconds waited too long with what is worth some waiting: eyes-on sets at once and
plates moved. "waits" and "eyes" can be named alone. With plates before the finish one lifter after the other is
planned, each with a bar to themselves."""
KINDS = (*GOALS, "waits", "eyes")
"""Every goal there is."""

_COSTS = {"rest": (), "closing": ("closing", "leaving"), "waiting": ("care",), "plates": ("plates",)}


def goals_for(order: Sequence[str]) -> tuple[str, ...]:
    """The costs in the order of a gym's own words: rest, closing, waiting, plates, each once.

    Rest costs nothing: no plan has a set before its least rest is over. Of orders
    that cost the same, the one that is done first: before the plates where
    they come last. KeyError for another word.
    """
    costs = [cost for word in order for cost in _COSTS[word]]
    if "finish" not in costs:
        last = max((n for n, cost in enumerate(costs) if cost in ("leaving", "care")), default=-1)
        costs.insert(last + 1, "finish")
    return tuple(costs)
