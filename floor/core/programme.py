"""Tonight's sets for one lifter: the day's lifts, each with its ramp and its work sets."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import datetime
from functools import partial

from floor.core.clearance import EASES, from_before
from floor.core.gym import Entry, Gym, Lift
from floor.core.nexttime import BY_HAND, LAY_OFF
from floor.core.ramps import ramp_loads, ramp_reps
from floor.core.state import Lifter
from floor.core.steps import eased
from floor.core.teaching import walk_load, walk_reps
from floor.core.timeaway import after_lay_off, after_left_out, days_away, is_away


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
    # Sets and reps are decided here and nowhere else: the programme's, or what was brought in since it was given.
    programme = gym.programmes.get(lifter.programme)
    if programme and programme.days:
        day = programme.days[(lifter.day + ahead) % len(programme.days)]
        return tuple(_as_brought(entry, lifter) for entry in day)
    return tuple(Entry(p.lift, p.sets, p.reps - p.extra) for p in lifter.plans.values() if p.lift in gym.lifts)


def _as_brought(entry: Entry, lifter: Lifter) -> Entry:
    """A lift of the day in the sets and reps it was brought in with.

    A light day keeps the programme's number of sets, and so does a build where a
    single set was brought: of a load that rises it is only the last.
    """
    plan = lifter.plans.get(entry.lift) if entry.lift in lifter.brought else None
    if plan is None:  # tonight's sets were planned before it came
        return entry
    own = entry.percent == 100 and (entry.role == "work" or plan.sets > 1)
    sets, backoff = (plan.sets, 0) if own else (entry.sets, entry.backoff)
    return replace(entry, sets=sets, reps=plan.reps - plan.extra, backoff=backoff)


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


def evenings_between(gym: Gym, lifter: Lifter, lift: str) -> int:
    """How many evenings the lifter's programme takes at the most to come round to a lift again."""
    days = days_of(gym, lifter)
    has = [day for day in range(days) if any(e.lift == lift for e in todays_entries(gym, lifter, day))]
    return max(((after - day) % days or days for day, after in zip(has, has[1:] + has[:1], strict=True)), default=days)


def rested(
    gym: Gym, lifter: Lifter, lift: str, now: datetime | None, buildable: Callable[[str, int], int]
) -> tuple[int, str]:
    """What check-in up to `now` leaves of the whole load, and by which rule; all of it and "" where nothing comes off.

    The lowest of what the lifter's absence leaves, what the lift's own does where its
    turn went by, and what is left of a plan from before pain. Without `now` nothing comes
    off, nor of a lift that has no plan yet: it starts where it starts.
    """
    plan = lifter.plans.get(lift)
    if now is None or plan is None:
        return whole_load(gym, lifter, lift), ""
    ways = [(after_lay_off(plan.load, lifter.last_came, now), LAY_OFF)]
    done = plan.made if plan.rule == BY_HAND else plan.done
    if plan.made is not None and done is not None and is_away(days_away(done, now)):
        left_out = after_left_out(plan.load, done, plan.made, evenings_between(gym, lifter, lift), now)
        ways.append((left_out, LAY_OFF))
    ways = [(buildable(lift, wanted), rule) for wanted, rule in ways if wanted < plan.load]
    if from_before(lifter, plan):
        ways.append((eased(gym, plan.load, partial(buildable, lift)), EASES))
    return min([(plan.load, ""), *ways])


def days_load(
    gym: Gym, lifter: Lifter, entry: Entry, now: datetime | None, buildable: Callable[[str, int], int]
) -> int:
    """What a day asks for before the stage has its say: the rested load, on a light day its per cent of it.

    A light day goes no lower than where the lift starts. Common practice, no source.
    """
    left, _ = rested(gym, lifter, entry.lift, now, buildable)
    least = min(left, gym.lifts[entry.lift].start)
    return buildable(entry.lift, max(left * entry.percent // 100, least))


def todays_sets(
    gym: Gym, lifter: Lifter, now: datetime | None, buildable: Callable[[str, int], int]
) -> tuple[Planned, ...]:
    """Every set of the lifter's next day, in order; lifts that are `left_out` have none; `now` as in `rested`.

    `buildable(lift, load)` is the nearest load at or below a wanted one.
    """
    entries = (e for e in todays_entries(gym, lifter) if can_be_done(gym, e.lift))
    return tuple(planned for entry in entries for planned in sets_of(gym, lifter, entry, now, buildable))


def sets_of(
    gym: Gym, lifter: Lifter, entry: Entry, now: datetime | None, buildable: Callable[[str, int], int]
) -> tuple[Planned, ...]:
    """The ramp and the work sets of one lift of a day; `now` as in `rested`."""
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
        reps = ramp_reps(lift, load, work, entry.reps)
        planned.append(Planned(lift.id, "ramp", reps, buildable(lift.id, load), stage))
    role = "build" if new else entry.role
    planned += [Planned(lift.id, role, entry.reps + extra, work, stage)] * entry.sets
    if entry.backoff and not new:
        lighter = min(work, buildable(lift.id, work * entry.backoff_percent // 100))
        planned += [Planned(lift.id, "backoff", entry.reps, lighter, stage)] * entry.backoff
    return tuple(planned)
