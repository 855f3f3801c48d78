"""A state as the words of a station's card. Pure: no widget, no clock, nothing remembered."""

from __future__ import annotations

from collections.abc import Mapping
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
    lift = gym.lifts[the_set.lift]
    if is_walk(lift, the_set):
        return f"{lift.name} walk {'1' if the_set.reps < 2 else f'1-{the_set.reps}'}"
    n, m = place(present, the_set)
    kind = {"ramp": "ramp", "backoff": "back-off, set"}.get(the_set.role, "set")
    return f"{lift.name} {kind} {n}/{m}"


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


def card(state: State, station_id: int, names: Mapping[int, str], now: datetime, in_hand: bool) -> CardView:
    """Everything a station's card says at this moment."""
    gym = state.gym
    station = gym.station(station_id)
    here = state.evening.stations[station_id]
    stands = "own order" if here.own else " · ".join(sorted(station.stands))
    short = "own" if here.own else ""
    on = on_the_bar(state, station_id)
    following = _following(state, station_id, names, now)
    if on is None:
        standing = tuple(gym.plate(p) for p in here.stack)
        return CardView(
            title=station.name, stands=stands, stands_short=short, in_hand=in_hand, unit=gym.unit, status=Status.FREE,
            plates=standing, sleeve_mm=gym.bar(here.bar).sleeve, collar=bool(standing),
            side_words=side_words(gym, here.bar, here.stack),
        )
    lift = gym.lifts[on.set.lift]
    left = 0 if on.running else rest_left(gym, on.present, now)
    load, bar, stack, change, wanted = _bar(state, station_id, on)
    kept = len(stack) - len(change.on)
    return CardView(
        title=station.name,
        stands=stands,
        stands_short=short,
        in_hand=in_hand,
        name=names.get(on.present.lifter, f"lifter {on.present.lifter}"),
        role_line=set_words(gym, on.present, on.set) + _stage(on.set),
        load_text=show_load(load),
        unit=gym.unit,
        reps_text=f"× {on.set.reps}",
        rest_text=minutes(left) if left else "",
        status=Status.LIFTING if on.running else (Status.RESTING if left else Status.UP),
        marks=rep_marks(on.set, gym) if on.running else (),
        plates=tuple(gym.plate(p) for p in stack),
        on=frozenset(range(kept, len(stack))),
        sleeve_mm=gym.bar(bar).sleeve,
        collar=bool(stack),
        side_words=side_words(gym, bar, stack),
        change_words="" if on.running else stacks.words(change, gym),
        change_short="" if on.running else stacks.short_words(change, gym),
        change_least="" if on.running else stacks.least_words(change, gym),
        floor_words=_short_of(gym, load, wanted) or stacks.floor_start(gym, lift, stack),
        setup_line=height_words(state.lifters[on.present.lifter].heights.get(lift.id, Heights()), lift),
        caution=lift.caution,
        **following,
    )


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
    return f"{show_load(wanted)} wanted, {show_with_unit(load, gym.unit)} on the bar"


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


def _following(state: State, station_id: int, names: Mapping[int, str], now: datetime) -> dict[str, str]:
    told = state.evening.stations[station_id].next
    present = state.evening.here.get(told) if told is not None else None
    coming = present.pending() if present else None
    if present is None or coming is None:
        return {}
    left = rest_left(state.gym, present, now)
    return {
        "next_name": names.get(present.lifter, f"lifter {present.lifter}"),
        "next_set": load_words(state.gym, coming),
        "next_wait": f"in {minutes(left)}" if left else "ready",
    }
