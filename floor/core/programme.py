"""Tonight's sets for one lifter: the day's lifts, each with its ramp and its work sets."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime

from floor.core.gym import Entry, Gym, Lift
from floor.core.nexttime import after_lay_off
from floor.core.state import Lifter
from floor.core.teaching import walk_load, walk_reps
from floor.core.tonight import RAMP_CEILING

HEAVY_RAMP = 75
"""From this per cent of the work load up, a ramp set has two reps. Common practice, no source."""
MOST_RAMPS = 4


@dataclass(frozen=True, slots=True)
class Planned:
    """One set to come: load in hundredths of the gym's unit."""

    lift: str
    role: str
    reps: int
    load: int
    stage: int | None


def days_of(gym: Gym, lifter: Lifter) -> int:
    """How many training days the lifter's programme has before it starts over: 1 without one."""
    programme = gym.programmes.get(lifter.programme)
    return len(programme.days) if programme and programme.days else 1


def todays_entries(gym: Gym, lifter: Lifter, ahead: int = 0) -> tuple[Entry, ...]:
    """The lifts of the lifter's next day, or of one so many days `ahead` of it.

    Without a programme: every lift that has a plan, as it was brought in.
    """
    programme = gym.programmes.get(lifter.programme)
    if programme and programme.days:
        return programme.days[(lifter.day + ahead) % len(programme.days)]
    return tuple(Entry(p.lift, p.sets, p.reps - p.extra) for p in lifter.plans.values() if p.lift in gym.lifts)


def left_out(gym: Gym, lifter: Lifter) -> tuple[str, ...]:
    """The lifts of the lifter's next day that cannot be done here: unknown to the gym, or with no station for them."""
    return tuple(e.lift for e in todays_entries(gym, lifter) if not can_be_done(gym, e.lift))


def can_be_done(gym: Gym, lift_id: str) -> bool:
    """Whether the gym knows the lift and has a station for it."""
    lift = gym.lifts.get(lift_id)
    return lift is not None and any(lift.needs in station.stands for station in gym.stations)


def whole_load(gym: Gym, lifter: Lifter, lift: str) -> int:
    """The load the lifter's plan holds for a lift (not scaled), or the gym's starting load."""
    plan = lifter.plans.get(lift)
    return plan.load if plan else gym.lifts[lift].start


def percent_today(gym: Gym, lifter: Lifter, lift: str) -> int:
    """How much of the whole load the lifter's day asks for: 100 unless it is a light day."""
    return next((e.percent for e in todays_entries(gym, lifter) if e.lift == lift), 100)


def stage_now(lift: Lift, lifter: Lifter) -> int | None:
    """The lifter's stage of a lift: the last for someone who came with a load, the first for a newcomer."""
    if not lift.stages:
        return None
    return lifter.stages.get(lift.id, lift.stages[-1].no if lift.id in lifter.plans else lift.stages[0].no)


def stage_most(lift: Lift, lifter: Lifter) -> int | None:
    """The heaviest load of the stage a lifter is at, None where it sets no limit."""
    return lift.stage_limit(stage_now(lift, lifter))


def ramp_loads(lift: Lift, work: int) -> tuple[int, ...]:
    """The shared ramp loads below a work load: the lightest and the last few."""
    below = [load for load in lift.ramp if load * 100 <= work * RAMP_CEILING]
    if len(below) > MOST_RAMPS:
        below = [below[0], *below[-(MOST_RAMPS - 1) :]]
    return tuple(below)


def rested_load(
    gym: Gym, lifter: Lifter, lift: str, now: datetime | None, buildable: Callable[[str, int], int]
) -> int:
    """The whole load, eased after time away up to `now` as check-in eases a plan; without `now`, as if there was none.

    A lift that has no plan yet starts where it starts.
    """
    whole = whole_load(gym, lifter, lift)
    if now is None or lift not in lifter.plans:
        return whole
    wanted, off = after_lay_off(whole, lifter.last_came, now)
    return min(whole, buildable(lift, wanted)) if off else whole


def days_load(
    gym: Gym, lifter: Lifter, entry: Entry, now: datetime | None, buildable: Callable[[str, int], int]
) -> int:
    """What a day asks for before the stage has its say: the rested load, on a light day its per cent of it.

    A light day goes no lower than where the lift starts. Common practice, no source.
    """
    rested = rested_load(gym, lifter, entry.lift, now, buildable)
    least = min(rested, gym.lifts[entry.lift].start)
    return buildable(entry.lift, max(rested * entry.percent // 100, least))


def todays_sets(
    gym: Gym, lifter: Lifter, now: datetime, buildable: Callable[[str, int], int]
) -> tuple[Planned, ...]:
    """Every set of the lifter's next day, in order; lifts that are `left_out` have none.

    `buildable(lift, load)` is the nearest load at or below a wanted one.
    """
    entries = (e for e in todays_entries(gym, lifter) if can_be_done(gym, e.lift))
    return tuple(planned for entry in entries for planned in sets_of(gym, lifter, entry, now, buildable))


def sets_of(
    gym: Gym, lifter: Lifter, entry: Entry, now: datetime | None, buildable: Callable[[str, int], int]
) -> tuple[Planned, ...]:
    """The ramp and the work sets of one lift of a day; `now` as in `rested_load`."""
    planned: list[Planned] = []
    lift = gym.lifts[entry.lift]
    work = days_load(gym, lifter, entry, now, buildable)
    stage = stage_now(lift, lifter)
    limit = lift.stage_limit(stage)
    if limit is not None:
        work = min(work, buildable(lift.id, limit))
    plan = lifter.plans.get(lift.id)
    new = plan is None
    extra = plan.extra if plan and entry.percent == 100 and entry.role == "work" else 0
    if reps := walk_reps(lift, stage):
        planned.append(Planned(lift.id, "ramp", reps, buildable(lift.id, walk_load(lift, work)), None))
    for load in ramp_loads(lift, work):
        reps = 2 if load * 100 >= work * HEAVY_RAMP else lift.ramp_reps
        planned.append(Planned(lift.id, "ramp", min(reps, max(entry.reps, 2)), buildable(lift.id, load), stage))
    role = "build" if new else entry.role
    planned += [Planned(lift.id, role, entry.reps + extra, work, stage)] * entry.sets
    if entry.backoff and not new:
        lighter = min(work, buildable(lift.id, work * entry.backoff_percent // 100))
        planned += [Planned(lift.id, "backoff", entry.reps, lighter, stage)] * entry.backoff
    return tuple(planned)
