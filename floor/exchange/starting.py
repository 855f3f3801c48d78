"""What a history brought in starts on, in words: whose lifts their next session has not, and how to change it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from floor.core.startingon import not_next_day, starts_fresh
from floor.core.words import many
from floor.session import Session

NAMED = 8
"""So many lifters are named in a line."""


def starting_lines(session: Session, lifts: Mapping[int, Iterable[str]]) -> list[str]:
    """The lines after an import; `lifts` are those brought in for each lifter. None where every lift is next."""
    state, gym = session.state, session.state.gym
    names = {person.id: person.name for person in session.people.values()}
    groups: dict[tuple[str, str], list[str]] = {}
    told = not_next_day(state, lifts)
    for one in told:
        programme = gym.programmes[state.lifters[one.lifter].programme].name
        when = f"on day {one.day} of {programme}" if one.day is not None else f"not in {programme}"
        groups.setdefault((gym.lifts[one.lift].name, when), []).append(names.get(one.lifter, f"lifter {one.lifter}"))
    if not told:
        return []
    lines = ["Brought in, and not in the session they start on; the loads stand until the lift comes:"]
    lines += [f"    {lift}, {when}: {_named(who)}" for (lift, when), who in sorted(groups.items())]
    if fresh := starts_fresh(state, dict.fromkeys(one.lifter for one in told)):
        who = _named([names.get(number, f"lifter {number}") for number in fresh])
        lines.append(f"That session also has lifts that nothing was brought in for; they begin at stage 1: {who}")
    return [*lines, "P at check-in gives another programme."]


def _named(who: Sequence[str]) -> str:
    more = len(who) - NAMED
    return ", ".join(who[:NAMED]) + (f" and {many(more, 'more lifter')}" if more > 0 else "")
