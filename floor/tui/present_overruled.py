"""What the coach overruled on a lift, of tonight's proposals and of plans for next time alike, in words. Pure."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from floor.core.changed import ACTIONS
from floor.core.gym import Gym
from floor.core.nexttime import BY_HAND, next_reason
from floor.core.past import LifterPast, PlanPast, ProposalPast
from floor.core.proposals import reason
from floor.core.units import show_load
from floor.tui.present_week import day


def overruled_lines(past: LifterPast, lift: str, gym: Gym, most: int) -> list[str]:
    """The latest `most` overrulings, each with its day, what was proposed and why, and what the coach said."""
    told = [(p.evening, _tonight(p, gym)) for p in past.proposals if p.lift == lift and p.overruled is not None]
    told += _next_times(past, lift, gym)
    told.sort(key=lambda row: row[0])
    return [f"{day(when)}  {words}" for when, words in reversed(told)][:most]


def _tonight(row: ProposalPast, gym: Gym) -> str:
    path = show_load(row.load) if row.was == row.load else f"{show_load(row.was)} to {show_load(row.load)}"
    coach = row.coach_load if row.coach_load is not None else row.load
    return _overruled(f"{_word(row.action)} {path}", reason(row.rule), row.overruled, coach, gym)


def _next_times(past: LifterPast, lift: str, gym: Gym) -> Iterator[tuple[date, str]]:
    """The plans by hand that overruled a rule's, each beside the plan that the rule had made."""
    rules: PlanPast | None = None
    for plan in past.plans:
        if plan.lift != lift:
            continue
        if plan.rule != BY_HAND:
            rules = plan
        elif plan.overruled is not None and rules is not None:
            said = f"next time {show_load(rules.load)}"
            yield plan.evening, _overruled(said, next_reason(plan.overruled), plan.word, plan.load, gym)


def _overruled(proposed: str, why: str, word: str | None, load: int, gym: Gym) -> str:
    return f"{proposed} ({why}); the coach: {_word(word or '')}, {show_load(load)} {gym.unit}"


def _word(action: str) -> str:
    return ACTIONS.get(action, action)
