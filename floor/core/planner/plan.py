"""The plan: an order for every station that keeps the rests, the hour, the lifters warm and the plates still.

Deterministic: the same evening and the same budget of nodes give the same plan.
A node is one set placed in a trial order (about a third of a microsecond). The
peers are tried first, so a plan is never worse than they are by its own goals.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from floor.core.planner.beam import beam
from floor.core.planner.bounds import lower_bound
from floor.core.planner.cooling import HOT, cool
from floor.core.planner.dispatch import LEANINGS, dispatched
from floor.core.planner.goals import GOALS, KINDS
from floor.core.planner.peers import rising, rotation
from floor.core.planner.problem import Evening
from floor.core.planner.split import Part, parts
from floor.core.planner.tables import NEVER, Tables, Turn
from floor.core.planner.walk import Weights
from floor.core.planner.watching import at_once, watched_share

EYES_WORTH = 5
"""Seconds one lifter may wait for a second less that two eyes-on sets of rank 1 are at once. No source; on simulated
evenings a twentieth more waiting buys a tenth more of these sets seen, and 10 buys little more."""
PLATE_WORTH = 5
"""Seconds one lifter may wait for a plate less to move. No source; about what it takes to move one."""
FIRST = 80_000
REFINED = 2_400_000
_BEAM_COST = 12
_ROUND = 800_000
_FEW = 3
_HOT_LINKED = 40.0
"""Lifters who go between stations make more ways to be wrong: one long cooling from hotter, not several (by trying)."""


@dataclass(frozen=True, slots=True)
class Plan:
    """Every turn by its start. `least` is a finish nothing can beat; `proven` that this plan's own is it."""

    evening: Evening
    turns: tuple[Turn, ...]
    least: int
    proven: bool

    @property
    def finish(self) -> int:
        """When the last bar is down, in seconds from the start; 0 when there is nothing to do."""
        return max((turn.end for turn in self.turns), default=0)

    @property
    def late(self) -> int:
        """Seconds after the closing time; the whole finish when the evening has none."""
        return max(0, self.finish - (self.evening.closing or 0))

    @property
    def waited(self) -> int:
        """Seconds waited past the longest sensible rest, summed over the lifters."""
        return sum(turn.waited for turn in self.turns)

    @property
    def overdue(self) -> int:
        """Seconds lifters lift after they were to leave, summed over them."""
        due = {(i, len(c.sets) - 1): c.leaves for i, c in enumerate(self.evening.chains) if c.leaves is not None}
        return sum(max(0, turn.end - due[turn.lifter, turn.no]) for turn in self.turns if (turn.lifter, turn.no) in due)

    @property
    def at_once(self) -> int:
        """Seconds that eyes-on sets at different stations share, each times the lesser weight of the two."""
        return at_once(self.evening, self.turns)

    @property
    def care(self) -> int:
        """Seconds waited too long, with the waiting that eyes-on sets at once and plates moved are worth."""
        return self.waited + EYES_WORTH * self.at_once + PLATE_WORTH * self.moved

    @property
    def costs(self) -> tuple[int, ...]:
        """What the plan costs by GOALS, in their order; the less the better, the first counts most."""
        return self.costs_by(GOALS)

    def costs_by(self, goals: Sequence[str]) -> tuple[int, ...]:
        """What the plan costs by these goals, in their order. KeyError for a goal that is none of KINDS."""
        counts = {
            "closing": self.late, "leaving": self.overdue, "care": self.care, "finish": self.finish,
            "plates": self.moved, "waits": self.waited, "eyes": self.at_once,
        }  # fmt: skip
        return tuple(counts[goal] for goal in goals)

    @property
    def set_up(self) -> int:
        """Seconds of set-up, summed over the stations."""
        return sum(turn.set_up for turn in self.turns)

    @property
    def moved(self) -> int:
        """Plates handled, as the evening's table counts them."""
        return sum(turn.moved for turn in self.turns)

    def at(self, station: int) -> tuple[Turn, ...]:
        """The turns at one station, in order."""
        return tuple(turn for turn in self.turns if turn.station == station)


def plan(evening: Evening, budget: int = FIRST, goals: Sequence[str] = GOALS) -> Plan:
    """The best plan found within about that many nodes, by the goals in their order, then by the finish.

    Raises ValueError for a goal that is none of KINDS. The evening is one that
    `wrong_with` finds nothing wrong with.
    """
    strange = [goal for goal in goals if goal not in KINDS]
    if strange:
        raise ValueError(f"unknown goal: {strange[0]!r}")
    found = parts(evening)
    joint = not {"eyes", "care"}.isdisjoint(goals) and _watched_parts(found) > 1
    alone = budget * 3 // 4 if joint else budget
    sets = sum(len(chain.sets) for chain in evening.chains)
    turns: list[Turn] = []
    least = 0
    for part in found:
        share = alone * sum(len(chain.sets) for chain in part.evening.chains) // max(1, sets)
        search = _Search(Tables.of(part.evening), share, tuple(goals))
        search.run()
        turns += part.whole(search.t.turns(search.order))
        least = max(least, search.known)
    if joint and at_once(evening, turns):
        turns = _less_at_once(evening, turns, budget - alone, tuple(goals))
    return _made(evening, turns, least)


def _watched_parts(found: Sequence[Part]) -> int:
    return sum(any(one.eyes for chain in part.evening.chains for one in chain.sets) for part in found)


def _less_at_once(evening: Evening, turns: list[Turn], budget: int, goals: tuple[str, ...]) -> list[Turn]:
    """The turns of parts that were planned apart, or better ones: what one coach can see depends on all of them."""
    search = _Search(Tables.of(evening), budget, goals)
    search.offer([turn.lifter for turn in sorted(turns, key=lambda turn: (turn.start, turn.station))])
    search.cool(budget, 1)
    return search.t.turns(search.order) if search.score < search.score_of(turns) else turns


def by_rising(evening: Evening, passing: bool = False) -> Plan:
    """The rising bar on this evening; with `passing`, who is not rested lets the next go first."""
    return _peer(evening, lambda t: rising(t, passing))


def by_rotation(evening: Evening) -> Plan:
    """The strict rotation on this evening."""
    return _peer(evening, rotation)


def least_finish(evening: Evening) -> int:
    """A finish no plan of this evening can beat, in seconds."""
    return max((lower_bound(Tables.of(part.evening)) for part in parts(evening)), default=0)


def eyes_share(plan: Plan) -> float | None:
    """The share of the plan's eyes-on sets, by weight, that one coach can stand at; None without any."""
    return watched_share(plan.evening, plan.turns)


def _made(evening: Evening, turns: list[Turn], least: int) -> Plan:
    inorder = tuple(sorted(turns, key=lambda turn: (turn.start, turn.station)))
    finish = max((turn.end for turn in turns), default=0)
    return Plan(evening, inorder, least, finish <= least)


def _peer(evening: Evening, order: Callable[[Tables], list[int]]) -> Plan:
    turns: list[Turn] = []
    least = 0
    for part in parts(evening):
        t = Tables.of(part.evening)
        turns += part.whole(t.turns(order(t)))
        least = max(least, lower_bound(t))
    return _made(evening, turns, least)


class _Search:
    """One group of stations that no lifter leaves: the best order so far, and what is left to spend."""

    def __init__(self, t: Tables, budget: int, goals: tuple[str, ...]) -> None:
        self.t = t
        self.left = budget
        self.goals = goals
        self.least = lower_bound(t)
        self.order: list[int] = []
        self.score: tuple[int, ...] = (NEVER,)
        self.fastest = NEVER
        self.whole = False

    def run(self) -> None:
        """The peers, a narrow beam, a short cooling, proof where it is cheap; then longer coolings while there is time.

        Three lifters or fewer on one station, and four with time to spare, are few
        enough to look at every prefix worth keeping; a good order known before
        spares most of them.
        """
        t = self.t
        single = len(t.evening.places) == 1
        for order in (rising(t), rising(t, passing=True), rotation(t)):
            self.offer(order)
        for leaning in LEANINGS[: _FEW if single else None]:
            self.offer(dispatched(t, leaning))
            self.left -= len(t.seconds) * len(t.sets)
        people = sum(1 for sets in t.sets if sets)
        if single and t.seconds:
            self.offer_beam(8 if self.left >= FIRST // 2 else 2, NEVER)
        self.cool(min(self.left, FIRST) // (4 if people <= _FEW else 1), 1)
        if single and people == _FEW + 1:
            self.cool(min(self.left // 3, _ROUND), 1)
        if single and people <= _FEW + 1 and self.fastest > self.least:
            # Bounds leave about a third of what a beam of that width could look at.
            self.offer_beam(3 * self.left // (_BEAM_COST * max(1, people * len(t.seconds))), self.fastest)
        seed = 2
        while self.left > 0 and not self.nothing_left():
            self.cool(min(self.left, _ROUND) if single else self.left, seed)
            seed += 1

    @property
    def known(self) -> int:
        """A finish nothing can beat, by what was found out so far."""
        return self.fastest if self.whole else self.least

    def nothing_left(self) -> bool:
        """Whether no goal can be bettered: each costs nothing, or is a finish that is proven."""
        costs = zip(self.goals, self.score, strict=False)
        finish = self.score[-1] if self.score[-1] <= self.known else 0
        return all(cost == 0 or (goal in ("closing", "finish") and cost == finish) for goal, cost in costs)

    def offer(self, order: Sequence[int]) -> None:
        """Take the order if it is better by the goals."""
        score = self.score_of(self.t.turns(order))
        self.fastest = min(self.fastest, score[-1])
        if score < self.score:
            self.order, self.score = list(order), score

    def score_of(self, turns: Sequence[Turn]) -> tuple[int, ...]:
        """What each goal costs, then the finish."""
        finish = max((turn.end for turn in turns), default=0)
        evening, due = self.t.evening, self.t.due
        eyes = at_once(evening, turns) if len(evening.places) > 1 else 0
        waits, plates = sum(turn.waited for turn in turns), sum(turn.moved for turn in turns)
        counts = {
            "closing": max(0, finish - (evening.closing or 0)),
            "leaving": sum(max(0, turn.end - due[self.t.sets[turn.lifter][turn.no]]) for turn in turns),
            "waits": waits,
            "eyes": eyes,
            "care": waits + EYES_WORTH * eyes + PLATE_WORTH * plates,
            "finish": finish,
            "plates": plates,
        }
        return (*(counts[goal] for goal in self.goals), finish)

    def offer_beam(self, width: int, best: int) -> None:
        """A beam; when it was whole, nothing finishes earlier than what is now known."""
        if width < 1:
            return
        found = beam(self.t, width, best)
        self.left -= found.nodes * _BEAM_COST
        self.whole = self.whole or found.whole
        if found.lifters:
            self.offer(found.lifters)

    def cool(self, steps: int, seed: int) -> None:
        """One cooling from the best order so far, weighing most the first goal that still costs something."""
        if steps > 0:
            hot = HOT if len(self.t.evening.places) == 1 else _HOT_LINKED
            hot = hot if steps > FIRST else hot / 4
            self.offer(cool(self.t, self.order, steps, self.weights(), seed, hot))
            self.left -= steps

    def weights(self) -> Weights:
        """Goals that are met weigh heavily so that they stay so, the first that is not 1, those behind little."""
        weight = 5.0
        by_goal = {}
        for goal, cost in zip(self.goals, self.score, strict=False):
            if cost and weight > 1.0:
                weight = 1.0
            by_goal[goal] = weight
            if cost:
                weight = 0.02
        closing = self.t.evening.closing or 0
        late, finish, leaving, waits, eyes, plates, care = (
            by_goal.get(goal, 0.0) for goal in ("closing", "finish", "leaving", "waits", "eyes", "plates", "care")
        )
        eyes, plates = max(eyes, EYES_WORTH * care), max(plates, PLATE_WORTH * care)
        return Weights(late, finish, leaving, max(waits, care), eyes, plates, closing)
