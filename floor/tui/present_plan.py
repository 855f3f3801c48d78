"""An outlook as the words of the floor: the hour, the offer at a station, where to stand. Pure.

Whatever the plan says is held against the state first: a set that is done, a
lifter who left, an offer that can't be taken are not spoken of.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

from textual.content import Content

from floor.core.moments import clock_words
from floor.core.offers import offer_at, offered_order, why_not
from floor.core.outlook import ComingSet, Leaver, Outlook, Trim, Watch
from floor.core.state import PLANNED, RUNNING, State
from floor.tui.draw.strip import SPAN
from floor.tui.present import minutes

EACH = 5
"""Seconds each of several lines is shown where there is room for one."""
GAP = "   "
AFTER = 3
"""So many of those who come after are said beside an offer."""
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
    trims = " · 8 trims it" if over > 0 and any(trim.lifter is None for trim in outlook.trims) else ""
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
    """The offer at a station, the order it leads to and the key that takes it; None when none can be taken.

    "9 takes the offer: Noor before Hanna: 4 plates fewer; then Hanna, Sam".
    """
    found = offer_at(outlook, station)
    if found is None or not state.open or why_not(state, outlook, station, now) is not None:
        return None
    called = {who: names.get(who, f"lifter {who}") for who in (found.lifter, found.other, *found.order) if who}
    why = found.why.replace("{lifter}", called[found.lifter])
    if found.other is not None:
        why = why.replace("{other}", called[found.other])
    order = offered_order(state, found)
    after = [called[who] for who in order[order.index(found.lifter) + 1 :]] if found.lifter in order else []
    then = f"; then {', '.join(after[:AFTER])}" if after else ""
    return Content.assemble(("9 takes the offer: ", "bold $accent"), why, then)


def leavers(state: State, outlook: Outlook, names: Mapping[int, str], zone: str) -> Content | None:
    """Who would not be done by the time they must go, the first of them by name; None when all would."""
    here = ZoneInfo(zone)
    late = [one for one in outlook.leavers if _must_go(state, one)]
    if not late:
        return None
    first = late[0]
    name = names.get(first.lifter, f"lifter {first.lifter}")
    times = f", done {clock_words(first.done, here)}"
    if clock_words(first.planned, here) < clock_words(first.done, here):
        times += f", at best {clock_words(first.planned, here)}"
    more = f" · {len(late) - 1} more must go" if len(late) > 1 else ""
    trims = " · 8 trims it" if any(trim.lifter == first.lifter for trim in outlook.trims) else ""
    return Content.assemble((f"{name} must go {clock_words(first.leaves, here)}", "bold $warning"), times, trims, more)


def _must_go(state: State, one: Leaver) -> bool:
    """Whether that is so still: the same time to go, not gone, not held, something left to do."""
    present = state.evening.here.get(one.lifter)
    still = state.open and state.evening.leaving.get(one.lifter) == one.leaves
    there = present is None or (not present.gone and (present.running() or present.pending()) is not None)
    return still and there and not state.lifters[one.lifter].held


def plates(state: State, outlook: Outlook, names: Mapping[int, str], now: datetime) -> Content | None:
    """Who is the next to wait for plates that another bar has; None when nobody does within ten minutes."""
    waits = [turn for turn in coming(state, outlook, now) if turn.plates_from is not None and turn.start - now < SPAN]
    first = min(waits, key=lambda turn: turn.start, default=None)
    if first is None or first.plates_from is None:
        return None
    name = names.get(first.lifter, f"lifter {first.lifter}")
    here, there = _place(state, first.station), _place(state, first.plates_from)
    return Content.assemble((name, "bold"), f" at {here} waits {minutes(first.plates_wait)} for plates from {there}")


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


def share_words(outlook: Outlook) -> str:
    """How many of the sets worth seeing one coach can stand at, beside a strict rotation; "" without such sets."""
    if outlook.watched is None:
        return ""
    said = f"Of the sets to watch tonight you can stand at {outlook.watched:.0%}"
    beside = outlook.watched_rotation
    return f"{said}." if beside is None else f"{said} (strict rotation {beside:.0%})."


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


def trim_words(state: State, outlook: Outlook, trim: Trim, names: Mapping[int, str]) -> tuple[str, str, str]:
    """A trim's words, what it gains, and what it costs whom.

    ("one work set less", "5 min earlier", "3 sets: squat Jon, Mara 2"); what alone
    brings the evening inside the hour gains "24 min earlier: in time".
    """
    gain = f"{round(trim.seconds / 60)} min earlier"
    if trim.lifter is not None:
        return f"{names.get(trim.lifter, f'lifter {trim.lifter}')}: {trim.words}", gain, _lost(state, trim, names)
    if outlook.finish is not None and outlook.closing is not None:
        over = (outlook.finish - outlook.closing).total_seconds()
        gain += ": in time" if 0 < over <= trim.seconds else ""
    if trim.moves:
        to = [f"{names.get(who, f'lifter {who}')} to {state.gym.station(at).name}" for who, at in trim.moves]
        return trim.words, gain, f"no set lost: {', '.join(to)}"
    return trim.words, gain, _lost(state, trim, names)


def _lost(state: State, trim: Trim, names: Mapping[int, str]) -> str:
    """Who loses how many sets of what: "3 sets: squat Jon, Mara 2"."""
    by_lift: dict[str, dict[int, int]] = {}
    for lifter, no in trim.sets:
        present = state.evening.here.get(lifter)
        the_set = present.set(no) if present is not None else None
        if the_set is not None and the_set.lift in state.gym.lifts:
            lost = by_lift.setdefault(state.gym.lifts[the_set.lift].name, {})
            lost[lifter] = lost.get(lifter, 0) + 1
    parts = []
    for lift, lost in by_lift.items():
        each = [names.get(i, f"lifter {i}") + (f" {many}" if many > 1 else "") for i, many in lost.items()]
        parts.append(f"{lift} {', '.join(each)}")
    count = len(trim.sets)
    return f"{count} set{'s' * (count != 1)}" + (f": {'; '.join(parts)}" if parts else "")


def trims_title(outlook: Outlook, zone: str) -> str:
    """What the list of trims is headed by: where the finish stands."""
    over = _over(outlook)
    if outlook.finish is None:
        return "Leave something out?"
    late = f", {over} min over" if over > 0 else ", in time"
    return f"Done {outlook.finish.astimezone(ZoneInfo(zone)):%H:%M}{late}: leave something out?"
