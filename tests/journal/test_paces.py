"""How long sets took is learned from the record: from the start to the last rep, what was taken back left out."""

from __future__ import annotations

from pathlib import Path

from floor.core.events import Event
from floor.core.pace import Pace
from floor.journal.log import Journal
from floor.journal.paces import read_pace
from tests.journal.helpers import ev, joined, open_gym, opened


def pace_of(journal: Journal) -> Pace:
    cursor = journal.cursor()
    try:
        return read_pace(cursor)
    finally:
        cursor.close()


def a_set(
    set_no: int,
    start: int,
    lasts: int,
    lift: str = "squat",
    reps: int = 5,
    grade: str = "sound",
    made: int | None = None,
) -> tuple[Event, ...]:
    """One set of lifter 1: started, a rep on the way, the last rep `lasts` seconds after the start, graded later."""
    begun = ev(
        "set_started", start, station=1, lifter=1, lift=lift, set_no=set_no, load=6000, bar="bar20", stack=(), reps=reps
    )
    first = ev("rep_made", start + 4, lifter=1, set_no=set_no, rep=1)
    rest = ev("reps_made", start + lasts, lifter=1, set_no=set_no, reps=reps - 1)
    return begun, first, rest, ev(
        "set_ended", start + lasts + 20, lifter=1, lift=lift, set_no=set_no, missed=0, load=6000, grade=grade,
        reps=reps if made is None else made,
    )  # fmt: skip


def test_the_mean_is_from_the_start_to_the_last_rep_by_lift_and_reps(tmp_path: Path) -> None:
    journal = open_gym(tmp_path / "gym.duckdb")
    journal.append((joined(1), opened()))
    for events in (a_set(1, 100, 30), a_set(2, 400, 40), a_set(3, 700, 20, reps=3), a_set(4, 900, 25, lift="press")):
        journal.append(events)
    assert pace_of(journal).learned == {("squat", 5): (35, 2), ("squat", 3): (20, 1), ("press", 5): (25, 1)}
    journal.close()


def test_a_set_taken_back_or_keyed_in_late_is_no_pace(tmp_path: Path) -> None:
    journal = open_gym(tmp_path / "gym.duckdb")
    journal.append((joined(1), opened()))
    journal.append(a_set(1, 100, 30))
    undone = journal.append(a_set(2, 400, 60))
    journal.append((ev("undone", 500, undoes=undone),))
    journal.append(a_set(3, 600, 900))
    assert pace_of(journal).learned == {("squat", 5): (30, 1)}
    journal.close()


def test_only_watched_sets_with_all_their_reps_teach_a_pace(tmp_path: Path) -> None:
    journal = open_gym(tmp_path / "gym.duckdb")
    journal.append((joined(1), opened()))
    journal.append(a_set(1, 100, 30))
    journal.append(a_set(2, 400, 44, grade="unseen"))
    journal.append(a_set(3, 700, 18, made=3))
    journal.append(a_set(4, 900, 50)[:3])
    assert pace_of(journal).learned == {("squat", 5): (30, 1)}
    journal.append((ev("set_put_right", 1000, lifter=1, set_no=2, grade="sound"),))
    assert pace_of(journal).learned == {("squat", 5): (37, 2)}
    journal.close()


def test_a_set_far_from_the_middle_one_is_left_out(tmp_path: Path) -> None:
    journal = open_gym(tmp_path / "gym.duckdb")
    journal.append((joined(1), opened()))
    for set_no, lasts in enumerate((28, 30, 32, 60, 61, 15, 14), 1):
        journal.append(a_set(set_no, 100 + 300 * set_no, lasts))
    assert pace_of(journal).learned == {("squat", 5): ((28 + 30 + 32 + 60 + 15) / 5, 5)}
    journal.close()


def test_an_empty_gym_has_no_pace(tmp_path: Path) -> None:
    journal = open_gym(tmp_path / "gym.duckdb")
    assert pace_of(journal) == Pace()
    journal.close()
