"""The coach's lines round the board: header, rests, the station in hand, the keys that act now. Pure."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

from textual.content import Content

from floor.core.board import drill_stop, last_done, on_the_bar, proposal_after
from floor.core.cues import cue
from floor.core.gym import Fault, Grade
from floor.core.outlook import NO_OUTLOOK, Outlook
from floor.core.proposals import suggest_grade
from floor.core.queue import promised_line
from floor.core.rests import rest_left
from floor.core.sheet import height_words
from floor.core.state import Heights, Present, Proposal, State, TheSet
from floor.core.units import show_with_unit
from floor.tui.keys import keys_of
from floor.tui.present import load_words, minutes, set_words, stage_words, walk_words
from floor.tui.present_checkin import form_words
from floor.tui.present_next import next_lines
from floor.tui.present_plan import hour
from floor.tui.present_proposal import proposal_words, why
from floor.tui.present_seen import seen_words, shown_words

FAULT_WIDTH = 26
WIDE = 110
"""Columns from which there is room for what is only good to know."""
SEEN = "seen "
"""How the line of a proposal's evidence begins."""
SEVERITY_SIGN = {"note": " ", "fix": "·", "lighten": "▾", "end": "■"}


def header(
    state: State,
    now: datetime,
    zone: str,
    muted: bool,
    locked: bool,
    outlook: Outlook = NO_OUTLOOK,
    width: int = 0,
) -> Content:
    """The evening in one line: what time it is, how long it has run, when it ends, and when it will be done."""
    evening = state.evening
    here = ZoneInfo(zone)
    ends = evening.opened + timedelta(minutes=state.gym.settings.minutes)
    run = int((now - evening.opened).total_seconds())
    over = int((now - ends).total_seconds())
    parts: list[str | tuple[str, str]] = [
        (f" {now.astimezone(here):%H:%M:%S} ", "bold"),
        "" if outlook.finish and width < WIDE else f" session {evening.session} ·",
        f" {run // 3600}:{run // 60 % 60:02d} in · ends {ends.astimezone(here):%H:%M}",
    ]
    if over > 0:
        parts.append((f" · {over // 60} min over", "bold $warning"))
    here_now = [p for p in evening.here.values() if not p.gone]
    parts.append(f" · {len(here_now)} here")
    if evening.late:
        parts.append(f" · {len(evening.late)} late")
    if muted:
        parts.append(" · bell off")
    if locked:
        parts.append(("  LOCKED: Ctrl+K opens ", "bold reverse"))
    if evening.stopped:
        parts.append(("  ALL STOPPED: ! goes on ", "bold reverse $error"))
    line = Content.assemble(*parts)
    done = hour(outlook, zone, width - line.cell_length - 4)
    return line if done is None else Content.assemble(line, " · ", done)


def resting(state: State, names: Mapping[int, str], now: datetime, width: int, rows: int) -> list[Content]:
    """Everyone resting with the time left, soonest first; who is held is said apart."""
    left = [
        (rest_left(state.gym, p, now), p.lifter)
        for p in state.evening.here.values()
        if not p.gone and p.pending() is not None and p.running() is None and not state.lifters[p.lifter].held
    ]
    words = [f"{names.get(lifter, lifter)} {minutes(seconds)}" for seconds, lifter in sorted(left) if seconds]
    held = [str(names.get(p, p)) for p in state.evening.here if state.lifters[p].held]
    if not held:
        return _wrap("RESTING  ", words or ["nobody"], width, rows)
    told = Content.assemble(("HELD  ", "bold $error"), " · ".join(held) + " for pain (F9)   ")
    if rows > 1:
        return [*_wrap("RESTING  ", words or ["nobody"], width, rows - 1), told]
    return [Content.assemble(told, *_wrap("RESTING  ", words or ["nobody"], width, 1))]


def _wrap(head: str, words: list[str], width: int, rows: int) -> list[Content]:
    """The words after their head over `rows` lines; those that find no room are counted."""
    lines: list[str] = [head]
    for i, word in enumerate(words):
        last = len(lines) == rows
        more = f"  +{len(words) - i}" if i < len(words) - 1 else ""
        if len(lines[-1]) + len(word) + 2 + (len(more) if last else 0) > width:
            if last:
                lines[-1] += f" +{len(words) - i}"
                break
            lines.append(" " * len(head))
        lines[-1] += f"{word}  "
    return [Content.assemble((line[: len(head)], "bold"), line[len(head) :]) for line in lines]


def in_hand(state: State, station_id: int, names: Mapping[int, str], width: int, now: datetime) -> list[Content]:
    """The panel of the station in hand: faults while a set runs, the proposal when it has ended."""
    on = on_the_bar(state, station_id)
    station = state.gym.station(station_id).name
    if on is not None and on.running:
        return _running(state, on.present, on.set, station, names, width)
    lines: list[Content] = []
    if on is None:
        lines.append(Content.assemble((f"▶ {station} ", "bold $accent"), "free: F8 brings a lifter here"))
    else:
        name = names.get(on.present.lifter, str(on.present.lifter))
        left = rest_left(state.gym, on.present, now)
        when = f" · rest {minutes(left)}" if left else ""
        lines.append(
            Content.assemble(
                (f"▶ {station} · {name} ", "bold $accent"),
                f"{set_words(state.gym, on.present, on.set)} · {load_words(state.gym, on.set)}",
                f"{stage_words(state.gym, on.set, width)}{when}",
            )
        )
    lines += _after_last(state, station_id, names, width - 2)
    if on is not None:
        if walk := walk_words(state.gym, on.set):
            lines.append(Content.assemble(("walk ", "bold"), walk).truncate(width, ellipsis=True))
        fault = cue(state, on.present.lifter, on.set.lift)
        if fault is not None:
            lines.append(Content.assemble(("cue  ", "bold"), f"{names.get(on.present.lifter)}: {fault.cue}"))
    if on is not None and (cap := on.present.limits.get(on.set.lift)) is not None:
        form = form_words(state, state.lifters[on.present.lifter], cap, on.set.lift)
        lines.append(Content.assemble(("form ", "bold"), form.removeprefix("form ")))
    if on is not None:
        setup = setup_words(state, on.present, on.set)
        if setup:
            lines.append(Content.assemble(("set  ", "bold"), setup))
    waiting = [t for t in promised_line(state, station_id) if on is None or t.lifter != on.present.lifter]
    if waiting:
        unit = state.gym.unit
        order = [f"{names.get(t.lifter, t.lifter)} {show_with_unit(t.set.load, unit)}" for t in waiting]
        here = state.evening.stations[station_id]
        then = "then, in your own order, " if here.own else "then "
        lines.append(Content.assemble((then, "bold"), " · ".join(order)))
    return lines


def setup_words(state: State, present: Present, coming: TheSet) -> str:
    """What to set before stepping up: this lifter's heights, then the lift's own caution."""
    lift = state.gym.lifts[coming.lift]
    heights = height_words(state.lifters[present.lifter].heights.get(lift.id, Heights()), lift)
    return " · ".join(words for words in (heights, lift.caution) if words)


def _running(
    state: State, present: Present, running: TheSet, station: str, names: Mapping[int, str], width: int
) -> list[Content]:
    gym = state.gym
    name = names.get(present.lifter, str(present.lifter))
    counted = len(running.marks)
    head: list[str | tuple[str, str]] = [
        (f"▶ {station} · {name} ", "bold $accent"),
        f"{gym.lifts[running.lift].name} {load_words(gym, running)} · rep {counted} of {running.reps}",
    ]
    if counted:
        suggested = suggest_grade(gym, running)
        number = list(Grade).index(suggested) + 1
        way = "Enter" if running.full else f"{number}"
        head.append((f" · {number} {suggested}? ({way})", "bold"))
    lines = [Content.assemble(*head)]
    fault = cue(state, present.lifter, running.lift)
    lines += fault_lines(gym.lifts[running.lift].faults, running, width)
    if fault is not None:
        lines.append(Content.assemble(("cue  ", "bold"), fault.cue))
    return lines


def fault_lines(faults: tuple[Fault, ...], running: TheSet, width: int) -> list[Content]:
    """The lift's faults with their letters, in columns; what is marked already is counted."""
    columns = max(1, width // FAULT_WIDTH)
    rows = -(-len(faults) // columns)
    seen = [fault_id for _, fault_id in running.faults]
    lines = []
    for row in range(rows):
        parts: list[str | tuple[str, str]] = []
        for fault in faults[row::rows]:
            times = seen.count(fault.id)
            label = f"{fault.name}{SEVERITY_SIGN[fault.severity]}" + (f"×{times}" if times else "")
            parts.append((f" {fault.letter} ", "bold reverse"))
            parts.append((f" {label}".ljust(FAULT_WIDTH - 3), "bold $warning" if times else ""))
        lines.append(Content.assemble(*parts))
    return lines


def _after_last(state: State, station_id: int, names: Mapping[int, str], width: int) -> list[Content]:
    """What the last set at this station changed, with its reason and how to overrule it."""
    last = last_done(state, station_id)
    drilled = drill_stop(state, station_id)
    if last is None or (drilled is not None and proposal_after(state, *last) is None):
        return [] if drilled is None else _after_drill(state, drilled, names)
    present, done = last
    name = names.get(present.lifter, str(present.lifter))
    lift = state.gym.lifts[done.lift].name
    did = f"{name} {lift}: {done.made} of {done.reps} made, {done.grade}"
    proposal = proposal_after(state, present, done)
    if proposal is None:
        if state.lifters[present.lifter].held:
            return [Content(f"{did}. Held: pain.")]
        said = next_lines(state, present, done.lift, did, width)
        return [*said, Content(ready)] if (ready := shown_words(state, present, done)) else said
    asked, short = proposal_words(state, proposal), f"{name} {lift}: {done.made}/{done.reps}, {done.grade}"
    if len(did) + len(asked) + 3 > width:
        did, asked = short, proposal_words(state, proposal, short=True)
    seen, reason = seen_words(state, present, done, proposal), why(proposal)
    keys = "" if present.gone else next((k for k in _overruling(name) if len(reason) + len(k) <= width), "")
    lines = [Content.assemble(f"{did} → ", (asked, "bold reverse")), Content(reason + keys)]
    return [*lines, Content.assemble((SEEN, "bold"), seen)] if seen else lines


def _overruling(name: str) -> tuple[str, ...]:
    """The keys that overrule a proposal, in as many words as there is room for."""
    return f"   {name}: + heavier  = same  - lighter", "   + heavier  = same  - lighter", "   + = -"


def _after_drill(state: State, stop: Proposal, names: Mapping[int, str]) -> list[Content]:
    """A lift that a fault in the group drill ended, before any set of it."""
    name = names.get(stop.lifter, str(stop.lifter))
    return [
        Content.assemble(
            f"{name} {state.gym.lifts[stop.lift].name}, group drill → ", (proposal_words(state, stop), "bold reverse")
        ),
        Content(why(stop) + f"   {name}: = as planned  - lighter"),
    ]


def acting(state: State, station_id: int) -> frozenset[str]:
    """The actions that can act now on the station in hand."""
    if not state.open:
        return frozenset({"more", "people"})
    on = on_the_bar(state, station_id)
    always = {"more", "people", "stop", "put_right", "whole_set", "pain", "bar_found", "next_station"}
    if state.evening.stopped:
        return frozenset(always)
    if on is not None and on.running:
        grades = {k.action for k in keys_of("floor") if k.action.startswith("grade")}
        return frozenset({"go", "rep(True)", "rep(False)"} | grades | always)
    can = set(always)
    if on is not None:
        can |= {"go", "load"}
        if len(promised_line(state, station_id)) > 1:
            can |= {"pass_turn", "swap"}
        if on.set.role == "ramp":
            can.add("ramp_done")
    last = last_done(state, station_id)
    standing = last is not None and proposal_after(state, *last) is not None
    if standing or drill_stop(state, station_id) is not None:
        can |= {"overrule('add')", "overrule('keep')", "overrule('lighten')"}
    return frozenset(can)


def keys_line(
    state: State, station_id: int, width: int, trims: bool = False, offered: bool = False
) -> list[Content]:
    """The keys that act now, in up to two lines; those of the plan where there is room (its own line names them)."""
    can = acting(state, station_id)
    on = on_the_bar(state, station_id)
    running = on is not None and on.running
    words: list[tuple[str, str]] = []
    for key in keys_of("floor"):
        if key.action in can and not (running and key.shown.startswith("F")) and not key.action.startswith("overrule"):
            words.append((key.shown, _short(key.action, key.short, on is not None and running, state, station_id)))
    words += [("a-z", "fault")] if running else []
    if width >= WIDE and not running:
        words += [("9", "take the offer")] if offered else []
        words += [("0", "rising bar" if state.evening.stations[station_id].held else "hold order")]
        words += [("8", "trims")] if trims else []
    words += [("Bksp", "undo"), ("F1", "keys")]
    lines: list[list[str | tuple[str, str]]] = [[]]
    used = 0
    for shown, short in words:
        size = len(shown) + len(short) + 3
        if used + size > width and len(lines) < 2:
            lines.append([])
            used = 0
        used += size
        lines[-1] += [(f" {shown}", "bold $accent"), f" {short} "]
    return [Content.assemble(*line) for line in lines]


def _short(action: str, short: str, running: bool, state: State, station_id: int) -> str:
    if action != "go":
        return short
    on = on_the_bar(state, station_id)
    if not running or on is None:
        return "start"
    return "suggested grade" if on.set.full else "all made"
