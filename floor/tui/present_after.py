"""The panel's lines after the last set of a station: what it changed, why, and how to overrule it. Pure."""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping

from textual.content import Content

from floor.core.board import drill_stop, last_done, proposal_after
from floor.core.state import Proposal, State
from floor.core.units import show_with_unit
from floor.tui.present_care import held_lines
from floor.tui.present_next import next_lines
from floor.tui.present_plan import GAP
from floor.tui.present_proposal import ARROW, OR, SEEN, WHY, asked_after, overrule_keys, proposal_words, why
from floor.tui.present_seen import seen_words, shown_words, tell_words

APART = "   "
"""Between a reason, or its evidence, and the keys that overrule it."""
BEHIND = "  "
"""The same behind what is asked, whose large words end in a space."""


def after_last(
    state: State, station_id: int, names: Mapping[int, str], width: int, cautioned: Collection[int] = ()
) -> list[Content]:
    """What the last set at this station changed, with its reason and how to overrule it, in lines of `width`.

    `cautioned` are lifters about whom a caution is noted.
    """
    last = last_done(state, station_id)
    drilled = drill_stop(state, station_id)
    if drilled is not None and state.lifters[drilled.lifter].held:
        drilled = None
    if last is None or (drilled is not None and proposal_after(state, *last) is None):
        return [] if drilled is None else _after_drill(state, drilled, names, width)
    present, done = last
    name = names.get(present.lifter, str(present.lifter))
    if state.lifters[present.lifter].held:
        return [*held_lines(state, name, done, present.lifter, present.lifter in cautioned)]
    lift, load = state.gym.lifts[done.lift].name, show_with_unit(done.load, state.gym.unit)
    did = f"{name} {lift} {load}: {done.made} of {done.reps} made, {done.grade}"
    proposal = proposal_after(state, present, done)
    tell = tell_words(state, present, done, name)
    if proposal is None:
        said = next_lines(state, present, done.lift, did, width)
        ready = shown_words(state, present, done)
        return [*said, *([tell] if tell else []), *([Content(ready)] if ready else [])]

    def asked(room: int) -> Content:
        did, words = asked_after(state, proposal, done, name, room)
        return Content.assemble(did, ARROW, (words, "bold reverse"))

    seen = seen_words(state, present, done, proposal, width - len(SEEN))
    lines = _with_keys(asked, why(proposal), seen, overrule_keys(state, proposal, name), tell, width)
    return lines if tell is None or any(tell.plain in line.plain for line in lines) else _added(lines, tell, width)


def _with_keys(
    asked: Callable[[int], Content], reason: str, seen: str, keys: tuple[Content, ...], tell: Content | None, width: int
) -> list[Content]:
    """What is asked (a line for a width), why, and what that rests on, with the keys that overrule it.

    The keys stand behind the reason, else behind what is asked, else behind the evidence, else below. What the
    lifter should hear goes with the reason and the keys where there is room for all three.
    """
    because = Content.assemble((WHY, "bold"), reason)
    rests_on = [Content.assemble((SEEN, "bold"), seen)] if seen else []
    beside = [Content.assemble(because, APART, one) for one in keys] or [because]
    ways = [*([Content.assemble(one, GAP, tell) for one in beside] if tell is not None else []), *beside]
    if (fits := next((one for one in ways if one.cell_length <= width), None)) is not None or not keys:
        return [asked(width), fits or because, *rests_on]
    for one in keys[-2:]:
        shorter = Content.assemble(asked(width - one.cell_length - len(BEHIND)), BEHIND, one)
        if shorter.cell_length <= width:
            return [shorter, because, *rests_on]
    for one in keys[-2:] if rests_on else ():
        joined = Content.assemble(rests_on[0], APART, one)
        if joined.cell_length <= width:
            return [asked(width), because, joined]
    return [asked(width), because, Content.assemble((OR, "bold"), keys[0]), *rests_on]


def _added(lines: list[Content], tell: Content, width: int) -> list[Content]:
    """The lines with one more thing said: behind the last of them if it fits, else below."""
    joined = Content.assemble(lines[-1], GAP, tell)
    return [*lines[:-1], joined] if len(lines) > 2 and joined.cell_length <= width else [*lines, tell]


def _after_drill(state: State, stop: Proposal, names: Mapping[int, str], width: int) -> list[Content]:
    """A lift that a fault in the group drill ended, before any set of it."""
    name = names.get(stop.lifter, str(stop.lifter))
    lift = state.gym.lifts[stop.lift].name
    asked = Content.assemble(f"{name} {lift}, group drill{ARROW}", (proposal_words(state, stop), "bold reverse"))
    return _with_keys(lambda room: asked, why(stop), "", overrule_keys(state, stop, name), None, width)
