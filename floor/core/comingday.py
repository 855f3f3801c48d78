"""What the next session that has a lift will ask of a lifter: said alike wherever next time is said. Pure.

A plan holds the whole load. What is lifted next is what check-in then plans: the
programme's next day with its sets, reps and per cent, the stage's limit and the
load that can be built. `coming_lift` works that out by the rules of
`todays_sets`, `coming_words` says it. Loads are hundredths of the gym's unit.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from functools import partial

from floor.core import clearance
from floor.core.apply import fold
from floor.core.arrivals import here_tonight
from floor.core.decide.closing import after_evening
from floor.core.gym import Gym
from floor.core.loading import buildable
from floor.core.nexttime import LAY_OFF, LIGHT_DAY, LIGHT_ROUGH, next_reason, plan_reason
from floor.core.programme import can_be_done, days_load, days_of, rested, sets_of, todays_entries, whole_load
from floor.core.state import Lifter, NextPlan, State
from floor.core.units import show_load, show_with_unit

NOT_COMING = "no day of the programme has it"
"""Said of a lift that no coming session will ask for."""
NEW = "new: a first load is found from there"
"""Said of a lift that nothing was planned for yet."""
AFTER_LIGHT = (LIGHT_DAY, LIGHT_ROUGH)
"""The rules of a light day after which the full load comes back."""
EASED_FOR = {LAY_OFF: "after time away", clearance.EASES: "since pain was cleared"}
"""What a plan is eased for at check-in, by the rule."""


@dataclass(frozen=True, slots=True)
class ComingLift:
    """The work sets of a lift in the next session that has it: `load` for `sets` of `reps`, `role` work or build.

    `whole` is the load planned (the lift's start load when it is `new`), `rested`
    what check-in leaves of it by the rule `eased`, `percent` the day's part of that. `limited` says
    that the stage allows less than the day would. The session is `ahead` of the
    next one (0 is the next), day `day` of the programme, counted from 1.
    """

    lift: str
    sets: int
    reps: int
    load: int
    role: str
    whole: int
    rested: int
    eased: str
    percent: int
    new: bool
    limited: bool
    ahead: int
    day: int


def coming_lift(
    gym: Gym, lifter: Lifter, lift: str, now: datetime | None = None,
    load_of: Callable[[str, int], int] | None = None,
) -> ComingLift | None:  # fmt: skip
    """What the next session with this lift asks for; None when no day of theirs has it or it can't be done here.

    With `now` it is as if they checked in then, eased as check-in eases; without, as if they come back soon.
    `load_of` is `buildable` in this gym, for who asks of many lifters and keeps what it said.
    """
    if not can_be_done(gym, lift):
        return None
    load_of = load_of or partial(buildable, gym)
    days = days_of(gym, lifter)
    for ahead in range(days):
        entry = next((e for e in todays_entries(gym, lifter, ahead) if e.lift == lift), None)
        if entry is None:
            continue
        work = [s for s in sets_of(gym, lifter, entry, now, load_of) if s.role not in ("ramp", "backoff")]
        if not work:
            continue
        first = work[0]
        left, rule = rested(gym, lifter, lift, now, load_of)
        return ComingLift(
            lift=lift,
            sets=len(work),
            reps=first.reps,
            load=first.load,
            role=first.role,
            whole=whole_load(gym, lifter, lift),
            rested=left,
            eased=rule,
            percent=entry.percent,
            new=lift not in lifter.plans,
            limited=first.load < days_load(gym, lifter, entry, now, load_of),
            ahead=ahead,
            day=(lifter.day + ahead) % days + 1,
        )
    return None


def after_tonight(state: State, lifter: int, now: datetime | None = None) -> Lifter:
    """The lifter as they will stand when they come next: someone here tonight as if the session closed now."""
    present = here_tonight(state).get(lifter)
    if present is None:
        return state.lifters[lifter]
    return fold(state, after_evening(state, present, now or state.evening.opened)).lifters[lifter]


def coming_words(coming: ComingLift, gym: Gym, was: int | None = None) -> str:
    """What will be asked, plainly: "62.5 kg 3×5", "70 kg 2×5 (light day: 80 % of the full 88 kg)".

    `was` is the whole load of before; how it goes on is said where it differs, and on a light day.
    """
    notes = coming_notes(coming, gym, was)
    return asked_words(coming, gym) + (f" ({', '.join(notes)})" if notes else "")


def asked_words(coming: ComingLift, gym: Gym) -> str:
    """The load, the sets and the reps alone, and which day when it is not the next: "62.5 kg 3×5 on day 2"."""
    day = f" on day {coming.day}" if coming.ahead else ""
    return f"{show_with_unit(coming.load, gym.unit)} {coming.sets}×{coming.reps}{day}"


def coming_notes(coming: ComingLift, gym: Gym, was: int | None = None) -> list[str]:
    """Why the load is not the whole load, as far as it is not; and what the whole load was.

    On a light day the whole load's way is said with it, so that a lighter day does not look like a lighter plan.
    """
    notes = [words + _way(coming.whole, was)] if (words := light_words(coming, gym)) else []
    whole = show_with_unit(coming.whole, gym.unit)
    if coming.rested < coming.whole:
        notes.append(f"eased from {whole} {EASED_FOR[coming.eased]}")
    if coming.limited:
        notes.append(f"the stage's most; {whole} after it")
    elif coming.percent == 100 and coming.load != coming.rested:
        notes.append(f"the nearest to {show_with_unit(coming.rested, gym.unit)} that can be built")
    if was is not None and was != coming.whole and not words:
        notes.append(f"was {show_load(was)}")
    return notes


def reason_words(rule: str, coming: ComingLift | None, gym: Gym) -> str:
    """The sentence of a rule between sessions for what comes; after a light day that it is the full load again."""
    back = back_words(coming, gym) if rule in AFTER_LIGHT else ""
    told = "" if back and rule == LIGHT_DAY else next_reason(rule)
    return " · ".join(filter(None, (back, told)))


def plan_words(plan: NextPlan, coming: ComingLift | None, gym: Gym) -> str:
    """Why a plan is what it is, with what the rule said where the coach set it; as `reason_words`."""
    return reason_words(plan.rule, coming, gym) if plan.rule in AFTER_LIGHT else plan_reason(plan)


def back_words(coming: ComingLift | None, gym: Gym) -> str:
    """That the session after a light day asks for the full load, so that it is no jump; "" where it asks for less."""
    if coming is None or coming.percent < 100 or coming.limited or coming.rested < coming.whole:
        return ""
    return f"back to the full {show_with_unit(coming.load, gym.unit)} after the light day"


def light_words(coming: ComingLift, gym: Gym) -> str:
    """What part of the whole load a light day asks for; empty on a full day."""
    if coming.percent == 100:
        return ""
    if coming.load * 100 > coming.rested * coming.percent:
        return f"light day: no lighter than {show_with_unit(coming.load, gym.unit)}, where the lift starts"
    return f"light day: {coming.percent} % of the full {show_with_unit(coming.rested, gym.unit)}"


def _way(whole: int, was: int | None) -> str:
    """How the whole load goes on from before."""
    if was is None:
        return ""
    if whole == was:
        return ", as before"
    return f", {'up' if whole > was else 'down'} from {show_load(was)}"
