"""A proposal in words: what it asks for, large, and why. Pure."""

from __future__ import annotations

from textual.content import Content

from floor.core.decide.overruling import ways
from floor.core.proposals import reason
from floor.core.state import DONE, Proposal, State, TheSet
from floor.core.units import show_load, show_with_unit
from floor.tui.keys import keys_of
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
KEY_OF = {action: k.shown for k in keys_of("floor") for action in ACTION_WORDS if k.action == f"overrule('{action}')"}
"""The key on the floor that overrules a proposal to an action."""
APART = Content("  ")
"""Between a key with its load and the next."""
ARROW = " → "
"""Between what was done and what is proposed."""
WHY, SEEN, OR = "why  ", "  └─ ", "or   "
"""How the line of a reason begins, under it the line of its evidence, and the keys where they have a line."""


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
    told = [
        (f"{at}{reps} made, {done.grade}", proposal_words(state, proposal)),
        (f"{at}{reps}, {done.grade}", proposal_words(state, proposal, short=True)),
    ]
    if proposal.was == done.load:
        told.append((f"{at}{reps}, {done.grade}", proposal_words(state, proposal, planned_too=False)))
    told.append((f"{name} {lift}: {reps}, {done.grade}", proposal_words(state, proposal, short=True)))
    return next((way for way in told if len(way[0]) + len(way[1]) + len(ARROW) <= width), told[-1])


def why(proposal: Proposal) -> str:
    """The rule's sentence, or that the coach overruled it."""
    if proposal.overruled:
        return f"overruled by the coach (the rule said: {reason(proposal.rule)})"
    return reason(proposal.rule)


def overrule_keys(state: State, proposal: Proposal, name: str) -> tuple[Content, ...]:
    """The keys that overrule a proposal, each with the load it gives, from most words to fewest; none when none acts.

    "Ada: + 62.5 kg  = 60 kg  - 54 kg"; a "?" behind a load says that the key asks first.
    """
    found = [(KEY_OF[way.action], way.load, "?" if way.asks else "") for way in ways(state, proposal)]
    if not found:
        return ()
    unit = state.gym.unit
    each = APART.join(_key(key, f"{show_with_unit(load, unit)}{asks}") for key, load, asks in found)
    bare = APART.join(_key(key, f"{show_load(load)}{asks}") for key, load, asks in found)
    return Content.assemble(f"{name}: ", each), each, Content.assemble(bare, f" {unit}")


def _key(key: str, load: str) -> Content:
    return Content.assemble((key, "bold"), f" {load}")
