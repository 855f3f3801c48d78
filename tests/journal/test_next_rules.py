"""The rules between sessions are counted with what the coach planned in their place, as tonight's rules are."""

from __future__ import annotations

from pathlib import Path

import pytest

from floor.clock import SetClock
from floor.core import commands as c
from floor.core.gym import Grade
from floor.core.overruled import questions
from floor.core.past import RuleCount
from floor.journal.past import read_lifter
from floor.journal.twoweeks import read_week
from floor.session import Session
from tests.tui.house import done, new_clock, open_session

BO = 2


@pytest.fixture
def clock() -> SetClock:
    return new_clock()


@pytest.fixture
def session(tmp_path: Path, clock: SetClock) -> Session:
    return open_session(tmp_path, clock)


def squats(session: Session, clock: SetClock) -> None:
    """An evening of Bo's with every set of every lift recorded sharp, not closed yet."""
    clock.on(2 * 24 * 3600)
    done(session, c.OpenSession())
    done(session, c.Arrive(BO, 1))
    for s in session.state.evening.here[BO].sets:
        if (left := session.state.evening.here[BO].set(s.no)) is not None and left.status == "planned":
            done(session, c.RecordWhole(BO, s.no, s.reps, grade=Grade.SHARP))


def lower(session: Session, by: int = 500) -> None:
    """The coach plans the squat lighter than it is proposed."""
    plan = session.state.lifters[BO].plans["squat"]
    done(session, c.PlanNext(BO, "squat", 3, 5, plan.load - by))


def of(session: Session, *rules: str) -> dict[tuple[str, str | None], int]:
    cursor = session.journal.cursor()
    try:
        return {(r.rule, r.overruled): r.times for r in read_week(cursor).rules if r.rule in rules}
    finally:
        cursor.close()


def test_a_plan_in_place_of_a_rules_is_counted_whether_before_or_after_the_close(
    session: Session, clock: SetClock
) -> None:
    squats(session, clock)
    before = of(session, "all-made")
    lower(session)
    done(session, c.CloseSession())
    assert of(session, "all-made").get(("all-made", "lighten")) == 1
    assert before == {}
    lower(session)  # a second thought is no second overruling
    assert of(session, "all-made")["all-made", "lighten"] == 1
    squats(session, clock)
    done(session, c.CloseSession())
    rule = session.state.lifters[BO].plans["squat"].rule
    stands = of(session, rule).get((rule, None), 0)
    lower(session)
    assert of(session, rule).get((rule, None), 0) == stands - 1
    assert session.undo() and of(session, rule).get((rule, None), 0) == stands
    session.journal.close()


def test_a_rule_overruled_again_and_again_is_asked_about_in_the_same_words(session: Session, clock: SetClock) -> None:
    for _ in range(9):  # every third day is a light one: another rule speaks
        squats(session, clock)
        lower(session)
        done(session, c.CloseSession())
    cursor = session.journal.cursor()
    counts = [r for r in read_week(cursor).rules if r.overruled is not None]
    assert counts and {type(r) for r in counts} == {RuleCount}
    asked = [r.words for r in questions(counts)]
    assert any("6 times in 6 (to lighten 6): change the rule?" in words for words in asked), asked
    plans = [p for p in read_lifter(cursor, BO).plans if p.overruled]
    assert len(plans) == 9 and {p.word for p in plans} == {"lighten"}
    cursor.close()
    session.journal.close()


def test_a_gym_opened_again_knows_what_the_coach_overruled(session: Session, clock: SetClock, tmp_path: Path) -> None:
    squats(session, clock)
    lower(session)
    shown = session.state
    assert Session(session.journal, clock).state == shown
    done(session, c.CloseSession())
    clock.on(2 * 24 * 3600)
    done(session, c.OpenSession())
    plan = Session(session.journal, clock).state.lifters[BO].plans["squat"]
    assert (plan.rule, plan.overruled) == ("by-hand", "all-made")
    assert plan == session.state.lifters[BO].plans["squat"]
    session.journal.close()
