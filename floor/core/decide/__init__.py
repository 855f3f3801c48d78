"""decide(state, command, now, outlook) -> events, or a refusal in one sentence.

Each command has one function, found by its type. Whatever a command does, the
evening is settled afterwards in one place: lifters whose next lift needs
another station are sent there, and every station's promises are renewed.
"""

from __future__ import annotations

from datetime import datetime

from floor.core.commands import Command, Refusal
from floor.core.decide import (
    afterwards,
    arriving,
    bygone,
    care,
    closing,
    lifting,
    nextbyhand,
    ordering,
    overruling,
    people,
    puttingright,
)  # fmt: skip
from floor.core.decide.planned import PLANNED_DECIDE
from floor.core.decide.settle import settle
from floor.core.decide.table import Events, Table
from floor.core.outlook import NO_OUTLOOK, Outlook
from floor.core.state import State

_DECIDE: Table = {
    **people.DECIDE,
    **bygone.DECIDE,
    **arriving.DECIDE,
    **lifting.DECIDE,
    **afterwards.DECIDE,
    **puttingright.DECIDE,
    **overruling.DECIDE,
    **ordering.DECIDE,
    **care.DECIDE,
    **closing.DECIDE,
    **nextbyhand.DECIDE,
}


def decide(state: State, command: Command, now: datetime, outlook: Outlook = NO_OUTLOOK) -> Events | Refusal:
    """What a command leads to now. Pure: the same answer for the same state, command, time and plan.

    `outlook` must be the one of this very state; without one nothing can be taken from it.
    """
    with_plan = PLANNED_DECIDE.get(type(command))
    if with_plan is not None:
        answer = with_plan(state, command, now, outlook)
    else:
        answer = _DECIDE[type(command)](state, command, now)
    if isinstance(answer, Refusal):
        return answer
    return settle(state, answer, now)


def understood() -> frozenset[type[Command]]:
    """Every command that decide answers."""
    return frozenset(_DECIDE) | frozenset(PLANNED_DECIDE)
