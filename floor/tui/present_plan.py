"""An outlook as the words of the floor: the hour, the offer at a station, where to stand. Pure.

Whatever the plan says is held against the state first: a set that is done, a
lifter who left, an offer that can't be taken are not spoken of.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

from textual.content import Content

from floor.core.offers import offer_at, why_not
from floor.core.outlook import ComingSet, Outlook, Trim, Watch
from floor.core.state import PLANNED, RUNNING, State
from floor.tui.present import minutes

EACH = 5
"""Seconds each of several lines is shown where there is room for one."""
GAP = "   "
FEW = 2
"""So many names are said beside a trim; more are counted."""
STRIP_WIDE, STRIP_TALL = 110, 34
"""Columns, and rows besides its own, from which the ten-minute strip is on the floor's screen."""

Part = str | tuple[str, str]


def hour(outlook: Outlook, zone: str, room: int) -> Content | None:
    """Where the finish stands, in the most words that go into `room` columns; None when nothing is planned or fits.

    "done 19:02, 4 min over · 8 trims it; strict rotation 19:11". Where there is
    little room the key goes before the time: "done +4 min · 8 trims it".
    """
    if outlook.finish is None:
        return None
    here = ZoneInfo(zone)
    done = f"done {outlook.finish.astimezone(here):%H:%M}"
    over = _over(outlook)
    late = f", {over} min over" if over > 0 else ""
    trims = " · 8 trims it" if over > 0 and outlook.trims else ""
    rotated = f"; strict rotation {outlook.rotation.astimezone(here):%H:%M}" if outlook.rotation else ""
    style = "bold $warning" if over > 0 else ""
    for words in ((late, trims, rotated), (late, trims), (late,)):
        if len(done) + sum(map(len, words)) <= room:
            return Content.assemble((done, "bold"), (words[0], style), "".join(words[1:]))
        if trims and words == (late, trims) and len(f"done +{over} min{trims}") <= room:
            return Content.assemble((f"done +{over} min", "bold $warning"), trims)
    return None


def _over(outlook: Outlook) -> int:
    """Whole minutes past the closing time, begun ones counted; 0 and less is in time."""
    if outlook.finish is None or outlook.closing is None:
        return 0
    return -int((outlook.closing - outlook.finish).total_seconds() // 60)


def offer(state: State, outlook: Outlook, station: int, names: Mapping[int, str], now: datetime) -> Content | None:
    """The offer at a station and the key that takes it; None when there is none that can be taken."""
    found = offer_at(outlook, station)
    if found is None or not state.open or why_not(state, outlook, station, now) is not None:
        return None
    name = names.get(found.lifter, f"lifter {found.lifter}")
    return Content.assemble(("9 takes the offer: ", "bold $accent"), found.why.replace("{lifter}", name))


def stand(state: State, outlook: Outlook, names: Mapping[int, str], now: datetime) -> Content | None:
    """Where to stand now and next, and at whom to look: "stand at 2 now (Mara, a new stage), then 1 in 0:50"."""
    coming = [watch for watch in outlook.watch if watch.end > now and _stands(state, watch.lifter, watch.set_no)]
    if not coming:
        return None
    first = coming[0]
    name = names.get(first.lifter, f"lifter {first.lifter}")
    parts: list[Part] = [
        ("stand at ", "bold"),
        (f"{_place(state, first.station)} {_when(first, now)}", "bold $accent"),
        f" ({name}, {first.why})",
    ]
    then = next((watch for watch in coming[1:] if watch.station != first.station), None)
    if then is not None:
        parts.append(f", then {_place(state, then.station)} {_when(then, now)}")
    return Content.assemble(*parts)


def _stands(state: State, lifter: int, set_no: int) -> bool:
    """Whether a set is still to be done, and may be."""
    present = state.evening.here.get(lifter)
    the_set = present.set(set_no) if present is not None and not present.gone else None
    return the_set is not None and the_set.status in (PLANNED, RUNNING) and not state.lifters[lifter].held


def coming(state: State, outlook: Outlook, now: datetime) -> tuple[ComingSet, ...]:
    """The turns of the plan that are still to come: what is done, left out or held is not spoken of."""
    turns = (t for t in outlook.turns if t.end > now and t.station in state.evening.stations)
    return tuple(t for t in turns if _stands(state, t.lifter, t.set_no))


def steady(now: datetime) -> datetime:
    """A time that stands for EACH seconds: a picture drawn from it is not painted anew every second."""
    return now - timedelta(seconds=now.timestamp() % EACH)


def _place(state: State, station: int) -> str:
    """A station in the fewest words that tell it from the others: its number where every name is one and a number."""
    names = [s.name.split() for s in state.gym.stations]
    name = state.gym.station(station).name
    alike = all(len(n) == 2 and n[0] == names[0][0] and n[1].isdigit() for n in names)
    return name.split()[1] if alike else name


def _when(watch: Watch, now: datetime) -> str:
    left = round((watch.start - now).total_seconds())
    return f"in {minutes(left)}" if left > 0 else "now"


def own(state: State, station: int) -> Content | None:
    """That the coach's own order is held at a station, and the key that ends it."""
    here = state.evening.stations.get(station)
    if here is None or not here.held:
        return None
    return Content.assemble(("own order held", "bold"), ": 0 goes back to the rising bar")


def plan_line(parts: Sequence[Content | None], width: int, now: datetime) -> Content | None:
    """One line of the parts there are, the first the most important: together if they fit, else in turn."""
    pages: list[Content] = []
    for part in parts:
        if part is None:
            continue
        if pages and pages[-1].cell_length + len(GAP) + part.cell_length <= width:
            pages[-1] = Content.assemble(pages[-1], GAP, part)
        else:
            pages.append(part)
    return pages[int(now.timestamp()) // EACH % len(pages)] if pages else None


def trim_words(state: State, trim: Trim, names: Mapping[int, str]) -> tuple[str, str]:
    """A trim's words, with names where they are few, and what it gains: ("one work set less: Jon", "5 min earlier")."""
    gain = f"{round(trim.seconds / 60)} min earlier"
    if trim.moves:
        to = [f"{names.get(who, f'lifter {who}')} to {state.gym.station(at).name}" for who, at in trim.moves]
        return ", ".join(to), gain
    who = list(dict.fromkeys(names.get(lifter, f"lifter {lifter}") for lifter, _ in trim.sets))
    return f"{trim.words}{': ' + ', '.join(who) if len(who) <= FEW else ''}", gain


def trims_title(outlook: Outlook, zone: str) -> str:
    """What the list of trims is headed by: where the finish stands."""
    over = _over(outlook)
    if outlook.finish is None:
        return "Leave something out?"
    late = f", {over} min over" if over > 0 else ", in time"
    return f"Done {outlook.finish.astimezone(ZoneInfo(zone)):%H:%M}{late}: leave something out?"
