"""The coach's lines round the board: header, rests, the station in hand, the keys that act now. Pure."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

from rich.cells import cell_len
from textual.content import Content

from floor.core.board import drill_stop, evening_done, last_done, on_the_bar, proposal_after
from floor.core.cues import cue
from floor.core.moments import clock_words
from floor.core.outlook import NO_OUTLOOK, Outlook
from floor.core.queue import promised_line
from floor.core.rests import rest_left
from floor.core.sheet import height_words
from floor.core.state import Heights, Present, State, TheSet
from floor.core.tonight import ends_here
from floor.core.units import show_with_unit
from floor.tui.draw.spans import by_sentences
from floor.tui.keys import keys_of
from floor.tui.present import load_words, minutes, set_words, stage_words, walk_words
from floor.tui.present_after import after_last
from floor.tui.present_checkin import form_words
from floor.tui.present_plan import Part, hour
from floor.tui.present_running import running_lines
from floor.tui.present_seen import TELL

SET = "set  "
"""How the line of what to set before stepping up begins."""
WIDE = 110
"""Columns from which there is room for what is only good to know."""


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


def resting(
    state: State, names: Mapping[int, str], now: datetime, zone: str, width: int, rows: int
) -> list[Content]:
    """Everyone resting with the time left, soonest first; who is held and who must go are said apart."""
    left = [
        (rest_left(state.gym, p, now), p.lifter)
        for p in state.evening.here.values()
        if not p.gone and p.pending() is not None and p.running() is None and not state.lifters[p.lifter].held
    ]
    words = [f"{names.get(lifter, lifter)} {minutes(seconds)}" for seconds, lifter in sorted(left) if seconds]
    held = [str(names.get(p, p)) for p in state.evening.here if state.lifters[p].held]
    go = sorted((at, names.get(i, f"lifter {i}")) for i, at in state.evening.leaving.items() if _goes(state, i))
    if not held and not go:
        return _wrap("RESTING  ", words or ["nobody"], width, rows)
    parts: list[str | tuple[str, str]] = []
    if held:
        parts += [("HELD  ", "bold $error"), " · ".join(held) + " for pain (F9)   "]
    if go:
        times = [f"{name} {clock_words(at, ZoneInfo(zone))}" for at, name in go]
        parts += [("MUST GO  ", "bold $warning"), " · ".join(times) + "   "]
    told = Content.assemble(*parts)
    if rows > 1:
        return [*_wrap("RESTING  ", words or ["nobody"], width, rows - 1), told]
    return [Content.assemble(told, *_wrap("RESTING  ", words or ["nobody"], width, 1))]


def _goes(state: State, lifter: int) -> bool:
    """Whether a lifter who must go is here, with something still to do."""
    present = state.evening.here.get(lifter)
    return present is not None and not present.gone and (present.running() or present.pending()) is not None


def _wrap(head: str, words: list[str], width: int, rows: int) -> list[Content]:
    """The words after their head over `rows` lines; those that find no room are counted."""
    lines: list[str] = [head]
    for i, word in enumerate(words):
        last = len(lines) == rows
        more = f"  +{len(words) - i}" if i < len(words) - 1 else ""
        if cell_len(lines[-1]) + cell_len(word) + 2 + (len(more) if last else 0) > width:
            if last:
                lines[-1] += f" +{len(words) - i}"
                break
            lines.append(" " * len(head))
        lines[-1] += f"{word}  "
    return [Content.assemble((line[: len(head)], "bold"), line[len(head) :]) for line in lines]


def in_hand(
    state: State, station_id: int, names: Mapping[int, str], width: int, now: datetime, cautioned: Collection[int] = ()
) -> list[Content]:
    """The panel of the station in hand: faults while a set runs, the proposal when it has ended.

    `cautioned` are lifters about whom a caution is noted.
    """
    on = on_the_bar(state, station_id)
    station = state.gym.station(station_id).name
    if on is not None and on.running:
        return running_lines(state, on.present, on.set, station, names, width)
    lines: list[Content] = []
    if on is None:
        free: Part = "free: F8 brings a lifter here"
        if evening_done(state):
            free = ("All sets done. / x closes the session.", "bold")
        lines.append(Content.assemble((f"▶ {station} ", "bold $accent"), free))
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
    after = after_last(state, station_id, names, width - 2, cautioned)
    lines += after
    if on is not None:
        if walk := walk_words(state.gym, on.set):
            lines.append(Content.assemble(("walk ", "bold"), walk).truncate(width - 2, ellipsis=True))
        fault = cue(state, on.present.lifter, on.set.lift)
        told = f"{names.get(on.present.lifter)}: {fault.cue}" if fault is not None else ""
        if told and not any(f"{TELL}{told}" in line.plain for line in after):
            lines.append(Content.assemble(("cue  ", "bold"), told))
    if on is not None and (cap := on.present.limits.get(on.set.lift)) is not None:
        form = form_words(state, state.lifters[on.present.lifter], cap, on.set.lift)
        if not any(form in line.plain for line in lines):
            lines.append(Content.assemble(("form ", "bold"), form.removeprefix("form ")))
    if on is not None:
        setup = setup_words(state, on.present, on.set)
        for n, line in enumerate(by_sentences(setup, width - 2 - len(SET))):
            lines.append(Content.assemble((" " * len(SET) if n else SET, "bold"), line))
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
    standing = proposal_after(state, *last) if last is not None else None
    standing = standing or drill_stop(state, station_id)
    if standing is not None and not state.lifters[standing.lifter].held:
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
    if action == "stop" and state.evening.stopped:
        return "go on"
    if action != "go":
        return short
    on = on_the_bar(state, station_id)
    if not running or on is None:
        return "start"
    if ends_here(state.gym, on.set, state.lifters[on.present.lifter].youth):
        return "end the set"
    return "suggested grade" if on.set.full else "all made"
