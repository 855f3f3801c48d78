"""What is asked before a command is taken back. Undo is pressed fast: what would be missed goes on a yes alone."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from floor.core.events import Event
from floor.core.gym import Gym
from floor.core.words import command_words, many, roster_words

FEW = 3
"""Lifters named of those who go; the others are counted."""


def asked_before(events: Sequence[Event], gym: Gym, names: Mapping[int, str]) -> str:
    """The question before these events of one command are taken back; "" where nothing is asked.

    Asked are a hold for pain, days of the past and rosters brought in, whoever goes from
    the gym, and a closed session. `names` are board names by lifter number.
    """
    for event in events:
        if event.kind == "pain_reported":
            name = names.get(event.lifter or 0, f"lifter {event.lifter}")
            return f"{name} is held for pain. Undo takes the hold back as if no pain was reported. Free {name}?"
    if what := _brought(events, gym, names):
        stay = "Everybody stays in the gym."
        return f"Undo takes {what}, out of the record. {_gone(events, names) or stay} Take it back?"
    if gone := _gone(events, names):
        return f"{gone} Take it back?"
    closed = next((e for e in events if e.kind == "session_closed"), None)
    if closed is None:
        return ""
    return f"Session {closed.session} is closed. Undo opens it again and takes back what it planned. Open it?"


def _brought(events: Sequence[Event], gym: Gym, names: Mapping[int, str]) -> str:
    """What was brought in from elsewhere with these events, counted; "" for nothing."""
    if any(e.kind == "history_brought" for e in events):
        days = sum(e.kind == "session_closed" for e in events)
        lifters = len({e.lifter for e in events if e.lifter is not None})  # a gym opened again has no sets of it
        return f"{command_words(events, gym, names)} on {many(days, 'day')} of {many(lifters, 'lifter')}"
    return roster_words(events)


def _gone(events: Sequence[Event], names: Mapping[int, str]) -> str:
    """Who goes from the gym, as a sentence: the first few by name."""
    who = [names.get(e.lifter or 0, f"lifter {e.lifter}") for e in events if e.kind == "lifter_joined"]
    if len(who) > FEW + 1:
        who = [*who[:FEW], f"{len(who) - FEW} more"]
    listed = " and ".join(filter(None, (", ".join(who[:-1]), *who[-1:])))
    return f"{listed} {'goes' if len(who) == 1 else 'go'} from the gym with it." if who else ""
