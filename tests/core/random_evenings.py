"""Random evenings: wishes made definite by what there is, mixed with commands that may make no sense at all."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta

from hypothesis import strategies as st

from floor.core.apply import apply
from floor.core.commands import (
    AllMade,
    Arrive,
    BarFound,
    ChangeLoad,
    ClearPain,
    CloseSession,
    Command,
    CountRep,
    DrillFault,
    DrillRep,
    EndDrill,
    EndSet,
    ExpectLate,
    FollowBar,
    GiveProgramme,
    HoldOrder,
    Leave,
    Move,
    NoteIncident,
    OpenSession,
    Overrule,
    Pass,
    PlanNext,
    PutRight,
    RampDone,
    RecordWhole,
    Refusal,
    ReportPain,
    ResumeAll,
    SeeFault,
    SetHeights,
    SetLeaving,
    SetStage,
    StartDrill,
    StartSet,
    StopAll,
    Swap,
    SwapLifts,
)
from floor.core.decide import decide
from floor.core.events import Event, check
from floor.core.gym import Grade
from floor.core.state import DONE, PLANNED, Present, State
from tests.core.scenes import PROGRAMMES, Scene, belongs, gym

LIFTS = ("squat", "press", "bench", "deadlift", "clean")
lifters, stations = st.integers(1, 5), st.integers(1, 4)
grades = st.sampled_from(Grade)
loads = st.integers(4, 80).map(lambda n: n * 250)
letters = st.sampled_from("abcdefhklorsuw")
lift_ids = st.sampled_from(LIFTS)
seen = st.tuples(st.integers(0, 3), st.sampled_from(sorted({f.id for x in gym().lifts.values() for f in x.faults})))
some_seen = st.lists(seen, max_size=2).map(tuple)

SINGLE: st.SearchStrategy[Command] = st.one_of(
    st.builds(StartSet, stations),
    st.builds(CountRep, stations, st.booleans()),
    st.builds(AllMade, stations),
    st.builds(SeeFault, stations, letters),
    st.builds(EndSet, stations, st.none() | grades),
    st.builds(RecordWhole, lifters, st.integers(1, 8), st.integers(0, 6), st.integers(0, 2), grades,
              st.none() | loads, some_seen, st.integers(0, 300)),
    st.builds(PutRight, lifters, st.integers(1, 8), st.none() | st.integers(0, 6), st.none() | st.integers(0, 2),
              st.none() | loads, st.none() | grades, some_seen, some_seen),
    st.builds(RampDone, lifters),
    st.builds(Pass, stations),
    st.builds(HoldOrder, stations),
    st.builds(FollowBar, stations),
    st.builds(Swap, stations, lifters, lifters),
    st.builds(SwapLifts, lifters),
    st.builds(ChangeLoad, lifters, loads),
    st.builds(BarFound, stations, loads),
    st.builds(Overrule, lifters, lift_ids, st.sampled_from(("add", "keep", "lighten"))),
    st.builds(Arrive, lifters, stations),
    st.builds(Move, lifters, stations),
    st.builds(Leave, lifters),
    st.builds(ReportPain, lifters),
    st.builds(ClearPain, lifters),
    st.sampled_from([StopAll(), ResumeAll(), DrillRep(), EndDrill(), CloseSession(), OpenSession()]),
    st.builds(StartDrill, lift_ids, st.integers(1, 11)),
    st.builds(DrillFault, lifters, letters),
    st.builds(ExpectLate, lifters, st.sampled_from((60, 900, 3600))),
    st.builds(SetLeaving, lifters, st.sampled_from((None, 60, 900, 2400))),
    st.builds(NoteIncident, lifters),
    st.builds(GiveProgramme, lifters, st.sampled_from(sorted(PROGRAMMES))),
    st.builds(PlanNext, lifters, lift_ids, st.integers(1, 4), st.integers(1, 6), loads),
    st.builds(SetStage, lifters, lift_ids, st.integers(1, 11)),
    st.builds(SetHeights, lifters, lift_ids, st.integers(0, 9), st.none() | st.integers(0, 9)),
)  # fmt: skip


@dataclass(frozen=True)
class Wish:
    """What somebody does next, made definite by what there is: the a-th lifter, the b-th set, and so on."""

    what: str
    a: int
    b: int
    made: int
    missed: int
    grade: Grade | None
    fault: int | None
    load: int | None

    def commands(self, state: State) -> list[Command]:
        """The commands, none when there is nothing to do it to."""
        evening = state.evening
        here = list(evening.here.values())
        if not here:
            return []
        present = here[self.a % len(here)]
        if self.what == "lift":
            return self._lift(state)
        if self.what == "overrule":
            standing = list(evening.proposals)
            if not standing:
                return []
            lifter, lift = standing[self.a % len(standing)]
            return [Overrule(lifter, lift, ("add", "keep", "lighten")[self.b % 3])]
        if self.what == "swap":
            there = [p.lifter for p in here if p.station == present.station]
            return [Swap(present.station, there[0], there[-1])]
        if self.what == "drill":
            coming = present.pending()
            lift = gym().lifts[coming.lift if coming else "squat"]
            letter = lift.faults[(self.fault or 0) % len(lift.faults)].letter
            return [StartDrill(lift.id, 1), DrillRep(), DrillFault(present.lifter, letter), EndDrill()]
        if self.what == "sign":
            coming = present.pending()
            return [SetStage(present.lifter, coming.lift, self.b + 1)] if coming else []
        if self.what == "twice":
            return self._twice(present)
        if self.what == "hurry":
            return self._hurry(state)
        if self.what == "lifts":
            return [SwapLifts(present.lifter)]
        if self.what == "bar":
            return [BarFound(present.station, 2000 + self.b * 500)]
        if self.what == "pain":
            return [ReportPain(present.lifter)]
        if self.what == "clear":
            return [ClearPain(p.lifter) for p in here if state.lifters[p.lifter].held][:1]
        some = [s for s in present.sets if (s.status == DONE) == (self.what == "right")]
        if not some:
            return []
        s = some[min(self.b, len(some) - 1)]
        marked = self._faults(s.lift, self.made + self.missed)
        if self.what == "record":
            return [RecordWhole(present.lifter, s.no, self.made, self.missed, self.grade or Grade.SHARP, self.load,
                                marked, self.b * 20)]  # fmt: skip
        if self.b % 2:
            return [PutRight(present.lifter, s.no, withdraw=s.faults, grade=self.grade)]
        return [PutRight(present.lifter, s.no, self.made, self.missed, self.load, self.grade, marked)]

    def _twice(self, present: Present) -> list[Command]:
        """The same fault in two sets running, one that the stage sends back for."""
        work = [s for s in present.sets if s.status == PLANNED and s.role != "ramp"]
        both = [s for s in work if s.lift == work[0].lift][:2]
        stages = gym().lifts[both[0].lift].stages if both else ()
        stage = stages[min(self.b + 1, len(stages) - 2)] if stages else None
        if stage is None or not stage.back:
            return []
        fault = stage.back[self.a % len(stage.back)][0]
        signed = SetStage(present.lifter, both[0].lift, stage.no)
        seen = ((1, fault),)
        return [signed, *(RecordWhole(present.lifter, s.no, s.reps, 0, Grade.SOUND, faults=seen) for s in both)]

    def _hurry(self, state: State) -> list[Command]:
        """A set, and the same lifter again at once, a rep short."""
        up = [s for s in state.evening.stations.values() if s.up is not None]
        if not up:
            return []
        station = up[self.a % len(up)]
        others = [p.lifter for p in state.evening.here.values() if p.station == station.id and p.lifter != station.up]
        swap = [Swap(station.id, station.up or 0, other) for other in others[:1]]
        first: list[Command] = [StartSet(station.id), AllMade(station.id), EndSet(station.id, Grade.SHARP)]
        again = [StartSet(station.id), *[CountRep(station.id, True)] * 2, CountRep(station.id, False)]
        return [*first, *swap, *again, EndSet(station.id, Grade.SHARP)]

    def _faults(self, lift: str, rep: int) -> tuple[tuple[int, str], ...]:
        faults = gym().lifts[lift].faults
        return () if self.fault is None else ((rep, faults[self.fault % len(faults)].id),)

    def _lift(self, state: State) -> list[Command]:
        up = [s for s in state.evening.stations.values() if s.up is not None]
        if not up:
            return []
        station = up[self.a % len(up)]
        present = state.evening.here[station.up or 0]
        coming = present.running() or present.pending()
        if coming is None:
            return []
        reps: list[Command] = [AllMade(station.id)]
        if self.missed:
            reps = [CountRep(station.id, True)] * self.made + [CountRep(station.id, False)] * self.missed
        faults = gym().lifts[coming.lift].faults
        seen = [] if self.fault is None else [SeeFault(station.id, faults[self.fault % len(faults)].letter)]
        return [StartSet(station.id), *reps, *seen, EndSet(station.id, self.grade)]


WHAT = ("lift", "lift", "lift", "lift", "record", "right", "overrule", "swap", "lifts", "bar", "pain", "clear",
        "drill", "sign", "twice", "hurry")  # fmt: skip
WISHES = st.builds(
    Wish, st.sampled_from(WHAT), st.integers(0, 7), st.integers(0, 5), st.integers(0, 6), st.integers(0, 2),
    st.none() | grades, st.none() | st.integers(0, 8), st.none() | loads,
)  # fmt: skip
MOSTLY_SENSIBLE = st.integers(0, 3).flatmap(lambda kind: WISHES if kind else SINGLE)
COMMANDS = st.lists(MOSTLY_SENSIBLE, min_size=8, max_size=30)


START = Scene().given(
    belongs(1, "squat", squat=60),
    belongs(2, "squat-bench", youth=True, squat=40, bench=35),
    belongs(3, "clean"),
    belongs(4, "everything", deadlift=100, squat=100, clean=50),
    belongs(5, ""),
    OpenSession(), Arrive(1, 1), Arrive(2, 1), Arrive(3, 2), Arrive(4, 2),
)  # fmt: skip


@dataclass(frozen=True)
class Step:
    """A command that stood: the state before it, its events, the state after."""

    before: State
    command: Command
    events: tuple[Event, ...]
    after: State


def play(wishes: Sequence[Command | Wish], state: State = START.state, now: datetime = START.now) -> list[Step]:
    """Every command that was not refused; each is decided twice, checked and applied."""
    steps: list[Step] = []
    for wish in wishes:
        for command in [wish] if isinstance(wish, Command) else wish.commands(state):
            now += timedelta(seconds=20)
            answer = decide(state, command, now)
            assert decide(state, command, now) == answer
            if isinstance(answer, Refusal) and answer.unless_sure:
                assert answer.why.endswith("?"), answer.why
                command = replace(command, sure=True)
                answer = decide(state, command, now)
                assert not (isinstance(answer, Refusal) and answer.unless_sure), answer
            if isinstance(answer, Refusal):
                assert answer.why.endswith("."), answer.why
                continue
            assert answer, command
            after = state
            for event in answer:
                check(event)
                after = apply(after, event)
            steps.append(Step(state, command, answer, after))
            state = after
    return steps
