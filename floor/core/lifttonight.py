"""What one lifter did tonight on one lift: the evidence that the rules between sessions are asked about. Pure.

Loads are hundredths of the gym's unit.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime

from floor.core.gym import Grade, Gym, Severity
from floor.core.state import DONE, PLANNED, TheSet
from floor.core.steps import counts_as, eased
from floor.core.tonight import asked_for_less, at_least, worst_fault

TWO_OVER = 2
"""Reps over in the last set, two sessions running: two-for-two (NSCA Essentials, second-hand)."""


@dataclass(frozen=True, slots=True)
class LiftTonight:
    """Everything one lifter did tonight on one lift, and where it started.

    `planned` is the whole load, `percent` the day's part of it. `worst` is the worst
    fault seen tonight, in the group drill too. `cleared`: the first evening since pain
    was cleared. `step` is the lifter's own. `extra` reps stand on top of the programme's.
    `over` says that the last session's last set went over, `two_for_two` that the gym
    asks for that. `cap` is the form limit, None without one. `learning` says that
    the lift's stages before the last were done, on a lift not held by its form.
    `most` is the heaviest load of the stage the work was done on, None without one.
    `asked`: a set or the group drill asked for less load. `bad`: the last work set was not good.
    The loads that next time may not go past, as tonight's day had them, None for no such reason:
    `ended` is what tonight came down to once less was asked for, `after` what it ended with
    after a clearance, `day` what the day asked for.
    """

    sets: tuple[TheSet, ...]
    planned: int
    repeats: int
    held: bool
    stopped: str
    percent: int
    worst: Severity | None
    cleared: bool = False
    known: bool = False
    step: int = 0
    extra: int = 0
    over: bool = False
    two_for_two: bool = False
    cap: int | None = None
    learning: bool = False
    most: int | None = None
    asked: bool = False
    bad: bool = False
    ended: int | None = None
    after: int | None = None
    day: int | None = None

    @property
    def work(self) -> tuple[TheSet, ...]:
        """The work and build sets that were done."""
        return tuple(s for s in self.sets if s.status == DONE and s.role != "ramp")

    @property
    def watched(self) -> tuple[TheSet, ...]:
        """Those of them that somebody watched."""
        return tuple(s for s in self.work if s.grade not in (None, Grade.UNSEEN))

    @property
    def standing(self) -> bool:
        """There is something to ease: the lift was done, or had a plan."""
        return bool(self.work) or self.known

    @property
    def every_rep(self) -> bool:
        """Every rep of every work set that was done was made; a set cut short was not missed."""
        return not any(_short(s) for s in self.work)

    @property
    def every_set(self) -> bool:
        """No planned work set was left out or cut short; a back-off set may be."""
        return all(s.status == DONE and not s.cut for s in self.sets if s.role not in ("ramp", "backoff"))

    def graded(self, *grades: Grade) -> bool:
        """Whether any work set was given one of these grades."""
        return any(s.grade in grades for s in self.work)

    @property
    def top(self) -> int:
        """The heaviest load that the work done speaks for, 0 if none."""
        return max((counts_as(s) for s in self.work), default=0)

    @property
    def seen(self) -> int:
        """The heaviest work load that was watched, 0 if none: what next time may build on."""
        return max((counts_as(s) for s in self.watched), default=0)

    @property
    def unseen(self) -> bool:
        """Fewer than a third of the work sets were watched, or none of the day's load or of what was added to it.

        A third is one of the usual three: common practice, no source. Asking for half took
        nearly half of the gain from lifters whose coach watches few sets (the trial, altered).
        """
        day = self.planned if self.day is None else self.day
        blind = self.seen < self.top and (self.seen <= day if self.building else self.seen < day)
        return 3 * len(self.watched) < len(self.work) or blind

    @property
    def building(self) -> bool:
        """Whether these were build sets."""
        return any(s.role == "build" for s in self.work)

    @property
    def over_now(self) -> bool:
        """The last work set, watched, went two reps or more past what was planned."""
        across = [s for s in self.work if s.role == "work"]
        return bool(across) and across[-1] in self.watched and across[-1].made >= across[-1].reps + TWO_OVER

    @property
    def held_to_two(self) -> bool:
        """Two-for-two decides: build sets and a first load follow the form instead."""
        return self.two_for_two and not self.building

    @property
    def last(self) -> int | None:
        """The load of the work set done last, back-off sets aside; None without one."""
        return last.load if (last := _last(self.sets)) is not None else None


def look(
    gym: Gym, sets: Sequence[TheSet], planned: int, repeats: int, held: bool, stopped: str, percent: int,
    known: bool = False, *, cleared: datetime | None = None, drilled: Severity | None = None, step: int = 0,
    extra: int = 0, over: bool = False, cap: int | None = None, day: int | None = None,
    buildable: Callable[[int], int] = lambda load: load,
) -> LiftTonight:
    """Gather tonight's evidence on one lift. `planned` is the whole (not light-day) load.

    `known` says that the lifter had a plan for the lift before tonight. `cleared` is
    when pain was cleared that this is the first evening after, None for no such
    evening. `drilled` is the worst fault in tonight's group drills of the lift.
    `step`, `extra`, `over`, `cap` and `day` are as in LiftTonight.
    """
    marked = (drilled, *(worst_fault(gym, s) for s in sets if s.status == DONE))
    worst = max((w for w in marked if w is not None), key=lambda w: w.rank, default=None)
    in_sets = [s for s in sets if s.status == DONE and asked_for_less(gym, s)]
    asked = bool(in_sets) or at_least(drilled, Severity.LIGHTEN)
    last = _last(sets)
    return LiftTonight(
        tuple(sets), planned, repeats, held, stopped, percent, worst, cleared is not None, known, step, extra, over,
        gym.settings.load_rule == "two-for-two", cap, _learning(gym, sets), _most(gym, sets), asked,
        bad=last is not None and _bad(gym, last),
        ended=_ended(gym, sets, in_sets, day, buildable) if asked or held or stopped else None,
        after=_after(gym, sets, cleared, buildable) if cleared is not None else None,
        day=day,
    )


def _main(sets: Iterable[TheSet], *status: str) -> list[TheSet]:
    """The work and build sets so far on: back-off sets are lighter by plan and say nothing of the load."""
    return [s for s in sets if s.role in ("work", "build") and s.status in status]


def _last(sets: Iterable[TheSet]) -> TheSet | None:
    return max(_main(sets, DONE), key=lambda s: (s.down is not None, s.down, s.no), default=None)


def _short(done: TheSet) -> bool:
    """Reps were missed or left out, and not because the set was cut short."""
    return done.made < done.reps and (bool(done.missed) or not done.cut)


def _bad(gym: Gym, done: TheSet) -> bool:
    """Missed, rough, broken, or with a fault to fix or worse."""
    return done.grade in (Grade.ROUGH, Grade.BROKEN) or _short(done) or at_least(worst_fault(gym, done), Severity.FIX)


def _ended(
    gym: Gym, sets: Sequence[TheSet], asking: Sequence[TheSet], day: int | None, buildable: Callable[[int], int]
) -> int | None:
    """The last work load lifted or left planned, None when there is none.

    Where only the ramp or the drill asked for less, at most the gym's per cent under the
    day's load: what a light bar shows is no measure of a heavy one.
    """
    work = _main(sets, DONE, PLANNED)
    if not work:
        return None
    only_light = bool(asking) and all(s.role == "ramp" for s in asking)
    if only_light and day is not None:
        return max(work[-1].load, eased(gym, day, buildable))
    return work[-1].load


def _after(gym: Gym, sets: Sequence[TheSet], cleared: datetime, buildable: Callable[[int], int]) -> int | None:
    """What tonight ended with after a clearance: the last work load lifted since or left, else the last one eased."""
    since = [s for s in _main(sets, DONE, PLANNED) if s.status == PLANNED or s.down is None or s.down > cleared]
    if since:
        return since[-1].load
    last = _last(sets)
    return eased(gym, last.load, buildable) if last is not None else None


def _most(gym: Gym, sets: Sequence[TheSet]) -> int | None:
    """The heaviest load of the last stage that work was done on tonight."""
    work = [s for s in sets if s.status == DONE and s.role != "ramp"]
    return gym.lifts[work[-1].lift].stage_limit(work[-1].stage) if work else None


def _learning(gym: Gym, sets: Sequence[TheSet]) -> bool:
    """Whether work was done on a stage before the last: its load is the drill's. Not on a lift held by its form."""
    done = (s for s in sets if s.status == DONE and s.role != "ramp" and s.stage is not None)
    lifts = ((gym.lifts[s.lift], s.stage) for s in done)
    return any(not lift.form_first and lift.stage(stage) is not None and stage != lift.stages[-1].no
               for lift, stage in lifts)
