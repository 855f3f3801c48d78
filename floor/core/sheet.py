"""The evening on paper: what to lift, boxes to tick, room to write; as plain text and as one HTML page.

The sets are numbered 1..n over the sheet, lifter by lifter by the lifter's own
number, here or not. Fast entry from the paper (papers.py) counts the same way,
so the numbers stay when others come later or walk in; a clearance recorded, or
a programme given, after the sheet was written moves those behind it. A set that
was taken off, or whose lifter is held, is not on it. No notes about anyone are.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from html import escape
from textwrap import wrap

from floor.core import stacks
from floor.core.arrivals import first_numbers, here_tonight, sets_tonight
from floor.core.gym import Gym, Lift, Station
from floor.core.programme import stage_now
from floor.core.state import DROPPED, Heights, Lifter, State, TheSet
from floor.core.teaching import role_of
from floor.core.units import show_with_unit

WIDTH = 80
"""Letters in a line of the text sheet."""
GRADE_WORDS = "1 sharp  2 sound  3 rough  4 broken  5 unseen"
HOW = (
    "Tick a box for each rep made, cross it for each rep missed. Then ring the grade:",
    GRADE_WORDS,
    "Fault letters (at the end) go on the line. Another load than printed: write it.",
    "Never more load after a rough or broken set, a fault to fix, or pain.",
)
NO_LIFTS = "No lifts tonight: speak to the coach first."


@dataclass(frozen=True, slots=True)
class Row:
    """One set on the sheet; `no` counts over the sheet, `set_no` over the lifter's evening.

    `care` is what to say before a pull from the floor off that stack, at the first set of a load.
    """

    no: int
    lifter: int
    set_no: int
    lift: str
    role: str
    reps: int
    load: int
    stack: str
    care: str = ""


@dataclass(frozen=True, slots=True)
class Block:
    """One lifter on the sheet: `title` to find them by, `about` the heights, `rows` the sets."""

    lifter: int
    title: str
    about: tuple[str, ...]
    rows: tuple[Row, ...]


@dataclass(frozen=True, slots=True)
class Sheet:
    """The whole sheet. `legend` has the lifts on it, with their fault letters."""

    head: str
    unit: str
    cautions: tuple[str, ...]
    blocks: tuple[Block, ...]
    legend: tuple[Lift, ...]


def make_sheet(state: State, names: Mapping[int, str], now: datetime, when: str) -> Sheet:
    """The sheet of tonight as it stands; `when` is the date and time in the gym's own words."""
    made = [
        _block(state, state.lifters[lifter], names, now, no) for lifter, no in first_numbers(state, now).items()
    ]
    used = dict.fromkeys(row.lift for block in made for row in block.rows)
    session = f" · session {state.evening.session}" if state.open else ""
    return Sheet(
        head=f"Evening sheet{session} · {when} · loads in {state.gym.unit}",
        unit=state.gym.unit,
        cautions=state.gym.settings.cautions,
        blocks=tuple(made),
        legend=tuple(state.gym.lifts[i] for i in used),
    )


def _block(state: State, lifter: Lifter, names: Mapping[int, str], now: datetime, no: int) -> Block:
    gym = state.gym
    present = here_tonight(state).get(lifter.id)
    station = gym.station(present.station) if present else None
    parts = [names.get(lifter.id, f"lifter {lifter.id}")]
    if lifter.youth:
        parts.append("youth")
    parts.append(station.name if station else "not here yet")
    sets = _sets(state, lifter, now)
    rows: list[Row] = []
    for i, s in enumerate(sets):
        if s.status == DROPPED:
            continue
        bar, stack = finished_bar(gym, s.lift, s.load, station)
        again = bool(rows) and (s.lift, s.load) == (rows[-1].lift, rows[-1].load)
        care = "" if again else stacks.floor_start(gym, gym.lifts[s.lift], stack)
        said = stack_words(gym, bar, stack)
        rows.append(Row(no + i, lifter.id, s.no, s.lift, role_of(gym.lifts[s.lift], s), s.reps, s.load, said, care))
    about = [words for i in dict.fromkeys(row.lift for row in rows) if (words := _about(gym.lifts[i], lifter))]
    return Block(lifter.id, " · ".join(parts), tuple(about), tuple(rows))


def _sets(state: State, lifter: Lifter, now: datetime) -> list[TheSet]:
    """The lifter's sets by their numbers; none while held."""
    present = here_tonight(state).get(lifter.id)
    if present is not None and not lifter.held:
        return sorted(present.sets, key=lambda s: s.no)
    planned = sets_tonight(state, lifter, now)
    return [TheSet(n, p.lift, p.role, p.reps, p.load, p.stage) for n, p in enumerate(planned, 1)]


def _about(lift: Lift, lifter: Lifter) -> str:
    parts = [height_words(lifter.heights.get(lift.id, Heights()), lift, "____")]
    stage = next((s for s in lift.stages if s.no == stage_now(lift, lifter)), None)
    if stage is not None:
        parts.append(f"stage {stage.no}, {stage.name}")
    said = " · ".join(p for p in parts if p)
    return f"{lift.name}: {said}" if said else ""


def height_words(heights: Heights, lift: Lift, unset: str = "not set") -> str:
    """The heights to set for a lift, "rack 12 · safeties 4"; one that is not set is said. "" if it needs none."""
    named = {"rack": ("rack", heights.rack), "safety": ("safeties", heights.safety), "bench": ("bench", heights.bench)}
    return " · ".join(f"{word} {unset if n is None else n}" for h in lift.heights for word, n in (named[h],))


def finished_bar(gym: Gym, lift: str, load: int, station: Station | None) -> tuple[str, stacks.Stack]:
    """The bar and one sleeve's plates for a load, with all of the gym's plates free."""
    usual = station.bar if station else max(gym.bars, key=lambda b: (b.count, b.mass)).id
    bar = stacks.bar_for(gym, load, usual)
    _, stack = stacks.nearest(gym, load, bar, {}, gym.lifts[lift].from_floor)
    return bar, stack


def stack_words(gym: Gym, bar: str, stack: stacks.Stack) -> str:
    """A finished bar in words: "20 kg bar + 10, 2.5 each side"."""
    return f"{gym.bar(bar).name} + {', '.join(stack)} each side" if stack else f"{gym.bar(bar).name} alone"


# --- as text


def text(sheet: Sheet, gym: Gym) -> str:
    """The sheet as plain text, 80 letters wide."""
    out = [*_wrapped(sheet.head), *HOW, ""]
    for caution in sheet.cautions:
        out += _wrapped(f"! {caution}", "  ")
    for block in sheet.blocks:
        out += ["", "-" * WIDTH, *_wrapped(block.title)]
        for about in block.about:
            out += _wrapped(about, "  ", "  ")
        if not block.rows:
            out.append(f"  {NO_LIFTS}")
        for row in block.rows:
            out += _set_lines(row, gym)
    if sheet.legend:
        out += ["", "-" * WIDTH, "Faults"]
        for lift in sheet.legend:
            letters = " · ".join(f"{f.letter} {f.name}" for f in lift.faults)
            out += _wrapped(f"{lift.name}: {letters}", "  ", "  ")
            if lift.caution:
                out += _wrapped(f"! {lift.caution}", "    ", "  ")
    return "\n".join(line.rstrip() for line in out) + "\n"


def _set_lines(row: Row, gym: Gym) -> list[str]:
    load = f"{show_with_unit(row.load, gym.unit)} × {row.reps}"
    first = f"{row.no:>4}  {gym.lifts[row.lift].name + role_words(row.role):<20.20} {load:<13} {row.stack}"
    boxes = [f"[ ]{'' if i % 12 else ' '}" for i in range(1, row.reps + 1)]
    lines = ["".join(boxes[i : i + 12]).rstrip() for i in range(0, len(boxes), 12)]
    lines[-1] = f"{lines[-1]:<38}  1 2 3 4 5  ______________________"
    care = _wrapped(f"! {row.care}", "        ", "      ") if row.care else []
    return [*_wrapped(first, " " * 41), *care, *(f"      {line}" for line in lines)]


def role_words(role: str) -> str:
    """What kind of set, behind the lift's name; a work set needs no word."""
    return "" if role == "work" else " back-off" if role == "backoff" else f" {role}"


def _wrapped(words: str, after: str = "", before: str = "") -> list[str]:
    """Lines of at most WIDTH; leading blanks of `words` are kept on the first."""
    lead = len(words) - len(words.lstrip())
    kept = words.lstrip().replace(" · ", "\N{NO-BREAK SPACE}· ")
    lines = wrap(kept, WIDTH, initial_indent=before + " " * lead, subsequent_indent=after)
    return [line.replace("\N{NO-BREAK SPACE}", " ") for line in lines] or [""]


# --- as a page


STYLE = (
    "body{font:11pt/1.35 sans-serif;margin:1.2cm;color:#000;background:#fff}h1{font-size:14pt;margin:0 0 .3em}"
    "h2{font-size:12pt;margin:1em 0 .2em;border-top:2px solid #000;padding-top:.3em}section{break-inside:avoid-page}"
    "table{border-collapse:collapse;width:100%;font-size:10pt}"
    "td,th{border-bottom:1px solid #999;padding:.15em .4em;text-align:left}"
    ".box{letter-spacing:.15em}.write{width:22%}.load{font-weight:bold;white-space:nowrap}p{margin:.2em 0}"
    "@media print{body{margin:0}}"
)


def page(sheet: Sheet, gym: Gym) -> str:
    """The sheet as one HTML page that needs nothing else: no script, no network."""
    out = [
        '<!doctype html><html lang="en"><head><meta charset="utf-8">',
        f"<title>{escape(sheet.head)}</title><style>{STYLE}</style></head><body>",
        f"<h1>{escape(sheet.head)}</h1>",
        *(f"<p>{escape(line)}</p>" for line in HOW),
        "<ul>", *(f"<li>{escape(c)}</li>" for c in sheet.cautions), "</ul>",
    ]  # fmt: skip
    for block in sheet.blocks:
        out.append(f"<section><h2>{escape(block.title)}</h2>")
        out += [f"<p>{escape(about)}</p>" for about in block.about]
        out.append(_table(block, gym) if block.rows else f"<p>{escape(NO_LIFTS)}</p>")
        out.append("</section>")
    if sheet.legend:
        out.append("<h2>Faults</h2>")
    for lift in sheet.legend:
        letters = " · ".join(f"<b>{escape(f.letter)}</b> {escape(f.name)}" for f in lift.faults)
        out.append(f"<p>{escape(lift.name)}: {letters}</p>")
        if lift.caution:
            out.append(f"<p>! {escape(lift.caution)}</p>")
    out.append("</body></html>")
    return "\n".join(out) + "\n"


def _table(block: Block, gym: Gym) -> str:
    head = "".join(f"<th>{h}</th>" for h in ("no", "lift", "load × reps", "bar", "reps", "grade", "faults"))
    rows = [
        f"<tr><td>{row.no}</td><td>{escape(gym.lifts[row.lift].name + role_words(row.role))}</td>"
        f'<td class="load">{escape(show_with_unit(row.load, gym.unit))} × {row.reps}</td>'
        f'<td>{escape(row.stack)}{f"<br>! {escape(row.care)}" if row.care else ""}</td>'
        f'<td class="box">{"☐" * row.reps}</td><td class="load">1 2 3 4 5</td><td class="write"></td></tr>'
        for row in block.rows
    ]
    return f"<table><tr>{head}</tr>{''.join(rows)}</table>"
