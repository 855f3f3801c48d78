"""What happens at one station of a simulated evening: ramps, watched sets, sets nobody saw, turns passed."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta

from floor.core.commands import (
    AllMade,
    ChangeLoad,
    CountRep,
    EndSet,
    Leave,
    Overrule,
    Pass,
    PutRight,
    RampDone,
    RecordWhole,
    ReportPain,
    SeeFault,
    StartSet,
)
from floor.core.gym import Grade
from floor.core.loading import loading
from floor.core.proposals import ADD, KEEP
from floor.core.queue import promised_line
from floor.core.rests import ready_at
from floor.core.state import DONE, Present, TheSet
from floor.core.tonight import ends_here
from floor.sim import coach
from floor.sim.lifters import Happened, cued, lift_set
from floor.sim.room import Room, Routine

TOO_HEAVY, LIGHT_ENOUGH = 0.88, 0.68
"""A first set over this share of the hidden strength is made lighter by hand, to the second. Invented."""
PASSES, OVERRULES, DOUBLE, TIRED, SLIP = 0.3, 0.03, 0.15, 0.015, 0.02
"""How often: turn passed, proposal overruled, two sets recorded in a row, tired lifter, wrong count. Invented."""


@dataclass(frozen=True, slots=True)
class LateSet:
    """A set that was lifted and is not recorded yet; `down` is when the bar was put down."""

    lifter: int
    set: TheSet
    happened: Happened
    down: datetime


class StationWork:
    """The routine of one station, until everybody is done or it is too late to start a set."""

    def __init__(self, room: Room, station: int) -> None:
        self.room = room
        self.station = station
        self.bar_free = room.now

    def run(self) -> Routine:
        """Wait for whoever is up, and see them through their ramps and sets."""
        room = self.room
        while room.now < room.last_start:
            up = room.state.evening.stations[self.station].up
            if up is None:
                if not room.to_come and not self._anyone_left():
                    return
                yield room.later(15, 30)
                continue
            present = room.state.evening.here[up]
            coming = present.pending()
            assert coming is not None
            if coming.role == "ramp":
                yield from self._ramp(up, coming)
                continue
            start = self._start(present, coming)
            if start > room.now:
                if not self._lets_pass(start):
                    yield start
                continue
            if not self._by_hand(up, coming):
                yield from self._set(present, coming)

    def _anyone_left(self) -> bool:
        state = self.room.state
        return any(
            p.pending() is not None and not p.gone and not state.lifters[p.lifter].held
            for p in state.evening.here.values()
        )

    def _start(self, present: Present, coming: TheSet) -> datetime:
        """The earliest start: rest over, the bar changed, the coach there for those who need one."""
        room = self.room
        moves = loading(room.state, self.station, coming, present.lifter).change.moves
        start = self.bar_free + timedelta(seconds=18 + 5 * moves)
        ready = ready_at(room.state.gym, present)
        if ready is not None:
            start = max(start, ready)
        if coach.must_watch(room.state.lifters[present.lifter]) and not room.coach_free:
            start = max(start, room.now + timedelta(seconds=10))
        return start

    def _lets_pass(self, start: datetime) -> bool:
        """Whoever is up still rests long and the next one does not: now and then the turn is passed."""
        room = self.room
        turns = promised_line(room.state, self.station)
        if len(turns) < 2 or start < room.now + timedelta(seconds=60) or room.rng.random() > PASSES:
            return False
        return (turns[1].ready is None or turns[1].ready <= room.now) and room.attempt(Pass(self.station))

    def _ramp(self, lifter: int, coming: TheSet) -> Routine:
        """The ramp sets of a lift, by the lifter alone; a newcomer's are sometimes watched."""
        room = self.room
        present = room.state.evening.here[lifter]
        if room.state.lifters[lifter].sessions <= 3 and room.coach_free and room.rng.random() < 0.5:
            start = self._start(present, coming)
            if start > room.now:
                yield start
            else:
                yield from self._watched(lifter, coming)
            return
        left = sum(s.role == "ramp" and s.lift == coming.lift for s in present.sets)
        yield room.later(25 * left, 45 * left)
        room.attempt(RampDone(lifter))

    def _by_hand(self, lifter: int, coming: TheSet) -> bool:
        """Before the first set of a lift the coach may make it lighter: plainly too much, or a tired lifter."""
        room = self.room
        if (lifter, coming.lift) in room.tried:
            return False
        room.tried.add((lifter, coming.lift))
        strength = room.bodies[lifter].strength[coming.lift]
        if coming.load > TOO_HEAVY * strength:
            return room.attempt(ChangeLoad(lifter, int(strength * LIGHT_ENOUGH)))
        return room.rng.random() < TIRED and room.attempt(ChangeLoad(lifter, coming.load * 95 // 100))

    def _set(self, present: Present, coming: TheSet) -> Routine:
        room = self.room
        lifter = room.state.lifters[present.lifter]
        hurts = lifter.id in room.pain and room.pain[lifter.id] <= room.now
        if hurts and not room.coach_free:
            yield room.later(10, 20)
        elif hurts:
            yield from self._hurting(lifter.id)
        elif room.coach_free and coach.wants_to_watch(lifter, coming, room.rng):
            yield from self._watched(lifter.id, coming)
        else:
            yield from self._unseen(lifter.id, coming)

    def _lift(self, lifter: int, coming: TheSet) -> Happened:
        room = self.room
        present = room.state.evening.here[lifter]
        tired = sum(s.status == DONE and s.role != "ramp" for s in present.sets)
        load = loading(room.state, self.station, coming, lifter).load
        lift = room.state.gym.lifts[coming.lift]
        return lift_set(room.bodies[lifter], lift, load, coming.reps, tired, room.rng)

    def _take_the_bar(self, lifter: int) -> None:
        self.room.must(StartSet(self.station, sure=True))
        self.room.busy.add(lifter)
        self.room.watching = True

    def _leave_the_bar(self, lifter: int, seconds: int) -> None:
        """The bar is free, and the coach too after that many seconds."""
        self.room.busy.discard(lifter)
        self.room.watching = False
        self.bar_free = self.room.now
        self.room.coach_back = self.room.now + timedelta(seconds=seconds)

    def _hurting(self, lifter: int) -> Routine:
        """A set that ends in pain after its first rep; the lifter goes home."""
        room = self.room
        self._take_the_bar(lifter)
        yield room.later(5, 9)
        room.must(CountRep(self.station, True))
        yield room.later(3, 5)
        del room.pain[lifter]
        room.must(ReportPain(lifter))
        self._leave_the_bar(lifter, 40)
        yield room.later(60, 120)
        room.must(Leave(lifter))

    def _watched(self, lifter: int, coming: TheSet) -> Routine:
        room = self.room
        lift = room.state.gym.lifts[coming.lift]
        happened = self._lift(lifter, coming)
        self._take_the_bar(lifter)
        yield room.later(5, 9)
        faults = coach.seen(happened, room.rng)
        one_by_one = coach.by_the_rep(happened, faults, coming.reps, room.rng)
        ended = False
        for rep in range(1, one_by_one + 1):
            room.must(CountRep(self.station, happened.marks[rep - 1]))
            for fault_id in (f for r, f in faults if r == rep):
                fault = lift.fault(fault_id)
                assert fault is not None
                room.now += timedelta(seconds=1)
                room.must(SeeFault(self.station, fault.letter))
                room.bodies[lifter] = cued(room.bodies[lifter], lift.id, fault_id)
            yield room.later(3, 5)
            on = room.state.evening.here[lifter].running()
            ended = on is not None and bool(ends_here(room.state.gym, on, room.state.lifters[lifter].youth))
            if ended:
                break
        if one_by_one < len(happened.marks) and not ended:
            yield room.later(3 * (coming.reps - one_by_one), 4 * (coming.reps - one_by_one))
            room.must(AllMade(self.station))
            yield room.later(2, 6)
        running = room.state.evening.here[lifter].running()
        assert running is not None
        clean = not running.faults and running.made >= running.reps
        room.clean_form[lifter, lift.id] = room.clean_form.get((lifter, lift.id), True) and clean
        room.must(EndSet(self.station, coach.word(room.state.gym, running, room.rng)))
        self._leave_the_bar(lifter, 12)
        if room.rng.random() < OVERRULES:
            room.attempt(Overrule(lifter, lift.id, KEEP if coming.role == "build" else ADD))

    def _unseen(self, lifter: int, coming: TheSet) -> Routine:
        """A set nobody watched, recorded afterwards; sometimes the next one's along with it."""
        room = self.room
        late: list[LateSet] = []
        doing: tuple[int, TheSet] | None = (lifter, coming)
        while doing is not None:
            who, theirs = doing
            room.busy.add(who)
            happened = self._lift(who, theirs)
            yield room.later(3 * theirs.reps + 6, 5 * theirs.reps + 9)
            late.append(LateSet(who, theirs, happened, room.now))
            self.bar_free = room.now
            doing = self._follower() if len(late) == 1 and room.rng.random() < DOUBLE else None
            if doing is not None:
                yield room.later(25, 45)
        yield room.later(2, 25)
        for done in late:
            room.busy.discard(done.lifter)
            made = sum(done.happened.marks)
            missed = len(done.happened.marks) - made
            slip = missed == 0 and made > 1 and room.rng.random() < SLIP
            seconds = int((room.now - done.down).total_seconds())
            room.must(RecordWhole(done.lifter, done.set.no, made - slip, missed, Grade.UNSEEN, seconds=seconds))
            room.now += timedelta(seconds=4)
            if slip:
                room.must(PutRight(done.lifter, done.set.no, made=made))

    def _follower(self) -> tuple[int, TheSet] | None:
        """The one who was told next, if rested, with a work set of theirs to do here, and no need of the coach."""
        room = self.room
        after = room.state.evening.stations[self.station].next
        if after is None or after in room.busy or after in room.pain or coach.must_watch(room.state.lifters[after]):
            return None
        present = room.state.evening.here[after]
        coming, ready = present.pending(), ready_at(room.state.gym, present)
        if coming is None or coming.role == "ramp" or (ready is not None and ready > room.now):
            return None
        return after, coming
