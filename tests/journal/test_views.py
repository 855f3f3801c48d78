"""The coach's views tell an evening as it was lifted, corrections taken in, undone keys left out."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, datetime
from decimal import Decimal
from pathlib import Path

import pytest

from floor.core.people import PersonAdded
from floor.journal.log import Journal
from tests.journal.helpers import (
    append_each,
    ended,
    ev,
    fault,
    joined,
    open_gym,
    opened,
    planned,
    rep,
    started,
    undone,
    view,
)


@pytest.fixture
def journal(tmp_path: Path) -> Iterator[Journal]:
    """A gym with Ada (7) and Ben (8), and a session open."""
    made = open_gym(tmp_path / "a.gym")
    made.append([joined(7)], [PersonAdded(7, "Ada Example", "Ada")])
    made.append([joined(8)], [PersonAdded(8, "Ben Example", "Ben")])
    made.append([opened()])
    yield made
    made.close()


def lift_one(journal: Journal, grade: str = "sound") -> int:
    """Ada squats 60 kg for three, knees in on the second; the grade's command is returned."""
    append_each(
        journal,
        [
            planned(7, 1, 6000),
            started(7, 1, 6000, 100),
            rep(7, 1, 1, 103),
            rep(7, 1, 2, 106),
            fault(7, 1, 2, "knees_in", 107),
            rep(7, 1, 3, 110, made=False),
        ],
    )
    return journal.append([ended(7, 1, 6000, 125, reps=2, missed=1, grade=grade)])


def test_a_set_counted_rep_by_rep_is_one_row(journal: Journal) -> None:
    lift_one(journal)
    rows = view(journal, "SELECT * FROM sets")
    assert rows == [
        (
            1, date(2026, 3, 2), "Ada", "squat", 1, "work", 3, 2, 1, Decimal("60.00"), "sound", True,
            datetime(2026, 3, 2, 18, 1, 40), datetime(2026, 3, 2, 18, 1, 50), 1, None,
        )
    ]  # fmt: skip


def test_the_bar_is_down_at_the_last_rep_not_at_the_grade(journal: Journal) -> None:
    lift_one(journal)
    assert view(journal, "SELECT date_diff('second', started, down) FROM sets") == [(10,)]


def test_the_evening_is_the_date_where_the_gym_stands(tmp_path: Path) -> None:
    far = open_gym(tmp_path / "far.gym", zone="Pacific/Auckland")
    far.append([opened()])
    append_each(far, [planned(7, 1, 6000), started(7, 1, 6000, 100)])
    assert view(far, "SELECT evening FROM sets") == [(date(2026, 3, 3),)]


def test_a_set_that_still_runs_has_no_grade(journal: Journal) -> None:
    append_each(journal, [planned(7, 1, 6000), planned(7, 2, 6000), started(7, 1, 6000, 100), rep(7, 1, 1, 103)])
    assert view(journal, "SELECT set_no, made, missed, grade, seen FROM sets") == [(1, 1, 0, None, None)]


def test_all_remaining_reps_are_so_many_rows(journal: Journal) -> None:
    append_each(
        journal,
        [
            planned(7, 1, 6000, reps=5),
            started(7, 1, 6000, 100),
            rep(7, 1, 1, 103),
            rep(7, 1, 2, 106, made=False),
            ev("reps_made", 115, lifter=7, set_no=1, reps=3),
            ended(7, 1, 6000, 125, reps=4, missed=1),
        ],
    )
    assert view(journal, "SELECT rep, made FROM reps ORDER BY rep") == [
        (1, True), (2, False), (3, True), (4, True), (5, True),
    ]  # fmt: skip


def test_a_fault_stands_beside_its_rep(journal: Journal) -> None:
    lift_one(journal)
    assert view(journal, "SELECT rep, made, faults, load FROM reps ORDER BY rep") == [
        (1, True, None, Decimal("60.00")),
        (2, True, "knees_in", Decimal("60.00")),
        (3, False, None, Decimal("60.00")),
    ]
    assert view(journal, "SELECT lifter, lift, set_no, rep, fault, load, grade, drill FROM faults") == [
        ("Ada", "squat", 1, 2, "knees_in", Decimal("60.00"), "sound", False)
    ]


def test_a_set_recorded_whole_afterwards_was_down_when_the_coach_said(journal: Journal) -> None:
    whole = ev(
        "set_recorded", 400, station=2, lifter=7, lift="squat", set_no=1, reps=2, missed=1, load=6250, grade="unseen",
        seconds=90,
    )  # fmt: skip
    append_each(journal, [planned(7, 1, 6000), whole])
    assert view(journal, "SELECT made, missed, load, grade, seen, started, down, station FROM sets") == [
        (2, 1, Decimal("62.50"), "unseen", False, None, datetime(2026, 3, 2, 18, 5, 10), 2)
    ]
    assert view(journal, "SELECT rep, made FROM reps ORDER BY rep") == [(1, True), (2, True), (3, False)]


def test_ramp_done_is_every_ramp_set_left_done_and_unseen(journal: Journal) -> None:
    append_each(
        journal,
        [
            planned(7, 1, 2000, role="ramp"),
            planned(7, 2, 4000, role="ramp"),
            planned(7, 3, 6000),
            planned(7, 4, 2000, role="ramp", lift="press"),
            started(7, 1, 2000, 50),
            rep(7, 1, 1, 53),
            ended(7, 1, 2000, 60, reps=1, missed=0, grade="sharp"),
            ev("ramp_done", 90, lifter=7, lift="squat", station=3),
        ],
    )
    assert view(journal, "SELECT set_no, role, made, grade, down, station FROM sets") == [
        (1, "ramp", 1, "sharp", datetime(2026, 3, 2, 18, 0, 53), 1),
        (2, "ramp", 3, "unseen", None, 3),
    ]
    assert view(journal, "SELECT count(*) FROM reps WHERE NOT seen") == [(3,)]


def test_a_ramp_ticked_after_a_proposal_is_at_the_load_it_was_given(journal: Journal) -> None:
    proposed = {"lifter": 7, "lift": "squat", "was": 4000, "rule": "rough-keeps", "definition": "1"}
    append_each(
        journal,
        [
            *(planned(7, no, load, role="ramp") for no, load in ((1, 2000), (2, 3000), (3, 4000), (4, 5000))),
            ev("load_changed", 20, lifter=7, lift="squat", set_no=2, load=3500, was=3000),
            ev("set_proposed", 30, **proposed, set_no=3, action="keep", load=2000, count=1, stage=2),
            ev("ramp_done", 90, lifter=7, lift="squat", station=3),
            ev("set_proposed", 95, **proposed, set_no=1, action="add", load=6000, count=4),
        ],
    )
    loads = [(1, Decimal("20.00")), (2, Decimal("35.00")), (3, Decimal("20.00")), (4, Decimal("50.00"))]
    assert view(journal, "SELECT set_no, load FROM sets ORDER BY set_no") == loads
    assert view(journal, "SELECT set_no FROM sets WHERE stage = 2") == [(3,)]


def test_a_ramp_set_recorded_after_ramp_done_counts_once(journal: Journal) -> None:
    whole = ev(
        "set_recorded", 95, station=1, lifter=7, lift="squat", set_no=1, reps=5, missed=0, load=2500, grade="rough",
        seconds=0,
    )  # fmt: skip
    append_each(journal, [planned(7, 1, 2000, role="ramp"), ev("ramp_done", 90, lifter=7, lift="squat"), whole])
    assert view(journal, "SELECT set_no, made, load, grade FROM sets") == [(1, 5, Decimal("25.00"), "rough")]


def test_an_undone_grade_leaves_the_set_running_and_an_undone_fault_is_gone(journal: Journal) -> None:
    grade = lift_one(journal)
    journal.append([undone(grade)])
    assert view(journal, "SELECT made, missed, grade FROM sets") == [(2, 1, None)]
    journal.append([undone(grade - 1)])
    journal.append([undone(grade - 2)])
    assert view(journal, "SELECT * FROM faults") == []
    assert view(journal, "SELECT made, missed FROM sets") == [(2, 0)]


def test_a_withdrawn_fault_is_gone_and_seen_again_it_is_back(journal: Journal) -> None:
    lift_one(journal)
    away = ev("fault_withdrawn", 200, lifter=7, set_no=1, rep=2, fault="knees_in")
    journal.append([away])
    assert view(journal, "SELECT * FROM faults") == []
    assert view(journal, "SELECT count(faults) FROM reps") == [(0,)]
    journal.append([fault(7, 1, 2, "knees_in", 210)])
    assert view(journal, "SELECT rep, fault FROM faults") == [(2, "knees_in")]


@pytest.mark.parametrize(
    ("correction", "sets", "reps"),
    [
        ({"load": 6500}, (2, 1, Decimal("65.00"), "sound"), [True, True, False]),
        ({"grade": "rough"}, (2, 1, Decimal("60.00"), "rough"), [True, True, False]),
        ({"reps": 3, "missed": 0}, (3, 0, Decimal("60.00"), "sound"), [True, True, True]),
        ({"reps": 1}, (1, 1, Decimal("60.00"), "sound"), [True, False]),
    ],
)
def test_a_set_put_right_reads_as_corrected(
    journal: Journal, correction: dict[str, object], sets: tuple[object, ...], reps: list[bool]
) -> None:
    lift_one(journal)
    cmd = journal.append([ev("set_put_right", 300, lifter=7, set_no=1, **correction)])
    assert view(journal, "SELECT made, missed, load, grade FROM sets") == [sets]
    assert [made for (made,) in view(journal, "SELECT made FROM reps ORDER BY rep")] == reps
    assert view(journal, "SELECT DISTINCT load FROM faults") == [(sets[2],)]
    journal.append([undone(cmd)])
    assert view(journal, "SELECT made, missed, load, grade FROM sets") == [(2, 1, Decimal("60.00"), "sound")]


def test_a_ramp_set_nobody_saw_can_be_put_right(journal: Journal) -> None:
    append_each(
        journal,
        [
            planned(7, 1, 2000, role="ramp"),
            ev("ramp_done", 90, lifter=7, lift="squat"),
            ev("set_put_right", 100, lifter=7, set_no=1, load=2500),
        ],
    )
    assert view(journal, "SELECT made, load, grade FROM sets") == [(3, Decimal("25.00"), "unseen")]


def test_two_evenings_with_the_same_set_number_stay_apart(journal: Journal) -> None:
    lift_one(journal)
    append_each(
        journal,
        [
            opened(2, 200_000),
            ev("set_planned", 200_001, session=2, lifter=7, lift="press", set_no=1, role="work", reps=1, load=3000),
            ev(
                "set_started", 200_010, session=2, station=1, lifter=7, lift="press", set_no=1, load=3000, bar="b",
                stack=(),
            ),
            ev("rep_made", 200_013, session=2, lifter=7, set_no=1, rep=1),
        ],
    )  # fmt: skip
    assert view(journal, "SELECT session, lift, made FROM sets") == [(1, "squat", 2), (2, "press", 1)]
    assert view(journal, "SELECT session, count(*) FROM reps GROUP BY ALL ORDER BY 1") == [(1, 3), (2, 1)]


def test_rest_runs_from_the_bar_down_to_the_next_start(journal: Journal) -> None:
    lift_one(journal)
    append_each(journal, [planned(7, 2, 6000), started(7, 2, 6000, 290), planned(8, 1, 5000), started(8, 1, 5000, 295)])
    assert view(journal, "SELECT lifter, set_no, rest, planned FROM rests") == [("Ada", 2, 180, None)]


def test_the_rest_after_a_ramp_nobody_watched_is_not_known(journal: Journal) -> None:
    lift_one(journal)
    append_each(
        journal,
        [
            planned(7, 2, 2000, role="ramp", lift="press"),
            planned(7, 3, 3000, lift="press"),
            ev("ramp_done", 290, lifter=7, lift="press"),
            started(7, 3, 3000, 290, lift="press"),
        ],
    )
    assert view(journal, "SELECT * FROM rests") == []


def test_rest_before_a_set_after_one_recorded_late_uses_the_time_it_was_down(journal: Journal) -> None:
    whole = ev(
        "set_recorded", 400, station=2, lifter=7, lift="squat", set_no=1, reps=3, missed=0, load=6000, grade="unseen",
        seconds=100,
    )  # fmt: skip
    append_each(journal, [planned(7, 1, 6000), planned(7, 2, 6000), whole, started(7, 2, 6000, 500)])
    assert view(journal, "SELECT set_no, rest FROM rests") == [(2, 200)]


def test_loads_show_the_heaviest_set_and_what_next_time_brings(journal: Journal) -> None:
    lift_one(journal)
    append_each(
        journal,
        [
            planned(7, 2, 6500, reps=1),
            started(7, 2, 6500, 300),
            rep(7, 2, 1, 303),
            ended(7, 2, 6500, 310, reps=1),
            planned(7, 3, 7000, reps=1),
            started(7, 3, 7000, 500),
            rep(7, 3, 1, 503, made=False),
            ended(7, 3, 7000, 510, reps=0, missed=1),
            ev("next_planned", 600, lifter=7, lift="squat", sets=3, reps=3, load=6250, rule="repeat", count=1),
        ],
    )
    assert view(journal, "SELECT lifter, lift, top, reps, sets, next, rule FROM loads") == [
        ("Ada", "squat", Decimal("65.00"), 1, 1, Decimal("62.50"), "repeat")
    ]


def test_a_week_adds_up_what_was_moved(journal: Journal) -> None:
    lift_one(journal)
    append_each(
        journal, [planned(7, 2, 6000), started(7, 2, 6000, 300), rep(7, 2, 1, 303), ended(7, 2, 6000, 310, reps=1)]
    )
    columns = "lifter, lift, sets, made, missed, moved, faults, best_load, best_reps"
    assert view(journal, f"SELECT {columns} FROM week") == [
        ("Ada", "squat", 2, 3, 1, Decimal("180.00"), 1, Decimal("60.00"), 2)
    ]


def test_the_week_is_the_seven_days_up_to_the_latest_evening_with_sets(journal: Journal) -> None:
    lift_one(journal)
    told = "SELECT lifter, lift, sets FROM week"
    assert view(journal, told) == [("Ada", "squat", 1)]
    later = 30 * 86_400
    journal.append([opened(2, later)])
    assert view(journal, told) == [("Ada", "squat", 1)], "an evening without a set yet is no other week"
    the_set = {"session": 2, "lifter": 8, "lift": "squat", "set_no": 1, "reps": 5, "load": 5000}
    journal.append([ev("set_planned", later + 5, role="work", **the_set)])
    journal.append([ev("set_recorded", later + 9, station=1, missed=0, grade="sound", seconds=0, **the_set)])
    assert view(journal, told) == [("Ben", "squat", 1)]


def test_a_fault_in_a_drill_has_no_set(journal: Journal) -> None:
    append_each(
        journal,
        [
            ev("drill_started", 5, lift="power_clean", stage=2),
            ev("drill_rep", 8, rep=1),
            ev("drill_fault", 9, lifter=8, lift="power_clean", rep=1, fault="arms_bent"),
        ],
    )
    assert view(journal, "SELECT lifter, lift, set_no, rep, fault, load, drill FROM faults") == [
        ("Ben", "power_clean", None, 1, "arms_bent", None, True)
    ]


def test_loads_are_exact_decimals_to_the_hundredth(journal: Journal) -> None:
    append_each(journal, [planned(7, 1, 6137), started(7, 1, 6137, 10)])
    assert view(journal, "SELECT load, typeof(load) FROM sets") == [(Decimal("61.37"), "DECIMAL(9,2)")]


def test_a_set_that_was_started_and_called_off_is_in_no_view(journal: Journal) -> None:
    append_each(
        journal,
        [
            planned(7, 1, 6000),
            started(7, 1, 6000, 100),
            ev("set_called_off", 130, lifter=7, lift="squat", set_no=1, station=1),
            ev("lifter_left", 130, lifter=7),
        ],
    )
    for name in ("sets", "reps"):
        assert view(journal, f"SELECT * FROM {name}") == []
    late = ev(
        "set_recorded", 600, station=1, lifter=7, lift="squat", set_no=1, reps=3, missed=0, load=6000, grade="unseen",
        seconds=300,
    )  # fmt: skip
    journal.append([late])
    assert view(journal, "SELECT set_no, made FROM sets") == [(1, 3)], "written down afterwards, it was done"
