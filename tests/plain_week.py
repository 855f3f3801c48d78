"""The two weeks added up set by set, in plain Python: what the reading in SQL is held against."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from floor.core.past import LiftSum, SetPast, Top


def added_up(sets: Iterable[SetPast], last: date) -> tuple[LiftSum, ...]:
    """A sum for each lifter and lift of the seven days up to `last`, and of the seven days before."""
    weeks: dict[tuple[int, str, bool], list[SetPast]] = {}
    for one in sets:
        days = (last - one.evening).days
        if 0 <= days < 14:
            weeks.setdefault((one.lifter, one.lift, days >= 7), []).append(one)
    return tuple(_sum(*key, done) for key, done in sorted(weeks.items()))


def _sum(lifter: int, lift: str, before: bool, sets: list[SetPast]) -> LiftSum:
    work = [(one.load, one.made) for one in sets if one.made and not one.ramp]
    seen = [one for one in sets if one.watched]
    return LiftSum(
        lifter,
        lift,
        before,
        top=Top(*max(work)) if work else None,
        moved=sum(one.load * one.made for one in sets),
        missed=sum(one.missed for one in sets),
        faulty=sum(one.faulty for one in seen),
        watched=sum(one.tried for one in seen),
    )
