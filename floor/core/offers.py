"""Whether an order the plan offers can be put in place now: checked before it is shown and again when it is taken.

The plan is worked out beside the floor, so what it offers is held against the
state as it is: whoever it names must be waiting, and nobody is put before
their rest. The bar may wait for a lifter as long as it waits to keep the
rising order, no longer.
"""

from __future__ import annotations

from datetime import datetime, timedelta

from floor.core.commands import Refusal
from floor.core.outlook import ComingSet, Offer, Outlook
from floor.core.queue import UP_SLACK, WORTH_A_WAIT, can_lift, lifting, promised_line
from floor.core.rests import ready_at
from floor.core.state import Present, State

NO_OFFER = "There is no offer at this station now: the plan is made anew after every key."
OWN_ORDER = "Your own order is held at this station: 0 goes back to the rising bar first."
A_SET = 60
"""Seconds a set is taken to last where the plan says nothing of it. No source."""


def offer_at(outlook: Outlook, station: int) -> Offer | None:
    """The offer for a station, None when there is none."""
    return next((offer for offer in outlook.offers if offer.station == station), None)


def offered_order(state: State, offer: Offer) -> tuple[int, ...]:
    """The order offered, less whoever lifts at the station at this moment."""
    on = lifting(state, offer.station)
    return tuple(lifter for lifter in offer.order if on is None or lifter != on.lifter)


def why_not(state: State, outlook: Outlook, station: int, now: datetime) -> Refusal | None:
    """Why the offer at a station can't be taken, None when it can."""
    if state.evening.stations[station].held:
        return Refusal(OWN_ORDER)
    offer = offer_at(outlook, station)
    if offer is None:
        return Refusal(NO_OFFER)
    order = offered_order(state, offer)
    for lifter in order:
        present = state.evening.here.get(lifter)
        if present is None or present.station != station or not can_lift(state, present):
            return Refusal("The offer is of an older state: {lifter} is not waiting here.", lifter)
    if not order or [t.lifter for t in promised_line(state, station)][: len(order)] == list(order):
        return Refusal("The line stands in the order offered already.")
    return _before_their_rest(state, outlook, station, order, now)


def _before_their_rest(
    state: State, outlook: Outlook, station: int, order: tuple[int, ...], now: datetime
) -> Refusal | None:
    """A refusal when somebody in the order would be up long before their rest is over; the times are the plan's."""
    coming = outlook.at(station)
    on = lifting(state, station)
    free = now
    if on is not None:
        ends = next((turn.end for turn in coming if turn.lifter == on.lifter), now + timedelta(seconds=A_SET))
        free = max(now, ends)
    for at, lifter in enumerate(order):
        present = state.evening.here[lifter]
        ready = ready_at(state.gym, present) or now
        soonest = min(ready_at(state.gym, state.evening.here[x]) or now for x in order[at:])
        if ready > max(free + timedelta(seconds=UP_SLACK), soonest + timedelta(seconds=WORTH_A_WAIT)):
            short = int((ready - free).total_seconds())
            why = f"The offer puts {{lifter}} on the bar {short // 60}:{short % 60:02d} before the rest is over."
            return Refusal(why, lifter)
        free = max(free, ready) + timedelta(seconds=_lasts(coming, present))
    return None


def _lasts(coming: tuple[ComingSet, ...], present: Present) -> int:
    """Seconds the lifter's next set takes by the plan."""
    pending = present.pending()
    for turn in coming:
        if turn.lifter == present.lifter and pending is not None and turn.set_no == pending.no:
            return int((turn.end - turn.start).total_seconds())
    return A_SET
