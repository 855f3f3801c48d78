"""Check-in in words: the list of lifters, the one highlighted, the keys. Pure: a state in, lines out."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from datetime import datetime, tzinfo
from itertools import groupby

from textual.content import Content

from floor.core.arrivals import Block, Coming, blocks, coming, here_tonight, sets_tonight, stopped_tonight
from floor.core.comingday import AFTER_LIGHT, back_words, coming_lift
from floor.core.groups import moves, place_for, told
from floor.core.limits import CAPS, cap_words
from floor.core.moments import clock_words
from floor.core.people import Person
from floor.core.programme import todays_entries
from floor.core.proposals import reason
from floor.core.pulls import proposal_parts
from floor.core.sheet import height_words
from floor.core.state import FormCap, Heights, Lifter, State
from floor.core.teaching import is_walk
from floor.core.units import show_load, show_with_unit
from floor.tui.draw.spans import cell

Piece = str | tuple[str, str]
WIDE = 110
"""From this width on the list has columns of its own for last time and day."""
WIDEST = 150
"""From this width on the programme's name stands beside its day."""
EMPTY_GYM = (
    "",
    "  Nobody belongs to this gym yet.",
    "",
    "  W                           adds a lifter now: name, station, go",
    "  floor import FILE.csv       brings in a roster (leave with Ctrl+Q first)",
    "  floor import history FILE   brings in sets of the past, CSV or XLSX",
    "  F1                          shows the keys",
)
"""What an empty gym says instead of a list."""
TO_FLOOR = "to the floor"
NEW_HERE = "health questions before the first lift."
"""What is asked of somebody new before anything is lifted."""
_NAME, _STATUS, _LAST, _PROGRAMME, _DAY = 14, 18, 14, 30, 7


def roll(state: State, names: Mapping[int, str]) -> tuple[int, ...]:
    """Every lifter of the gym, by board name."""
    return tuple(sorted(state.lifters, key=lambda i: (name_of(i, names).casefold(), i)))


def name_of(lifter: int, names: Mapping[int, str]) -> str:
    """A lifter's board name; the number when the name was erased from the file."""
    return names.get(lifter, f"lifter {lifter}")


def day_words(at: datetime, zone: tzinfo) -> str:
    """A date as the coach says it: "12 Nov"."""
    local = at.astimezone(zone)
    return f"{local.day} {local:%b}"


def header(state: State, now: datetime, zone: tzinfo, width: int) -> Content:
    """The first line: the date, whether a session is open, who is here."""
    local = now.astimezone(zone)
    parts: list[Piece] = [(" Check-in ", "bold"), f"{local:%a} {local.day} {local:%b} {local:%H:%M}"]
    if not state.open:
        parts.append(" · no session is open: the first check-in opens one")
        return Content.assemble(*parts)
    counts = {c: sum(coming(state, i) is c for i in state.lifters) for c in Coming}
    opened = state.evening.opened.astimezone(zone)
    parts.append(f" · session {state.evening.session}" + (f" since {opened:%H:%M}" if width >= WIDE else ""))
    order = (Coming.HERE, Coming.LATE, Coming.LEFT, Coming.EXPECTED)
    parts += [f" · {counts[c]} {c}" for c in order if counts[c]]
    return Content.assemble(*parts)


# --- the list


def row(state: State, lifter: Lifter, person: Person | None, now: datetime, zone: tzinfo, width: int) -> Content:
    """One lifter in one line: name, status, marks, then tonight's lifts. At WIDE, last time and day as well."""
    status = coming(state, lifter.id)
    parts: list[Piece] = [
        (cell(person.board if person else f"lifter {lifter.id}", _NAME), "bold"),
        (cell(status_words(state, lifter.id, zone), _STATUS), _STATUS_STYLE[status]),
    ]
    if width >= WIDE:
        parts.append(cell(last_words(state, lifter, now, zone), _LAST))
        whole = width >= WIDEST
        day = programme_words(state, lifter) if whole else _day(state, lifter)
        parts.append(cell(day, _PROGRAMME if whole else _DAY))
    go = go_words(state, lifter.id, zone)
    parts += [(go, "bold"), " · "] if go else []
    parts += marks(lifter, person, zone)
    if not lifter.held:
        parts.append(short_words(state, blocks(sets_tonight(state, lifter, now)), stopped_tonight(state, lifter.id)))
    return Content.assemble(*parts)


_STATUS_STYLE: dict[Coming, str] = {
    Coming.EXPECTED: "", Coming.LATE: "italic", Coming.HERE: "bold $success", Coming.LEFT: "dim",
}


def go_words(state: State, lifter: int, zone: tzinfo) -> str:
    """When a lifter must go, of one who has not left: "must go 18:40"; "" without such a time."""
    told = state.evening.leaving.get(lifter) if coming(state, lifter) is not Coming.LEFT and state.open else None
    return "" if told is None else f"must go {clock_words(told, zone)}"


def late_words(state: State, lifter: int, zone: tzinfo) -> str:
    """When a lifter who is late is expected: "late, about 17:20"."""
    return f"{Coming.LATE}, about {clock_words(state.evening.late[lifter], zone)}"


def status_words(state: State, lifter: int, zone: tzinfo) -> str:
    """Expected, "late, about 17:20", "here: Platform 2" or left."""
    present = here_tonight(state).get(lifter)
    if present is not None and not present.gone:
        return f"here: {state.gym.station(present.station).name}"
    status = coming(state, lifter)
    return late_words(state, lifter, zone) if status is Coming.LATE else str(status)


def last_words(state: State, lifter: Lifter, now: datetime, zone: tzinfo) -> str:
    """When the lifter last came, in days of the gym's calendar."""
    if lifter.id in here_tonight(state):
        return "first time" if lifter.sessions <= 1 else "came tonight"
    if lifter.last_came is None:
        return "first time"
    days = (now.astimezone(zone).date() - lifter.last_came.astimezone(zone).date()).days
    return "today already" if days <= 0 else "yesterday" if days == 1 else f"{days} days ago"


def programme_words(state: State, lifter: Lifter) -> str:
    """The programme and the day that is next: "Beginner, three days · day 2"."""
    programme = state.gym.programmes.get(lifter.programme)
    if programme is None:
        return "as brought in" if lifter.plans else "no programme"
    return f"{programme.name} · day {lifter.day % len(programme.days) + 1}"


def start_words(state: State) -> str:
    """The programme somebody new starts on: "Beginner, three days"; "no programme" in a gym without one of its own."""
    programme = state.gym.programmes.get(state.gym.settings.programme)
    return programme.name if programme else "no programme"


def newcomer_words(state: State, lifter: int, names: Mapping[int, str]) -> str:
    """What is said once somebody new has come: what to ask first, where they are, what they start on."""
    station = state.gym.station(here_tonight(state)[lifter].station).name
    return f"{name_of(lifter, names)}, {station}: {NEW_HERE} {programme_words(state, state.lifters[lifter])}."


def _day(state: State, lifter: Lifter) -> str:
    """The day alone, "day 2"; nothing without a programme."""
    programme = state.gym.programmes.get(lifter.programme)
    return f"day {lifter.day % len(programme.days) + 1}" if programme else ""


def marks(lifter: Lifter, person: Person | None, zone: tzinfo) -> list[Piece]:
    """Youth, a note to read, held for pain and since when: no other word about health."""
    said: list[tuple[str, str]] = []
    if lifter.held_since is not None:
        said.append((f"held: pain since {day_words(lifter.held_since, zone)}", "bold reverse"))
    if lifter.youth:
        said.append(("youth", "bold"))
    if person is not None and person.noted("caution"):
        said.append(("note", "bold underline"))
    pieces = [piece for mark in said for piece in (mark, " · ")]
    return pieces[:-1] if lifter.held else pieces


def short_words(state: State, tonight: tuple[Block, ...], stopped: Collection[str] = ()) -> str:
    """Tonight's work in one phrase: "power clean 40 kg 4×3 · squat 62.5 kg 1×5, stopped"."""
    names, work = state.gym.lifts, [b for b in tonight if b.work]
    ends = {lift: ", stopped" for lift in stopped}
    words = [f"{names[b.lift].name} {work_words(state, b)}{ends.get(b.lift, '')}" for b in work]
    words += [f"{names[lift].name} stopped" for lift in stopped if lift not in {b.lift for b in work}]
    return " · ".join(words) or "no lifts planned"


def work_words(state: State, block: Block) -> str:
    """The work sets of one lift: "40 kg 4×3"; sets that differ stand one after another."""
    unit, runs = state.gym.unit, []
    for (role, load, reps), alike in groupby(block.work, key=lambda s: (s.role, s.load, s.reps)):
        back = "back-off " if role == "backoff" else ""
        runs.append(f"{back}{show_with_unit(load, unit)} {len(list(alike))}×{reps}")
    return ", ".join(runs)


# --- the highlighted lifter


def details(state: State, lifter: Lifter, person: Person | None, now: datetime, zone: tzinfo) -> list[Content]:
    """The highlighted lifter: who, when last, what tonight holds set by set, where to go."""
    name = person.board if person else f"lifter {lifter.id}"
    who = [last_words(state, lifter, now, zone), programme_words(state, lifter)]
    if lifter.programme and lifter.brought:
        who.append("sets as brought in")
    if person is not None and person.noted("caution"):
        who.append("a note to read: N")
    lines = [Content.assemble((f" {name} ", "bold reverse"), " " + " · ".join(who))]
    if lifter.held_since is not None:
        since = day_words(lifter.held_since, zone)
        held = f" Held: pain since {since}. Checking in plans no lift until it is cleared."
        lines.append(Content.styled(held, "bold"))
        lines.append(Content(" C records who cleared it and when; a licensed clinician decides, not this tool."))
    tonight = blocks(sets_tonight(state, lifter, now))
    lines += [Content(" " + block_words(state, lifter, block)) for block in tonight if block.work]
    stopped = stopped_tonight(state, lifter.id)
    lines += [Content(f" {state.gym.lifts[lift].name}: stopped, {reason(rule)}") for lift, rule in stopped.items()]
    notes = (*limit_lines(state, lifter), *back_lines(state, lifter, tonight, now))
    lines += [Content("   " + words) for words in notes]
    if lifter.proposed is not None:
        what, *why = proposal_parts(state.gym, lifter.proposed)
        lines.append(Content.styled(f" proposed: {what}:", "bold"))
        lines += [Content(f"   {words}") for words in why]
    if not tonight and not stopped and not lifter.held:
        have = todays_entries(state.gym, lifter)
        lines.append(Content(" No lifts planned." + ("" if have else " P gives a programme.")))
    return lines


def limit_lines(state: State, lifter: Lifter) -> list[str]:
    """The form limits found when the lifter arrived tonight, and what they did to the plan."""
    present = here_tonight(state).get(lifter.id)
    limits = present.limits if present else {}
    lifts = [lift for lift in limits if lift in {s.lift for s in present.sets}] if present else []
    return [f"{state.gym.lifts[lift].name}: {form_words(state, lifter, limits[lift], lift)}" for lift in lifts]


def back_lines(state: State, lifter: Lifter, tonight: tuple[Block, ...], now: datetime) -> list[str]:
    """The lifts that go back to their full load tonight, after a light day."""
    gym, after = state.gym, [b.lift for b in tonight if (p := lifter.plans.get(b.lift)) and p.rule in AFTER_LIGHT]
    told = [(gym.lifts[lift].name, back_words(coming_lift(gym, lifter, lift, now), gym)) for lift in after]
    return [f"{name}: {words}" for name, words in told if words]


def form_words(state: State, lifter: Lifter, cap: FormCap, lift: str) -> str:
    """A form limit in one line; with the load the plan came down from, if it did."""
    unit, plan = state.gym.unit, lifter.plans.get(lift)
    words = cap_words(cap, unit)
    if plan is None or plan.rule != CAPS or plan.was is None:
        return words
    return f"{words}: plan was {show_with_unit(plan.was, unit)}"


def block_words(state: State, lifter: Lifter, block: Block) -> str:
    """One lift set by set: the ramp, the work, the heights, the stage."""
    lift = state.gym.lifts[block.lift]
    walk = any(is_walk(lift, s) for s in block.ramp)
    ramp = " ".join(f"{show_load(s.load)}×{s.reps}" for s in block.ramp if not is_walk(lift, s))
    build = "build " if any(s.role == "build" for s in block.work) else ""
    before = ("walk the stages, " if walk else "") + (f"ramp {ramp}, " if ramp else "")
    parts = [f"{lift.name}: " + (f"{before}then " if before else "") + build + work_words(state, block)]
    heights = height_words(lifter.heights.get(lift.id, Heights()), lift)
    if heights:
        parts.append(heights)
    first = next((s.stage for s in block.ramp + block.work if s.stage is not None), None)
    stage = next((s for s in lift.stages if s.no == first), None)
    if stage is not None:
        parts.append(f"stage {stage.no}, {stage.name}")
    return " · ".join(parts)


def enter_words(state: State, lifter: Lifter, names: Mapping[int, str], now: datetime) -> str:
    """What Enter does to the highlighted lifter, by name."""
    name = name_of(lifter.id, names)
    status = coming(state, lifter.id)
    if status is Coming.HERE:
        return f"{name} is here · 1-9 moves"
    if status is Coming.LEFT:
        return f"{name} has left"
    place = place_for(state, lifter, now)
    if place.station is None:
        return "the gym has no station"
    others = [name_of(other, names) for other in place.others]
    some = ", ".join(others[:3]) + (f" and {len(others) - 3} more" if len(others) > 3 else "")
    why = place.why.replace("{others}", some)
    return f"checks in {name} at {place.station.name}" + (f": {why}" if why else "")


def group_lines(state: State, names: Mapping[int, str], now: datetime, zone: tzinfo) -> list[str]:
    """Who would share which station, when it is done, and why; who of those here would move is marked.

    "Platform 1: done about 18:52", then a line for those who begin alike:
    "like loads, squat 60 to 74 kg: Amina, Tomasz (moves)".
    """
    going, lines = dict(moves(state, now)), []
    for group in told(state, now):
        done = f": done about {clock_words(group.done, zone)}" if group.done else "" if group.parts else ": nobody"
        lines.append(group.station.name + done)
        for part in group.parts:
            at = [i for i in roll(state, names) if i in part.lifters]
            said = ", ".join(name_of(i, names) + (" (moves)" if i in going else "") for i in at)
            lines.append(f"· {part.why}: {said}")
    return lines


def caution_lines(state: State, now: datetime, rows: int) -> list[Content]:
    """The gym's caution lines: all that fit, else one at a time, the next every twenty seconds."""
    cautions = state.gym.settings.cautions
    if not cautions or rows < 1:
        return []
    if rows >= len(cautions):
        return [Content.assemble((" ! ", "bold"), c) for c in cautions]
    first = int(now.timestamp()) // 20
    picked = [(first + i) % len(cautions) for i in range(rows)]
    return [Content.assemble((" ! ", "bold"), cautions[i]) for i in picked]


def station_words(state: State) -> str:
    """The stations by their digit, with how many are at each: "1 Platform 1 (3)"."""
    here = here_tonight(state).values()
    counts = {s.id: sum(p.station == s.id and not p.gone for p in here) for s in state.gym.stations}
    return " · ".join(f"{s.id} {s.name} ({counts[s.id]})" for s in state.gym.stations)
