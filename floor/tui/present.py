"""A state as the words of a station's card. Pure: no widget, no clock, nothing remembered."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import datetime

from floor.core import stacks
from floor.core.board import OnTheBar, on_the_bar, place
from floor.core.gym import Gym
from floor.core.loading import loading
from floor.core.rests import rest_left
from floor.core.sheet import height_words
from floor.core.state import Heights, Present, State, TheSet
from floor.core.teaching import is_walk
from floor.core.units import show_load, show_with_unit
from floor.tui.widgets.cardview import CardView, RepMark, Status


def minutes(seconds: int) -> str:
    """Seconds as m:ss."""
    return f"{seconds // 60}:{seconds % 60:02d}"


def set_words(gym: Gym, present: Present, the_set: TheSet) -> str:
    """The lift and which set it is: "power clean set 2/4", "squat ramp 1/3" or "power clean walk 1-8"."""
    return f"{gym.lifts[the_set.lift].name} {_which(gym, present, the_set)}"


def _which(gym: Gym, present: Present, the_set: TheSet) -> str:
    if is_walk(gym.lifts[the_set.lift], the_set):
        return f"walk {'1' if the_set.reps < 2 else f'1-{the_set.reps}'}"
    n, m = place(present, the_set)
    kind = {"ramp": "ramp", "backoff": "back-off, set"}.get(the_set.role, "set")
    return f"{kind} {n}/{m}"


def load_words(gym: Gym, the_set: TheSet) -> str:
    """A set's load and reps: "60 kg × 5"."""
    return f"{show_with_unit(the_set.load, gym.unit)} × {the_set.reps}"


def rep_marks(the_set: TheSet, gym: Gym) -> tuple[RepMark, ...]:
    """The reps of a set so far, each with the letters of its faults, and those still to come."""
    lift = gym.lifts[the_set.lift]
    letters: dict[int, str] = {}
    for rep, fault_id in the_set.faults:
        fault = lift.fault(fault_id)
        letters[rep] = letters.get(rep, "") + (fault.letter if fault else "?")
    made = [RepMark(mark, letters.get(i, "")) for i, mark in enumerate(the_set.marks, 1)]
    return (*made, *([RepMark()] * max(0, the_set.reps - len(made))))


@dataclass(frozen=True, slots=True)
class Standing:
    """A station's card but for the time and the hand: it holds until something of the station changes.

    `view` says whoever rests is ready. `resting` is who is up and not lifting, `following` who was told next.
    """

    view: CardView
    resting: Present | None = None
    following: Present | None = None


def card(state: State, station_id: int, names: Mapping[int, str], now: datetime, in_hand: bool) -> CardView:
    """Everything a station's card says at this moment."""
    return at_time(standing(state, station_id, names), state.gym, now, in_hand)


def at_time(card: Standing, gym: Gym, now: datetime, in_hand: bool) -> CardView:
    """A card at this moment: the rests that are left, and whether it is in hand."""
    left = rest_left(gym, card.resting, now) if card.resting is not None else 0
    wait = rest_left(gym, card.following, now) if card.following is not None else 0
    return replace(
        card.view,
        in_hand=in_hand,
        rest_text=minutes(left) if left else "",
        status=Status.RESTING if left else card.view.status,
        next_wait=f"in {minutes(wait)}" if wait else card.view.next_wait,
    )


def standing(state: State, station_id: int, names: Mapping[int, str]) -> Standing:
    """What a station's card says whatever the time is. While everything is stopped every card says that, large."""
    card = _going_on(state, station_id, names)
    return replace(card, view=_stopped(card.view), resting=None) if state.evening.stopped else card


def _stopped(view: CardView) -> CardView:
    """The card with STOP in the place of the name, which goes before the lift and the set."""
    role, short = (" · ".join(filter(None, (view.name, words))) for words in (view.role_line, view.role_short))
    return replace(
        view, name=Status.STOPPED.value, role_line=role, role_short=short, status=Status.STOPPED, marks=()
    )


def _going_on(state: State, station_id: int, names: Mapping[int, str]) -> Standing:
    gym = state.gym
    station = gym.station(station_id)
    here = state.evening.stations[station_id]
    stands = "own order" if here.own else " · ".join(sorted(station.stands))
    short = "own" if here.own else ""
    on = on_the_bar(state, station_id)
    if on is None:
        plates = tuple(gym.plate(p) for p in here.stack)
        free = CardView(
            title=station.name, stands=stands, stands_short=short, unit=gym.unit, status=Status.FREE,
            plates=plates, sleeve_mm=gym.bar(here.bar).sleeve, collar=bool(plates),
            side_words=side_words(gym, here.bar, here.stack),
        )
        return Standing(free)
    following = _following(state, station_id)
    next_name, next_set = _next_words(gym, following, names)
    lift = gym.lifts[on.set.lift]
    load, bar, stack, change, wanted = _bar(state, station_id, on)
    kept = len(stack) - len(change.on)
    view = CardView(
        title=station.name,
        stands=stands,
        stands_short=short,
        name=names.get(on.present.lifter, f"lifter {on.present.lifter}"),
        role_line=set_words(gym, on.present, on.set) + _stage(on.set),
        role_short=f"{lift.id} {_which(gym, on.present, on.set)}",
        load_text=show_load(load),
        unit=gym.unit,
        reps_text=f"× {on.set.reps}",
        status=Status.LIFTING if on.running else Status.UP,
        marks=rep_marks(on.set, gym) if on.running else (),
        plates=tuple(gym.plate(p) for p in stack),
        on=frozenset(range(kept, len(stack))),
        sleeve_mm=gym.bar(bar).sleeve,
        collar=bool(stack),
        side_words=side_words(gym, bar, stack),
        change_words="" if on.running else stacks.words(change, gym),
        change_short="" if on.running else stacks.short_words(change, gym),
        change_least="" if on.running else stacks.least_words(change, gym),
        floor_words=" ".join(filter(None, (stacks.floor_start(gym, lift, stack), _short_of(gym, load, wanted)))),
        setup_line=height_words(state.lifters[on.present.lifter].heights.get(lift.id, Heights()), lift),
        caution=lift.caution,
        next_name=next_name,
        next_set=next_set,
        next_wait="ready" if next_name else "",
    )
    return Standing(view, None if on.running else on.present, following)


def _bar(
    state: State, station_id: int, on: OnTheBar
) -> tuple[int, str, tuple[str, ...], stacks.Change, int]:
    here = state.evening.stations[station_id]
    if on.running:
        return on.set.load, here.bar, here.stack, stacks.Change(), on.set.load
    to = loading(state, station_id, on.set, on.present.lifter)
    return to.load, to.bar, to.stack, to.change, to.wanted


def side_words(gym: Gym, bar: str, stack: tuple[str, ...]) -> str:
    """What one sleeve carries, the bar and its collars: "18.75 kg a side · 20 kg bar · clips"; "" for a bare bar."""
    if not stack:
        return ""
    side = sum(gym.plate(plate).mass for plate in stack)
    collars = f"collars {show_load(gym.collar)}" if gym.collar else "clips"
    mass = show_with_unit(gym.bar(bar).mass, gym.unit)
    return f"{show_with_unit(side, gym.unit)} a side · {mass} bar · {collars}"


def _short_of(gym: Gym, load: int, wanted: int) -> str:
    if load == wanted:
        return ""
    return f"{show_with_unit(wanted, gym.unit)} wanted. {show_with_unit(load, gym.unit)} on the bar."


def _stage(the_set: TheSet) -> str:
    return f" · stage {the_set.stage}" if the_set.stage is not None else ""


NAMED = 110
"""From this width on a stage is said by its name as well."""


def stage_words(gym: Gym, the_set: TheSet, width: int) -> str:
    """The stage of a set, after a dot: its number, and its name where there is room; "" for none."""
    stage = gym.lifts[the_set.lift].stage(the_set.stage)
    if stage is None:
        return ""
    return f" · stage {stage.no}" + (f", {stage.name}" if width >= NAMED else "")


def walk_words(gym: Gym, the_set: TheSet) -> str:
    """The stages of a walk by name, a rep of each; "" for any other set."""
    lift = gym.lifts[the_set.lift]
    if not is_walk(lift, the_set):
        return ""
    return " · ".join(f"{stage.no} {stage.name}" for stage in lift.stages[: the_set.reps])


def _following(state: State, station_id: int) -> Present | None:
    """Whoever was told next, while there is a set for them to do."""
    told = state.evening.stations[station_id].next
    present = state.evening.here.get(told) if told is not None else None
    return present if present is not None and present.pending() is not None else None


def _next_words(gym: Gym, following: Present | None, names: Mapping[int, str]) -> tuple[str, str]:
    """The name and the set of whoever follows; empty words for nobody."""
    coming = following.pending() if following is not None else None
    if following is None or coming is None:
        return "", ""
    return names.get(following.lifter, f"lifter {following.lifter}"), load_words(gym, coming)
