"""A proposal in words: what it asks for, large, and why. Pure."""

from __future__ import annotations

from floor.core.proposals import reason
from floor.core.state import DONE, Proposal, State, TheSet
from floor.core.units import show_with_unit
from floor.tui.present import minutes

ACTION_WORDS = {
    "add": "ADD",
    "keep": "KEEP",
    "lighten": "LIGHTER",
    "rest": "MORE REST",
    "step_down": "STAGE DOWN",
    "step_up": "STAGE UP?",
    "stop": "STOP",
}
ARROW = " → "
"""Between what was done and what is proposed."""
WHY, SEEN = "why  ", "  └─ "
"""How the line of a reason begins, and under it the line of its evidence."""


def proposal_words(state: State, proposal: Proposal, *, short: bool = False, planned_too: bool = True) -> str:
    """A proposal in large words: "AGAIN 40 kg (42.5 kg was planned)"; `short`: "AGAIN 40 kg (was 42.5 kg)".

    Without `planned_too` the load that was planned is left out.
    """
    unit = state.gym.unit
    action = proposal.overruled or proposal.action
    if action == "stop":
        return f" STOP the {state.gym.lifts[proposal.lift].name} for today "
    load = show_with_unit(proposal.load, unit)
    planned = proposal.rule == "as-planned" and not proposal.overruled
    verb = "AS PLANNED" if planned else _kept(state, proposal) if action == "keep" else ACTION_WORDS[action]
    rest = f"{minutes(proposal.rest)}, then " if proposal.rest and action == "rest" else ""
    before = show_with_unit(proposal.was, unit)
    told = f"was {before}" if short else f"{before} was planned"
    was = f" ({told})" if planned_too and proposal.was != proposal.load else ""
    return f" {verb} {rest}{load}{_stage(state, proposal)}{was} "


def _kept(state: State, proposal: Proposal) -> str:
    """The word for a load not added to: a load under the set done last goes down, and is never called kept."""
    last = _last(state, proposal)
    if last is not None and proposal.load < last.load:
        return "DOWN TO"
    return "AGAIN" if proposal.load < proposal.was else ACTION_WORDS["keep"]


def _last(state: State, proposal: Proposal) -> TheSet | None:
    """The set of the lift that was done last, None before the first."""
    present = state.evening.here.get(proposal.lifter)
    done = [s for s in present.of_lift(proposal.lift) if s.status == DONE and s.down is not None] if present else []
    return max(done, key=lambda s: (s.down, s.no), default=None)


def _stage(state: State, proposal: Proposal) -> str:
    stage = state.gym.lifts[proposal.lift].stage(proposal.stage)
    if stage is None:
        return ""
    last = _last(state, proposal)
    if proposal.action == "step_down" and not proposal.overruled and last is not None and last.stage is not None:
        return f", stage {last.stage} to {stage.no}"
    if proposal.action != "step_up" or proposal.overruled:
        return f", stage {stage.no}"
    now = state.lifters[proposal.lifter].stages.get(proposal.lift, 0)
    return f", stage {stage.no}{' signed' if now >= stage.no else ''}"


def asked_after(state: State, proposal: Proposal, done: TheSet, name: str, width: int) -> tuple[str, str]:
    """(what was done, the proposal in large words), as full as one line of `width` with an arrow between them holds.

    The load that was planned goes last but for one: where the set had it, the set says it.
    """
    unit, lift = state.gym.unit, state.gym.lifts[done.lift].name
    load = show_with_unit(done.load, unit)
    at, reps = f"{name} {lift} {load}: ", f"{done.made} of {done.reps}"
    ways = [
        (f"{at}{reps} made, {done.grade}", proposal_words(state, proposal)),
        (f"{at}{reps}, {done.grade}", proposal_words(state, proposal, short=True)),
    ]
    if proposal.was == done.load:
        ways.append((f"{at}{reps}, {done.grade}", proposal_words(state, proposal, planned_too=False)))
    ways.append((f"{name} {lift}: {reps}, {done.grade}", proposal_words(state, proposal, short=True)))
    return next((way for way in ways if len(way[0]) + len(way[1]) + len(ARROW) <= width), ways[-1])


def why(proposal: Proposal) -> str:
    """The rule's sentence, or that the coach overruled it."""
    if proposal.overruled:
        return f"overruled by the coach (the rule said: {reason(proposal.rule)})"
    return reason(proposal.rule)
