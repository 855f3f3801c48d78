"""The coach decides otherwise than a proposal: which load that gives, and what is asked about first."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime

from floor.core.askfirst import lifts_on
from floor.core.commands import Overrule, Refusal
from floor.core.decide.lifting import latest_done
from floor.core.decide.refusing import held, not_here
from floor.core.decide.table import Events, Table
from floor.core.events import Event
from floor.core.gym import Grade, Severity
from floor.core.jumps import far
from floor.core.loading import buildable
from floor.core.proposals import ADD, KEEP, LIGHTEN, OF_THE_SET, STEP_UP
from floor.core.state import DROPPED, PLANNED, Proposal, State
from floor.core.steps import step_of
from floor.core.tonight import Evidence, at_least, gather
from floor.core.units import show_with_unit

WAYS = (ADD, KEEP, LIGHTEN)
"""What a proposal can be overruled to."""


@dataclass(frozen=True, slots=True)
class Way:
    """One way to overrule a proposal: the load it gives (hundredths); `asks`: only once the coach is sure."""

    action: str
    load: int
    asks: bool


def ways(state: State, proposal: Proposal) -> tuple[Way, ...]:
    """The ways to overrule a proposal now, each as `overrule` would do it; one that would be refused is left out.

    So is a heavier load where the rules ended the lift: it can be asked for, it is never offered.
    """
    stopped = lifts_on(proposal)
    found = []
    for action in WAYS[1:] if stopped else WAYS:
        free = overruled_load(state, Overrule(proposal.lifter, proposal.lift, action))
        sure = overruled_load(state, Overrule(proposal.lifter, proposal.lift, action, sure=True))
        if not isinstance(sure, Refusal):
            found.append(Way(action, sure, stopped or isinstance(free, Refusal)))
    return tuple(found)


def overruled_load(state: State, command: Overrule) -> int | Refusal:
    """The load (hundredths) an overruling gives the lift's next set, as it can be built, or why it is refused."""
    refused = not_here(state, command.lifter) or held(state, command.lifter)
    if refused:
        return refused
    proposal = state.evening.proposals.get((command.lifter, command.lift))
    if proposal is None:
        return Refusal("There is no proposal to overrule.")
    coming = [
        s for s in state.evening.here[command.lifter].of_lift(command.lift)
        if s.no >= proposal.set_no and not s.trimmed and s.status in (PLANNED, DROPPED)
    ]
    if not coming or coming[0].no != proposal.set_no:
        return Refusal("That proposal has been acted on: change the load by hand instead.")
    if command.action == (proposal.overruled or proposal.action) and command.action == KEEP:
        return Refusal("The proposal keeps the load already.")
    wanted = _wanted(state, proposal, command.action)
    if wanted is None:
        return Refusal("A proposal is overruled with add, keep or lighten.")
    load = buildable(state.gym, command.lift, wanted)
    if command.sure:
        return load
    return _doubted(state, proposal, load) or far(state, command.lifter, command.lift, load, proposal.load) or load


DOUBTS: tuple[tuple[Callable[[Evidence], bool], str], ...] = (
    (lambda e: e.cleared, "pain was cleared"),
    (lambda e: e.bad, "the last set asked for less load"),
    (lambda e: e.short > 0, "the last set was short of reps"),
    (lambda e: e.done.grade is Grade.ROUGH, "the last set was rough"),
    (lambda e: at_least(e.worst, Severity.FIX), "the last set had a fault to fix"),
    (lambda e: e.asked, "an earlier set asked for less load tonight"),
    (lambda e: at_least(e.drilled, Severity.LIGHTEN), "the group drill showed a bad fault"),
    (lambda e: e.far_over, "the last set was far over the plan"),
)
"""What speaks against more load than the rules propose, and is asked about: the first that fits is said."""


def _doubted(state: State, proposal: Proposal, load: int) -> Refusal | None:
    """A refusal, unless the coach is sure, of a load over the proposal's where the last set or tonight speaks against.

    A stop is asked about by itself: see `lifts_on`.
    """
    done = latest_done(state, proposal.lifter, proposal.lift)
    evidence = gather(state, proposal.lifter, done) if done is not None else None
    if evidence is None or load <= proposal.load or lifts_on(proposal):
        return None
    why = next((words for speaks, words in DOUBTS if speaks(evidence)), "")
    if not why and evidence.limit is not None and load > evidence.limit:
        why = f"the stage's heaviest load is {show_with_unit(evidence.limit, state.gym.unit)}"
    if not why and proposal.rule in OF_THE_SET:
        why = "an earlier set was put right to less"
    if not why:
        return None
    asked = f"{{lifter}}: {why}. {show_with_unit(load, state.gym.unit)} all the same?"
    return Refusal(asked, proposal.lifter, unless_sure=True)


def _wanted(state: State, proposal: Proposal, action: str) -> int | None:
    """The load an overruling asks for, from the set of the lift done last; None for no word.

    From the set to come before the first and after a ramp set, and from the proposal where that is
    more than a step up already: a step more is never less than the rules give.
    """
    lifter, lift = proposal.lifter, proposal.lift
    present = state.evening.here[lifter]
    coming = next((s for s in present.of_lift(lift) if s is present.pending()), None)
    last = latest_done(state, lifter, lift)
    if last is None or (last.role == "ramp" and coming is not None):
        last = coming or next((s for s in present.of_lift(lift)), None)
    if last is None:
        return None
    backing = coming is not None and coming.role == "backoff"
    base = min(last.load, coming.load) if backing and coming is not None else last.load
    step = step_of(state.gym, state.lifters[lifter], lift)
    loads = {
        ADD: (proposal.load if proposal.load > base + step else base) + step,
        KEEP: base,
        LIGHTEN: base * (100 - state.gym.settings.ease_percent) // 100,
    }
    return loads.get(action)


def overrule(state: State, command: Overrule, now: datetime) -> Events | Refusal:
    load = overruled_load(state, command)
    if isinstance(load, Refusal):
        return load
    proposal = state.evening.proposals[command.lifter, command.lift]
    present = state.evening.here[command.lifter]
    last = latest_done(state, command.lifter, command.lift) or present.set(proposal.set_no)
    stage = last.stage if last and proposal.stage is not None and proposal.action != STEP_UP else None
    return (
        Event(
            kind="proposal_overruled", happened=now, session=state.evening.session, station=present.station,
            lifter=command.lifter, lift=command.lift, action=command.action, was=proposal.load, rule=proposal.rule,
            load=load, set_no=proposal.set_no, count=max(proposal.count, 1), stage=stage,
        ),
    )


DECIDE: Table = {Overrule: overrule}
