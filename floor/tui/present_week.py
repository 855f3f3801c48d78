"""The week in words and columns. Pure: the week as it was worked out and a gym in, lines out."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence, Set
from dataclasses import dataclass
from datetime import date
from functools import cached_property, partial

from rich.cells import cell_len, set_cell_size
from textual.content import Content

from floor.core.comingday import NEW, NOT_COMING, ComingLift, coming_notes, coming_words, light_words, plan_words
from floor.core.course import FaultRate, percent
from floor.core.evidence.trend import Verdict
from floor.core.evidence.words import tenth
from floor.core.gym import Gym
from floor.core.maxima import Estimate
from floor.core.past import Top
from floor.core.state import NextPlan
from floor.core.units import show_load
from floor.core.week import LifterWeek, LiftWeek, Stall, Week
from floor.tui.draw.spans import wrap

WIDE = 110
"""From this width on there is room for the trend and for the reason of the plan."""
LIFT, LOAD, MAX, FAULTS, NEXT, TREND = 14, 18, 14, 18, 12, 18
FORM_RULES = ("rough-repeats", "broken-eases")
"""The rules between sessions that rest on a fault: it is named with them."""
NO_EVENING = (
    "",
    "  No session is on record yet.",
    "  The week is read from what was lifted: check somebody in first.",
)
"""What the screen of a gym without an evening says."""
TO_COME = "reading twelve weeks for trends and stalls …"
"""Stands in place of LIMITS while only the two weeks are known."""
LIMITS = "max: likely low, ±4 % · faults: of watched reps, 95 % sure · 80%: light day"
"""What the figures are worth, in one line of the narrow screen."""


@dataclass(frozen=True)
class Block:
    """The lines of one lifter, or lines of nobody (0): so many, put into words when they are first shown."""

    lifter: int
    height: int
    write: Callable[[], tuple[Content, ...]]

    @classmethod
    def of(cls, lifter: int, lines: Iterable[Content]) -> Block:
        """Lines that are there already."""
        written = tuple(lines)
        return cls(lifter, len(written), lambda: written)

    @cached_property
    def lines(self) -> tuple[Content, ...]:
        """The words."""
        return self.write()


def day(when: date) -> str:
    """A date as the coach says it: "12 Nov"."""
    return f"{when.day} {when:%b}"


def header(week: Week | None, today: date, width: int) -> Content:
    """Which week it is, and who came: in as many words as there is room for, the week before left out last."""
    head = (" THE WEEK ", "bold")
    if week is None:
        return Content.assemble(head)
    ago = (today - week.last).days
    age = "" if ago <= 7 else f" · {ago} days ago"
    came = (f"{_count(week.evenings, 'evening')}, {week.came} came", "bold")
    was, were = week.evenings_before, week.came_before
    same = week.first.month == week.last.month
    told = Content("")
    befores = (f"week before: {was}, {were} came", f"before: {was}, {were} came", f"before: {was}, {were}")
    for before in (*(f" ({words})" for words in befores), ""):
        for start in (day(week.first), *((str(week.first.day),) if same else ())):
            told = Content.assemble(head, f" {start} to {day(week.last)}{age} · ", came, before)
            if told.cell_length <= width:
                return told
    return told


def heads(width: int, unit: str) -> Content:
    """The names of the columns."""
    names = [("lift", LIFT), (f"top, {unit}", LOAD), (f"max, {unit}", MAX), ("faults, %", FAULTS), ("next", NEXT)]
    if width >= WIDE:
        names += [("trend", TREND), ("why", 0)]
    return Content.styled("    " + "".join(_cell(name, size) for name, size in names).rstrip(), "dim")


def blocks(week: Week, gym: Gym, names: Mapping[int, str], width: int) -> list[Block]:
    """The list, the cursor nowhere: who was not here, stalls, a block a lifter of the two weeks."""
    found = []
    if missing := [*(one.lifter for one in week.lifters if not one.came), *week.absent]:
        who = f"{len(missing)} not here this week: {', '.join(names.get(i, f'lifter {i}') for i in missing)}"
        found.append(Block.of(0, (Content(f"  {line}") for line in wrap(who, width - 4, 2))))
    if week.stalls:
        found.append(Block.of(0, (line for s in week.stalls for line in _stall(s, gym, names, width))))
    if week.rules:
        asked = [line for rule in week.rules for line in wrap(f"? {rule.words}", width - 4, 2)]
        found.append(Block.of(0, (Content(f"  {line}") for line in asked)))
    stalled = {(s.lifter, s.lift) for s in week.stalls}
    for one in week.lifters:
        found.append(Block(one.lifter, 1 + len(one.lifts), partial(_written, one, gym, names, width, stalled)))
    return found


def window(blocks: Sequence[Block], top: int, rows: int) -> list[Content]:
    """So many rows of the list from row `top` on, a blank one between blocks: no other block is put into words."""
    found: list[Content] = []
    row = 0
    for block in blocks:
        after = row + block.height + 1
        if after > top and row < top + rows:
            found += [*block.lines, Content("")][max(0, top - row) : top + rows - row]
        row = after
    return found[: max(0, row - 1 - top)]


def _written(
    one: LifterWeek, gym: Gym, names: Mapping[int, str], width: int, stalled: Set[tuple[int, str]]
) -> tuple[Content, ...]:
    lifts = (_lift(lift, gym, width, (one.lifter, lift.lift) in stalled) for lift in one.lifts)
    return (_lifter(one, names, False, width), *lifts)


def under_cursor(block: Block, week: Week, gym: Gym, names: Mapping[int, str], width: int) -> Block:
    """A lifter's block with the cursor on it: where no column has room for them, the reasons stand under the lifts."""
    one = next(found for found in week.lifters if found.lifter == block.lifter)
    lines = list(block.lines[1:])
    if width < WIDE:
        lifts = zip(one.lifts, lines, strict=True)
        lines = [line for lift, told in lifts for line in (told, *_reason(lift, gym, width))]
    return Block.of(block.lifter, (_lifter(one, names, True, width), *lines))


def _reason(lift: LiftWeek, gym: Gym, width: int) -> list[Content]:
    """What the next session asks and why, in words, under the lift's own line."""
    if lift.coming is None:
        return [Content(f"      next: {NOT_COMING}")]
    was, rule, seen = None, NEW, []
    if lift.plan is not None:
        was, rule = lift.plan.was, plan_words(lift.plan, lift.coming, gym)
        fault = gym.lifts[lift.lift].fault(lift.cue) if lift.plan.rule in FORM_RULES else None
        seen = [fault.name] if fault is not None else []
    seen += [f"{_count(lift.missed, 'rep')} missed this week"] if lift.missed else []
    evidence = f" ({', '.join(seen)})" if seen else ""
    told = wrap(f"next: {coming_words(lift.coming, gym, was)}: {rule}{evidence}", width - 10, 3)
    return [Content(f"{'      ' if not n else '        '}{line}") for n, line in enumerate(told)]


def _stall(stall: Stall, gym: Gym, names: Mapping[int, str], width: int) -> list[Content]:
    who = f"! {names.get(stall.lifter, f'lifter {stall.lifter}')} {gym.lifts[stall.lift].name}: "
    first, *more = wrap(who + (stall.words if width >= WIDE else stall.short(gym.unit)), width - 4, 2)
    return [
        Content.assemble("  ", (first[: len(who)], "bold"), first[len(who) :]),
        *(Content(f"    {line}") for line in more),
    ]


def _lifter(one: LifterWeek, names: Mapping[int, str], on: bool, width: int) -> Content:
    name = names.get(one.lifter, f"lifter {one.lifter}")
    came = f"came {_count(one.came, 'time')}" if one.came else "not here this week"
    held = ("  held until cleared", "bold") if one.held else ""
    line = Content.assemble("▶ " if on else "  ", (name, "bold"), f"  {came}, {one.came_before} the week before", held)
    line = line.truncate(width, ellipsis=True, pad=True)
    return line.stylize("on $primary 40%") if on else line


def _lift(lift: LiftWeek, gym: Gym, width: int, stalled: bool) -> Content:
    known = gym.lifts[lift.lift]
    cells = [
        _cell(known.name, LIFT),
        _cell(top_words(lift.before, lift.top), LOAD),
        _cell(max_words(lift.maximum), MAX),
        _cell(fault_words(lift.faults), FAULTS),
        _cell(next_words(lift.plan, lift.coming), NEXT),
    ]
    if width >= WIDE:
        cells.append(_cell(trend_words(lift), TREND))
        cells.append(why_words(lift, gym))
    line = Content.assemble(("  ! " if stalled else "    ", "bold"), "".join(cells).rstrip())
    return line.truncate(width, ellipsis=True)


def top_words(before: Top | None, now: Top | None) -> str:
    """What moved: "75 → 77.5 × 5"; a lift not done this week says when it was."""
    if now is None:
        return f"{show_load(before.load)} × {before.reps} before" if before else "no work set"
    was = "" if before is None else f"{show_load(before.load)} → "
    return f"{was}{show_load(now.load)} × {now.reps}"


def max_words(found: Estimate | None) -> str:
    """The estimate with its band, or a dash."""
    return "—" if found is None else f"{_whole(found.value)} ({_whole(found.low)}-{_whole(found.high)})"


def _whole(load: int) -> str:
    """To the nearest whole unit: a finer figure would claim too much."""
    return str((load + 50) // 100)


def fault_words(found: FaultRate) -> str:
    """Faulty of watched reps and the interval, in per cent."""
    if not found.watched:
        return "unwatched"
    low, high = percent(found.rate.low), percent(found.rate.high)
    return f"{found.faulty}/{found.watched}  {percent(found.rate.rate)} ({low}-{high})"


def next_words(plan: NextPlan | None, coming: ComingLift | None) -> str:
    """The load of the next session with the lift, which way the whole load goes, and a light day's part of it."""
    if coming is None:
        return "—"
    if plan is None:
        return f"{show_load(coming.load)} new"
    was = plan.was if plan.was is not None else plan.load
    way = "↑" if plan.load > was else "↓" if plan.load < was else "="
    return f"{show_load(coming.load)} {way}" + ("" if coming.percent == 100 else f" {coming.percent}%")


def why_words(lift: LiftWeek, gym: Gym) -> str:
    """Why the next load is what it is: what keeps it from the whole load (a light day stands beside it), the rule."""
    if lift.coming is None:
        return NOT_COMING
    rule = plan_words(lift.plan, lift.coming, gym) if lift.plan else NEW
    light = light_words(lift.coming, gym)
    return " · ".join([*(note for note in coming_notes(lift.coming, gym) if note != light), rule])


def trend_words(lift: LiftWeek) -> str:
    """The word on the trend, with its slope where there is one; dots while it has not been read."""
    found = lift.progress
    if found is None:
        return "…"
    if found.slope is None or found.verdict is Verdict.STALLED:
        return str(found.verdict)
    return f"{found.verdict} {tenth(found.slope.slope)}/week"


def _cell(words: str, size: int) -> str:
    return set_cell_size(words, size - 1) + " " if cell_len(words) >= size > 0 else set_cell_size(words, size)


def _count(n: int, word: str) -> str:
    return f"{n} {word}" if n == 1 else f"{n} {word}s"
