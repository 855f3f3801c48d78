"""What the bar of a station is going to meet: the coming sets in the rising order, as planned.

Only the state speaks, never the time: what is shown on the board must not
change because a second went by. Rests are left out for that reason.
"""

from __future__ import annotations

from floor.core.queue import can_lift, can_stand, promised_line
from floor.core.state import PLANNED, State, TheSet


def coming_at(state: State, station_id: int, first: TheSet, lifter: int) -> tuple[TheSet, ...]:
    """`first` and the sets expected after it at that station, at most the gym's `look_ahead` in all."""
    if state.gym.settings.look_ahead <= 1:
        return (first,)
    waiting = {lifter: _left(state, station_id, lifter, first)}
    turns = {lifter: state.evening.here[lifter].turns + (first.role != "ramp")}
    order = [lifter]
    for turn in promised_line(state, station_id):
        if turn.lifter != lifter:
            waiting[turn.lifter] = _left(state, station_id, turn.lifter, None)
            turns[turn.lifter] = state.evening.here[turn.lifter].turns
            order.append(turn.lifter)
    lifted = {who: place - len(order) for place, who in enumerate(order)}
    lifted[lifter] = 0
    told = state.evening.stations[station_id].next
    sets = [first]
    while len(sets) < state.gym.settings.look_ahead and any(waiting.values()):
        if told is not None and told != lifter and waiting.get(told):
            who = told
        else:
            who = min(
                (w for w in order if waiting[w]), key=lambda w: (turns[w], waiting[w][0].load, lifted[w], w)
            )
        told = None
        coming = waiting[who].pop(0)
        turns[who] += coming.role != "ramp"
        lifted[who] = len(sets)
        sets.append(coming)
    return tuple(sets)


def _left(state: State, station_id: int, lifter: int, first: TheSet | None) -> list[TheSet]:
    """The sets a lifter still does at this station, without `first`: up to the first lift it has not what for."""
    present = state.evening.here[lifter]
    if first is None and not can_lift(state, present):
        return []
    station = state.gym.station(station_id)
    left: list[TheSet] = []
    for s in present.sets:
        if s.status != PLANNED or (first is not None and s.no == first.no):
            continue
        if not can_stand(station, state.gym.lifts[s.lift].needs):
            break
        left.append(s)
    return left
