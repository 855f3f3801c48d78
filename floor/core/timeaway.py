"""Time away: how long is long, and what comes off a load after it. Pure; loads in hundredths of the gym's unit."""

from __future__ import annotations

from datetime import datetime

FORTNIGHT = 14
"""So many days are time away: a load is eased after them, and clean evenings no longer go on from the one before."""

LAY_OFF: tuple[tuple[int, int], ...] = ((180, 40), (60, 20), (FORTNIGHT, 10))
"""(days away, per cent off), longest first. Common practice: about a tenth after two weeks, far more after months."""

TURN = 10
"""Days that may pass between two evenings and a lift still come in its turn. Common practice, no source."""


def days_away(last: datetime, now: datetime) -> int:
    """Whole days from then to now."""
    return (now - last).days


def is_away(days: int) -> bool:
    """Whether so many days are time away."""
    return days >= FORTNIGHT


def percent_off(days: int) -> int:
    """What comes off after so many days away, in per cent; nothing under a fortnight."""
    return next((percent for away, percent in LAY_OFF if days >= away), 0)


def after_lay_off(load: int, last_came: datetime | None, now: datetime) -> int:
    """The load wanted of a lifter who last came then; the load itself with no history."""
    off = percent_off(days_away(last_came, now)) if last_came is not None else 0
    return load * (100 - off) // 100


def after_left_out(load: int, done: datetime, made: datetime, turn: int, now: datetime) -> int:
    """The load wanted of a lift that its lifter left out while coming: last done then, planned as it is since `made`.

    `turn` is how many evenings the programme takes to come round to the lift: while
    it is no longer than that, nothing comes off. What the plan has lost to this
    before comes off only once.
    """
    off, before = (_off_left_out(days_away(done, at), turn) for at in (now, made))
    return load * (100 - off) // (100 - before) if off > before else load


def _off_left_out(days: int, turn: int) -> int:
    return percent_off(days) if days > turn * TURN else 0
