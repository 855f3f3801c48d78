"""What a proposal costs with its evidence, beside only reading the rows it rests on from the same gym file."""

from __future__ import annotations

import math
from collections.abc import Sequence
from datetime import UTC, datetime, timedelta
from pathlib import Path
from random import Random

import pytest

from floor.core.apply import fold
from floor.core.commands import AllMade, Arrive, CloseSession, EndSet, JoinLifter, OpenSession, RampDone, StartSet
from floor.core.course import progress
from floor.core.decide import decide
from floor.core.definitions import parse_gym
from floor.core.events import CARRIED, Event
from floor.core.gym import Gym
from floor.core.maxima import bests
from floor.core.state import State
from floor.core.summary import summarise
from floor.journal.form import read_form
from floor.journal.log import Connection, Journal
from floor.journal.past import read_lifter
from floor.templates import templates
from tests.bench.benching import milliseconds, report, timed

NOW = datetime(2026, 11, 25, 17, 0, tzinfo=UTC)
YEARS, A_WEEK, SETS, REPS = 10, 3, 5, 3
LIFTERS = 200
ROUNDS = 40
ROWS = 'SELECT session, set_no, lift, "load", reps, missed, grade, rep, fault FROM event WHERE lifter = ? ORDER BY seq'
"""The floor: the same rows, read and nothing done with them."""


def gym() -> Gym:
    """The shipped gym."""
    parsed = parse_gym(templates(), {name: 1 for name in ("equipment", "lifts", "programmes", "settings")}, "kg")
    assert isinstance(parsed, Gym)
    return parsed


def evening(session: int, days_ago: float, lifters: Sequence[int], random: Random) -> list[list[Event]]:
    """One evening of power cleans: every set watched, faults likelier as it gets heavier; made up."""
    at = NOW - timedelta(days=days_ago)
    commands = [[Event(kind="session_opened", happened=at, session=session)]]
    for lifter in lifters:
        holds = 6000 - 6 * days_ago / 7 + 50 * (lifter % 9)
        for number, share in enumerate((0.7, 0.8, 0.9, 1.0, 1.05), 1):
            load = round(holds * share / 250) * 250
            clean = 1 / (1 + math.exp(-math.log(4) + 10 * (load / holds - 1)))
            events = [
                Event(kind="fault_seen", happened=at, session=session, lifter=lifter, lift="clean", set_no=number,
                      rep=rep, load=load, fault="arms-bent-early")
                for rep in range(1, REPS + 1) if random.random() > clean
            ]  # fmt: skip
            grade = "rough" if events else "sharp"
            done = Event(
                kind="set_recorded", happened=at, session=session, station=1, lifter=lifter, lift="clean",
                set_no=number, role="build", reps=REPS, missed=0, load=load, grade=grade, seconds=0,
            )
            commands.append([done, *events])
        commands.append([_plan(lifter, round(holds / 250) * 250, at, session)])
    commands.append([Event(kind="session_closed", happened=at, session=session)])
    return commands


def _plan(lifter: int, load: int, at: datetime, session: int) -> Event:
    return Event(
        kind="next_planned", happened=at, session=session, lifter=lifter, lift="clean", sets=4, reps=3, load=load,
        rule="build-step", count=0,
    )


def written(path: Path, lifters: int, evenings: int) -> Journal:
    """A gym file with so many evenings of so many lifters."""
    random = Random(5)
    journal = Journal.open(path, now=NOW, zone="UTC", unit="kg", templates=templates())
    joined = [
        [Event(kind="lifter_joined", happened=NOW, lifter=n, youth=False),
         Event(kind="programme_given", happened=NOW, lifter=n, definition="week3", day=0)]
        for n in range(1, lifters + 1)
    ]  # fmt: skip
    every = range(1, lifters + 1)
    days = [(evenings - n) * 7 / A_WEEK for n in range(evenings)]
    past = (command for n, ago in enumerate(days, 1) for command in evening(n, ago, every, random))
    journal.bulk([*joined, *past])
    return journal


def state_of(journal: Journal) -> State:
    """The standing facts the file leaves; its evenings were never planned set by set."""
    reading = journal.read()
    state = fold(State(gym=gym()), reading.past)
    return fold(state, [e for command in reading.tonight for e in command.events if e.kind in CARRIED])


def tried(state: State, *commands: object, now: datetime = NOW) -> State:
    """These commands done, none refused."""
    for command in commands:
        events = decide(state, command, now)  # type: ignore[arg-type]
        assert isinstance(events, tuple), events
        state = fold(state, events)
    return state


@pytest.mark.bench
def test_a_proposal_with_its_evidence_after_ten_years_of_sets(tmp_path: Path) -> None:
    journal = written(tmp_path / "one.duckdb", 1, YEARS * 52 * A_WEEK)
    cursor = journal.cursor()
    state = state_of(journal)
    today = NOW.date()
    past = read_lifter(cursor, 1)
    sets = [s for s in past.sets if s.lift == "clean"]
    seen = read_form(cursor, 1, ("clean",), today)
    state = tried(state, OpenSession())
    arrive = Arrive(1, 1, seen=seen)
    lifting = tried(state, arrive, RampDone(1), StartSet(1), AllMade(1))
    lifter = lifting.lifters[1]
    best = bests(sets)

    def proposal() -> None:
        """The limit and the plan at arrival, the progress, and the proposal after a set."""
        assert isinstance(decide(state, arrive, NOW), tuple)
        progress(state.gym, "clean", lifter, best, today)
        assert isinstance(decide(lifting, EndSet(1), NOW), tuple)

    acts = {
        "proposal, form limit and progress": proposal,
        "of these, check-in with its form limit": lambda: decide(state, arrive, NOW),
        "of these, progress": lambda: progress(state.gym, "clean", lifter, best, today),
        "of these, the proposal after a set": lambda: decide(lifting, EndSet(1), NOW),
        "reading the form at check-in": lambda: read_form(cursor, 1, ("clean",), today),
        "reading the same rows and nothing else": lambda: cursor.execute(ROWS, [1]).fetchall(),
    }
    took = {name: [timed(act) for _ in range(ROUNDS)] for name, act in acts.items()}
    _tell(f"One lifter, {len(sets)} sets in {YEARS} years", took, "reading the same rows and nothing else")
    journal.close()
    assert milliseconds(took["proposal, form limit and progress"], 0.5) <= 5


@pytest.mark.bench
def test_next_session_of_two_hundred_lifters(tmp_path: Path) -> None:
    journal = written(tmp_path / "many.duckdb", LIFTERS, 8)
    cursor = journal.cursor()
    state = tried(state_of(journal), OpenSession())
    today = NOW.date()
    for lifter in range(1, LIFTERS + 1):
        arrive = Arrive(lifter, 1 + lifter % 3, seen=read_form(cursor, lifter, ("clean",), today))
        events = decide(state, arrive, NOW)
        assert isinstance(events, tuple)
        state = fold(state, events)
        for done in state.evening.here[lifter].sets:
            state = fold(state, [_recorded(state, lifter, done.no)])
    assert len(state.evening.here) == LIFTERS

    def all_next() -> None:
        """What the close would bring everyone, as the closing screen shows it."""
        assert len(summarise(state).came) == LIFTERS

    rounds = 5
    acts = {
        "next session of all, as shown before the close": all_next,
        "next session of all, as the close records it": lambda: decide(state, CloseSession(), NOW),
        "reading the rows of all and nothing else": lambda: _read_all(cursor),
    }
    took = {name: [timed(act) for _ in range(rounds)] for name, act in acts.items()}
    _tell(f"{LIFTERS} lifters, one evening each", took, "reading the rows of all and nothing else")
    journal.close()
    assert milliseconds(took["next session of all, as the close records it"], 0.5) <= 1000


def _recorded(state: State, lifter: int, number: int) -> Event:
    done = state.evening.here[lifter].set(number)
    assert done is not None
    return Event(
        kind="set_recorded", happened=NOW, session=state.evening.session, station=1, lifter=lifter, lift=done.lift,
        set_no=number, role=done.role, reps=done.reps, missed=0, load=done.load, grade="sharp", seconds=0,
    )


def _read_all(cursor: Connection) -> None:
    for lifter in range(1, LIFTERS + 1):
        cursor.execute(ROWS, [lifter]).fetchall()


def _tell(title: str, took: dict[str, list[float]], peer: str) -> None:
    floor = milliseconds(took[peer], 0.5)
    rows = [("", "median ms", "p99 ms", f"ratio to {peer.split(' and ')[0]}")]
    for name, times in took.items():
        middle = milliseconds(times, 0.5)
        rows.append((name, f"{middle:.2f}", f"{milliseconds(times, 0.99):.2f}", f"{middle / floor:.2f}"))
    report(title, rows)


def test_the_benchs_made_up_evenings_leave_a_lifter_with_a_plan_and_a_form_limit(tmp_path: Path) -> None:
    journal = written(tmp_path / "few.duckdb", 2, 6)
    state = tried(state_of(journal), OpenSession(), JoinLifter(9))
    cursor = journal.cursor()
    state = tried(state, Arrive(1, 1, seen=read_form(cursor, 1, ("clean",), NOW.date())))
    cursor.close()
    journal.close()
    assert state.evening.here[1].limits["clean"].reps > 50
