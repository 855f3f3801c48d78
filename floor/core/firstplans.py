"""What next time starts from after days were brought in: the newest of them, and never past what was planned since.

A plan that an earlier history made follows when newer days come, and stays when
older ones do. A plan made by an evening, by the coach or by a roster stays.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime

from floor.core.gym import Grade
from floor.core.nexttime import BY_HAND, IMPORTED
from floor.core.pastdays import PastDay, PastSet
from floor.core.state import NextPlan, State

FIVE = 5
"""Reps that make a set heavy enough to start a programme from. Common practice, no source."""

NEWER = "from a newer day"
"""Why a plan of an earlier history stays when older days come."""

Lifts = dict[tuple[int, str], tuple[datetime, list[PastSet]]]
"""By lifter and lift: noon of the newest day that counts, and its sets that do."""


@dataclass(frozen=True, slots=True)
class FirstPlan:
    """What the newest day of a lift asks next time, loads in hundredths, beside the plan that `stands` until now.

    `noon` is that day's. `stays` says why the standing plan is left alone; empty when this one takes its place.
    """

    lifter: int
    lift: str
    sets: int
    reps: int
    load: int
    noon: datetime
    stands: NextPlan | None = None
    stays: str = ""


def first_plans(state: State, days: Sequence[PastDay], rest_on: Sequence[PastDay] = ()) -> Iterator[FirstPlan]:
    """What each lift of the days brought in asks next time.

    `rest_on` are the days that plans of an earlier history rest on, with the sets
    of those lifts alone. Where more sets come of such a day, the plan is made of both.
    """
    follows = {(one.lifter, one.lift): day.noon for day in rest_on for one in day.sets}
    coming, newest = _newest(days), _newest((*rest_on, *days))
    for key, (noon, _) in coming.items():
        lifter, lift = key
        standing = state.lifters.get(lifter)
        plan = standing.plans.get(lift) if standing is not None else None
        latest, done = newest[key]
        stays = ""
        if plan is not None and key not in follows:
            stays = made_by(plan)
        elif plan is not None and noon < latest:
            stays = NEWER
        yield FirstPlan(lifter, lift, *_start(done), latest, plan, stays)


def made_by(plan: NextPlan) -> str:
    """Who or what a plan is from, as it is said of a plan that stays."""
    return {BY_HAND: "set by the coach", IMPORTED: "from a roster"}.get(plan.rule, "from an evening here")


def _newest(days: Sequence[PastDay]) -> Lifts:
    """A day of missed and broken sets alone doesn't count: nobody starts from them."""
    last: Lifts = {}
    for day in sorted(days, key=lambda d: d.noon):
        of_lift: dict[tuple[int, str], list[PastSet]] = {}
        for one in day.sets:
            of_lift.setdefault((one.lifter, one.lift), []).append(one)
        for key, done in of_lift.items():
            when, sets = last.get(key, (day.noon, []))
            if when == day.noon:
                last[key] = (day.noon, [*sets, *done])
            elif any(map(_whole, done)):
                last[key] = (day.noon, done)
    return {key: found for key, found in last.items() if any(map(_whole, found[1]))}


def _whole(one: PastSet) -> bool:
    """A set that made its reps and held."""
    return one.made > 0 and not one.missed and one.grade is not Grade.BROKEN


def _start(done: Sequence[PastSet]) -> tuple[int, int, int]:
    """Sets, reps and load: as was done, no heavier. A lay-off is eased at check-in.

    The load is the heaviest made for FIVE reps that day, or for the most reps there
    were: a single is no load for sets of five. Of "100x5,5,4" the third is a set too.
    """
    whole = [one for one in done if _whole(one)]
    enough = min(FIVE, max(one.made for one in whole))
    heaviest = max(one.load for one in whole if one.made >= enough)
    top = [one for one in done if one.load == heaviest and one.made > 0 and one.grade is not Grade.BROKEN]
    return len(top), min(one.made for one in top if _whole(one) and one.made >= enough), heaviest
