"""One lifter in words and drawings. Pure: the record and a state in, lines and drawings out."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime

from rich.cells import cell_len, set_cell_size
from textual.content import Content

from floor.core.body import body_of, body_words
from floor.core.comingday import NEW, NOT_COMING, coming_lift, coming_words, plan_words
from floor.core.course import (
    LIMITS,
    FaultRate,
    FaultWeeks,
    Form,
    fault_rate,
    fault_weeks,
    form,
    past_limit,
    percent,
    progress,
    tops,
)  # fmt: skip
from floor.core.evidence.trend import Progress
from floor.core.evidence.words import tenth
from floor.core.gym import Gym, Lift
from floor.core.helped import helped
from floor.core.maxima import Estimate, bests, estimates, lately
from floor.core.nexttime import next_reason
from floor.core.past import LifterPast, PlanPast
from floor.core.people import Person
from floor.core.programme import stage_now
from floor.core.pulls import proposal_words
from floor.core.state import Lifter
from floor.core.steps import step_of, usual_step
from floor.core.units import show_load, show_with_unit
from floor.tui.draw.spans import wrap
from floor.tui.present_overruled import overruled_lines
from floor.tui.present_week import day

PLANS, OVERRULED = 8, 12
"""The latest so many plans and overrulings of a lift are listed."""
MOST_WEEKS = 26
BARS = "▁▂▃▄▅▆▇█"
NAME, TOTAL = 23, 18
"""Columns of a fault's name and of its total."""


@dataclass(frozen=True, slots=True)
class LiftCourse:
    """What the record says of one lift of the lifter: worked out once a reading."""

    lift: Lift
    tops: tuple[tuple[date, int], ...]
    estimates: tuple[Estimate, ...]
    maximum: Estimate | None
    progress: Progress
    form: Form
    faults: FaultRate
    weeks: FaultWeeks | None


@dataclass(frozen=True, slots=True)
class Course:
    """The lifter's record with every lift worked out, the most lifted first."""

    past: LifterPast
    lifts: tuple[LiftCourse, ...]


def course_of(past: LifterPast, lifter: Lifter | None, gym: Gym, today: date) -> Course:
    """Work every lift out; a lift the gym no longer has is left out."""
    found = []
    for lift_id in past.lifts():
        lift = gym.lifts.get(lift_id)
        if lift is None:
            continue
        sets = [done for done in past.sets if done.lift == lift_id]
        best = bests(sets)
        found.append(
            LiftCourse(
                lift=lift,
                tops=tops(sets),
                estimates=estimates(best),
                maximum=lately(best),
                progress=progress(gym, lift_id, lifter, best, today),
                form=form(sets, gym.unit, today),
                faults=fault_rate(sets),
                weeks=fault_weeks(sets, MOST_WEEKS),
            )
        )
    return Course(past, tuple(found))


# --- words


def header(name: str, lifter: Lifter | None, gym: Gym, came: Sequence[date], width: int) -> Content:
    """Who it is, how often they came, and whether they are held."""
    parts = []
    if lifter is not None and (programme := gym.programmes.get(lifter.programme)) is not None:
        parts.append(programme.name)
    if came:
        parts.append(f"{len(came)} {'evening' if len(came) == 1 else 'evenings'}, last {day(came[-1])}")
    if lifter is not None and lifter.youth:
        parts.append("youth")
    held = (" · held until cleared", "bold reverse") if lifter is not None and lifter.held else ""
    line = Content.assemble((f" {name} ", "bold"), " " + " · ".join(parts), held)
    return line.truncate(width, ellipsis=True)


def tabs(names: Sequence[str], at: int, width: int) -> Content:
    """The lifts; the one in hand is marked, and in sight where they don't all fit: what is out of it is counted."""
    first, last = at, at + 1
    while (first, last) != (0, len(names)):
        wider = [(first, last + 1)] * (last < len(names)) + [(first - 1, last)] * (first > 0)
        fits = [one for one in wider if cell_len(_tabs(names, at, *one).plain) <= width]
        if not fits:
            break
        first, last = fits[0]
    return _tabs(names, at, first, last)


def _tabs(names: Sequence[str], at: int, first: int, last: int) -> Content:
    pieces: list[str | tuple[str, str]] = [(f" ←{first}", "dim") if first else "", " "]
    for n in range(first, last):
        pieces.append((f"▶{names[n]}◀", "bold reverse") if n == at else f" {names[n]} ")
        pieces.append(" ")
    return Content.assemble(*pieces, (f"{len(names) - last}→", "dim") if last < len(names) else "")


def facts(
    one: LiftCourse, course: Course, lifter: Lifter | None, gym: Gym, after: Lifter | None = None,
    now: datetime | None = None,
) -> list[tuple[str, str]]:
    """(what, words) of a lift, first what decides; `after` is the lifter as they will come next."""
    after = after or lifter
    plan = lifter.plans.get(one.lift.id) if lifter else None
    said = _to_come(one.lift, lifter, gym, after, now)
    if lifter is not None and (number := stage_now(one.lift, lifter)) is not None:
        stage = next((s for s in one.lift.stages if s.no == number), None)
        signed = [s for s in course.past.stages if s.lift == one.lift.id and s.stage == number]
        since = f", since {day(signed[-1].evening)}" if signed else ""
        said.append(("stage", f"{number} of {len(one.lift.stages)}, {stage.name if stage else 'unknown'}{since}"))
    said.append(("form limit", one.form.words))
    if plan is not None and past_limit(one.form.limit, plan):
        said.append(("", f"! the plan of {show_with_unit(plan.load, gym.unit)} is past it: watch it, or lighten"))
    said.append(("max", _max_words(one, gym)))
    said.append(("trend", one.progress.words))
    said.append(("faulty reps", one.faults.words))
    if (words := cue_words(one, course)) is not None:
        said.append(("cue", words))
    if lifter is not None:
        said.append(("step", step_words(gym, lifter, one.lift.id)))
    return said


def _to_come(
    lift: Lift, lifter: Lifter | None, gym: Gym, after: Lifter | None, now: datetime | None
) -> list[tuple[str, str]]:
    """What waits for the coach's yes: another programme, and the next session with the lift."""
    said: list[tuple[str, str]] = []
    proposed, plan = (lifter.proposed, lifter.plans.get(lift.id)) if lifter else (None, None)
    if proposed is not None and lift.id in (proposed.lift, proposed.other):
        said.append(("proposed", proposal_words(gym, proposed)))
    if after is not None and (coming := coming_lift(gym, after, lift.id, now)) is not None:
        brought = after.plans.get(lift.id)
        asked = coming_words(coming, gym, brought.was if brought else None)
        said.append(("next", f"{asked}: {plan_words(brought, coming, gym) if brought else NEW}; yours to decide"))
    elif plan is not None:
        said.append(("next", f"{show_with_unit(plan.load, gym.unit)} stays planned: {NOT_COMING}"))
    return said


def cue_words(one: LiftCourse, course: Course) -> str | None:
    """The latest cue of a lift, and how often its fault was seen before the word and since; None when none was said."""
    found = helped(course.past.sets, course.past.cues, one.lift.id)
    fault = one.lift.fault(found.fault) if found is not None else None
    if found is None or fault is None:
        return None
    before, after = found.before.words, found.after.words
    return f"{fault.cue} {fault.name}: before {before}; since {after}: {found.verdict}"


def step_words(gym: Gym, lifter: Lifter, lift: str) -> str:
    """What is added when it goes well: the lifter's own step, or the lift's on their programme."""
    step, usual = step_of(gym, lifter, lift), usual_step(gym, lifter, lift)
    own = "" if step == usual else f", their own (usual {show_load(usual)})"
    return f"{show_with_unit(step, gym.unit)}{own}, never over a tenth · S changes it"


def _max_words(one: LiftCourse, gym: Gym) -> str:
    last = one.maximum
    if last is None:
        return "no set to estimate from"
    return f"about {tenth(last.value)} {gym.unit} ({tenth(last.low)}-{tenth(last.high)}) on {day(last.evening)}"


def words(
    one: LiftCourse | None, course: Course, lifter: Lifter | None, person: Person | None, gym: Gym, width: int,
    after: Lifter | None = None, now: datetime | None = None,
) -> list[Content]:
    """Everything below the charts, in lines of at most `width`; `after` is the lifter as they will come next."""
    lines: list[Content] = []
    if one is not None:
        for what, told in facts(one, course, lifter, gym, after, now):
            lines += _told(what, told, width)
        if lifter is not None and now is not None:
            noted = body_words(gym, lifter, one.lift.id, body_of(person, gym.unit), now.date())
            lines += _told("body", noted, width) if noted else []
        lines += [Content.styled(line, "dim") for line in wrap(LIMITS, width, 3)]
        plans = [plan for plan in reversed(course.past.plans) if plan.lift == one.lift.id]
        lines += _listed("PLANS, latest first", [_plan(plan, gym) for plan in plans[:PLANS]], width)
        said = overruled_lines(course.past, one.lift.id, gym, OVERRULED)
        lines += _listed("OVERRULED, latest first", said, width)
    notes = [f"{note.kind}: {note.text}" for note in reversed(person.notes)] if person else []
    lines += _listed("NOTES AND CAUTIONS, for the coach's eyes", notes, width)
    return lines


def _told(what: str, told: str, width: int) -> list[Content]:
    first, *more = wrap(told, max(20, width - 13), 4)
    return [Content.assemble((f"{what:<13}", "bold"), first), *(Content(" " * 13 + line) for line in more)]


def _listed(title: str, rows: Sequence[str], width: int) -> list[Content]:
    lines = [Content(""), Content.styled(title, "bold")]
    for row in rows or ["none"]:
        first, *more = wrap(row, max(20, width - 4), 6)
        lines += [Content(f"  {first}"), *(Content(f"    {line}") for line in more)]
    return lines


def _plan(plan: PlanPast, gym: Gym) -> str:
    """The whole load that was planned. Its sets and reps are the day's: those to come stand under "next" alone."""
    was = f" (was {show_load(plan.was)})" if plan.was is not None and plan.was != plan.load else ""
    load = show_with_unit(plan.load, gym.unit)
    return f"{day(plan.evening)}  {load}{was}: {next_reason(plan.rule)}"


# --- faults by week, drawn in letters


def fault_lines(weeks: FaultWeeks | None, lift: Lift, width: int, rows: int) -> list[Content]:
    """A line a kind of fault: its share of each week's watched reps as a bar, and the total with its interval."""
    if weeks is None:
        return [Content("  No set of this lift was ever watched.")]
    columns = max(1, min(len(weeks.watched), width - NAME - TOTAL))
    shares = [share for row in weeks.rows for share in row.share[-columns:] if share is not None]
    most = max([0.1, *shares])
    lines = [
        Content.styled(f"faults of watched reps by week, to {day(weeks.last)}", "bold"),
        Content.styled(f"█ {percent(most)} %   · none seen   blank: not watched", "dim"),
    ]
    room = max(1, rows - len(lines) - 1)
    for row in weeks.rows[:room]:
        fault = lift.fault(row.fault)
        bars = "".join(_bar(share, most) for share in row.share[-columns:])
        lines.append(_row(fault.name if fault else row.fault, bars, _total(row.total)))
    if not weeks.rows:
        lines.append(Content("  no fault was seen"))
    watched = weeks.watched[-columns:]
    top = max(1, *watched)
    bars = "".join(_bar(n / top if n else None, 1) for n in watched)
    lines.append(_row("reps watched", bars, str(sum(weeks.watched))))
    return [line.truncate(width, ellipsis=True) for line in lines]


def _row(name: str, bars: str, total: str) -> Content:
    name = set_cell_size(name, NAME - 1)
    return Content.assemble(name, " ", (bars, "bold"), " ", total)


def _bar(share: float | None, most: float) -> str:
    if share is None:
        return " "
    return BARS[min(len(BARS) - 1, int(share / most * len(BARS)))] if share else "·"


def _total(total: FaultRate) -> str:
    return f"{total.faulty}: {percent(total.rate.rate)} % ({percent(total.rate.low)}-{percent(total.rate.high)})"


