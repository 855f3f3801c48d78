"""What happened, in the past tense: one flat record per event, never changed.

One `Event` is one row of the gym file's `event` table, less the numbers the
journal adds (seq, cmd, chain). Most fields are empty for most kinds; `NEEDS`
says which a kind cannot do without, and `check` refuses an event that lacks one.
Loads are hundredths of the gym's unit; times are aware UTC datetimes.
"""

from __future__ import annotations

from dataclasses import dataclass, fields
from datetime import datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class Event:
    """One thing that happened. `happened` is when the key was pressed (UTC)."""

    kind: str
    happened: datetime
    session: int | None = None
    station: int | None = None
    lifter: int | None = None
    other: int | None = None
    lift: str | None = None
    other_lift: str | None = None
    set_no: int | None = None
    role: str | None = None
    rep: int | None = None
    sets: int | None = None
    reps: int | None = None
    missed: int | None = None
    load: int | None = None
    was: int | None = None
    bar: str | None = None
    stack: tuple[str, ...] | None = None
    grade: str | None = None
    suggested: str | None = None
    fault: str | None = None
    action: str | None = None
    rule: str | None = None
    definition: str | None = None
    stage: int | None = None
    day: int | None = None
    count: int | None = None
    seconds: int | None = None
    youth: bool | None = None
    rack: int | None = None
    safety: int | None = None
    bench: int | None = None
    undoes: int | None = None


USUALLY_LATE = 900
"""Seconds until a lifter who is late is taken to come, where the coach says nothing else. No source."""

CUT_SHORT = "cut-short"
"""The rule of a `set_ended` that ended as it stood, for pain or because its lifter left: what was left is no miss."""

FIELDS: tuple[str, ...] = tuple(f.name for f in fields(Event))

NEEDS: dict[str, tuple[str, ...]] = {
    # --- standing facts about the gym and its people (carried from session to session)
    "definition_adopted": ("definition", "count"),
    "lifter_joined": ("lifter", "youth"),
    "programme_given": ("lifter", "definition", "day"),
    "next_planned": ("lifter", "lift", "sets", "reps", "load", "rule", "count"),
    "step_set": ("lifter", "lift", "load", "rule"),
    "programme_proposed": (
        "session", "lifter", "lift", "other_lift", "definition", "load", "rule", "count", "stage",
    ),
    "stage_set": ("lifter", "lift", "stage"),
    "cue_set": ("lifter", "lift"),
    "heights_set": ("lifter", "lift"),
    "pain_reported": ("lifter",),
    "pain_cleared": ("lifter",),
    "day_done": ("lifter", "day"),
    "history_brought": ("count",),
    # --- the evening
    "session_opened": ("session",),
    "late_expected": ("session", "lifter"),
    "leaving_set": ("session", "lifter"),
    "lifter_arrived": ("session", "lifter", "station"),
    "limit_found": ("session", "lifter", "lift", "count", "day", "rule", "definition"),
    "repeat_found": ("session", "lifter", "lift", "load", "reps", "missed", "count"),
    "row_found": ("session", "lifter", "lift", "stage", "reps", "sets", "count"),
    "set_planned": ("session", "lifter", "lift", "set_no", "role", "reps", "load"),
    "lifter_moved": ("session", "lifter", "station"),
    "lifter_left": ("session", "lifter"),
    "stepped_up": ("session", "station", "lifter"),
    "told_next": ("session", "station", "lifter"),
    "station_cleared": ("session", "station"),
    "set_started": ("session", "station", "lifter", "lift", "set_no", "load", "bar", "stack"),
    "rep_made": ("session", "lifter", "set_no", "rep"),
    "rep_missed": ("session", "lifter", "set_no", "rep"),
    "reps_made": ("session", "lifter", "set_no", "reps"),
    "fault_seen": ("session", "lifter", "lift", "set_no", "rep", "fault"),
    "fault_withdrawn": ("session", "lifter", "set_no", "rep", "fault"),
    "set_ended": ("session", "lifter", "lift", "set_no", "reps", "missed", "load", "grade"),
    "set_called_off": ("session", "lifter", "lift", "set_no"),
    "set_recorded": ("session", "station", "lifter", "lift", "set_no", "reps", "missed", "load", "grade", "seconds"),
    "set_put_right": ("session", "lifter", "set_no"),
    "ramp_done": ("session", "lifter", "lift"),
    "set_proposed": ("session", "lifter", "lift", "action", "load", "was", "rule", "definition", "set_no", "count"),
    "proposal_overruled": ("session", "lifter", "lift", "action", "load", "was", "rule", "set_no", "count"),
    "load_changed": ("session", "lifter", "lift", "load", "was", "set_no"),
    "bar_found": ("session", "station", "bar", "stack"),
    "turn_passed": ("session", "lifter"),
    "lifters_swapped": ("session", "station", "lifter", "other"),
    "line_placed": ("session", "station", "lifter"),
    "offer_taken": ("session", "station", "lifter", "seconds", "count"),
    "order_held": ("session", "station"),
    "bar_followed": ("session", "station"),
    "trim_taken": ("session", "action", "seconds", "count"),
    "set_dropped": ("session", "lifter", "lift", "set_no"),
    "lifts_swapped": ("session", "lifter", "lift", "other_lift"),
    "drill_started": ("session", "lift", "stage"),
    "drill_rep": ("session", "rep"),
    "drill_fault": ("session", "lifter", "lift", "rep", "fault"),
    "drill_ended": ("session",),
    "all_stopped": ("session",),
    "all_resumed": ("session",),
    "incident_noted": (),
    "note_added": ("lifter",),
    "session_closed": ("session",),
    # --- undo
    "undone": ("undoes",),
}
"""Every kind, with the fields it cannot do without."""

CARRIED: tuple[str, ...] = (
    "definition_adopted",
    "lifter_joined",
    "programme_given",
    "next_planned",
    "step_set",
    "programme_proposed",
    "stage_set",
    "cue_set",
    "heights_set",
    "pain_reported",
    "pain_cleared",
    "day_done",
    "lifter_arrived",
    "session_opened",
    "session_closed",
)
"""The kinds a later session needs: opening a gym folds these from the past."""


def check(event: Event) -> None:
    """Refuse an event that lacks what its kind needs.

    Raises ValueError naming the kind and the missing fields.
    """
    if event.kind not in NEEDS:
        raise ValueError(f"unknown kind of event: {event.kind!r}")
    if event.happened.tzinfo is None:
        raise ValueError(f"{event.kind}: the time has no zone")
    missing = [name for name in NEEDS[event.kind] if getattr(event, name) is None]
    if missing:
        raise ValueError(f"{event.kind} lacks {', '.join(missing)}")
