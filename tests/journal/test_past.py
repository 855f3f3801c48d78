"""The record read for the screens says what the events say, added up one by one without SQL."""

from __future__ import annotations

import threading
from collections import Counter
from collections.abc import Iterator
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest

from floor.clock import SetClock
from floor.core import commands as c
from floor.core.events import Event
from floor.core.gym import Grade
from floor.core.maxima import bests
from floor.core.past import NO_PAST, LifterPast, WeekPast
from floor.journal.errors import JournalError
from floor.journal.log import Journal
from floor.journal.past import read_lifter
from floor.journal.rows import COLUMNS, row_from
from floor.journal.twoweeks import read_week
from floor.session import Session
from tests.plain_week import added_up
from tests.ready_world import World
from tests.scenario import demo_file
from tests.tui.house import check_in, done, empty_session, new_clock, open_session

NOW = datetime(2026, 11, 25, 17, 0, tzinfo=UTC)
ZONE = ZoneInfo("Europe/Berlin")


@pytest.fixture(scope="module")
def session(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Session]:
    path = tmp_path_factory.mktemp("demo") / "demo.duckdb"
    demo_file(path, NOW, "Europe/Berlin")
    journal = Journal.open(path, now=NOW, zone="Europe/Berlin", unit="kg", templates={})
    yield Session(journal, SetClock(NOW))
    journal.close()


@pytest.fixture(scope="module")
def events(session: Session) -> list[Event]:
    cursor = session.journal.cursor()
    rows = cursor.execute(f"SELECT {COLUMNS} FROM event ORDER BY seq").fetchall()
    cursor.close()
    found = [row_from(cells).event for cells in rows]
    assert not any(e.kind == "undone" for e in found), "the replay takes every event as standing"
    return found


@pytest.fixture(scope="module")
def world(session: Session, events: list[Event]) -> World:
    return World(session.state.gym, session.names, events)


def lifter_of(session: Session, lifter: int) -> LifterPast:
    cursor = session.journal.cursor()
    try:
        return read_lifter(cursor, lifter)
    finally:
        cursor.close()


def week_of(session: Session) -> WeekPast:
    cursor = session.journal.cursor()
    try:
        return read_week(cursor)
    finally:
        cursor.close()


def day(event: Event) -> date:
    return event.happened.astimezone(ZONE).date()


def must(world: World, name: str) -> list[tuple[object, ...]]:
    """The sets that were done, from the state machine."""
    return sorted(
        (s.session, s.evening, s.lifter, s.set.no, s.set.lift, s.set.role, s.set.load, s.set.made, s.set.missed,
         str(s.set.grade), s.set.stage, tuple(sorted(s.set.faults)))
        for s in world.sets if s.lifter == name
    )  # fmt: skip


def told(session: Session, past: LifterPast) -> list[tuple[object, ...]]:
    return sorted(
        (s.session, s.evening, session.names[s.lifter], s.set_no, s.lift, s.role, s.load, s.made, s.missed,
         str(s.grade), s.stage, s.faults)
        for s in past.sets
    )  # fmt: skip


def test_every_set_of_every_lifter_is_as_the_events_left_it(session: Session, world: World) -> None:
    count = 0
    for lifter, name in session.names.items():
        found = told(session, lifter_of(session, lifter))
        assert found == must(world, name), name
        count += len(found)
    assert count == len(world.sets) > 2000


def test_arrivals_stages_and_plans_are_those_recorded(session: Session, events: list[Event]) -> None:
    for lifter in session.names:
        past, mine = lifter_of(session, lifter), [e for e in events if e.lifter == lifter]
        assert list(past.came) == [day(e) for e in mine if e.kind == "lifter_arrived"]
        assert [(s.evening, s.lift, s.stage) for s in past.stages] == [
            (day(e), e.lift, e.stage) for e in mine if e.kind == "stage_set"
        ]
        assert [(p.evening, p.lift, p.sets, p.reps, p.load, p.was, p.rule, p.repeats) for p in past.plans] == [
            (day(e), e.lift, e.sets, e.reps, e.load, e.was, e.rule, e.count) for e in mine if e.kind == "next_planned"
        ]


def test_every_cue_is_read_as_it_was_said(session: Session, events: list[Event]) -> None:
    said = 0
    for lifter in session.names:
        mine = [e for e in events if e.lifter == lifter and e.kind == "cue_set"]
        found = lifter_of(session, lifter).cues
        assert [(c.session, c.lift, c.set_no, c.fault) for c in found] == [
            (e.session, e.lift, e.set_no, e.fault) for e in mine
        ]
        said += len(mine)
    assert said > 100


def test_every_rule_is_counted_with_what_the_coach_said_instead(session: Session, events: list[Event]) -> None:
    last: dict[tuple[object, ...], list[str | None]] = {}
    told: list[list[str | None]] = []
    for e in events:
        if e.kind == "set_proposed":
            told.append([e.rule, None])
            last[e.session, e.lifter, e.lift] = told[-1]
        elif e.kind == "proposal_overruled":
            last[e.session, e.lifter, e.lift][1] = e.action
        elif e.kind == "next_planned" and e.rule not in ("by-hand", "imported"):
            told.append([e.rule, None])
    found = {(c.rule, c.overruled): c.times for c in week_of(session).rules}
    assert found == Counter((rule, word) for rule, word in told)
    assert any(word for _, word in found)


def test_a_proposal_carries_what_the_coach_said_instead(session: Session, events: list[Event]) -> None:
    overruled = 0
    for lifter in session.names:
        rows: list[list[object]] = []
        last: dict[tuple[object, ...], list[object]] = {}
        for e in (e for e in events if e.lifter == lifter):
            if e.kind == "set_proposed":
                rows.append([e.session, e.lift, e.set_no, e.action, e.was, e.load, e.rule, None, None])
                last[e.session, e.lift] = rows[-1]
            elif e.kind == "proposal_overruled":
                last[e.session, e.lift][-2:] = [e.action, e.load]
                overruled += 1
        found = [
            [p.session, p.lift, p.set_no, p.action, p.was, p.load, p.rule, p.overruled, p.coach_load]
            for p in lifter_of(session, lifter).proposals
        ]
        assert found == rows
    assert overruled > 0


def test_two_weeks_up_to_the_latest_evening(session: Session, world: World, events: list[Event]) -> None:
    week = week_of(session)
    last = max(world.evenings.values())
    start = last - timedelta(days=14)
    assert week.last == last
    two = {n: d for n, d in world.evenings.items() if d > start}
    assert week.sessions(before=False) == {n for n, d in two.items() if d > last - timedelta(days=7)}
    assert week.sessions(before=True) == set(two) - week.sessions(before=False)
    assert {n: d for n, d in week.evenings if d > start} == two
    whole = [s for lifter in session.names for s in lifter_of(session, lifter).sets]
    assert week.lifts == added_up(whole, last) and any(one.faulty for one in week.lifts)
    assert [(a.session, a.lifter) for a in week.came] == sorted(
        (e.session, e.lifter) for e in events if e.kind == "lifter_arrived" and world.evenings[e.session or 0] > start
    )


def test_the_bests_are_those_of_twelve_weeks_of_whole_records(session: Session) -> None:
    week = week_of(session)
    assert week.last is not None
    start = week.last - timedelta(days=84)
    whole = [b for i in session.names for b in bests(lifter_of(session, i).sets) if b.evening > start]
    assert sorted(map(repr, week.bests)) == sorted(map(repr, whole)) and whole


def test_undone_is_left_out_and_put_right_is_taken_in(tmp_path: Path) -> None:
    session = open_session(tmp_path, new_clock())
    check_in(session, 1)
    first, second, _ = (s for s in session.state.evening.here[1].of_lift("squat") if s.role != "ramp")
    seen = ((2, "heels-lifting"), (4, "heels-lifting"))
    done(session, c.RecordWhole(1, first.no, 5, grade=Grade.SHARP, faults=seen))
    done(session, c.RecordWhole(1, second.no, 5, grade=Grade.SHARP))
    session.undo()
    done(session, c.PutRight(1, first.no, made=4, missed=1, grade=Grade.ROUGH))
    (kept,) = (s for s in lifter_of(session, 1).sets if not s.ramp)
    assert (kept.set_no, kept.made, kept.missed, kept.grade) == (first.no, 4, 1, Grade.ROUGH)
    assert kept.faults == seen
    assert kept.evening == date(2026, 11, 25)
    session.journal.close()


def test_a_set_that_still_runs_is_not_past(tmp_path: Path) -> None:
    session = open_session(tmp_path, new_clock())
    check_in(session, 1)
    done(session, c.StartSet(1))
    done(session, c.CountRep(1, True))
    assert lifter_of(session, 1).sets == () and week_of(session).lifts == ()
    session.journal.close()


def test_a_gym_without_an_evening_has_no_past(tmp_path: Path) -> None:
    session = empty_session(tmp_path, new_clock())
    assert week_of(session) == NO_PAST
    assert lifter_of(session, 1) == LifterPast(1)
    session.journal.close()


def test_it_reads_on_a_thread_of_its_own_while_sets_are_recorded(tmp_path: Path) -> None:
    session = open_session(tmp_path, new_clock())
    check_in(session, 1, 2)
    cursor = session.journal.cursor()
    read: list[int] = []

    def often() -> None:
        for _ in range(5):
            read.append(len(read_lifter(cursor, 1).sets))

    thread = threading.Thread(target=often)
    thread.start()
    work = [s for s in session.state.evening.here[1].sets if s.role != "ramp"]
    for s in work:
        done(session, c.RecordWhole(1, s.no, s.reps, grade=Grade.SOUND))
    thread.join()
    assert read == sorted(read) and len(read) == 5
    assert sum(not s.ramp for s in read_lifter(cursor, 1).sets) == len(work)
    cursor.close()
    session.journal.close()


def test_a_closed_file_is_a_sentence(tmp_path: Path) -> None:
    session = open_session(tmp_path, new_clock())
    cursor = session.journal.cursor()
    session.journal.close()
    with pytest.raises(JournalError, match="can't be read"):
        read_lifter(cursor, 1)
