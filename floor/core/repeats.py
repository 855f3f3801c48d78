"""A load repeated evening after evening: which evenings those were, and what was made of them. Pure.

What the record holds of them is read once, when the lifter arrives, and written
down as `repeat_found`; tonight's sets are the latest. They decide nothing: the
rules count repeats, these show what was counted.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import groupby, zip_longest

from floor.core.gym import Grade
from floor.core.nexttime import BY_HAND
from floor.core.state import DONE, Lifter, Present, Repeat, TheSet
from floor.core.units import show_with_unit

FORM = (Grade.ROUGH, Grade.BROKEN)
"""The grades that are said of an evening: they repeat a load though every rep was made."""


def repeated(lifter: Lifter) -> tuple[str, ...]:
    """The lifts whose load stands repeated: those with evenings to read."""
    return tuple(plan.lift for plan in lifter.plans.values() if plan.repeats)


def counted(plans: Iterable[tuple[int | None, int, str]]) -> tuple[int, ...]:
    """The sessions that were counted as repeats in the run that goes on now.

    `plans` holds (session, repeats in a row from then on, rule) of every plan of a
    lift, oldest first. A plan by hand that the same session planned over counts for nothing.
    """
    told = list(plans)
    run: list[int] = []
    before = 0
    for (session, repeats, rule), after in zip_longest(told, told[1:]):
        if rule == BY_HAND and after is not None and after[0] == session:
            continue
        if not repeats:
            run.clear()
        elif repeats > before and session is not None:
            run.append(session)
        before = repeats
    return tuple(run)


def evening(sets: Iterable[tuple[int, int, int, Grade | None]]) -> Repeat | None:
    """One evening from its work sets, each (load, reps made, reps asked, grade); None without any."""
    done = list(sets)
    if not done:
        return None
    grades = [grade for *_, grade in done if grade not in (None, Grade.UNSEEN)]
    worst = max(grades, key=list(Grade).index, default=None)
    made, asked = sum(made for _, made, *_ in done), sum(asked for _, _, asked, _ in done)
    return Repeat(max(load for load, *_ in done), min(made, asked), asked, worst)


def tonight(sets: Iterable[TheSet]) -> Repeat | None:
    """Tonight's evening of a lift, None before its first work set."""
    work = (s for s in sets if s.status == DONE and s.role != "ramp")
    return evening((s.load, min(s.made, s.reps), s.reps, s.grade) for s in work)


def run_words(present: Present, lift: str, unit: str) -> str:
    """The evenings that repeated a lift's load, tonight the last; "" where the record told of none before tonight.

    "3 evenings at 95 kg: 13 of 15, 14 of 15, 13 of 15 reps": the load is said again only where it differs.
    """
    before, last = present.repeats.get(lift, ()), tonight(present.of_lift(lift))
    if not before or last is None:
        return ""
    return evenings_words((*before, last), unit)


def evenings_words(evenings: Sequence[Repeat], unit: str) -> str:
    """The evenings in a phrase, oldest first."""
    by_load = [(load, list(alike)) for load, alike in groupby(evenings, key=lambda one: one.load)]
    if len(by_load) == 1:
        ((load, alike),) = by_load
        return f"{len(evenings)} evenings at {show_with_unit(load, unit)}: {_reps(alike)} reps"
    told = "; ".join(f"{_reps(alike)} at {show_with_unit(load, unit)}" for load, alike in by_load)
    return f"{len(evenings)} evenings: reps {told}"


def _reps(evenings: Iterable[Repeat]) -> str:
    return ", ".join(f"{one.made} of {one.asked}" + (f" {one.grade}" if one.grade in FORM else "") for one in evenings)
