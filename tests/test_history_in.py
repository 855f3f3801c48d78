"""A history kept in a spreadsheet comes in whole or not at all, and overwrites nothing that came later."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta
from pathlib import Path

import pytest

from floor.core import commands as c
from floor.core.evidence.trend import Verdict
from floor.core.gym import Grade
from floor.core.people import PersonAdded
from floor.core.week import the_week
from floor.exchange.preview import preview
from floor.journal.past import read_lifter
from floor.journal.twoweeks import read_week
from floor.roster import bring_roster
from floor.session import Done, Refused, Session
from floor.tui.present_lifter import course_of
from tests.bringing import HEAD, NOW, asked_of, came, csv, messy, opened, ready, refused, taken, work


@pytest.fixture
def session(tmp_path: Path) -> Iterator[Session]:
    one = opened(tmp_path / "gym.duckdb")
    yield one
    one.journal.close()


def test_a_messy_workbook_is_read_as_it_was_meant(session: Session, tmp_path: Path) -> None:
    found = taken(session, messy(tmp_path))
    assert work(session) == [
        *[("Oda", "squat", 60.0, 5)] * 3, *[("Oda", "squat", 62.5, 5)] * 2, ("Oda", "squat", 62.5, 4),
        *[("Pim", "bench", 43.09, 5)] * 2, ("Pim", "squat", 20.0, 5), *[("Oda", "deadlift", 80.0, 5)] * 3,
        ("Oda", "clean", 20.0, 3), ("Oda", "clean", 30.0, 3), ("Oda", "clean", 30.0, 2),
    ]  # fmt: skip
    words = "\n".join(preview(found, session.state, session.names, ""))
    for said in ('"Weight (kg)"  the load, in kg', '"Notes"        not read', "new: Pim Made-Up", "15 sets on 3 days",
                 "Autumn, row 5: 2026-11-16  oda invented  squat  62.5 kg x5,5,4", "sets in shorthand"):  # fmt: skip
        assert said in words, words


def test_the_same_file_twice_changes_nothing(session: Session, tmp_path: Path) -> None:
    path = messy(tmp_path)
    taken(session, path)
    again = ready(session, path)
    assert again.command.days == () and again.again == 15
    before = session.journal.head
    assert isinstance(session.do(again.command, again.people), Refused) and session.journal.head == before


def test_a_file_that_has_grown_brings_only_what_is_new_into_the_same_day(session: Session, tmp_path: Path) -> None:
    taken(session, csv(tmp_path, HEAD + "2026-11-16,Oda,squat,60,5\n2026-11-16,Oda,squat,60,5\n"))
    grown = HEAD + "2026-11-16,Oda,squat,60,5\n" * 2 + "2026-11-16,Oda,press,30,5\n2026-11-18,Oda,squat,62.5,5\n"
    found = taken(session, csv(tmp_path, grown))
    assert found.again == 2
    rows = asked_of(session, "SELECT session, set_no, lift FROM sets ORDER BY 1, 2")
    assert rows == [(1, 1, "squat"), (1, 2, "squat"), (1, 3, "press"), (2, 1, "squat")]
    assert asked_of(session, "SELECT lifter, sessions FROM people") == [("Oda", 2)]


def test_one_bad_row_and_nothing_is_taken_every_one_named_with_what_to_do(session: Session, tmp_path: Path) -> None:
    words = refused(session, csv(tmp_path, HEAD + (
        "2026-11-16,Oda,squat,60,5\n2026-11-31,Oda,squat,60,5\n,Oda,squat,60,5\n2026-11-16,,squat,60,5\n"
        "2026-11-16,Oda,back squat,60,5\n2026-11-16,Oda,squat,heavy,5\n2026-11-16,Oda,squat,60,500\n"
        "2026-11-16,Oda,squat,,5\n2027-01-01,Oda,squat,60,5\n"
    )))  # fmt: skip
    for place in ('row 3, "date": "2026-11-31" is not a day', 'row 4, "date": The date is missing', "--fill",
                  'row 5, "lifter"', 'row 6, "lift"', '--lift "back squat=squat"', 'row 7, "load"', 'row 8, "reps"',
                  'row 9, "load": the load is missing', 'row 10, "date": 2027-01-01 has not been yet'):  # fmt: skip
        assert place in words, words
    assert 'row 2, "' not in words and session.people == {}


def test_an_ungraded_past_speaks_for_the_maximum_and_not_for_form(session: Session, tmp_path: Path) -> None:
    days = "".join(f"2026-{month}-{day},Oda,squat,{load},5\n" for month, day, load in (
        ("10", 19, 60), ("10", 26, 62.5), ("11", 2, 65), ("11", 9, 67.5), ("11", 16, 70), ("11", 23, 72.5)
    ))  # fmt: skip
    taken(session, csv(tmp_path, HEAD + days))
    (lifter,) = session.state.lifters
    cursor = session.journal.cursor()
    week = the_week(read_week(cursor), session.state, session.names, NOW.date())
    past = read_lifter(cursor, lifter)
    cursor.close()
    assert week is not None
    (squat,) = week.lifters[0].lifts
    assert squat.maximum is not None and squat.maximum.value == 8458  # 72.5 kg for 5: 72.5 x (1 + 5/30)
    assert squat.progress is not None and squat.progress.verdict is Verdict.RISING
    assert squat.faults.watched == 0
    (course,) = course_of(past, session.state.lifters[lifter], session.state.gym, NOW.date()).lifts
    assert [e.value for e in course.estimates] == [7000, 7292, 7583, 7875, 8167, 8458]
    assert course.faults.words == "none watched" and course.form.words.startswith("too little seen: 0 watched reps")


def test_the_week_asked_right_after_a_history_came_in_is_that_of_the_week_screen(
    session: Session, tmp_path: Path
) -> None:
    text = "2026-10-01,Oda,squat,60,5\n2026-10-07,Oda,squat,62.5,5\n"
    text += "2026-10-07,Per,squat,50,5\n2026-09-30,Per,squat,70,5\n"
    taken(session, csv(tmp_path, HEAD + text))
    cursor = session.journal.cursor()
    screen = the_week(read_week(cursor), session.state, session.names, NOW.date())
    cursor.close()
    assert screen is not None and (screen.first, screen.last) == (date(2026, 10, 1), date(2026, 10, 7))
    tops = [(session.names[w.lifter], lift.lift, lift.top) for w in screen.lifters for lift in w.lifts]
    asked = asked_of(session, "SELECT lifter, lift, (best_load * 100)::INTEGER, best_reps FROM week ORDER BY lifter")
    assert asked == [(name, lift, *top) for name, lift, top in tops if top is not None] != []


def test_the_past_reaches_the_views_as_unseen_and_next_time_starts_where_it_ended(
    session: Session, tmp_path: Path
) -> None:
    text = "2026-11-20,Oda,squat,70,5\n" + "2026-11-23,Oda,squat,65,5\n" * 3
    taken(session, csv(tmp_path, HEAD + text))
    assert set(asked_of(session, "SELECT grade, role, seen FROM sets")) == {("unseen", None, False)}
    assert asked_of(session, "SELECT lifter, lift, sets, best_load::DOUBLE FROM week") == [("Oda", "squat", 4, 70.0)]
    tops = asked_of(session, "SELECT evening::VARCHAR, top::DOUBLE, reps, sets FROM loads ORDER BY 1")
    assert tops == [("2026-11-20", 70.0, 5, 1), ("2026-11-23", 65.0, 5, 3)]
    plan = session.state.lifters[1].plans["squat"]
    assert (plan.sets, plan.reps, plan.load, plan.rule) == (3, 5, 6500, "imported")
    assert came(session) == {"Oda": date(2026, 11, 23)}


def test_a_single_is_no_load_to_start_sets_of_five_from(session: Session, tmp_path: Path) -> None:
    head = "date,lifter,lift,work\n"
    taken(session, csv(tmp_path, head + "2026-11-23,Oda,squat,\"40x5, 60x5,5; 80x3; 100x1\"\n"
                       "2026-11-23,Oda,power clean,\"30x3; 40x2,2\"\n"))  # fmt: skip
    plans = session.state.lifters[1].plans
    assert (plans["squat"].sets, plans["squat"].reps, plans["squat"].load) == (2, 5, 6000)
    assert (plans["clean"].reps, plans["clean"].load) == (3, 3000)


def test_a_missed_or_broken_set_is_never_what_next_time_starts_from(session: Session, tmp_path: Path) -> None:
    text = "date,lifter,lift,load,reps,missed,grade\n2026-11-23,Oda,squat,60,5,,sound\n2026-11-23,Oda,squat,70,3,2,\n"
    taken(session, csv(tmp_path, text + "2026-11-23,Oda,squat,65,5,,broken\n"))
    assert session.state.lifters[1].plans["squat"].load == 6000
    grades = asked_of(session, "SELECT grade, made, missed FROM sets ORDER BY load")
    assert grades == [("sound", 5, 0), ("broken", 5, 0), ("unseen", 3, 2)]


def evening(session: Session) -> None:
    """One real evening: somebody joined, planned by hand, squatting a single set of what was planned."""
    assert isinstance(session.do(c.JoinLifter(1), [PersonAdded(1, "Oda Invented", "Oda")]), Done)
    assert isinstance(session.do(c.PlanNext(1, "squat", 3, 5, 8000)), Done)
    assert isinstance(session.do(c.OpenSession()), Done)
    assert isinstance(session.do(c.Arrive(1, 1)), Done)
    first = session.state.evening.here[1].sets[0]
    assert isinstance(session.do(c.RecordWhole(1, first.no, first.reps, grade=Grade.SOUND)), Done)
    assert isinstance(session.do(c.CloseSession()), Done)


def test_older_days_overwrite_neither_the_last_visit_nor_the_plan_nor_the_last_evening(
    session: Session, tmp_path: Path
) -> None:
    evening(session)
    was = session.state
    taken(session, csv(tmp_path, HEAD + "2025-03-03,Oda Invented,squat,60,5\n2026-01-05,Oda Invented,press,30,5\n"))
    now = session.state
    assert now.lifters[1].last_came == was.lifters[1].last_came == NOW
    assert now.lifters[1].plans["squat"] == was.lifters[1].plans["squat"] and now.lifters[1].plans["press"].load == 3000
    assert now.evening == was.evening and now.sessions == 3 and now.lifters[1].sessions == 3
    assert {e.session for e in session.tonight if e.session} == {1}


def test_a_reopened_gym_is_the_same_whatever_was_brought_in(session: Session, tmp_path: Path) -> None:
    evening(session)
    path = csv(tmp_path, HEAD + "".join(f"2025-0{m}-03,Oda Invented,squat,{50 + m},5\n" for m in range(1, 10)))
    taken(session, path)
    live = session.state
    session.journal.close()
    for days in (0, 1):
        again = opened(session.journal.path, NOW + timedelta(days=days))
        assert again.journal.opening.words == "" and again.state == live
        assert [x.command.days for x in [ready(again, path)]] == [()]
        if days:
            assert isinstance(again.do(c.OpenSession()), Done) and again.state.evening.session == 11
        again.journal.close()
    last = opened(session.journal.path, NOW + timedelta(days=1))
    assert last.state.lifters[1].last_came == NOW and last.state.sessions == 11
    last.journal.close()


@pytest.mark.parametrize("reopen", [False, True], ids=["at once", "after reopening"])
def test_undo_takes_back_all_of_it_and_it_can_come_again(session: Session, tmp_path: Path, reopen: bool) -> None:
    path = messy(tmp_path)
    taken(session, path)
    if reopen:
        session.journal.close()
        session = opened(session.journal.path)
    outcome = session.undo()
    assert isinstance(outcome, Done) and outcome.words == "Undone: a history brought in, 15 sets."
    assert work(session) == [] and session.state.lifters == {} and session.people == {} and session.state.sessions == 0
    taken(session, path)
    assert len(work(session)) == 15 and len(session.people) == 2
    session.journal.close()


def test_while_a_session_is_open_no_history_comes_in(session: Session, tmp_path: Path) -> None:
    assert isinstance(session.do(c.OpenSession()), Done)
    found = ready(session, csv(tmp_path, HEAD + "2026-11-16,Oda,squat,60,5\n"))
    outcome = session.do(found.command, found.people)
    assert isinstance(outcome, Refused) and "close it" in outcome.words and session.people == {}


def test_after_a_long_time_away_the_imported_load_is_eased(session: Session, tmp_path: Path) -> None:
    taken(session, csv(tmp_path, HEAD + "2026-04-01,Oda,squat,100,5\n"))
    assert isinstance(session.do(c.OpenSession()), Done) and isinstance(session.do(c.Arrive(1, 1)), Done)
    squats = [s.load for s in session.state.evening.here[1].sets if s.lift == "squat" and s.role == "work"]
    assert squats and max(squats) <= 6000  # 238 days away: two fifths off


def test_a_load_like_a_slip_of_the_pen_is_asked_about(session: Session, tmp_path: Path) -> None:
    rows = "2026-11-16,Oda,squat,60,5\n2026-11-18,Oda,squat,600,5\n"
    rows += "2026-11-18,Pim,press,20,5\n2026-11-20,Pim,press,62,5\n"
    odd = [str(o) for o in ready(session, csv(tmp_path, HEAD + rows)).odd]
    assert len(odd) == 2 and 'row 3, "load": 600 kg is more than 300 kg' in odd[0]
    assert 'row 5, "load": 62 kg is more than 3 times' in odd[1] and "--yes-odd" in odd[1]


def test_other_sets_of_a_day_the_gym_already_has_are_asked_about(session: Session, tmp_path: Path) -> None:
    taken(session, csv(tmp_path, HEAD + "2026-11-16,Oda,squat,60,5\n"))
    found = ready(session, csv(tmp_path, HEAD + "2026-11-16,Oda,squat,62.5,5\n"))
    assert len(found.odd) == 1 and "1 other set of this lift for Oda" in str(found.odd[0])


def test_the_roster_asks_about_such_a_load_too(session: Session, tmp_path: Path) -> None:
    path = csv(tmp_path, "lifter,lift,sets,reps,load\nOda,squat,3,5,625\n")
    outcome = bring_roster(session, path)
    assert isinstance(outcome, Refused) and "line 2, load: Oda, squat: 625 kg" in outcome.words
    assert isinstance(bring_roster(session, path, yes_odd=True), Done)
