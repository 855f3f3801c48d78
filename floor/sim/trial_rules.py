"""The policy of the trial that follows the gym's rules: the real ones, through the real decide and apply functions.

One lifter alone in the gym. The proposals, the next time, the easing after time
away, pain and the stages all come out of core; what is left out is what cannot
change a load when nobody else is there: the plates' stacks and the promises of
the queue. A test runs whole evenings through `decide` and gets the same loads.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import replace
from datetime import datetime, timedelta

from floor.core.apply import fold
from floor.core.cleanrows import asks_earlier, earlier_row
from floor.core.commands import (
    Arrive,
    ClearPain,
    CloseSession,
    JoinLifter,
    PlanNext,
    RampDone,
    Refusal,
    ReportPain,
    SetStage,
)
from floor.core.course import watched_cells
from floor.core.decide import decide
from floor.core.decide.afterwards import ramp_done
from floor.core.decide.arriving import arrive
from floor.core.decide.care import clear_pain, report_pain
from floor.core.decide.closing import close
from floor.core.decide.lifting import proposal_events
from floor.core.decide.people import set_stage
from floor.core.events import Event
from floor.core.evidence.formlimit import Cell
from floor.core.gym import Grade, Gym
from floor.core.limits import form_lifts
from floor.core.past import SetPast
from floor.core.proposals import STEP_UP
from floor.core.state import CleanRow, State, TheSet

WHO = 1
"""The number of the one lifter."""
SET_TAKES = timedelta(seconds=60)


def rep_at(ended: datetime, rep: int) -> datetime:
    """When a rep of a watched set was counted."""
    return ended - SET_TAKES + timedelta(seconds=10 + rep)


class TrialStuck(Exception):
    """The trial asked the rules for something they refuse: a mistake in the trial or in the rules."""


def joined(gym: Gym, youth: bool, loads: Mapping[str, int], now: datetime) -> State:
    """A gym with one lifter on its default programme; `loads` (hundredths) are those of someone trained before."""
    state = State(gym=gym)
    answers = [decide(state, JoinLifter(WHO, youth, gym.settings.programme), now)]
    state = fold(state, _done(answers[0]))
    entries = {e.lift: e for day in gym.programmes[gym.settings.programme].days for e in reversed(day)}
    for lift, load in loads.items():
        if lift in entries:
            answer = decide(state, PlanNext(WHO, lift, entries[lift].sets, entries[lift].reps, load), now)
            state = fold(state, _done(answer))
    return state


def _done(answer: tuple[Event, ...] | Refusal) -> tuple[Event, ...]:
    if isinstance(answer, Refusal):
        raise TrialStuck(answer.why)
    return answer


class ByTheRules:
    """The gym's rules. `said` counts the rules that spoke; loads come out of `coming`, sets go in by `done`.

    The simulated coach takes every proposal as it is made, and signs a stage off
    when a proposal says that it has been shown.
    """

    name = "the gym's rules"

    def __init__(self, gym: Gym, youth: bool, loads: Mapping[str, int], now: datetime) -> None:
        self.state = joined(gym, youth, loads, now)
        self.said: Counter[str] = Counter()
        self._record: list[SetPast] = []

    def arrive(self, now: datetime) -> None:
        """Open a session and check the lifter in."""
        number = self.state.sessions + 1
        self._fold((Event(kind="session_opened", happened=now, session=number),))
        station = next(iter(self.state.evening.stations))
        command = Arrive(WHO, station, seen=self.seen(now), rows=self.rows(now))
        answer = _done(arrive(self.state, command, now))
        self.said.update(f"arriving {e.rule}" for e in answer if e.kind == "next_planned")
        self._fold(answer)

    def seen(self, now: datetime) -> tuple[tuple[str, tuple[Cell, ...]], ...]:
        """What the record says of the lifter's form on the day of a check-in: what the journal would read."""
        lifter = self.state.lifters[WHO]
        lifts = form_lifts(self.state.gym, lifter) if lifter.sessions else ()
        return tuple((x, watched_cells((s for s in self._record if s.lift == x), now.date())) for x in lifts)

    def rows(self, now: datetime) -> tuple[tuple[str, CleanRow], ...]:
        """The clean reps that the evenings before a check-in ended with, where a stage asks for them."""
        gym, asks = self.state.gym, asks_earlier(self.state.gym, self.state.lifters[WHO])
        found = ((lift, earlier_row(gym.lifts[lift], no, self._record, now.date())) for lift, no in asks)
        return tuple((lift, row) for lift, row in found if row is not None)

    def coming(self, now: datetime) -> TheSet | None:
        """The next work set, None when the evening is done. Ramps are done alone on the way."""
        while True:
            coming = self.state.evening.here[WHO].pending()
            if coming is None or coming.role != "ramp":
                return coming
            self._fold(_done(ramp_done(self.state, RampDone(WHO), now)))

    def done(self, lifted: TheSet, now: datetime) -> None:
        """A set as the coach saw it: marks, faults and grade; what the rules make of it is taken."""
        self._fold(tuple(self._recorded(lifted, now)))
        proposed = proposal_events(self.state, WHO, lifted.no, now, None)
        self._fold(proposed)
        self.take(lifted, proposed, now)

    def _recorded(self, lifted: TheSet, now: datetime) -> Iterator[Event]:
        """A watched set as it is counted rep by rep, any other recorded whole; the bar's stack is left out."""
        here = self.state.evening.here[WHO]
        about = Event(
            kind="", happened=now, session=self.state.evening.session, station=here.station, lifter=WHO,
            lift=lifted.lift, set_no=lifted.no, role=lifted.role, load=lifted.load,
        )
        if lifted.grade is Grade.UNSEEN:
            yield replace(
                about, kind="set_recorded", reps=lifted.made, missed=lifted.missed, grade=lifted.grade, seconds=0
            )
            return
        bar = self.state.evening.stations[here.station].bar
        yield replace(
            about, kind="set_started", happened=now - SET_TAKES, reps=lifted.reps, bar=bar, stack=(),
            stage=lifted.stage,
        )
        for rep, made in enumerate(lifted.marks, 1):
            then = rep_at(now, rep)
            yield replace(about, kind="rep_made" if made else "rep_missed", happened=then, rep=rep)
            for fault in (f for r, f in lifted.faults if r == rep):
                yield replace(about, kind="fault_seen", happened=then, rep=rep, fault=fault)
        yield replace(about, kind="set_ended", reps=lifted.made, missed=lifted.missed, grade=lifted.grade)

    def take(self, lifted: TheSet, answer: tuple[Event, ...], now: datetime) -> None:
        """Put the set on record, count the rules that spoke, and sign off a stage that was shown."""
        self._record.append(
            SetPast(
                self.state.evening.session, now.date(), WHO, lifted.lift, lifted.no, lifted.role, lifted.load,
                lifted.made, lifted.missed, lifted.grade or Grade.UNSEEN, lifted.stage, lifted.faults,
            )
        )
        for event in answer:
            if event.kind != "set_proposed":
                continue
            self.said[f"tonight {event.rule}"] += 1
            if event.action == STEP_UP and event.stage is not None:
                self.sign(SetStage(WHO, lifted.lift, event.stage), now)

    def sign(self, signed: SetStage, now: datetime) -> None:
        """The coach signs a stage off."""
        self._fold(_done(set_stage(self.state, signed, now)))

    def pain(self, now: datetime) -> None:
        """Pain, between two sets: the lift is held until it is cleared."""
        self._fold(_done(report_pain(self.state, ReportPain(WHO), now)))

    def clear(self, now: datetime) -> None:
        """The clearance, recorded on the day of coming back, before the session is opened."""
        self._fold(_done(clear_pain(self.state, ClearPain(WHO), now)))

    def close(self, now: datetime) -> None:
        """Close the session and plan the next."""
        answer = _done(close(self.state, CloseSession(), now))
        self.said.update(f"next {e.rule}" for e in answer if e.kind == "next_planned")
        self._fold(answer)

    def load_of(self, lift: str) -> int | None:
        """What stands in the plan for a lift, in hundredths; None before the first time."""
        plan = self.state.lifters[WHO].plans.get(lift)
        return plan.load if plan else None

    def _fold(self, events: tuple[Event, ...]) -> None:
        self.state = fold(self.state, events)
