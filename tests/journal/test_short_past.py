"""Opening a gym reads what the state needs of its past: the same state, however little is read."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path

import pytest

from floor.clock import SetClock
from floor.core.apply import fold
from floor.core.events import CARRIED
from floor.core.state import State
from floor.journal.log import Journal
from floor.journal.rows import COLUMNS, row_from
from floor.session import Session, gym_of
from tests.journal.helpers import ev, joined, open_gym, opened, view
from tests.scenario import demo_file

NOW = datetime(2026, 11, 25, 17, 0, tzinfo=UTC)


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("demo") / "demo.gym"
    demo_file(path, NOW, "Europe/Berlin")
    return path


def test_the_state_is_that_of_everything_carried(demo: Path) -> None:
    journal = Journal.open(demo, now=NOW, zone="Europe/Berlin", unit="kg", templates={})
    reading = journal.read()
    cursor = journal.cursor()
    rows = [row_from(r) for r in cursor.execute(f"SELECT {COLUMNS} FROM event ORDER BY seq").fetchall()]
    cursor.close()
    first = reading.tonight[0].cmd
    whole = [row.event for row in rows if row.cmd < first and row.event.kind in CARRIED]
    must = fold(State(gym=gym_of(reading)), whole)
    session = Session(journal, SetClock(NOW))
    found = session._steps[0].before
    journal.close()
    assert len(reading.past) < len(whole) / 2
    assert any(lifter.cleared_at for lifter in must.lifters.values())
    assert found.lifters == must.lifters and list(found.lifters) == list(must.lifters)
    assert [list(x.plans) for x in found.lifters.values()] == [list(x.plans) for x in must.lifters.values()]
    assert found.sessions == must.sessions


def test_a_visit_that_was_undone_is_not_counted(tmp_path: Path) -> None:
    journal = open_gym(tmp_path / "a.gym")
    journal.append([joined(7)])
    for number in range(1, 7):
        journal.append([opened(number)])
        came = journal.append([ev("lifter_arrived", 5, session=number, lifter=7, station=1)])
        if number == 3:
            journal.append([ev("undone", 6, session=number, undoes=came)])
        journal.append([ev("session_closed", 9, session=number)])
    journal.append([opened(7)])
    reading = journal.read()
    journal.close()
    kept = [e for e in reading.past if e.kind == "lifter_arrived"]
    assert [e.session for e in kept] == [1, 6] and reading.visits == {7: 3}
    assert reading.sessions == 6


def test_an_arrival_while_held_and_the_clearance_after_it_keep_their_evenings(tmp_path: Path) -> None:
    journal = open_gym(tmp_path / "a.gym")
    journal.append([joined(7)])
    for number in range(1, 10):
        journal.append([opened(number)])
        journal.append([ev("lifter_arrived", 100 * number, session=number, lifter=7, station=1)])
        if number in (3, 6):
            kind = "pain_reported" if number == 3 else "pain_cleared"
            journal.append([ev(kind, 100 * number + 6, session=number, lifter=7)])
        journal.append([ev("session_closed", 100 * number + 9, session=number)])
    journal.append([opened(10, 1000)])
    reading = journal.read()
    rows = view(journal, f"SELECT {COLUMNS} FROM event ORDER BY seq")
    whole = [row_from(row).event for row in rows if row[2] in CARRIED][:-1]
    journal.close()
    assert [e.session for e in reading.past if e.kind == "lifter_arrived"] == [1, 3, 6, 9]
    assert (reading.visits, reading.sessions) == ({7: 5}, 9)
    found, must = fold(State(), reading.past).lifters[7], fold(State(), whole).lifters[7]
    assert replace(found, sessions=found.sessions + 5) == must


def test_of_cues_and_steps_that_followed_one_another_the_last_of_each_lift_is_read(tmp_path: Path) -> None:
    journal = open_gym(tmp_path / "a.gym")
    journal.append([joined(7)])
    told = (
        ("squat", "lean", 250),
        ("clean", "early", 100),
        ("squat", "depth", 500),
        ("clean", None, 50),
        ("squat", None, 0),
    )
    for number, (lift, fault, step) in enumerate(told * 2 + told[:3], start=1):
        journal.append([opened(number, 100 * number)])
        told_now = {"session": number, "lifter": 7, "lift": lift}
        journal.append([ev("cue_set", 100 * number + 2, fault=fault, **told_now)])
        journal.append([ev("step_set", 100 * number + 3, load=step, rule="by hand", **told_now)])
        journal.append([ev("session_closed", 100 * number + 9, session=number)])
    journal.append([opened(50, 9000)])
    reading = journal.read()
    rows = view(journal, f"SELECT {COLUMNS} FROM event ORDER BY seq")
    whole = [row_from(row).event for row in rows if row[2] in CARRIED][:-1]
    journal.close()
    found, must = fold(State(), reading.past).lifters[7], fold(State(), whole).lifters[7]
    assert found == must and (found.cues, found.steps) == (
        {"clean": "early", "squat": "depth"},
        {"squat": 500, "clean": 100},
    )
    assert len([e for e in reading.past if e.kind == "cue_set"]) == 4, "the first and the last of each lift"


def test_what_spoke_before_a_plan_was_brought_down_is_still_known(tmp_path: Path) -> None:
    journal = open_gym(tmp_path / "a.gym")
    journal.append([joined(7)])
    for number, rule in enumerate(("all-made", "all-made", "broken-eases", "lay-off", "form-limit-caps"), start=1):
        journal.append([opened(number, 100 * number)])
        plan = dict(session=number, lifter=7, lift="squat", sets=3, reps=5, load=6000 - number, count=0)
        journal.append([ev("next_planned", 100 * number + 2, rule=rule, **plan)])
        journal.append([ev("session_closed", 100 * number + 9, session=number)])
    journal.append([opened(50, 9000)])
    reading = journal.read()
    journal.close()
    plan = fold(State(), reading.past).lifters[7].plans["squat"]
    assert (plan.load, plan.rule, plan.spoke) == (5995, "form-limit-caps", "broken-eases")
    assert len([e for e in reading.past if e.kind == "next_planned"]) == 3, "the first, what spoke, and the last"
