"""What a command did, in a few plain words: named on screen when it is undone or missed."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from floor.core.board import place
from floor.core.changed import WHY_CHANGED
from floor.core.events import Event
from floor.core.groups import GROUPS
from floor.core.gym import Gym
from floor.core.nexttime import BY_HAND, IMPORTED
from floor.core.reps import over_words
from floor.core.state import State
from floor.core.units import show_load, show_with_unit

_ASIDE = ("cue_set", "stepped_up", "told_next", "station_cleared", "lifter_moved", "line_placed", "set_dropped")


def many(count: int, one: str) -> str:
    """ "1 set", "1,204 sets"."""
    return f"{count:,} {one}" if count == 1 else f"{count:,} {one}s"


def _lift(event: Event, gym: Gym) -> str:
    lift = gym.lifts.get(event.lift or "")
    return lift.name if lift else (event.lift or "")


def _fault(event: Event, gym: Gym) -> str:
    lift = gym.lifts.get(event.lift or "")
    fault = lift.fault(event.fault or "") if lift else None
    return fault.name if fault else (event.fault or "fault")


def _station(event: Event, gym: Gym) -> str:
    return next((s.name for s in gym.stations if s.id == event.station), f"station {event.station}")


def _gain(event: Event) -> str:
    minutes = round((event.seconds or 0) / 60)
    return f", {minutes} min earlier" if minutes > 0 else ""


def _minutes(seconds: int | None) -> str:
    return "" if seconds is None else f" in {round(seconds / 60)} min"


def _trimmed(event: Event) -> str:
    count = event.count or 0
    if event.action == "move":
        return f"{count} lifter{'s' if count != 1 else ''} moved"
    return f"{count} set{'s' if count != 1 else ''} left out"


def one(event: Event, gym: Gym, name: str, other: str = "") -> str:
    """One event in plain words; `name` is the lifter's board name."""
    load = show_with_unit(event.load or 0, gym.unit)
    lift = _lift(event, gym)
    told = {
        "definition_adopted": f"{event.definition} changed",
        "lifter_joined": f"{name} joined the gym",
        "programme_given": f"{name} given the programme {event.definition or 'as brought in'}",
        "next_planned": f"{name}: next {lift} {load}",
        "step_set": f"{name}: {lift} step {load}",
        "programme_proposed": f"{name}: programme {event.definition} proposed",
        "limit_found": f"{name}: {lift} form limit",
        "row_found": f"{name}: {lift} clean reps so far",
        "repeat_found": f"{name}: {lift} {load} repeated before",
        "stage_set": f"{name}: {lift} stage {event.stage}",
        "cue_set": f"{name}: {lift} cue, {_fault(event, gym) if event.fault else 'none'}",
        "heights_set": f"{name}: {lift} heights",
        "pain_reported": f"{name} held: pain",
        "pain_cleared": f"{name}'s pain cleared",
        "day_done": f"{name}'s day done",
        "history_brought": f"a history brought in, {many(event.count or 0, 'set')}",
        "session_opened": "the session opened",
        "late_expected": f"{name} expected late{',' if event.seconds else ''}{_minutes(event.seconds)}",
        "leaving_set": f"{name} may stay" if event.seconds is None else f"{name} must go{_minutes(event.seconds)}",
        "lifter_arrived": f"{name} checked in",
        "set_planned": f"{name}: {lift} planned",
        "lifter_moved": f"{name} to {_station(event, gym)}",
        "lifter_left": f"{name} left",
        "stepped_up": f"{name} up at {_station(event, gym)}",
        "told_next": f"{name} told next",
        "station_cleared": f"{_station(event, gym)} free",
        "set_started": f"{name}: {lift} {load} started",
        "rep_made": f"{name}: rep {event.rep} made",
        "rep_missed": f"{name}: rep {event.rep} missed",
        "reps_made": f"{name}: all reps made",
        "fault_seen": f"{name}: {_fault(event, gym)} {f'on rep {event.rep}' if event.rep else 'somewhere in the set'}",
        "fault_withdrawn": f"{name}: {_fault(event, gym)} withdrawn",
        "set_ended": f"{name}: {lift} {load} graded {event.grade}",
        "set_called_off": f"{name}: the {lift} set not done",
        "set_recorded": f"{name}: {lift} {load} recorded, {event.grade}",
        "set_put_right": f"{name}: a set put right",
        "ramp_done": f"{name}: {lift} ramp done",
        "set_proposed": f"{name}: proposal {event.action} {load}",
        "proposal_overruled": f"{name}: overruled to {event.action}, {load}",
        "load_changed": f"{name}: {lift} {load}, {WHY_CHANGED.get(event.rule or '', 'by hand')}",
        "bar_found": f"{_station(event, gym)}: bar put right, {load}",
        "turn_passed": f"{name} passed the turn",
        "lifters_swapped": f"{name} and {other} swapped",
        "line_placed": f"{name} placed in the line",
        "offer_taken": f"{_station(event, gym)}: the plan's order, {name} first{_gain(event)}",
        "order_held": f"{_station(event, gym)}: this order held",
        "bar_followed": f"{_station(event, gym)}: back to the rising bar",
        "trim_taken": f"trim: {f'{name}, ' if event.lifter else ''}{_trimmed(event)}{_gain(event)}",
        "set_dropped": f"{name}: a {lift} set left out",
        "lifts_swapped": f"{name}: lifts swapped",
        "drill_started": f"group drill: {lift}",
        "drill_rep": "group drill: a rep",
        "drill_fault": f"{name}: {_fault(event, gym)} in the drill",
        "drill_ended": "group drill ended",
        "all_stopped": "everything stopped",
        "all_resumed": "everything goes on",
        "incident_noted": f"incident noted for {name}",
        "note_added": f"note added for {name}",
        "session_closed": "the session closed",
        "undone": "an undo",
    }
    return told[event.kind]


def put_right(event: Event, gym: Gym, name: str, before: State) -> str:
    """A set put right in words: which set, and from what to what. `before` is the state in which it was wrong."""
    present = before.evening.here.get(event.lifter or 0)
    was = present.set(event.set_no or 0) if present else None
    if present is None or was is None:
        return one(event, gym, name)
    changes = []
    if event.load is not None and event.load != was.load:
        changes.append(f"{show_load(was.load)} to {show_with_unit(event.load, gym.unit)}")
    made = was.made if event.reps is None else event.reps
    missed = was.missed if event.missed is None else event.missed
    if (made, missed) != (was.made, was.missed):
        over = over_words(was.reps, made + missed)
        more = f" of {was.reps}: {over}" if over else ""
        changes.append(f"reps {_reps(was.made, was.missed)} to {_reps(made, missed)}{more}")
    if event.grade is not None and event.grade != was.grade:
        changes.append(f"{was.grade or 'no grade'} to {event.grade}")
    n, _ = place(present, was)
    which = f"{'ramp' if was.role == 'ramp' else 'set'} {n}" if n else "a set"
    return f"{name}: {which} put right: {', '.join(changes)}"


def _over(event: Event, before: State | None) -> str:
    """That a rep just counted went past the reps planned, behind its words."""
    present = before.evening.here.get(event.lifter or 0) if before is not None and event.kind == "rep_made" else None
    counted = present.set(event.set_no or 0) if present is not None else None
    over = over_words(counted.reps, event.rep or 0) if counted is not None else ""
    return f", {over}" if over else ""


def _reps(made: int, missed: int) -> str:
    return f"{made}" + (f" ({missed} missed)" if missed else "")


def roster_words(events: Sequence[Event]) -> str:
    """A roster brought in, as a whole; "" when these events are none."""
    lines = [e for e in events if e.kind == "next_planned" and e.rule == IMPORTED]
    if not lines or not {e.kind for e in events} <= {"lifter_joined", "programme_given", "next_planned"}:
        return ""
    return f"the roster, {many(len(lines), 'lift')} of {many(len({e.lifter for e in lines}), 'lifter')}"


_BREAKS_OFF = ("pain_reported", "lifter_left")
"""What can end a running set as it stands."""


def set_stands(events: Sequence[Event], gym: Gym) -> str:
    """What became of the set that was running when its lifter was held or left; "" when none was."""
    for event in events:
        if event.kind == "set_called_off":
            return f"the {_lift(event, gym)} set is not done"
        if event.kind == "set_ended":
            missed = f", {event.missed} missed" if event.missed else ""
            return f"the {_lift(event, gym)} set stands as it was: {event.reps} made{missed}"
    return ""


def command_words(
    events: Sequence[Event], gym: Gym, names: Mapping[int, str], before: State | None = None
) -> str:
    """A whole command in the words of its main event: what was done, not what followed from it.

    `before` is the state the command was given in: with it a correction says what was there.
    """
    if not events:
        return "nothing"
    shared = [e for e in events if e.kind == "lifter_moved" and e.rule == GROUPS]
    if len(shared) > 1:
        return f"{len(shared)} lifters to their groups"
    if roster := roster_words(events):
        return roster
    trimmed = [e for e in events if e.kind == "lifter_moved" and e.rule == "trim"]
    if trimmed:
        who = [f"{names.get(e.lifter or 0, f'lifter {e.lifter}')} to {_station(e, gym)}" for e in trimmed]
        return f"trim: {', '.join(who)}{_gain(events[0])}"
    main = next((e for e in events if e.kind in ("session_closed", "history_brought")), None)
    main = main or next((e for e in events if e.kind == "next_planned" and e.rule == BY_HAND), None)
    main = main or next((e for e in events if e.kind in _BREAKS_OFF), None)
    main = main or next((e for e in events if e.kind not in _ASIDE), events[0])
    if main.kind == "lifter_joined":
        main = next((e for e in events if e.kind == "lifter_arrived"), main)
    if main.kind == "ramp_done":
        main = next((e for e in events if e.kind == "set_recorded"), main)
    name = names.get(main.lifter or 0, f"lifter {main.lifter}")
    other = names.get(main.other or 0, f"lifter {main.other}")
    if main.kind == "set_put_right" and before is not None:
        return put_right(main, gym, name, before)
    broken_off = f" · {stands}" if main.kind in _BREAKS_OFF and (stands := set_stands(events, gym)) else ""
    return one(main, gym, name, other) + _over(main, before) + broken_off
