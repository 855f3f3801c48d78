"""A card for the lifter's hand: next session on one page; and the evening's summary for the coach. Pure.

A card is board-safe: the board name, what to lift, what to set, why, and one
cue. No notes, nothing about pain or health, no full name. The summary is for
the coach alone and says so.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from datetime import datetime
from itertools import groupby

from floor.core import clearance, stacks
from floor.core.apply import fold
from floor.core.arrivals import Block, blocks, here_tonight, sets_tonight
from floor.core.comingday import coming_lift, light_words, reason_words
from floor.core.commands import CloseSession, Refusal
from floor.core.course import latest
from floor.core.cues import worth
from floor.core.decide import decide
from floor.core.decide.people import nobody
from floor.core.events import Event
from floor.core.gym import Gym
from floor.core.limits import CAPS
from floor.core.nexttime import ASKED, CAME_DOWN, CLEARED, next_reason
from floor.core.pages import Page, Part
from floor.core.past import LifterPast
from floor.core.programme import stage_now
from floor.core.sheet import NO_LIFTS, finished_bar, height_words, stack_words
from floor.core.state import Heights, Lifter, State
from floor.core.summary import lifter_lines, lines, summarise
from floor.core.teaching import role_of
from floor.core.units import show_load, show_with_unit

HEALTH: Mapping[str, str] = {
    "pain-eases": "lighter this time: ask the coach",
    CLEARED: "no step up yet: ask the coach",
    clearance.EASES: "lighter this time: ask the coach",
}
"""What a card says where the rule's own sentence would tell of someone's health."""

LIGHTER = ("pain-eases", "stopped-eases", "broken-eases", ASKED, CAME_DOWN, CLEARED, clearance.EASES)
"""The rules after which a card says why the load came down, whatever the sets are."""

CAREFUL = (
    "These loads are proposals: the coach decides on the day, and may change every one of them.",
    "Anything hurts: stop, and say so.",
)
_ONE_LINE = 100_000


def make_card(
    state: State, lifter: int, names: Mapping[int, str], now: datetime, when: str, cues: Mapping[str, str] | None = None
) -> Page | Refusal:
    """Next session's card for a lifter; `when` is the date in the gym's own words, `cues` one cue a lift.

    For someone who is here tonight it is worked out as if the session closed
    now; a Refusal when it can't close (a set is running), and of nobody's card.
    """
    if refused := nobody(state, lifter):
        return refused
    note = ""
    if lifter in here_tonight(state):
        closing = decide(state, CloseSession(), now)
        if isinstance(closing, Refusal):
            return closing
        state = fold(state, closing)
        note = " · tonight's session is still open: this may change"
    whose = state.lifters[lifter]
    sets = sets_tonight(state, whose, now)
    about = [f"Loads in {state.gym.unit} · made {when}{note}"]
    programme = state.gym.programmes.get(whose.programme)
    if programme and programme.days and sets:
        about.insert(0, f"{programme.name}, day {whose.day % len(programme.days) + 1} of {len(programme.days)}")
    return Page(
        title=f"{names.get(lifter, f'lifter {lifter}')}: next session",
        about=tuple(about if sets else [*about, NO_LIFTS]),
        parts=tuple(_part(state.gym, whose, block, now, (cues or {}).get(block.lift, "")) for block in blocks(sets)),
        cautions=(*CAREFUL, *state.gym.settings.cautions),
    )


def _part(gym: Gym, lifter: Lifter, block: Block, now: datetime, cue: str) -> Part:
    lift = gym.lifts[block.lift]
    rows, said = [], []
    every = (*block.ramp, *block.work)
    for (role, load, reps), alike in groupby(every, key=lambda s: (role_of(lift, s), s.load, s.reps)):
        count = len(list(alike))
        bar, stack = finished_bar(gym, lift.id, load, None)
        named = "back-off" if role == "backoff" else role
        rows.append((named, show_with_unit(load, gym.unit), f"{count} × {reps}", stack_words(gym, bar, stack)))
        said.append(stacks.floor_start(gym, lift, stack))
    stage = next((s for s in lift.stages if s.no == stage_now(lift, lifter)), None)
    heading = lift.name if stage is None else f"{lift.name} · stage {stage.no}, {stage.name}"
    told = [
        height_words(lifter.heights.get(lift.id, Heights()), lift),
        f"why: {why(gym, lifter, block, now)}" if block.work else "",
        f"one thing: {cue}" if cue else "",
        f"the drill: {stage.drill}" if stage else "",
        *(f"! {words}" for words in dict.fromkeys(said) if words),
        f"! {lift.caution}" if lift.caution else "",
    ]
    return Part(heading, ("set", "load", "sets × reps", "bar"), tuple(rows), tuple(words for words in told if words))


def why(gym: Gym, lifter: Lifter, block: Block, now: datetime) -> str:
    """Why the work load is what it is, in words others may read."""
    lift, first = gym.lifts[block.lift], block.work[0]
    plan = lifter.plans.get(lift.id)
    if plan is not None and plan.rule == CAPS:
        return next_reason(plan.rule) + _from(plan.was, plan.load)
    if plan is not None and plan.rule in LIGHTER:
        return HEALTH.get(plan.rule, next_reason(plan.rule)) + _from(plan.was, plan.load)
    if first.role == "build":
        return "up step by step while the form holds; the coach says how far"
    if plan is None:
        return "a first load is found with the coach"
    coming = coming_lift(gym, lifter, lift.id, now)
    if coming is not None and coming.limited:
        return "the heaviest load of this stage"
    if coming is not None and coming.rested < coming.whole:
        return HEALTH.get(coming.eased, next_reason(coming.eased))
    if coming is not None and coming.percent < 100:
        return f"a {light_words(coming, gym)}"
    return HEALTH.get(plan.rule, reason_words(plan.rule, coming, gym)) + _from(plan.was, plan.load)


def _from(was: int | None, load: int) -> str:
    return f" (was {show_load(was)})" if was is not None and was != load else ""


def cues(past: LifterPast, gym: Gym) -> dict[str, str]:
    """For each lift the cue of the fault of its latest evening that is to be fixed first."""
    found: dict[str, str] = {}
    for lift_id in past.lifts():
        lift = gym.lifts.get(lift_id)
        if lift is None:
            continue
        seen = Counter(f for s in latest(s for s in past.sets if s.lift == lift_id) for _, f in s.faults)
        fault = worth(lift, seen)
        if fault is not None:
            found[lift_id] = fault.cue
    return found


def evening_page(
    state: State, events: Sequence[Event], names: Mapping[int, str], when: str, now: datetime | None = None
) -> Page | Refusal:
    """The latest evening's summary as a page, for the coach; a Refusal when there has been none."""
    summary = summarise(state, events, now)
    if not summary.session:
        return Refusal("There has been no session yet.")
    open_ = "" if summary.closed else " · still open: next loads are a preview"
    head = lines(summary, state.gym, names, _ONE_LINE)[0]
    parts = []
    for came in summary.came:
        first, *more = lifter_lines(came, state.gym, names, _ONE_LINE)
        parts.append(Part(" ".join(first.split()), lines=tuple(line.strip() for line in more)))
    return Page(
        title=f"Session {summary.session}, {when}",
        about=(f"For the coach, not for the board{open_}.", head),
        parts=tuple(parts),
        cautions=(CAREFUL[0], *state.gym.settings.cautions),
    )

