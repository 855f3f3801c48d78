"""How many reps a set can have: as planned, a few more by mistake, never more than twice as many. Pure."""

from __future__ import annotations

TIMES = 2
"""So many times the reps planned is the most that is believed. Common practice, no source."""
MOST = "at most twice as many as planned"
"""The same in words."""
_FEW = {1: "one", 2: "two", 3: "three"}


def most_reps(planned: int) -> int:
    """The most reps that a set of so many planned ones can have, made and missed together."""
    return TIMES * planned


def impossible(planned: int, made: int, missed: int) -> str:
    """Why a set of `planned` reps cannot have had so many made and missed, in a sentence; "" where it can."""
    if made < 0 or missed < 0 or made + missed == 0:
        return "Say how many reps were made or missed: at least one."
    if made + missed > most_reps(planned):
        return f"A set of {planned} does not have {made + missed} reps: {MOST}."
    return ""


def over_words(planned: int, tried: int) -> str:
    """That a set went past its reps: "one more than planned"; "" where it did not."""
    more = tried - planned
    return f"{_FEW.get(more, str(more))} more than planned" if more > 0 else ""
