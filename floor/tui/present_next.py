"""The line of the floor that says what next time brings, after the last set of a lift. Pure."""

from __future__ import annotations

from textual.content import Content

from floor.core.comingday import (
    NOT_COMING,
    ComingLift,
    after_tonight,
    asked_words,
    back_words,
    coming_lift,
    coming_notes,
)  # fmt: skip
from floor.core.decide.closing import next_for
from floor.core.gym import Gym
from floor.core.nexttime import FOUND, LEARNING, LIGHT_DAY, NextTime
from floor.core.programme import percent_today
from floor.core.state import Present, State
from floor.core.units import show_load, show_with_unit
from floor.core.whynext import why_next
from floor.tui.draw.spans import wrap
from floor.tui.present_proposal import WHY


def next_lines(state: State, present: Present, lift: str, did: str, width: int) -> list[Content]:
    """What was done, what the next session with the lift asks, and why: one line of `width`, or up to five.

    What keeps the load from the whole load stands before the rule's reason: in a line with it, or each in its own.
    """
    found = next_for(state, present, lift)
    gym = state.gym
    coming = coming_lift(gym, after_tonight(state, present.lifter), lift)
    light = percent_today(gym, state.lifters[present.lifter], lift) < 100
    if coming is None:
        asked, notes = show_with_unit(found.load, gym.unit) + " stays planned", [NOT_COMING]
    else:
        asked = asked_words(coming, gym)
        notes = coming_notes(coming, gym, None if light or found.rule == FOUND else found.was)
    why = [why_next(state, present, lift, found.rule)]
    if light and found.rule != LEARNING and (coming is None or coming.percent == 100):
        notes.insert(0, _full(found, coming, gym))
        why = [] if found.rule == LIGHT_DAY else why
    told, rest = f"{did}. Next time ", _joined(notes, why)
    if len(told) + len(asked) + 2 + len(rest) <= width:
        return [Content.assemble(told, (asked, "bold"), f": {rest}")]
    head = Content.assemble(told, (asked, "bold"))
    if len(rest) <= width:
        return [head, *([Content(rest)] if rest else [])]
    lines = [Content(line) for line in wrap(_joined(notes, []), width, 2)]
    return [head, *lines, *_reason(why, width)]


def _reason(why: list[str], width: int) -> list[Content]:
    """The rule's reason on lines of its own."""
    told = [line for words in why for line in wrap(words, width - len(WHY), 2)]
    return [Content.assemble((" " * len(WHY) if n else WHY, "bold"), line) for n, line in enumerate(told)]


def _joined(notes: list[str], why: list[str]) -> str:
    """What keeps the load from the whole load, then the rule's reason."""
    return " · ".join([*([", ".join(notes)] if notes else []), *why])


def _full(found: NextTime, coming: ComingLift | None, gym: Gym) -> str:
    """Tonight was a light day: what becomes of the load of a full one."""
    load = show_with_unit(found.load, gym.unit)
    if found.load == found.was:
        return back_words(coming, gym) or f"light day: the full load stays {load}"
    return f"light day: the full load goes from {show_load(found.was)} to {load}"
