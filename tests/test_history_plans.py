"""What next time starts from follows the newest day brought in, and never takes the place of what came after it."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path

import pytest

from floor.core import commands as c
from floor.core.gym import Grade
from floor.core.people import PersonAdded
from floor.core.state import NextPlan
from floor.exchange.preview import preview
from floor.roster import bring_roster
from floor.session import Done, Session
from tests.bringing import HEAD, NOW, asked_of, csv, opened, ready, taken

OCTOBER = HEAD + "2026-10-05,Oda Invented,squat,60,5\n2026-10-19,Oda Invented,squat,65,5\n"
NOVEMBER = HEAD + "2026-11-09,Oda Invented,squat,70,5\n2026-11-16,Oda Invented,squat,72.5,5\n"


@pytest.fixture
def session(tmp_path: Path) -> Iterator[Session]:
    one = opened(tmp_path / "gym.duckdb")
    yield one
    one.journal.close()


def plan(session: Session, lift: str = "squat") -> NextPlan:
    (lifter,) = session.state.lifters.values()
    return lifter.plans[lift]


def words(session: Session, path: Path) -> str:
    return "\n".join(preview(ready(session, path), session.state, session.names, ""))


def an_evening(session: Session) -> None:
    """Oda squats tonight as planned, and the session is closed."""
    assert isinstance(session.do(c.OpenSession()), Done)
    assert isinstance(session.do(c.Arrive(1, 1)), Done)
    for one in session.state.evening.here[1].sets:
        if one.lift == "squat":
            assert isinstance(session.do(c.RecordWhole(1, one.no, one.reps, grade=Grade.SOUND)), Done)
    assert isinstance(session.do(c.CloseSession()), Done)


def test_newer_days_move_the_plan_an_older_file_made(session: Session, tmp_path: Path) -> None:
    taken(session, csv(tmp_path, OCTOBER))
    assert plan(session).load == 6500
    newer = csv(tmp_path, NOVEMBER)
    assert "Oda: squat 1x5 65 kg -> 1x5 72.5 kg" in words(session, newer)
    taken(session, newer)
    assert (plan(session).load, plan(session).rule) == (7250, "imported")


def test_older_days_leave_the_plan_a_newer_file_made(session: Session, tmp_path: Path) -> None:
    taken(session, csv(tmp_path, NOVEMBER))
    stands = plan(session)
    older = csv(tmp_path, OCTOBER)
    assert "Plans left alone:\n    Oda: squat 1x5 72.5 kg, from a newer day" in words(session, older)
    taken(session, older)
    assert plan(session) == stands
    newest = csv(tmp_path, HEAD + "2026-11-20,Oda Invented,squat,75,5\n")
    taken(session, newest)
    assert plan(session).load == 7500


def test_undo_gives_the_older_plan_back(session: Session, tmp_path: Path) -> None:
    taken(session, csv(tmp_path, OCTOBER))
    stands = plan(session)
    taken(session, csv(tmp_path, NOVEMBER))
    path = session.journal.path
    session.journal.close()
    again = opened(path)
    assert plan(again).load == 7250
    assert isinstance(again.undo(), Done) and plan(again) == stands
    taken(again, csv(tmp_path, HEAD + "2026-10-26,Oda Invented,squat,67.5,5\n"))
    assert plan(again).load == 6750
    again.journal.close()


def test_a_plan_by_hand_or_by_a_roster_is_left_alone_and_the_preview_says_why(session: Session, tmp_path: Path) -> None:
    roster = "lifter,lift,sets,reps,load\nOda Invented,squat,3,5,80\n"
    assert isinstance(bring_roster(session, csv(tmp_path, roster, "roster.csv")), Done)
    assert isinstance(session.do(c.PlanNext(1, "press", 3, 5, 3000)), Done)
    path = csv(tmp_path, NOVEMBER + "2026-11-16,Oda Invented,press,35,5\n")
    assert "Oda: squat 3x5 80 kg, from a roster; press 3x5 30 kg, set by the coach" in words(session, path)
    taken(session, path)
    assert plan(session).load == 8000 and plan(session, "press").load == 3000


def test_a_plan_an_evening_made_is_left_alone(session: Session, tmp_path: Path) -> None:
    assert isinstance(session.do(c.JoinLifter(1), [PersonAdded(1, "Oda Invented", "Oda")]), Done)
    taken(session, csv(tmp_path, OCTOBER))
    an_evening(session)
    stands = plan(session)
    assert stands.rule != "imported"
    newer = csv(tmp_path, NOVEMBER)
    assert "from an evening here" in words(session, newer)
    taken(session, newer)
    assert plan(session) == stands


def test_more_sets_of_the_newest_day_are_counted_with_those_before(session: Session, tmp_path: Path) -> None:
    row = "2026-10-19,Oda Invented,squat,65,5\n"
    taken(session, csv(tmp_path, HEAD + row * 2))
    taken(session, csv(tmp_path, HEAD + row * 3))
    assert (plan(session).sets, plan(session).load) == (3, 6500)
    taken(session, csv(tmp_path, HEAD + row * 3 + "2026-10-19,Oda Invented,squat,50,5\n"))
    assert (plan(session).sets, plan(session).load) == (3, 6500)


def test_the_plan_is_kept_under_the_day_it_rests_on(session: Session, tmp_path: Path) -> None:
    taken(session, csv(tmp_path, OCTOBER))
    assert asked_of(session, "SELECT session, load::DOUBLE FROM plans") == [(2, 65.0)]
    tops = asked_of(session, 'SELECT session, top::DOUBLE, "next"::DOUBLE FROM loads ORDER BY 1')
    assert tops == [(1, 60.0, None), (2, 65.0, 65.0)]


def test_days_before_the_gym_was_away_are_eased_all_the_same(session: Session, tmp_path: Path) -> None:
    taken(session, csv(tmp_path, OCTOBER))
    taken(session, csv(tmp_path, HEAD + "2026-11-01,Oda Invented,squat,100,5\n"))
    assert NOW - timedelta(days=14) > session.state.lifters[1].last_came  # type: ignore[operator]
    assert isinstance(session.do(c.OpenSession()), Done) and isinstance(session.do(c.Arrive(1, 1)), Done)
    loads = [s.load for s in session.state.evening.here[1].sets if s.lift == "squat" and s.role == "work"]
    assert loads and max(loads) == 9000  # 24 days away: a tenth off
