"""Which sets the coach should see, and why: the rules in one place, the first that fits speaks, highest rank first.

So that few remain in a group of beginners at most one set in `ONE_IN` is kept,
by rank, and one lifter's second such set comes after everybody's first.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime

from floor.core.clearance import first_since
from floor.core.gym import Gym, Severity
from floor.core.proposals import PRACTICE, STOP
from floor.core.state import DONE, PLANNED, RUNNING, Lifter, State, TheSet
from floor.core.steps import step_of
from floor.core.tonight import asked_for_less, at_least, drilled

FIRST_SESSIONS = 6
"""How many sessions a lifter is new for: two weeks of three. Common practice, no source."""
WELL_ABOVE = 5
"""Per cent over the load before, with more than one step of the lift, that make a heavy try. No source."""
ONE_IN = 4
"""At most one set in so many is kept. No source."""
BAD_LAST_TIME = ("broken-eases", "asked-holds", "stopped-eases", "pain-eases")
"""The rules between sessions that speak after a fault that lightens or ends a lift, or after pain."""


@dataclass(frozen=True, slots=True)
class Tonight:
    """What the evening knows of a lifter's lifts, beside their sets.

    By lift when the coach `signed` its stage tonight, and when pain was `cleared` that
    concerns it still. `lifted_on` are the numbers of the sets that come next after a stop
    that was overruled; `drilled` the lifts with a dangerous fault in the group drill.
    """

    signed: Mapping[str, datetime] = field(default_factory=dict)
    cleared: Mapping[str, datetime] = field(default_factory=dict)
    lifted_on: frozenset[int] = frozenset()
    drilled: frozenset[str] = frozenset()


NOTHING_KNOWN = Tonight()


@dataclass(frozen=True, slots=True)
class Sight:
    """What is known of a set to come.

    `before` is the load of the work set before it, tonight or last time, None
    without one. `bad`: the set before it asked for less load, or pain did. `staged`: it is
    the first at its stage, or the first of a lift that is new to the lifter. `cleared`: the
    first since pain was cleared; `lifts_on`: the first after a stop that the coach overruled.
    """

    gym: Gym
    lifter: Lifter
    coming: TheSet
    before: int | None = None
    bad: bool = False
    staged: bool = False
    cleared: bool = False
    lifts_on: bool = False

    @property
    def work(self) -> bool:
        """Not a ramp set."""
        return self.coming.role != "ramp"


@dataclass(frozen=True, slots=True)
class EyesRule:
    """One rule: when a set is worth watching, how much, what the screen says, where it comes from."""

    id: str
    rank: int
    when: Callable[[Sight], bool]
    sentence: str
    origin: str = PRACTICE


@dataclass(frozen=True, slots=True)
class Seen:
    """Why a set should be seen: `rank` is its weight (1 is least), `why` the rule's words."""

    rank: int
    rule: str
    why: str


def _heavy_try(s: Sight) -> bool:
    if not s.work or s.before is None:
        return False
    more = s.coming.load - s.before
    return more > step_of(s.gym, s.lifter, s.coming.lift) and more * 100 > s.before * WELL_ABOVE


EYES: tuple[EyesRule, ...] = (
    EyesRule("after-pain", 7, lambda s: s.cleared, "after pain"),
    EyesRule("after-stop", 6, lambda s: s.lifts_on, "after a stop"),
    EyesRule("bad-before", 5, lambda s: s.bad, "a bad fault or pain last time"),
    EyesRule("new-stage", 4, lambda s: s.staged, "first set at a new stage"),
    EyesRule("heavy-try", 3, _heavy_try, "well above the last load"),
    EyesRule("youth", 2, lambda s: s.work and s.lifter.youth, "a young lifter"),
    EyesRule("first-weeks", 1, lambda s: s.work and s.lifter.sessions <= FIRST_SESSIONS, "in the first weeks"),
)
"""In the order they are asked."""


def look(sight: Sight) -> Seen | None:
    """The first rule that fits; None when the set needs no eyes."""
    rule = next((r for r in EYES if r.when(sight)), None)
    return None if rule is None else Seen(rule.rank, rule.id, rule.sentence)


def eyes_on(state: State, expected: Mapping[int, Sequence[TheSet]]) -> dict[tuple[int, int], Seen]:
    """By (lifter, set number): what is worth watching of all that is still to be lifted or is being lifted.

    `expected` are the sets of those who will come late. Lifters who have left or
    are held have no part in it.
    """
    found: list[tuple[int, int, int, int, Seen]] = []
    count = 0
    people: dict[int, Sequence[TheSet]] = {
        x: p.sets for x, p in state.evening.here.items() if not p.gone and not state.lifters[x].held
    }
    for lifter, sets in {**people, **expected}.items():
        many: dict[int, int] = {}
        for sight in sights(state.gym, state.lifters[lifter], sets, _tonight(state, lifter, sets)):
            count += 1
            seen = look(sight)
            if seen is not None:
                many[seen.rank] = many.get(seen.rank, 0) + 1
                found.append((-seen.rank, many[seen.rank], lifter, sight.coming.no, seen))
    found.sort(key=lambda x: x[:4])
    return {(lifter, no): seen for _, _, lifter, no, seen in found[: max(1, count // ONE_IN)]}


def _tonight(state: State, lifter: int, sets: Sequence[TheSet]) -> Tonight:
    """What the evening knows of one lifter's lifts, beside their sets."""
    lifts, standing = {s.lift for s in sets}, state.lifters[lifter]
    since = standing.cleared_at
    stops = [
        p for (who, lift), p in state.evening.proposals.items() if who == lifter and p.action == STOP and p.overruled
    ]
    known = [lift for lift in lifts if lift in state.gym.lifts]
    return Tonight(
        signed={lift: when for (who, lift), when in state.evening.signed.items() if who == lifter},
        cleared={lift: since for lift in known if since is not None and first_since(state, lifter, lift)},
        lifted_on=frozenset(p.set_no for p in stops),
        drilled=frozenset(lift for lift in known if at_least(drilled(state, lifter, lift), Severity.END)),
    )


def sights(gym: Gym, lifter: Lifter, sets: Sequence[TheSet], tonight: Tonight = NOTHING_KNOWN) -> Iterator[Sight]:
    """One lifter's sets that are running or to come, in order, each with what came before it on that lift."""
    last: dict[str, TheSet] = {}
    work: dict[str, TheSet] = {}
    for s in sets:
        if s.lift not in gym.lifts:
            continue
        if s.status in (PLANNED, RUNNING):
            yield _sight(gym, lifter, s, last.get(s.lift), work.get(s.lift), tonight)
        if s.status in (PLANNED, RUNNING, DONE):
            last[s.lift] = s
            if s.role != "ramp":
                work[s.lift] = s


def _sight(
    gym: Gym, lifter: Lifter, s: TheSet, last: TheSet | None, work: TheSet | None, tonight: Tonight
) -> Sight:
    plan = lifter.plans.get(s.lift)
    signed, cleared = tonight.signed.get(s.lift), tonight.cleared.get(s.lift)
    first_work = s.role != "ramp" and work is None
    bad = last is not None and asked_for_less(gym, last)
    if first_work and plan is not None and (plan.spoke or plan.overruled or plan.rule) in BAD_LAST_TIME:
        bad = True
    staged = False
    if s.stage is not None:
        newer = last is not None and last.stage is not None and s.stage > last.stage
        unseen = signed is not None and _first_since(signed, work)
        unknown = first_work and plan is None and s.lift not in lifter.stages
        staged = newer or unknown or (s.role != "ramp" and unseen)
    before = work.load if work is not None else (plan.was if plan is not None else None)
    hurt = s.role != "ramp" and cleared is not None and _first_since(cleared, work)
    on = s.no in tonight.lifted_on or (first_work and s.lift in tonight.drilled)
    return Sight(gym, lifter, s, before, bad, staged, hurt, on)


def _first_since(when: datetime, work: TheSet | None) -> bool:
    """Whether a set is the first of its lift's work since then, by the work set before it."""
    down = work.down if work is not None and work.status == DONE else None
    return work is None or (down is not None and down <= when)
