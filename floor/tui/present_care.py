"""Pain in words: who is held, what stands of the set, and which keys go on from there. Pure.

Lifters read this screen too: where it hurts and the words of a note are said nowhere here.
"""

from __future__ import annotations

from collections.abc import Sequence

from textual.content import Content

from floor.core.state import State, TheSet
from floor.core.units import show_with_unit
from floor.tui.dialogs.pick import KEYS


def key_of(state: State, lifter: int) -> str:
    """The lifter's key in every list of those here; "" past the last key."""
    came = zip(state.evening.here, KEYS, strict=False)
    return next((key for present, key in came if present == lifter), "")


def pain_words(state: State, lifter: int, name: str, cautioned: bool, width: int) -> str:
    """What is said once pain is reported: held, until what, by which keys; as full as `width` holds."""
    key = key_of(state, lifter)
    hurts = f"{name}: pain reported, held."
    note = f" Caution noted: / n {key}".rstrip() + "." if cautioned else ""
    until = f"(F9 {key})" if key else "(F9)"
    ways = (
        f"{hurts} No load until the clearance is recorded {until}.{note}",
        f"{hurts} No load until cleared {until}.{note}",
    )
    return next((way for way in ways if len(way) <= width), ways[-1])


def held_lines(state: State, name: str, done: TheSet, lifter: int, cautioned: bool) -> Sequence[Content]:
    """The panel after the last set of somebody held: the set as it stands, no load, and the keys."""
    gym, key = state.gym, key_of(state, lifter)
    load = show_with_unit(done.load, gym.unit)
    did = f"{name} {gym.lifts[done.lift].name} {load}: {done.made} of {done.reps} made, {done.grade}. "
    note = f" Caution noted: / n {key}".rstrip() + "." if cautioned else ""
    until = f"No load until the clearance is recorded: F9 {key}".rstrip() + "."
    return (
        Content.assemble(did, (" HELD: pain reported ", "bold reverse")),
        Content.assemble(("held ", "bold"), until, note),
    )
