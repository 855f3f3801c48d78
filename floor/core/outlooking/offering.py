"""Another order for the round at a station, when it gains something worth saying.

What it gains is what the floor's own order comes to with that one change, not
what a plan would make of it. Who is up, who was told next and the coach's own
order stay where they are, and nobody is called to the bar who is not rested.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence

from floor.core.outlook import Offer
from floor.core.outlooking.floor_order import Played, play
from floor.core.outlooking.tonight import Tonight
from floor.core.planner import GOALS, Plan, Turn
from floor.core.queue import UP_SLACK

WORTH_SECONDS, WORTH_PLATES = 60, 4
"""From how much earlier the evening must end, or how many fewer plates be handled. No source."""
TRIALS, TRIAL_SETS = 3, 1200
"""Orders tried at one station at first: no fewer than so many, and about so many sets placed in all. No source."""


def offers(
    tonight: Tonight,
    played: Played,
    plan: Plan,
    refined: bool,
    may: Callable[[Offer], bool] = lambda _: True,
    goals: Sequence[str] = GOALS,
) -> tuple[Offer, ...]:
    """At most one order a station, the best by `goals` of those that are worth a change and that `may` be taken."""
    found = []
    for p, spot in enumerate(tonight.spots):
        if spot.held:
            continue
        best: tuple[tuple[int, ...], Offer] | None = None
        for order in _trials(tonight, played, plan, p, refined):
            trial = play(tonight, {p: order})
            if not worth(played, trial, tonight.closing) or not _rested(tonight, trial, p, order):
                continue
            offer = _offer(tonight, played, trial, p)
            rank = (*gains(played, trial, goals), -len(order))
            if offer is not None and (best is None or rank > best[0]) and may(offer):
                best = rank, offer
        if best is not None:
            found.append(best[1])
    return tuple(found)


def gains(played: Played, trial: Played, goals: Sequence[str]) -> list[int]:
    """What a change gains by each goal; the finish stands for the closing, and waiting for care."""
    earlier, shorter = played.finish - trial.finish, played.waited - trial.waited
    gained = {
        "closing": earlier, "finish": earlier, "leaving": played.overdue - trial.overdue, "care": shorter,
        "waits": shorter, "plates": played.moved - trial.moved,
    }  # fmt: skip
    return [gained[goal] for goal in goals if goal in gained]


def worth(played: Played, trial: Played, closing: int = 0) -> bool:
    """Whether a change gains enough, and costs neither time nor a longer wait.

    More plates are worth an earlier finish or a shorter wait. That somebody who must
    go is done nearer to their time is worth longer waits, and a later finish before
    the closing (in seconds); nothing else is worth its cost.
    """
    earlier, shorter = played.finish - trial.finish, played.waited - trial.waited
    sooner = played.overdue - trial.overdue
    if sooner >= WORTH_SECONDS and trial.finish <= max(played.finish, closing):
        return True
    if earlier < 0 or shorter < 0 or sooner < 0:
        return False
    fewer_waits = trial.waits < played.waits
    return earlier >= WORTH_SECONDS or fewer_waits or played.moved - trial.moved >= WORTH_PLATES


def _trials(tonight: Tonight, played: Played, plan: Plan, p: int, refined: bool) -> Iterator[tuple[int, ...]]:
    """Orders to follow the promises, that begin otherwise than the floor's does."""
    spot = tonight.spots[p]
    promised = (spot.up, spot.next)
    kept = tuple(i for i in _round(tonight, played.turns, p) if i not in promised)
    wanted = tuple(i for i in _round(tonight, plan.turns, p) if i not in promised)
    orders = [wanted] + [wanted[:size] for size in range(1, len(wanted))]
    if not spot.ahead:
        orders += [(i,) for i in kept[1:]]
    others = [order for order in dict.fromkeys(orders) if order != kept[: len(order)]]
    few = max(TRIALS, TRIAL_SETS // (len(tonight.spots) * max(1, len(played.turns))))
    yield from others if refined else others[:few]


def _round(tonight: Tonight, turns: Sequence[Turn], p: int) -> list[int]:
    """Who lifts at a place, in order, until somebody comes again or comes who does not wait there now."""
    order: list[int] = []
    for turn in turns:
        if turn.station != p:
            continue
        one = tonight.lifters[turn.lifter]
        waits = turn.no == 0 and one.place == p and not one.come and tonight.spots[p].on != turn.lifter
        if not waits:
            break
        order.append(turn.lifter)
    return order


def _rested(tonight: Tonight, trial: Played, p: int, order: Sequence[int]) -> bool:
    """Whether those the order names are rested, or nearly, when the bar is ready for them."""
    free = tonight.spots[p].free
    for turn in trial.turns:
        if turn.station == p:
            if turn.no == 0 and turn.lifter in order and turn.start - free - turn.set_up > UP_SLACK:
                return False
            free = turn.end
    return True


def _offer(tonight: Tonight, played: Played, trial: Played, p: int) -> Offer | None:
    """The round as it would be, with the one who comes sooner; None when it is the same round."""
    before, after = _round(tonight, played.turns, p), _round(tonight, trial.turns, p)
    places = [n for n, (a, b) in enumerate(zip(before, after, strict=False)) if a != b]
    if not places:
        return None
    first, other = after[places[0]], before[places[0]]
    return Offer(
        tonight.spots[p].station, tuple(tonight.lifters[i].lifter for i in after), tonight.lifters[first].lifter,
        played.finish - trial.finish, played.moved - trial.moved,
        _why(played, trial), tonight.lifters[other].lifter,
    )  # fmt: skip


def _why(played: Played, trial: Played) -> str:
    earlier, waits, fewer = played.finish - trial.finish, played.waits - trial.waits, played.moved - trial.moved
    gains = []
    if trial.overdue < played.overdue:
        gains.append("who must go is in time" if not trial.overdue else "who must go is done sooner")
    if earlier >= WORTH_SECONDS:
        gains.append(f"done {earlier // 60} min earlier")
    elif earlier <= -WORTH_SECONDS:
        gains.append(f"done {-earlier // 60} min later")
    if waits > 0:
        gains.append("one long wait less" if waits == 1 else f"{waits} long waits fewer")
    if fewer:
        gains.append(f"{abs(fewer)} plate{'' if abs(fewer) == 1 else 's'} {'fewer' if fewer > 0 else 'more'}")
    return f"{{lifter}} before {{other}}: {', '.join(gains)}"
