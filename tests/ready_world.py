"""The demo gym's record added up in Python, event by event, with no SQL: what the ready questions must say."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta
from decimal import ROUND_HALF_UP, Decimal
from typing import Any
from zoneinfo import ZoneInfo

from floor.core.apply import apply
from floor.core.events import Event
from floor.core.gym import Gym
from floor.core.state import DONE, State, TheSet

ZONE = ZoneInfo("Europe/Berlin")
Rows = list[tuple[Any, ...]]


def kg(load: int | None) -> str | None:
    """Hundredths as an answer shows them."""
    return None if load is None else f"{Decimal(load) / 100:.2f}"


def day(moment: datetime) -> date:
    return moment.astimezone(ZONE).date()


@dataclass
class Lifted:
    """A set that was done: where, by whom, and what the state says of it."""

    session: int
    evening: date
    lifter: str
    set: TheSet

    @property
    def key(self) -> tuple[str, str]:
        return self.lifter, self.set.lift


@dataclass
class Times:
    """When one set was lifted, from its events; `order` as the bar left the place, then as it was recorded."""

    lift: str
    role: str
    start: datetime | None
    down: datetime | None
    order: tuple[datetime, int, int]


@dataclass
class World:
    """Everything that stands, replayed through the state machine."""

    gym: Gym
    names: dict[int, str]
    events: list[Event]
    state: State = field(default_factory=State)
    sets: list[Lifted] = field(default_factory=list)
    evenings: dict[int, date] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self.state = State(gym=self.gym)
        for event in self.events:
            if event.kind == "session_opened":
                self.evenings[event.session or 0] = day(event.happened)
            if event.kind == "session_closed":
                self._keep(event.session or 0)
            self.state = apply(self.state, event)

    def _keep(self, session: int) -> None:
        for present in self.state.evening.here.values():
            for done in present.sets:
                if done.status == DONE:
                    self.sets.append(Lifted(session, self.evenings[session], self.names[present.lifter], done))

    @property
    def recent(self) -> list[Lifted]:
        last = max(s.evening for s in self.sets)
        return [s for s in self.sets if s.evening > last - timedelta(days=7)]

    def plans(self) -> Iterator[tuple[str, Any]]:
        for lifter in self.state.lifters.values():
            for plan in lifter.plans.values():
                yield self.names[lifter.id], plan

    def times(self) -> dict[tuple[int, int], list[Times]]:
        """The sets of each lifter's evening in the order they were lifted."""
        told: dict[tuple[int, int, int], dict[str, Any]] = defaultdict(dict)
        planned: dict[tuple[int, int, int], Event] = {}
        for seq, event in enumerate(self.events):
            key = (event.session or 0, event.lifter or 0, event.set_no or 0)
            of = told[key]
            if event.kind == "set_planned":
                planned[key] = event
            elif event.kind == "set_started":
                of |= {"start": event.happened, "seq": of.get("seq", seq), "lift": event.lift}
            elif event.kind in ("rep_made", "rep_missed", "reps_made"):
                of["last"] = event.happened
            elif event.kind == "set_ended":
                of |= {"ended": event.happened, "seq": of.get("seq", seq), "lift": event.lift}
            elif event.kind == "set_recorded":
                down = event.happened - timedelta(seconds=event.seconds or 0)
                of |= {"recorded": down, "seq": of.get("seq", seq), "lift": event.lift}
            elif event.kind == "ramp_done":
                for other, plan in planned.items():
                    ramp = other[:2] == key[:2] and plan.lift == event.lift and plan.role == "ramp"
                    if ramp and "seq" not in told[other]:
                        told[other] |= {"ramp": event.happened, "seq": seq, "lift": plan.lift}
        out: dict[tuple[int, int], list[Times]] = defaultdict(list)
        for key, of in told.items():
            if "seq" in of:
                down = of.get("recorded") or of.get("last") or of.get("ended")
                began = of.get("start") or of.get("recorded") or of.get("ended") or of["ramp"]
                order = (began, of["seq"], key[2])
                out[key[:2]].append(Times(of["lift"], planned[key].role or "", of.get("start"), down, order))
        for rows in out.values():
            rows.sort(key=lambda t: t.order)
        return out


def called(w: World, lift: str, fault: str) -> str:
    """A fault's name in the gym's lifts."""
    return next(f.name for f in w.gym.lifts[lift].faults if f.id == fault)


def missed(w: World) -> Rows:
    made: Counter[Any] = Counter()
    gone: Counter[Any] = Counter()
    for s in w.recent:
        if s.set.missed:
            made[*s.key, s.evening, s.set.load] += s.set.made
            gone[*s.key, s.evening, s.set.load] += s.set.missed
    return [(a, b, str(c), kg(d), made[a, b, c, d], n) for (a, b, c, d), n in gone.items()]


def by_stage(w: World) -> Rows:
    seen: dict[Any, list[str]] = defaultdict(list)
    for s in w.sets:
        for _, fault in s.set.faults:
            seen[s.set.lift, s.set.stage, called(w, s.set.lift, fault)].append(s.lifter)
    return [(*key, len(who), len(set(who))) for key, who in seen.items()]


def against_load(w: World) -> Rows:
    reps: Counter[Any] = Counter()
    bad: Counter[Any] = Counter()
    for s in w.sets:
        if s.set.grade != "unseen":
            key = (s.set.lift, s.set.load // 1000 * 10)
            reps[key] += len(s.set.marks)
            bad[key] += len({rep for rep, _ in s.set.faults if 1 <= rep <= len(s.set.marks)})
    return [(*key, n, bad[key], per_cent(bad[key], n)) for key, n in reps.items() if n >= 10]


def per_cent(part: int, whole: int) -> float:
    return float((Decimal(100 * part) / whole).quantize(Decimal("0.1"), ROUND_HALF_UP))


def ease_back(w: World) -> Rows:
    when = {(e.lifter, e.lift): day(e.happened) for e in w.events if e.kind == "next_planned"}
    numbers = {name: number for number, name in w.names.items()}
    return [
        (name, p.lift, kg(p.load), p.repeats, p.rule, str(when[numbers[name], p.lift]))
        for name, p in w.plans()
        if p.repeats >= 2
    ]


def same_load(w: World) -> Rows:
    last = max(s.evening for s in w.sets)
    days: dict[tuple[str, str], dict[date, tuple[int, int]]] = defaultdict(dict)
    for s in w.sets:
        if s.set.made and s.set.role != "ramp" and s.evening > last - timedelta(days=84):
            top = (s.set.load, s.set.made)
            days[s.key][s.evening] = max(top, days[s.key].get(s.evening, top))
    rows: Rows = []
    for key, tops in days.items():
        evenings = sorted(tops)
        load = max(tops[e][0] for e in evenings[-3:])
        signs = "".join("+" if tops[e][0] > load else "-" if tops[e][0] < load else "=" for e in evenings)
        stood = signs.rpartition("+")[2].rpartition("---")[2]
        reps = [tops[e][1] for e in evenings[-len(stood) :] if tops[e][0] == load]
        count = len(reps) - reps.index(max(reps))
        if count >= 4:
            rows.append((*key, kg(load), str(evenings[-1]), count))
    return rows


def rests(w: World) -> Rows:
    taken: dict[Any, list[int]] = defaultdict(list)
    for rows in w.times().values():
        for before, after in zip(rows, rows[1:], strict=False):
            if before.down is not None and after.start is not None:
                lift = w.gym.lifts[before.lift]
                owed = lift.ramp_rest if before.role == "ramp" else lift.rest
                seconds = int((after.start - before.down).total_seconds())
                taken[after.lift, owed].append(seconds)
    return [
        (*key, len(t), middle(t), sum(x < key[1] for x in t), sum(x > 2 * key[1] for x in t))
        for key, t in taken.items()
    ]


def middle(values: list[int]) -> float:
    ranked = sorted(values)
    half = len(ranked) // 2
    return float(ranked[half]) if len(ranked) % 2 else (ranked[half - 1] + ranked[half]) / 2


def moved(w: World) -> Rows:
    load: Counter[Any] = Counter()
    reps: Counter[Any] = Counter()
    for s in w.sets:
        key = (str(s.evening - timedelta(days=s.evening.weekday())), s.lifter)
        load[key] += s.set.load * s.set.made
        reps[key] += s.set.made
    return [(*key, reps[key], kg(n)) for key, n in load.items()]


def estimates(w: World) -> Rows:
    best: dict[tuple[str, str], float] = {}
    spoke: set[tuple[str, str]] = set()
    for s in w.sets:
        if not s.set.made or s.set.role == "ramp":
            continue
        speaks = s.set.made <= 10 and not s.set.missed and s.set.grade not in ("rough", "broken")
        more = s.set.made / 30 if speaks and s.set.made > 1 else 0
        best[s.key] = max(best.get(s.key, 0), s.set.load / 100 * (1 + more))
        spoke |= {s.key} if speaks else set()
    return [(*key, value) for key, value in best.items() if key in spoke]


def not_come(w: World) -> Rows:
    came: dict[int, set[int]] = defaultdict(set)
    for e in w.events:
        if e.kind == "lifter_arrived":
            came[e.lifter or 0].add(e.session or 0)
    last = max(s.evening for s in w.sets)
    rows: Rows = []
    for lifter in w.state.lifters.values():
        days = [w.evenings[n] for n in came[lifter.id]]
        if not days or max(days) <= last - timedelta(days=7):
            latest = max(days, default=None)
            gone = None if latest is None else (last - latest).days
            shown = None if latest is None else str(latest)
            rows.append((w.names[lifter.id], shown, len(days), lifter.programme or None, gone))
    return rows


def cues(w: World) -> Rows:
    last = max(s.evening for s in w.sets)
    first: dict[Any, tuple[date, int, int]] = {}
    for e in w.events:
        if e.kind == "cue_set" and e.fault and w.evenings[e.session or 0] > last - timedelta(days=84):
            place = (w.evenings[e.session or 0], e.session or 0, e.set_no or 0)
            key = (w.names[e.lifter or 0], e.lift, e.fault)
            first[key] = min(first.get(key, place), place)
    counts: dict[Any, list[int]] = defaultdict(lambda: [0, 0, 0, 0])
    for (name, lift, fault), place in first.items():
        for s in w.sets:
            if s.key == (name, lift) and s.set.grade != "unseen" and abs((s.evening - place[0]).days) <= 28:
                after = 2 * ((s.evening, s.session, s.set.no) > place)
                reps = len(s.set.marks)
                counts[lift, fault][after] += reps
                counts[lift, fault][after + 1] += len({r for r, f in s.set.faults if f == fault and 1 <= r <= reps})
    return [(lift, called(w, lift, fault), *n) for (lift, fault), n in counts.items() if n[0] or n[2]]


def overruled(w: World) -> Rows:
    open_: dict[Any, Event] = {}
    said: dict[int, tuple[Event, Event]] = {}
    for e in w.events:
        key = (e.session, e.lifter, e.lift)
        if e.kind == "set_proposed":
            open_[key] = e
        elif e.kind == "proposal_overruled":
            said[id(open_[key])] = (open_[key], e)
    return [
        (str(w.evenings[p.session or 0]), w.names[p.lifter or 0], p.lift, p.rule, p.action, kg(p.load), o.action,
         kg(o.load))
        for p, o in said.values()
    ]  # fmt: skip


def plates(w: World) -> Rows:
    on: dict[Any, tuple[str, ...]] = {}
    hands: Counter[int] = Counter()
    for e in w.events:
        if e.kind in ("set_started", "set_recorded", "bar_found") and e.stack is not None:
            key = (e.session, e.station, e.bar)
            off, put = list(on.get(key, ())), list(e.stack)
            while off and put and off[0] == put[0]:
                off.pop(0), put.pop(0)
            if e.kind != "bar_found":
                hands[e.session or 0] += 2 * (len(off) + len(put))
            on[key] = e.stack
    count = Counter(s.session for s in w.sets)
    starts: dict[int, list[datetime]] = defaultdict(list)
    downs: dict[int, list[datetime]] = defaultdict(list)
    for (session, _), rows in w.times().items():
        starts[session] += [t.start for t in rows if t.start]
        downs[session] += [t.down for t in rows if t.down]
    return [
        (n, str(w.evenings[n]), count[n], hands[n], minute(max(downs[n])) - minute(min(starts[n]))) for n in count
    ]


def minute(moment: datetime) -> int:
    return int(moment.timestamp()) // 60


def first_tries(w: World) -> Rows:
    most: dict[tuple[str, str], int] = {}
    for s in w.sets:
        if s.set.made:
            most[s.key] = max(most.get(s.key, 0), s.set.load)
    return [
        (name, p.lift, kg(p.load), p.reps, kg(most.get((name, p.lift))))
        for name, p in w.plans()
        if p.load > most.get((name, p.lift), 0)
    ]


def watched(w: World) -> Rows:
    all_ = [s for s in w.recent if s.set.role != "ramp"]
    count = Counter(s.lifter for s in all_)
    seen = Counter(s.lifter for s in all_ if s.set.grade != "unseen")
    return [(name, n, seen[name], per_cent(seen[name], n)) for name, n in count.items()]


def grades(w: World) -> Rows:
    found: dict[date, Counter[str]] = defaultdict(Counter)
    for s in w.sets:
        if s.set.role != "ramp":
            found[s.evening][str(s.set.grade)] += 1
    return [(str(d), *(c[g] for g in ("sharp", "sound", "rough", "broken"))) for d, c in found.items()]


MUST = {
    "who missed reps": missed, "faults by lift and stage": by_stage, "fault rate against load": against_load,
    "who is due an ease-back": ease_back, "same load, evening after evening": same_load,
    "rest planned against taken": rests, "load moved per lifter": moved,
    "best estimated maximum": estimates, "who has not come lately": not_come, "which cue worked": cues,
    "overruled proposals": overruled, "plates and minutes": plates, "first tries next time": first_tries,
    "what nobody watched": watched, "grades by evening": grades,
}  # fmt: skip
"""For each ready question by name, its rows in any order."""
