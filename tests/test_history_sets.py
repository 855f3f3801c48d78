"""Who comes with a history goes on in its sets and reps, until a programme is given or a roster says otherwise."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from floor.cli import main
from floor.core import commands as c
from floor.core.gym import Grade
from floor.core.people import PersonAdded
from floor.exchange.preview import preview
from floor.roster import bring_roster, prepare_roster, roster_lines
from floor.session import Done, Refused, Session
from floor.tui.app import FloorApp
from tests.bringing import csv, opened, ready, taken
from tests.tui.house import read

SHORT = "date,lifter,lift,work\n"
FIVES = SHORT + "2026-11-23,Oda Invented,press,3x5 30\n2026-11-23,Oda Invented,squat,\"40x5, 60x5,5\"\n"
"""The press is in sixes in the gym's usual programme, the squat in three sets."""


@pytest.fixture
def session(tmp_path: Path) -> Iterator[Session]:
    one = opened(tmp_path / "gym.duckdb")
    yield one
    one.journal.close()


def done(session: Session, *commands: c.Command) -> None:
    for command in commands:
        assert isinstance(session.do(command), Done), command


def tonight(session: Session, lift: str) -> list[tuple[int, int]]:
    """Reps and load of the lift's sets after the ramp, once Oda has come."""
    if not session.state.open:
        done(session, c.OpenSession(), c.Arrive(1, 1))
    here = session.state.evening.here[1]
    return [(s.reps, s.load) for s in here.sets if s.lift == lift and s.role != "ramp"]


def an_evening(session: Session) -> None:
    """All of tonight is done and sound, and the session is closed."""
    tonight(session, "squat")
    for one in session.state.evening.here[1].sets:
        done(session, c.RecordWhole(1, one.no, one.reps, grade=Grade.SOUND))
    done(session, c.CloseSession())


def test_sets_of_five_go_on_as_sets_of_five(session: Session, tmp_path: Path) -> None:
    taken(session, csv(tmp_path, FIVES))
    assert tonight(session, "press") == [(5, 3000)] * 3
    assert tonight(session, "squat") == [(5, 6000)] * 2


def test_a_lift_that_the_file_does_not_have_is_the_programmes(session: Session, tmp_path: Path) -> None:
    taken(session, csv(tmp_path, FIVES))
    assert [reps for reps, _ in tonight(session, "clean")] == [3, 3, 3, 3]


def test_a_short_last_set_is_a_set_too(session: Session, tmp_path: Path) -> None:
    rows = "date,lifter,lift,work,missed\n2026-11-23,Oda,press,\"30x5,5,4\",\n"
    taken(session, csv(tmp_path, rows))
    assert tonight(session, "press") == [(5, 3000)] * 3


def test_a_broken_set_is_none_to_repeat_and_one_missed_is(session: Session, tmp_path: Path) -> None:
    rows = "date,lifter,lift,load,reps,missed,grade\n"
    whole, missed, broken = (f"2026-11-23,Oda,press,30,{end}\n" for end in ("5,,sound", "3,2,", "5,,broken"))
    taken(session, csv(tmp_path, rows + whole + missed + broken))
    assert tonight(session, "press") == [(5, 3000)] * 2


def test_the_latest_days_sets_count_alone(session: Session, tmp_path: Path) -> None:
    taken(session, csv(tmp_path, SHORT + "2026-11-16,Oda,press,5x3 32.5\n2026-11-23,Oda,press,2x8 27.5\n"))
    assert tonight(session, "press") == [(8, 2750)] * 2


def test_a_light_day_keeps_its_number_of_sets_in_the_reps_of_the_file(session: Session, tmp_path: Path) -> None:
    taken(session, csv(tmp_path, SHORT + "2026-11-23,Oda,squat,5x4 60\n"))
    assert [reps for reps, _ in tonight(session, "squat")] == [4] * 5
    an_evening(session)
    light = tonight(session, "squat")
    assert session.state.lifters[1].day == 1 and [reps for reps, _ in light] == [4] * 2
    assert light[0][1] < 6000


def test_a_lift_that_builds_takes_the_files_sets_and_never_a_single_one(session: Session, tmp_path: Path) -> None:
    taken(session, csv(tmp_path, SHORT + "2026-11-23,Oda,clean,5x2 40\n2026-11-23,Pim,clean,\"30x3, 35x3, 40x3\"\n"))
    done(session, c.OpenSession(), c.Arrive(1, 1), c.Arrive(2, 1))
    here = session.state.evening.here
    cleans = [[s.reps for s in here[who].sets if (s.lift, s.role) == ("clean", "build")] for who in (1, 2)]
    assert cleans == [[2] * 5, [3] * 4]


def test_the_next_evening_goes_on_in_them_with_a_step_more(session: Session, tmp_path: Path) -> None:
    taken(session, csv(tmp_path, FIVES))
    for _ in range(3):
        an_evening(session)
    assert session.state.lifters[1].day == 0
    sets = tonight(session, "press")
    assert [reps for reps, _ in sets] == [5] * 3 and sets[0][1] > 3000


def test_a_programme_given_at_check_in_says_all_of_it(session: Session, tmp_path: Path) -> None:
    taken(session, csv(tmp_path, FIVES))
    done(session, c.GiveProgramme(1, "week3"))
    assert [reps for reps, _ in tonight(session, "press")] == [6] * 3
    assert [reps for reps, _ in tonight(session, "squat")] == [5] * 3


def test_undoing_the_programme_brings_the_files_sets_back(session: Session, tmp_path: Path) -> None:
    taken(session, csv(tmp_path, FIVES))
    before = session.state
    done(session, c.GiveProgramme(1, "week3"))
    assert isinstance(session.undo(), Done) and session.state == before
    assert tonight(session, "press") == [(5, 3000)] * 3


def test_a_roster_says_otherwise_and_is_shown_to(session: Session, tmp_path: Path) -> None:
    taken(session, csv(tmp_path, FIVES))
    roster = csv(tmp_path, "lifter,lift,sets,reps,load\nOda Invented,press,4,8,25\n", "roster.csv")
    prepared = prepare_roster(session, roster)
    assert not isinstance(prepared, Refused)
    assert "does its lifts in the roster's sets and reps" in "\n".join(roster_lines(prepared, session))
    assert isinstance(bring_roster(session, roster), Done)
    assert tonight(session, "press") == [(8, 2500)] * 4
    assert tonight(session, "squat") == [(5, 6000)] * 2


def test_older_days_change_no_sets_and_newer_ones_do(session: Session, tmp_path: Path) -> None:
    taken(session, csv(tmp_path, FIVES))
    taken(session, csv(tmp_path, SHORT + "2026-10-05,Oda Invented,press,5x10 20\n"))
    taken(session, csv(tmp_path, SHORT + "2026-11-24,Oda Invented,squat,3x3 65\n"))
    assert tonight(session, "press") == [(5, 3000)] * 3
    assert tonight(session, "squat") == [(3, 6500)] * 3


def test_a_plan_that_an_evening_made_keeps_the_programmes_sets(session: Session, tmp_path: Path) -> None:
    assert isinstance(session.do(c.JoinLifter(1), [PersonAdded(1, "Oda Invented", "Oda")]), Done)
    done(session, c.PlanNext(1, "press", 3, 6, 3000))
    an_evening(session)
    taken(session, csv(tmp_path, SHORT + "2026-11-24,Oda Invented,press,3x5 30\n"))
    assert not session.state.lifters[1].brought
    for _ in range(2):
        an_evening(session)
    assert [reps for reps, _ in tonight(session, "press")] == [6] * 3


def test_an_export_brought_back_goes_on_in_the_same_sets(session: Session, tmp_path: Path) -> None:
    taken(session, csv(tmp_path, FIVES))
    before = session.state
    session.journal.close()
    out, again = tmp_path / "out", tmp_path / "again.duckdb"
    assert main(["export", str(out), "--gym", str(session.journal.path)]) == 0
    assert main(["import", str(out), "--gym", str(again)]) == 0
    back = opened(again)
    assert back.state == before and tonight(back, "press") == [(5, 3000)] * 3
    back.journal.close()


def test_the_preview_says_so_before_anything_is_taken(session: Session, tmp_path: Path) -> None:
    words = " ".join(preview(ready(session, csv(tmp_path, FIVES)), session.state, session.names, ""))
    assert "in as many sets and reps as there were, until a programme is given at check-in" in words


async def test_check_in_shows_the_files_sets_and_whose_they_are(session: Session, tmp_path: Path) -> None:
    taken(session, csv(tmp_path, FIVES))
    app = FloorApp(session, ticking=False)
    async with app.run_test(size=(120, 40)) as pilot:
        await pilot.pause()
        words = read(app.screen)
        assert "press 30 kg 3×5" in words and "day 1 · sets as brought in" in words
        await pilot.press("p")
        await pilot.press("1")
        words = read(app.screen)
        assert "3×6" in words and "as brought in" not in words


@settings(max_examples=15, deadline=None)
@given(sets=st.integers(1, 8), reps=st.integers(1, 12), load=st.integers(16, 40).map(lambda n: n * 250))
def test_whatever_the_file_shows_is_what_is_asked_next(sets: int, reps: int, load: int) -> None:
    with TemporaryDirectory() as folder:
        session = opened(Path(folder) / "gym.duckdb")
        row = f"2026-11-24,Oda,squat,{sets}x{reps} {load / 100}\n"
        taken(session, csv(Path(folder), SHORT + row))
        assert tonight(session, "squat") == [(reps, load)] * sets
        session.journal.close()
