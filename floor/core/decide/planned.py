"""Commands that take something from the plan, or keep the coach's own order against it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import datetime
from typing import Any

from floor.core.apply import fold
from floor.core.commands import Command, FollowBar, HoldOrder, Move, Refusal, TakeOffer, TakeTrim
from floor.core.decide.arriving import move
from floor.core.decide.refusing import no_station, not_here
from floor.core.decide.table import Events
from floor.core.events import Event
from floor.core.offers import offer_at, offered_order, why_not
from floor.core.outlook import Outlook
from floor.core.queue import lifting, promised_line
from floor.core.state import DONE, PLANNED, Present, State

PLAN, HELD, TRIM = "plan", "held", "trim"
"""Why a lifter was placed or moved, as the event's rule."""


def take_offer(state: State, command: TakeOffer, now: datetime, outlook: Outlook) -> Events | Refusal:
    refused = no_station(state, command.station) or why_not(state, outlook, command.station, now)
    if refused:
        return refused
    offer = offer_at(outlook, command.station)
    assert offer is not None
    order = offered_order(state, offer)
    taken = Event(
        kind="offer_taken", happened=now, session=state.evening.session, station=command.station, lifter=order[0],
        rule=PLAN, seconds=offer.seconds, count=offer.plates,
    )
    return (taken, *_placed(state, command.station, order, now, PLAN))


def hold_order(state: State, command: HoldOrder, now: datetime, outlook: Outlook) -> Events | Refusal:
    """Pin the line: round after round in this order, rest or no rest, until the coach goes back."""
    refused = no_station(state, command.station)
    if refused:
        return refused
    station = state.evening.stations[command.station]
    if station.held:
        return Refusal("Your own order is held here already.")
    order = [turn.lifter for turn in promised_line(state, command.station)]
    there = [p.lifter for p in state.evening.here.values() if p.station == command.station and not p.gone]
    waiting = len(order)
    order += [lifter for lifter in there if lifter not in order]  # held for pain, or lifting: their turns come again
    on = lifting(state, command.station)
    first = on.lifter if on is not None else station.up
    if first is not None:
        order = [lifter for lifter in order if lifter != first] + [first]
    if waiting + (on is not None) < 2:
        return Refusal("There is no order to hold: it takes two at the station.")
    held = Event(kind="order_held", happened=now, session=state.evening.session, station=command.station)
    return (held, *_placed(state, command.station, order, now, HELD))


def follow_bar(state: State, command: FollowBar, now: datetime, outlook: Outlook) -> Events | Refusal:
    refused = no_station(state, command.station)
    if refused:
        return refused
    if not state.evening.stations[command.station].own:
        return Refusal("The rising bar is followed here already.")
    return (Event(kind="bar_followed", happened=now, session=state.evening.session, station=command.station),)


def take_trim(state: State, command: TakeTrim, now: datetime, outlook: Outlook) -> Events | Refusal:
    if not state.open:
        return Refusal("No session is open.")
    if not 0 <= command.trim < len(outlook.trims):
        return Refusal("There is no such trim now: the plan is made anew after every key.")
    trim = outlook.trims[command.trim]
    session = state.evening.session
    dropped: list[Event] = []
    for lifter, set_no in _with_idle_ramps(state, trim.sets):
        wrong = not_here(state, lifter)
        left = None if wrong else state.evening.here[lifter].set(set_no)
        if wrong or left is None or left.status != PLANNED:
            return wrong or Refusal("The trim is of an older state: {lifter} has no such set to do.", lifter)
        if left.role == "ramp" and not _lift_left_out(state.evening.here[lifter], left.lift, trim.sets):
            return Refusal("The ramp is never left out.", lifter)
        dropped.append(
            Event(
                kind="set_dropped", happened=now, session=session, lifter=lifter, lift=left.lift, set_no=set_no,
                role=left.role, rule=trim.kind,
            )
        )
    after = fold(state, dropped)
    moved: list[Event] = []
    for lifter, station in trim.moves:
        went = move(after, Move(lifter, station), now)
        if isinstance(went, Refusal):
            return went
        moved += [replace(event, rule=TRIM) for event in went]
        after = fold(after, went)
    if not dropped and not moved:
        return Refusal("That trim leaves nothing out.")
    taken = Event(
        kind="trim_taken", happened=now, session=session, lifter=trim.lifter, action=trim.kind, seconds=trim.seconds,
        rule=PLAN, count=len(dropped) or len(moved),
    )
    return (taken, *dropped, *moved)


def _placed(state: State, station: int, order: list[int] | tuple[int, ...], now: datetime, rule: str) -> Events:
    return tuple(
        Event(
            kind="line_placed", happened=now, session=state.evening.session, station=station, lifter=lifter, rule=rule
        )
        for lifter in order
    )


def _lift_left_out(present: Present, lift: str, sets: tuple[tuple[int, int], ...]) -> bool:
    """Whether every work set of the lift is left out and none was done: then there is nothing to ramp up to."""
    work = [s for s in present.of_lift(lift) if s.role != "ramp"]
    return not any(s.status == DONE for s in work) and all(
        s.status != PLANNED or (present.lifter, s.no) in sets for s in work
    )


def _with_idle_ramps(state: State, sets: tuple[tuple[int, int], ...]) -> tuple[tuple[int, int], ...]:
    """The sets, with the ramps of lifts that are left out whole."""
    idle = []
    for lifter in dict.fromkeys(lifter for lifter, _ in sets):
        present = state.evening.here.get(lifter)
        for s in present.sets if present else ():
            if s.role == "ramp" and s.status == PLANNED and (lifter, s.no) not in sets:
                assert present is not None
                if _lift_left_out(present, s.lift, sets) and any(
                    w.no == no for who, no in sets if who == lifter for w in present.of_lift(s.lift)
                ):
                    idle.append((lifter, s.no))
    return (*sets, *idle)


PLANNED_DECIDE: dict[type[Command], Callable[[State, Any, datetime, Outlook], Events | Refusal]] = {
    TakeOffer: take_offer,
    HoldOrder: hold_order,
    FollowBar: follow_bar,
    TakeTrim: take_trim,
}
