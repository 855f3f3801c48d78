"""What followed from a command, in words behind what it did: who has to walk, who is told next instead of whom."""

from __future__ import annotations

from collections.abc import Sequence

from floor.core.events import Event
from floor.core.promises import told_words
from floor.session import Session


def follow_words(session: Session, events: Sequence[Event]) -> list[str]:
    """Moves to another station and promises that changed, each with its reason."""
    return [*_moved(session, events), *told_words(events, session.names)]


def _moved(session: Session, events: Sequence[Event]) -> list[str]:
    gym, names = session.state.gym, session.names
    words = []
    for event in events:
        if event.kind == "lifter_moved" and event.lift is not None and event.station is not None:
            name = names.get(event.lifter or 0, "a lifter")
            words.append(f"{name} to {gym.station(event.station).name} for the {gym.lifts[event.lift].name}")
    return words
