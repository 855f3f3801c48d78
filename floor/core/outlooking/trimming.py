"""Ways to end by the closing time, in the trade's order, each with the seconds it really gains.

Back-off sets first, then two lifters to another station, the last lift, one
work set. Never a ramp, but with the whole of its lift. Who must go and would not
be done is offered a trim of their own: as few sets as bring them to their time.
Common practice, no source.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterable, Iterator
from dataclasses import replace

from floor.core.outlook import Trim
from floor.core.outlooking.floor_order import Played, overdue, play
from floor.core.outlooking.tonight import Standing, Tonight
from floor.core.proposals import LIGHTEN, STEP_DOWN
from floor.core.state import DONE, PLANNED, RUNNING, State, TheSet

MOVED = 2
"""How many lifters a move takes at most."""
LeftOut = tuple[tuple[int, int], ...]


def trims(state: State, tonight: Tonight, played: Played) -> tuple[Trim, ...]:
    """What gains time when the floor's order ends after closing or keeps somebody past their time to go."""
    here = [i for i in overdue(tonight, played) if not tonight.lifters[i].come]
    theirs = [_in_time(state, tonight, played, i) for i in here]
    both = [*theirs, *(_by_closing(state, tonight, played) if played.finish > tonight.closing else ())]
    return tuple(trim for trim in both if trim is not None)


def _by_closing(state: State, tonight: Tonight, played: Played) -> Iterable[Trim | None]:
    late = [i for i, end in played.ends.items() if end > tonight.closing and not tonight.lifters[i].come]
    return (
        _left_out("backoff", "back-off sets off", tonight, played, _back_offs(state, tonight)),
        _move(tonight, played),
        _left_out("lift", "last lift off", tonight, played, _last_lifts(state, tonight, late)),
        _left_out("set", "one work set less", tonight, played, _one_set(state, tonight, late)),
    )


def _left_out(kind: str, words: str, tonight: Tonight, played: Played, sets: Iterable[tuple[int, int]]) -> Trim | None:
    """The trim that leaves these sets out, None when it gains nothing."""
    out = tuple(sets)
    if not out:
        return None
    gain = played.finish - play(without(tonight, out)).finish
    if gain <= 0:
        return None
    return Trim(kind, words, gain, sets=out)


def without(tonight: Tonight, out: LeftOut) -> Tonight:
    """Tonight when these sets (lifter, set number) are not done."""
    gone = set(out)
    lifters = tuple(
        replace(one, sets=tuple(s for s in one.sets if (one.lifter, s.set.no) not in gone)) for one in tonight.lifters
    )
    return replace(tonight, lifters=lifters)


# --- which sets


def _recorded(state: State, one: Standing) -> tuple[TheSet, ...]:
    """The lifter's sets tonight but those taken off."""
    here = state.evening.here.get(one.lifter)
    return () if here is None else tuple(s for s in here.sets if s.status in (PLANNED, RUNNING, DONE))


def _back_offs(state: State, tonight: Tonight) -> Iterator[tuple[int, int]]:
    """Planned back-off sets, and work sets lighter than one before on that lift that were not made so tonight."""
    for one in tonight.lifters:
        top: dict[str, int] = {}
        for s in _recorded(state, one):
            if s.role == "ramp":
                continue
            proposal = state.evening.proposals.get((one.lifter, s.lift))
            eased = proposal is not None and (proposal.overruled or proposal.action) in (LIGHTEN, STEP_DOWN)
            if s.status == PLANNED and (s.role == "backoff" or (s.load < top.get(s.lift, 0) and not eased)):
                yield one.lifter, s.no
            top[s.lift] = max(s.load, top.get(s.lift, 0))


def _last_lifts(state: State, tonight: Tonight, late: Iterable[int]) -> Iterator[tuple[int, int]]:
    """The whole last lift, its ramp too, of those who end late, unless it is begun or the only one."""
    for i in late:
        one = tonight.lifters[i]
        mine = _recorded(state, one)
        last = mine[-1].lift
        if len({s.lift for s in mine}) > 1 and all(s.status == PLANNED for s in mine if s.lift == last):
            yield from ((one.lifter, s.no) for s in mine if s.lift == last)


def _one_set(state: State, tonight: Tonight, late: Iterable[int]) -> Iterator[tuple[int, int]]:
    """The last work set of the last lift of those who end late, unless it is the only one of that lift."""
    for i in late:
        one = tonight.lifters[i]
        mine = _recorded(state, one)
        work = [s for s in mine if s.lift == mine[-1].lift and s.role != "ramp"]
        if len(work) > 1 and work[-1].status == PLANNED:
            yield one.lifter, work[-1].no


# --- who must go


def _in_time(state: State, tonight: Tonight, played: Played, i: int) -> Trim | None:
    """The fewest of a lifter's sets to leave out so that they are done by their time, or as near as it goes."""
    one = tonight.lifters[i]
    assert one.leaves is not None
    leaves, choices = one.leaves, list(_fewer_and_fewer(state, tonight, one))
    ends = [played.ends[i]]

    def in_time(out: LeftOut) -> bool:
        ends.append(play(without(tonight, out)).ends.get(i, 0))
        return ends[-1] <= leaves

    if not choices:
        return None
    out = choices[min(bisect_left(choices, True, key=in_time), len(choices) - 1)]
    over = 0 if in_time(out) else ends[-1] - leaves
    gain = played.ends[i] - ends[-1]
    if gain <= 0:
        return None
    words = f"{len(out)} set{'s' * (len(out) != 1)} off, " + (f"still {-(-over // 60)} min over" if over else "in time")
    return Trim("leave", words, gain, sets=out, lifter=one.lifter)


def _fewer_and_fewer(state: State, tonight: Tonight, one: Standing) -> Iterator[LeftOut]:
    """What a lifter could leave out, more and more: the back-off sets, then from the last work set forwards.

    A lift that is left out whole takes its ramp; of the one in hand a work set stays.
    """
    gone = [s for s in _back_offs(state, tonight) if s[0] == one.lifter]
    if gone:
        yield tuple(gone)
    mine = _recorded(state, one)
    for lift in reversed(dict.fromkeys(s.lift for s in mine)):
        sets = [s for s in mine if s.lift == lift]
        begun = any(s.status != PLANNED and s.role != "ramp" for s in sets) or lift == one.sets[0].set.lift
        work = [s for s in sets if s.role != "ramp" and s.status == PLANNED and (one.lifter, s.no) not in gone]
        for left, s in zip(reversed(range(len(work))), reversed(work), strict=True):
            if not left and lift == one.sets[0].set.lift:
                return
            gone.append((one.lifter, s.no))
            if not left and not begun:
                gone += [(one.lifter, r.no) for r in sets if r.role == "ramp" and r.status == PLANNED]
            yield tuple(gone)


# --- who moves


def _move(tonight: Tonight, played: Played) -> Trim | None:
    """Up to two lifters from the station that ends last to another, one after the other, as long as it gains."""
    moves: tuple[tuple[int, int], ...] = ()
    best, now = played, tonight
    while len(moves) < MOVED:
        could = [(to_place(now, i, to), i, to) for i, to in _could_move(now, best, moves)]
        tried = [(play(moved), moved, i, to) for moved, i, to in could]
        least = min(tried, key=lambda x: (x[0].finish, x[2], x[3]), default=None)
        if least is None or least[0].finish >= best.finish:
            break
        best, now = least[0], least[1]
        moves = (*moves, (least[2], least[3]))
    gain = played.finish - best.finish
    if gain <= 0:
        return None
    named = tuple((tonight.lifters[i].lifter, tonight.spots[p].station) for i, p in moves)
    return Trim("move", f"{len(moves)} lifter{'s' * (len(moves) != 1)} to another station", gain, moves=named)


def _could_move(tonight: Tonight, played: Played, moves: tuple[tuple[int, int], ...]) -> Iterator[tuple[int, int]]:
    """Those at the station that ends last who were promised nothing, with the other station that ends first."""
    ends = [max((turn.end for turn in played.turns if turn.station == p), default=0) for p in range(len(tonight.spots))]
    full = ends.index(max(ends))
    told = {*tonight.spots[full].told, tonight.spots[full].on, *(i for i, _ in moves)}
    for i, one in enumerate(tonight.lifters):
        if one.place != full or one.come or i in told or not one.sets:
            continue
        others = [p for p in one.sets[0].places if p != full]
        if others:
            yield i, min(others, key=lambda p: (ends[p], p))


def to_place(tonight: Tonight, i: int, place: int) -> Tonight:
    """Tonight when a lifter stands at another station, in the round that is lifted there."""
    rounds = [one.turns for one in tonight.lifters if one.place == place and one.sets and not one.come]
    moved = replace(tonight.lifters[i], place=place, turns=min(rounds, default=tonight.lifters[i].turns))
    return replace(tonight, lifters=(*tonight.lifters[:i], moved, *tonight.lifters[i + 1 :]))
