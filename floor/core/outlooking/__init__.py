"""The outlook of tonight: the floor's own order by the clock, the plan beside it, what is worth offering.

A pure function of the state, a moment and the gym's pace. The same state gives
the same outlook: the search has a budget of nodes and no clock.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime

from floor.core.offers import why_not
from floor.core.outlook import ComingSet, Leaver, Offer, Outlook
from floor.core.outlooking.floor_order import Played, overdue, play
from floor.core.outlooking.gathering import gather
from floor.core.outlooking.offering import offers
from floor.core.outlooking.tonight import Tonight
from floor.core.outlooking.trimming import trims
from floor.core.outlooking.watching import Watching
from floor.core.pace import NO_PACE, Pace
from floor.core.planner import FIRST, REFINED, Evening, Plan, by_rotation, goals_for, plan
from floor.core.state import State

__all__ = ["outlook", "tonight_evening"]

SHARED = 4
"""A set among several stations costs about so many times a node: the first budget is that much smaller for them."""


def tonight_evening(state: State, now: datetime, pace: Pace = NO_PACE) -> tuple[Evening, Tonight, Played]:
    """The evening for the planner, the lifters, sets and stations behind its numbers, and the floor's order in it.

    Every set stands at the one station where the floor's order brings it.
    """
    tonight = gather(state, now, pace)
    played = play(tonight)
    return tonight.evening(played.where), tonight, played


def outlook(state: State, cmd: int, now: datetime, pace: Pace = NO_PACE, refined: bool = False) -> Outlook:
    """What the plan says of the state after command `cmd`, as things stand at `now` (aware UTC).

    `refined` searches with the larger budget. Nothing is planned when no session
    is open or nobody has a set to do.
    """
    empty = Outlook(cmd, now, refined)
    if not state.open:
        return empty
    evening, tonight, played = tonight_evening(state, now, pace)
    if not played.turns:
        return empty
    first = FIRST if len(tonight.spots) == 1 else FIRST // SHARED
    goals = goals_for(state.gym.settings.goals)
    best = plan(evening, REFINED if refined else first, goals)
    rotated = by_rotation(evening)
    kept = Plan(evening, played.turns, best.least, played.finish <= best.least)
    if kept.costs_by(goals) <= best.costs_by(goals):
        best = kept
    watching = Watching(tonight, evening, played.turns)
    turns = _coming(tonight, played)

    def may(offer: Offer) -> bool:
        return why_not(state, replace(empty, turns=turns, offers=(offer,)), offer.station, now) is None

    return Outlook(
        cmd,
        now,
        refined,
        turns=turns,
        finish=tonight.at(played.finish),
        planned=tonight.at(min(best.finish, played.finish)),
        rotation=tonight.at(rotated.finish),
        closing=tonight.at(tonight.closing),
        offers=offers(tonight, played, best, refined, may, goals),
        trims=trims(state, tonight, played),
        watch=watching.stands(),
        watched=watching.share(),
        watched_rotation=Watching(tonight, evening, rotated.turns).share(),
        leavers=_leavers(state, tonight, played, best),
    )


def _leavers(state: State, tonight: Tonight, played: Played, best: Plan) -> tuple[Leaver, ...]:
    """Those the floor's order keeps past their time, who must go first before the others."""
    found = []
    for i in overdue(tonight, played):
        lifter, done = tonight.lifters[i].lifter, played.ends[i]
        planned = max(turn.end for turn in best.turns if turn.lifter == i)
        found.append(
            Leaver(lifter, state.evening.leaving[lifter], tonight.at(done), tonight.at(min(planned, done)))
        )
    return tuple(sorted(found, key=lambda one: (one.leaves, one.lifter)))


def _coming(tonight: Tonight, played: Played) -> tuple[ComingSet, ...]:
    """The sets on the bars, then the floor's order by the clock."""
    rested = [one.rested for one in tonight.lifters]
    found = []
    for ran in tonight.running:
        seen = tonight.eyes.get((ran.lifter, ran.set.no))
        rank = seen.rank if seen else 0
        found.append(
            ComingSet(
                ran.station, ran.lifter, ran.set.no, ran.set.lift, ran.set.load, ran.start, ran.end, ran.rested, rank
            )
        )  # fmt: skip
    for turn in played.turns:
        one = tonight.lifters[turn.lifter]
        coming = one.sets[turn.no]
        waits, place = played.plates.get((turn.lifter, turn.no), (0, None))
        found.append(
            ComingSet(
                tonight.spots[turn.station].station, one.lifter, coming.set.no, coming.set.lift, coming.set.load,
                tonight.at(turn.start), tonight.at(turn.end), rested[turn.lifter], coming.eyes,
                None if place is None else tonight.spots[place].station, waits,
            )
        )  # fmt: skip
        rested[turn.lifter] = tonight.at(turn.end + coming.rest)
    return tuple(found)
