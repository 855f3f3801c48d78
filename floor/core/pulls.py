"""The pull that stops recovering: when the deadlift stalls and the squat goes on, the clean may take the midweek day.

Only ever proposed. It names the programme to go over to, with what speaks for
it, and waits for the coach to give that programme. Common practice, no source.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from floor.core.gym import Gym, Lift
from floor.core.nexttime import next_reason
from floor.core.programme import stage_now
from floor.core.state import Lifter, NextPlan, ProgrammeProposal
from floor.core.units import show_with_unit

SLOW, BESIDE, LIGHT = "deadlift", "squat", "clean"
"""The lift that no longer recovers, the one that must still go on, and the light pull."""

RUNNING = 2
"""So many repeats of the deadlift running, or an ease-back after more, are no bad day: common practice, no source."""

RULE = "deadlift-slows"
EASED = "three-repeats-ease"
GOING_ON = ("all-made", "reps-first", "reps-then-load", "light-day", "over-once", "two-for-two-waits")
"""The rules between sessions after which a lift goes on."""


@dataclass(frozen=True, slots=True)
class PullProposal:
    """The programme to go over to, and why: the deadlift's load, its repeats running, the clean's stage."""

    programme: str
    load: int
    count: int
    stage: int


def positions(lift: Lift) -> tuple[tuple[int, str], ...]:
    """(stage, position) of the stages that show a position."""
    return tuple((stage.no, stage.position) for stage in lift.stages if stage.position)


def positions_ready(lift: Lift, stage: int | None) -> bool:
    """Whether a lifter on that stage has been signed off every stage that shows a position."""
    needed = positions(lift)
    return bool(needed) and stage is not None and all(stage > no for no, _ in needed)


def pull_proposal(gym: Gym, lifter: Lifter, plans: Mapping[str, NextPlan]) -> PullProposal | None:
    """The proposal, when the deadlift was repeated or eased, the squat goes on and the clean's positions are ready.

    `plans` is what next time brings on every lift, tonight's rules applied.
    """
    programme = gym.programmes.get(lifter.programme)
    target = gym.programmes.get(programme.pull_light) if programme else None
    slow, beside, light = plans.get(SLOW), plans.get(BESIDE), gym.lifts.get(LIGHT)
    if target is None or target.id == lifter.programme or slow is None or beside is None or light is None:
        return None
    eased = slow.rule == EASED
    if not eased and slow.repeats < RUNNING:
        return None
    if beside.repeats or beside.rule not in GOING_ON:
        return None
    stage = stage_now(light, lifter)
    if stage is None or not positions_ready(light, stage):
        return None
    count = gym.settings.repeats_before_ease if eased else slow.repeats
    return PullProposal(target.id, slow.load, count, stage)


def proposal_words(gym: Gym, proposed: ProgrammeProposal) -> str:
    """From what to what, by which rule, on what evidence, in one sentence."""
    return " · ".join(proposal_parts(gym, proposed))


def proposal_parts(gym: Gym, proposed: ProgrammeProposal) -> tuple[str, str, str, str]:
    """What is proposed, by which rule, what stalled, what is ready: four short phrases."""
    target = gym.programmes.get(proposed.programme)
    slow, light = gym.lifts.get(proposed.lift), gym.lifts.get(proposed.other)
    shown = " and ".join(dict.fromkeys(name for _, name in positions(light))) if light else ""
    return (
        f"programme {target.name if target else proposed.programme}, "
        f"the {light.name if light else proposed.other} first and light",
        f"why: {next_reason(proposed.rule)}",
        f"{slow.name if slow else proposed.lift} {proposed.count} repeats running, now "
        f"{show_with_unit(proposed.load, gym.unit)}, squat goes on",
        f"{shown or 'positions'} signed off (stage {proposed.stage}); P at check-in gives it",
    )
