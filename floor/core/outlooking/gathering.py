"""From the state to `Tonight`: who has what still to do, where, on which rig, for how long.

A set's stack is the one it was last built with at that station, or the fewest
plates; of loads that the gym's plates cannot make on two bars at once, one waits.
"""

from __future__ import annotations

from datetime import datetime, timedelta
from functools import lru_cache

from floor.core import stacks
from floor.core.arrivals import expected_at, sets_tonight
from floor.core.eyes import eyes_on
from floor.core.gym import Lift, Station
from floor.core.outlooking.plates import clash_table
from floor.core.outlooking.tonight import Coming, Running, Spot, Standing, Tonight
from floor.core.pace import NO_PACE, Pace
from floor.core.planner.problem import Table
from floor.core.planner.rigs import Handling, Rig, tables
from floor.core.queue import can_lift, can_stand, lifting
from floor.core.rests import last_lifted, longest_rest, ready_at, rest_after, rested_before
from floor.core.state import DONE, PLANNED, Heights, Lifter, Present, State, TheSet

PUT_DOWN = 5
"""Seconds a set that should be over is taken to last still. No source."""
HANDLING = Handling()


def gather(state: State, now: datetime, pace: Pace = NO_PACE) -> Tonight:
    """Everyone here with a set to do and everyone expected late, as they stand at `now`.

    Who has left or is held has no part in it.
    """
    return _Gathering(state, now, pace).tonight()


class _Gathering:
    def __init__(self, state: State, now: datetime, pace: Pace) -> None:
        self.state, self.now, self.pace = state, now, pace
        known = state.evening.stations
        self.stations: list[Station] = [s for s in state.gym.stations if s.id in known]
        self.place = {s.id: p for p, s in enumerate(self.stations)}
        self.rigs: list[dict[Rig, int]] = [{} for _ in self.stations]
        self.fewest: dict[tuple[int, str, bool], tuple[str, stacks.Stack]] = {}
        self.running = self._running()
        self.eyes = eyes_on(state, self._expected())

    def tonight(self) -> Tonight:
        state = self.state
        lifters = []
        for present in state.evening.here.values():
            standing = self._here(present)
            if standing is not None:
                lifters.append(standing)
        crowd = [sum(one.place == p for one in lifters) for p in range(len(self.stations))]
        for lifter, sets in self._expected().items():
            standing = self._late(lifter, sets, crowd)
            if standing is not None:
                crowd[standing.place] += 1
                lifters.append(standing)
        numbers = {one.lifter: i for i, one in enumerate(lifters)}
        spots = tuple(self._spot(station, lifters, numbers) for station in self.stations)
        made = [_tables(tuple(rigs)) for rigs in self.rigs]
        clash = clash_table(state.gym, [tuple(rigs) for rigs in self.rigs])
        closing = state.evening.opened + timedelta(minutes=state.gym.settings.minutes)
        return Tonight(
            self.now, tuple(lifters), spots, tuple(c for c, _ in made), tuple(m for _, m in made), self.pace.walk,
            self._seconds(closing), tuple(self.running.values()), self.eyes, clash,
        )  # fmt: skip

    def _seconds(self, when: datetime) -> int:
        """From now, rounded up; below zero for what is past."""
        return -int((self.now - when).total_seconds() // 1)

    # --- people

    def _running(self) -> dict[int, Running]:
        """By lifter: the sets on the bars, with the second they should be over."""
        found = {}
        for station in self.stations:
            on = lifting(self.state, station.id)
            running = on.running() if on else None
            if on is None or running is None or running.started is None:
                continue
            end = running.started + timedelta(seconds=self.pace.seconds(running.lift, running.reps, running.role))
            if running.full and running.down is not None:
                end = running.down
            else:
                end = max(end, self.now + timedelta(seconds=PUT_DOWN))
            rested = rested_before(self.state.gym, on, running)
            found[on.lifter] = Running(on.lifter, running, station.id, running.started, end, rested)
        return found

    def _here(self, present: Present) -> Standing | None:
        state, gym = self.state, self.state.gym
        if present.gone or state.lifters[present.lifter].held or present.station not in self.place:
            return None
        pending = [s for s in present.sets if s.status == PLANNED]
        sets = self._sets(pending, state.lifters[present.lifter])
        if not sets:
            return None
        running = self.running.get(present.lifter)
        place = self.place[present.station]
        if running is not None:
            down = running.end
            last: TheSet | None = running.set
            rested: datetime | None = down + timedelta(seconds=rest_after(gym, running.set))
            place = self.place[running.station]
        else:
            last = last_lifted(present)
            rested = ready_at(gym, present)
            down = last.down if last is not None and last.down is not None else present.arrived
        cold = None
        if last is not None:
            cold = self._seconds(down) + longest_rest(gym, last)
        ready = 0 if rested is None else max(0, self._seconds(rested))
        return Standing(
            present.lifter, place, sets, present.turns, self._seconds(down), ready, rested, 0, cold,
            self._leaves(present.lifter),
        )  # fmt: skip

    def _leaves(self, lifter: int) -> int | None:
        at = self.state.evening.leaving.get(lifter)
        return None if at is None else max(0, self._seconds(at))

    def _expected(self) -> dict[int, list[TheSet]]:
        """Who is expected late, with the sets they would get if they came when they are taken to come."""
        found = {}
        for lifter in sorted(self.state.evening.late):
            standing = self.state.lifters.get(lifter)
            if standing is None or lifter in self.state.evening.here:
                continue
            planned = sets_tonight(self.state, standing, expected_at(self.state, lifter, self.now))
            if planned:
                found[lifter] = [TheSet(n, p.lift, p.role, p.reps, p.load, p.stage) for n, p in enumerate(planned, 1)]
        return found

    def _late(self, lifter: int, pending: list[TheSet], crowd: list[int]) -> Standing | None:
        sets = self._sets(pending, self.state.lifters[lifter])
        if not sets:
            return None
        place = min(sets[0].places, key=lambda p: (crowd[p], p))
        come = self._seconds(expected_at(self.state, lifter, self.now))
        return Standing(lifter, place, sets, 0, come, come, None, come, leaves=self._leaves(lifter))

    def _sets(self, pending: list[TheSet], lifter: Lifter) -> tuple[Coming, ...]:
        """The sets to come up to the first that can be done nowhere."""
        gym, found = self.state.gym, []
        for s in pending:
            lift = gym.lifts.get(s.lift)
            places = () if lift is None else self._places(lift.needs)
            if not places:
                break
            rigs = tuple(self._rig_number(p, s, lifter) for p in places)
            seen = self.eyes.get((lifter.id, s.no))
            found.append(
                Coming(
                    s, self.pace.seconds(s.lift, s.reps, s.role), rest_after(gym, s),
                    longest_rest(gym, s), places, rigs, seen.rank if seen else 0,
                )
            )  # fmt: skip
        return tuple(found)

    def _places(self, needs: str) -> tuple[int, ...]:
        return tuple(p for p, station in enumerate(self.stations) if can_stand(station, needs))

    # --- bars

    def _rig_number(self, place: int, s: TheSet, lifter: Lifter) -> int:
        rig = self._rig(self.stations[place], s, lifter)
        return self.rigs[place].setdefault(rig, len(self.rigs[place]))

    def _rig(self, station: Station, s: TheSet, lifter: Lifter) -> Rig:
        lift = self.state.gym.lifts[s.lift]
        bar, fewest = self._fewest(s.load, station.bar, lift.from_floor)
        stack = self.state.evening.stations[station.id].built.get((bar, s.load), fewest)
        return Rig(bar, stack, _height(lift, lifter))

    def _fewest(self, load: int, usual: str, from_floor: bool) -> tuple[str, stacks.Stack]:
        """The bar for a load, and the fewest plates on it; kept, since many lift the same loads."""
        key = load, usual, from_floor
        if key not in self.fewest:
            bar = stacks.bar_for(self.state.gym, load, usual)
            self.fewest[key] = bar, stacks.nearest(self.state.gym, load, bar, stacks.NONE_TAKEN, from_floor)[1]
        return self.fewest[key]

    def _spot(self, station: Station, lifters: list[Standing], numbers: dict[int, int]) -> Spot:
        place, there = self.place[station.id], self.state.evening.stations[station.id]
        rig = Rig(there.bar, there.stack, self._height_now(station))
        number = self.rigs[place].setdefault(rig, len(self.rigs[place]))
        ran = next((r for r in self.running.values() if r.station == station.id), None)
        if ran is not None:
            free = max(0, self._seconds(ran.end))
            on, turn = numbers.get(ran.lifter), int(ran.set.role != "ramp")
        else:
            free, on, turn = 0, None, 0

        def promised(lifter: int | None) -> int | None:
            """Their number if the promise can be kept: waiting here for a lift that can be done here."""
            if lifter is None or lifter not in numbers or lifter in self.running:
                return None
            present = self.state.evening.here.get(lifter)
            if present is None or not can_lift(self.state, present) or present.station != station.id:
                return None
            return numbers[lifter] if place in lifters[numbers[lifter]].sets[0].places else None

        up, coming = promised(there.up), promised(there.next)
        named = [up, coming, *(promised(x) for x in there.ahead)]
        ahead = tuple(numbers[x] for x in there.ahead if x in numbers)
        told = tuple(dict.fromkeys(i for i in named if i is not None))
        return Spot(station.id, number, free, ran is not None, on, turn, up, coming, ahead, there.held, told)

    def _height_now(self, station: Station) -> str:
        """The height of the set that runs or was done last at the station, "" when nothing has been."""
        done = [
            (s.down, present.lifter, s)
            for present in self.state.evening.here.values()
            for s in present.sets
            if s.station == station.id and s.status == DONE and s.down is not None
        ]
        ran = next((r for r in self.running.values() if r.station == station.id), None)
        if ran is not None:
            lifter, s = ran.lifter, ran.set
        elif done:
            _, lifter, s = max(done, key=lambda x: (x[0], x[1]))
        else:
            return ""
        lift = self.state.gym.lifts.get(s.lift)
        return "" if lift is None else _height(lift, self.state.lifters[lifter])


def _height(lift: Lift, lifter: Lifter) -> str:
    """Where the bar stands for a lifter's lift: "" on the floor, else what is set for them."""
    if lift.from_floor or not lift.heights:
        return ""
    mine = lifter.heights.get(lift.id, Heights())
    holes = {"rack": mine.rack, "safety": mine.safety, "bench": mine.bench}
    return " ".join([lift.needs, *(f"{name} {holes.get(name)}" for name in lift.heights)])


@lru_cache(maxsize=64)
def _tables(rigs: tuple[Rig, ...]) -> tuple[Table, Table]:
    """The tables of one station, kept: most keys change none of its rigs."""
    return tables(rigs, HANDLING)
