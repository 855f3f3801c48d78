"""The trial's shorter way through the rules gives the loads that decide and apply give, evening by evening."""

from __future__ import annotations

from datetime import datetime, timedelta
from functools import lru_cache

import pytest

from floor.core.apply import fold
from floor.core.commands import (
    Arrive,
    ClearPain,
    CloseSession,
    Command,
    CountRep,
    EndSet,
    OpenSession,
    RampDone,
    RecordWhole,
    Refusal,
    ReportPain,
    SeeFault,
    SetStage,
    StartSet,
)
from floor.core.decide import decide
from floor.core.events import Event
from floor.core.gym import Grade, Gym
from floor.core.state import TheSet
from floor.sim.trial import the_gym
from floor.sim.trial_rules import SET_TAKES, WHO, ByTheRules, TrialStuck, rep_at
from floor.sim.trial_run import START, LifterRun
from floor.sim.trial_table import FROZEN, Assumptions
from tests.sim.test_trial import HURTFUL

Handed = list[tuple[str, str, int, int | None]]


@lru_cache(maxsize=1)
def gym() -> Gym:
    return the_gym()


class Handing:
    """Keeps the lift, role, load and stage of every set handed out."""

    handed: Handed

    def note(self, coming: TheSet | None) -> TheSet | None:
        if coming is not None:
            self.handed.append((coming.lift, coming.role, coming.load, coming.stage))
        return coming


class Short(Handing, ByTheRules):
    """The trial's own way."""

    def coming(self, now: datetime) -> TheSet | None:
        return self.note(super().coming(now))


class ThroughDecide(Handing, ByTheRules):
    """Every step a command of the evening, as a coach's keys would make it."""

    def do(self, command: Command, now: datetime) -> tuple[Event, ...]:
        answer = decide(self.state, command, now)
        assert not isinstance(answer, Refusal), f"{command}: {answer.why}"
        self.state = fold(self.state, answer)
        return answer

    def arrive(self, now: datetime) -> None:
        self.do(OpenSession(), now)
        self.do(Arrive(WHO, next(iter(self.state.evening.stations)), seen=self.seen(now), rows=self.rows(now)), now)

    def coming(self, now: datetime) -> TheSet | None:
        while (coming := self.state.evening.here[WHO].pending()) is not None and coming.role == "ramp":
            self.do(RampDone(WHO), now)
        return self.note(coming)

    def done(self, lifted: TheSet, now: datetime) -> None:
        if lifted.grade is Grade.UNSEEN:
            whole = RecordWhole(WHO, lifted.no, lifted.made, lifted.missed, Grade.UNSEEN)
            self.take(lifted, self.do(whole, now), now)
            return
        station = self.state.evening.here[WHO].station
        self.do(StartSet(station), now - SET_TAKES)
        for rep, made in enumerate(lifted.marks, 1):
            self.do(CountRep(station, made, sure=True), rep_at(now, rep))  # nobody stops a set of the trial
            for fault in (f for r, f in lifted.faults if r == rep):
                seen = gym().lifts[lifted.lift].fault(fault)
                assert seen is not None
                self.do(SeeFault(station, seen.letter), rep_at(now, rep))
        self.take(lifted, self.do(EndSet(station, lifted.grade), now), now)

    def sign(self, signed: SetStage, now: datetime) -> None:
        self.do(signed, now)

    def pain(self, now: datetime) -> None:
        self.do(ReportPain(WHO), now)

    def clear(self, now: datetime) -> None:
        self.do(ClearPain(WHO), now)

    def close(self, now: datetime) -> None:
        self.do(CloseSession(), now)


def handed(kind: type[Short] | type[ThroughDecide], table: Assumptions, lifter: int, weeks: int) -> Handed:
    run = LifterRun(gym(), table, 5, lifter, ByTheRules.name, weeks)
    policy = kind(gym(), run.body.youth, run.first, START - timedelta(days=1))
    policy.handed = []
    run.policy = policy
    run.run()
    return policy.handed


@pytest.mark.parametrize("lifter", range(5))
@pytest.mark.parametrize("table", [FROZEN, HURTFUL], ids=["as frozen", "often in pain"])
def test_the_short_way_and_decide_hand_out_the_same_loads(table: Assumptions, lifter: int) -> None:
    short = handed(Short, table, lifter, 5)
    assert short == handed(ThroughDecide, table, lifter, 5)
    assert len(short) > 20 and len({load for _, _, load, _ in short}) > 3


def test_what_the_rules_refuse_stops_the_trial() -> None:
    policy = ByTheRules(gym(), False, {}, START)
    with pytest.raises(TrialStuck):
        policy.clear(START)
