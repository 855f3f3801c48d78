"""Clean reps over several evenings: which stages ask for them, and the row that the evenings before ended with. Pure.

The record is read once, when the lifter arrives, and written down as `row_found`;
tonight's rules go on from that.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from floor.core.gym import Gym, Lift
from floor.core.past import SetPast
from floor.core.programme import stage_now, todays_entries
from floor.core.state import DONE, CleanRow, Lifter, TheSet
from floor.core.teaching import clean_row
from floor.core.timeaway import is_away


def asks_earlier(gym: Gym, lifter: Lifter) -> tuple[tuple[str, int], ...]:
    """(lift, stage) of the lifter's coming day that the evenings before count for.

    A stage that asks for more than one evening, or for more than the day's sets hold:
    where an evening can show all of it, what was clean on another is left out.
    """
    found = []
    for entry in todays_entries(gym, lifter):
        lift = gym.lifts.get(entry.lift)
        no = stage_now(lift, lifter) if lift else None
        stage = lift.stage(no) if lift else None
        if lift is None or stage is None or not stage.clean_reps or stage.no == lift.stages[-1].no:
            continue
        short = entry.sets * entry.reps < stage.clean_reps or entry.sets < stage.over_sets
        if short or stage.evenings > 1:
            found.append((lift.id, stage.no))
    return tuple(dict.fromkeys(found))


def earlier_row(lift: Lift, stage: int, past: Iterable[SetPast], today: date) -> CleanRow | None:
    """The row at a stage that the evenings before `today` ended with, evenings running; None when there is none.

    Time away from evenings that were watched, or an evening on another stage, end it.
    Of a set with a missed rep nobody knows which it was: it ends the row.
    """
    evenings: dict[date, list[SetPast]] = {}
    for one in past:
        if one.lift == lift.id and one.watched and not one.ramp and one.evening < today:
            evenings.setdefault(one.evening, []).append(one)
    row: CleanRow | None = None
    after = today
    for day in sorted(evenings, reverse=True):
        sets = [_as_done(one) for one in evenings[day]]
        found = clean_row(lift, sets)
        if is_away((after - day).days) or found.stage != stage or not found.reps:
            break
        row = row.after(found) if row is not None else found
        if found.reps < sum(len(s.marks) for s in sets):
            break
        after = day
    return row


def _as_done(one: SetPast) -> TheSet:
    """A set of the record as one of tonight's; without a time, their numbers say which was the last."""
    marks = (True,) * one.made + (False,) * one.missed
    return TheSet(
        one.set_no, one.lift, one.role or "work", one.tried, one.load, one.stage, DONE, marks=marks,
        faults=one.faults, grade=one.grade,
    )
