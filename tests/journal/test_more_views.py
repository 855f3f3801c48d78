"""Proposals with what became of them, plans, people, and plates moved."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

from floor.core.events import Event
from floor.core.people import PersonAdded
from floor.journal.log import Journal
from tests.journal.helpers import append_each, at, ev, joined, open_gym, opened, planned, started, undone, view

DAY = 86_400


@pytest.fixture
def journal(tmp_path: Path) -> Iterator[Journal]:
    made = open_gym(tmp_path / "a.gym")
    made.append([joined(7)], [PersonAdded(7, "Ada Example", "Ada")])
    made.append([opened()])
    yield made
    made.close()


def proposed(load: int, was: int, set_no: int, after: float) -> Event:
    return ev(
        "set_proposed", after, lifter=7, lift="squat", action="lighten", load=load, was=was, rule="rough-lightens",
        definition="1", set_no=set_no, count=2,
    )  # fmt: skip


def overruled(action: str, load: int, was: int, set_no: int, after: float) -> Event:
    return ev(
        "proposal_overruled", after, lifter=7, lift="squat", action=action, load=load, was=was, rule="rough-lightens",
        set_no=set_no, count=2,
    )  # fmt: skip


def test_a_proposal_stands_beside_what_the_coach_did_instead(journal: Journal) -> None:
    append_each(
        journal,
        [proposed(5400, 6000, 2, 10), overruled("keep", 6000, 5400, 2, 12), overruled("add", 6250, 6000, 2, 14),
         proposed(5600, 6250, 3, 20)],
    )  # fmt: skip
    columns = "lifter, set_no, action, was, load, overruled, coach_load"
    assert view(journal, f"SELECT {columns} FROM proposals") == [
        ("Ada", 2, "lighten", Decimal("60.00"), Decimal("54.00"), "add", Decimal("62.50")),
        ("Ada", 3, "lighten", Decimal("62.50"), Decimal("56.00"), None, None),
    ]


def test_an_overruling_taken_back_is_none(journal: Journal) -> None:
    journal.append([proposed(5400, 6000, 2, 10)])
    journal.append([undone(journal.append([overruled("keep", 6000, 5400, 2, 12)]), 13)])
    assert view(journal, "SELECT overruled FROM proposals") == [(None,)]


def test_the_plan_that_stands_is_the_latest_of_its_lift(journal: Journal) -> None:
    def plan(load: int, lift: str, after: float, count: int) -> Event:
        return ev("next_planned", after, lifter=7, lift=lift, sets=3, reps=5, load=load, rule="x", count=count)

    append_each(journal, [plan(6000, "squat", 10, 1), plan(3000, "press", 11, 0), plan(6000, "squat", 12, 2)])
    assert view(journal, "SELECT lift, load, repeats FROM plans WHERE latest ORDER BY lift") == [
        ("press", Decimal("30.00"), 0), ("squat", Decimal("60.00"), 2),
    ]  # fmt: skip
    assert view(journal, "SELECT count(*) FROM plans") == [(3,)]


def test_people_are_board_names_with_how_often_and_when_last(journal: Journal) -> None:
    append_each(
        journal,
        [
            joined(8),
            ev("programme_given", 5, lifter=7, definition="week3", day=0, session=None),
            ev("lifter_arrived", 10, lifter=7, station=1),
            opened(2, 2 * DAY),
            ev("lifter_arrived", 2 * DAY + 10, session=2, lifter=7, station=1),
        ],
    )
    assert view(journal, "SELECT * FROM people") == [
        ("Ada", "week3", date(2026, 3, 2), 2, date(2026, 3, 4)),
        ("Lifter 8", None, date(2026, 3, 2), 0, None),
    ]


def stacked(set_no: int, stack: tuple[str, ...], after: float, **what: Any) -> Event:
    return ev(
        "set_started", after, station=what.get("station", 1), lifter=7, lift="squat", set_no=set_no, load=6000,
        bar="bar20", stack=stack,
    )  # fmt: skip


def test_plates_come_off_from_outside_and_both_sleeves_count(journal: Journal) -> None:
    append_each(
        journal,
        [stacked(1, ("20",), 10), stacked(2, ("20", "5"), 20), stacked(3, ("15", "5"), 30), stacked(4, (), 40),
         stacked(5, ("10",), 50, station=2)],
    )  # fmt: skip
    assert view(journal, "SELECT set_no, plates_off, plates_on FROM changes ORDER BY set_no") == [
        (1, 0, 2), (2, 0, 2), (3, 4, 4), (4, 4, 0), (5, 0, 2),
    ]  # fmt: skip


def test_a_bar_found_otherwise_is_where_the_next_change_begins(journal: Journal) -> None:
    found = ev("bar_found", 15, station=1, bar="bar20", stack=("20", "10"))
    append_each(journal, [stacked(1, ("20",), 10), found, stacked(2, ("20",), 20)])
    assert view(journal, "SELECT set_no, plates_off, plates_on FROM changes") == [(1, 0, 2), (2, 2, 0)]


def test_the_rest_that_was_planned_is_that_of_the_set_before(journal: Journal) -> None:
    owed = [
        Event(kind="set_planned", happened=at(1), session=1, lifter=7, lift="squat", set_no=n, role="work", reps=3,
              load=6000, seconds=seconds)
        for n, seconds in ((1, 60), (2, 180))
    ]  # fmt: skip
    recorded = ev(
        "set_recorded", 100, station=1, lifter=7, lift="squat", set_no=1, reps=3, missed=0, load=6000, grade="sound",
        seconds=0,
    )  # fmt: skip
    append_each(journal, [*owed, recorded, started(7, 2, 6000, 190)])
    assert view(journal, "SELECT set_no, rest, planned FROM rests") == [(2, 90, 60)]


def test_a_set_without_a_recorded_plan_of_rest_has_none(journal: Journal) -> None:
    append_each(journal, [planned(7, 1, 6000), planned(7, 2, 6000), started(7, 1, 6000, 10)])
    journal.append([ev("reps_made", 20, lifter=7, set_no=1, reps=3), started(7, 2, 6000, 200)])
    assert view(journal, "SELECT rest, planned FROM rests") == [(180, None)]
