"""When a lifter must go, and when one who is late comes: told by the coach, kept by the plan or said that it can't."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest

from floor.core.arrivals import NOT_YET
from floor.core.commands import Arrive, ExpectLate, Leave, OpenSession, SetLeaving, TakeOffer, TakeTrim
from floor.core.decide import decide
from floor.core.events import USUALLY_LATE, Event
from floor.core.outlook import Outlook, Trim
from floor.core.outlooking import outlook, tonight_evening
from floor.core.outlooking.floor_order import Played
from floor.core.outlooking.offering import WORTH_SECONDS, worth
from floor.core.state import PLANNED
from floor.core.words import command_words
from tests.core.scenes import RACK, Scene, a_set, belongs, came, evening, ready


def seen(scene: Scene) -> Outlook:
    return outlook(scene.state, 1, scene.now)


def in_minutes(minutes: float) -> int:
    return round(60 * minutes)


def four() -> Scene:
    """Four on one bar with two lifts each: nobody is done within the half hour."""
    return evening(*(came(n, RACK, "squat-press", squat=40 + 10 * n, press=30) for n in range(1, 5)))


def done(view: Outlook, lifter: int) -> timedelta:
    return max(turn.end for turn in view.turns if turn.lifter == lifter) - view.made


# --- told


def test_a_time_to_go_is_kept_until_it_is_taken_back_or_they_have_left() -> None:
    scene = evening(came(1)).when(SetLeaving(1, in_minutes(40)))
    assert scene.kinds == ("leaving_set",)
    assert scene.state.evening.leaving == {1: scene.now + timedelta(minutes=40)}
    assert scene.given(SetLeaving(1, in_minutes(20))).state.evening.leaving[1] < scene.state.evening.leaving[1]
    assert scene.given(SetLeaving(1, None)).state.evening.leaving == {}
    assert scene.given(Leave(1)).when(SetLeaving(1, 600)).why == "{lifter} has left."


def test_a_time_to_go_can_be_told_before_they_have_come() -> None:
    scene = evening(belongs(1, squat=60)).given(SetLeaving(1, in_minutes(50)), Arrive(1, RACK))
    assert 1 in scene.state.evening.leaving


def test_a_time_to_go_needs_a_session_somebody_known_and_a_time_ahead() -> None:
    scene = Scene().given(belongs(1))
    assert scene.when(SetLeaving(1, 600)).why == "No session is open."
    scene = scene.given(OpenSession())
    assert scene.when(SetLeaving(8, 600)).why == "Nobody with that number belongs to the gym."
    assert "in the next 12 hours" in scene.when(SetLeaving(1, 0)).why
    assert "in the next 12 hours" in scene.when(SetLeaving(1, 13 * 3600)).why
    assert "nothing to take back" in scene.when(SetLeaving(1, None)).why


def test_what_was_told_is_said_in_minutes() -> None:
    scene = evening(came(1), belongs(2))
    gym, names = scene.state.gym, {1: "Ada", 2: "Bo"}
    assert command_words(scene.when(SetLeaving(1, 1800)).events, gym, names) == "Ada must go in 30 min"
    taken_back = scene.given(SetLeaving(1, 1800)).when(SetLeaving(1, None))
    assert command_words(taken_back.events, gym, names) == "Ada may stay"
    assert command_words(scene.when(ExpectLate(2, 1200)).events, gym, names) == "Bo expected late, in 20 min"


# --- planned


def test_the_planner_is_given_the_time_as_the_lifters_own_end() -> None:
    scene = four().given(SetLeaving(2, in_minutes(25)))
    planned, tonight, _ = tonight_evening(scene.state, scene.now)
    assert [chain.leaves for chain in planned.chains] == [None, in_minutes(25), None, None]
    after, _, _ = tonight_evening(scene.state, scene.now + timedelta(minutes=30))
    assert after.chains[1].leaves == 0


def test_who_is_done_in_time_is_not_spoken_of() -> None:
    scene = four().given(SetLeaving(2, 3 * 3600))
    assert seen(scene).leavers == ()
    assert all(trim.lifter is None for trim in seen(scene).trims)


def test_the_outlook_says_who_would_not_be_done_and_when_they_would() -> None:
    scene = four().given(SetLeaving(2, in_minutes(12)))
    view = seen(scene)
    (late,) = view.leavers
    assert (late.lifter, late.leaves) == (2, scene.state.evening.leaving[2])
    assert late.done == scene.now + done(view, 2) > late.leaves
    assert late.planned <= late.done


def trim_for(scene: Scene, lifter: int) -> tuple[int, Trim]:
    return next((n, trim) for n, trim in enumerate(seen(scene).trims) if trim.lifter == lifter)


@pytest.mark.parametrize("minutes", [8, 12, 16, 20, 24])
def test_the_trim_of_who_must_go_brings_them_to_their_time_with_the_fewest_sets(minutes: int) -> None:
    scene = four().given(SetLeaving(2, in_minutes(minutes)))
    n, trim = trim_for(scene, 2)
    assert {lifter for lifter, _ in trim.sets} == {2} and trim.kind == "leave"
    taken = decide(scene.state, TakeTrim(n), scene.now, seen(scene))
    assert isinstance(taken, tuple), taken
    after = scene.given(taken, every=0)
    gain = done(seen(scene), 2) - done(seen(after), 2)
    assert gain == timedelta(seconds=trim.seconds)
    assert (after.state.evening.leaving[2] >= after.now + done(seen(after), 2)) == ("in time" in trim.words)
    assert ("in time" in trim.words) == (seen(after).leavers == ())


def test_one_set_less_of_that_trim_would_not_be_enough() -> None:
    scene = four().given(SetLeaving(2, in_minutes(16)))
    n, trim = trim_for(scene, 2)
    assert "in time" in trim.words
    taken = decide(scene.state, TakeTrim(n), scene.now, seen(scene))
    assert isinstance(taken, tuple)
    work = [s for s in scene.of(2).sets if (2, s.no) in trim.sets and s.role != "ramp"]
    kept = [event for event in taken if event.set_no != work[0].no]
    if work[0].lift != scene.of(2).sets[0].lift:  # the ramp of a lift that is kept stays
        kept = [event for event in kept if event.kind != "set_dropped" or event.role != "ramp"]
    assert seen(scene.given(kept, every=0)).leavers != ()


def test_a_work_set_of_the_lift_in_hand_is_left_however_soon_they_must_go() -> None:
    scene = four().given(SetLeaving(2, 60))
    n, trim = trim_for(scene, 2)
    assert "still" in trim.words and "min over" in trim.words
    taken = decide(scene.state, TakeTrim(n), scene.now, seen(scene))
    assert isinstance(taken, tuple)
    left = [s for s in scene.given(taken, every=0).of(2).sets if s.status == PLANNED]
    assert {s.lift for s in left} == {"squat"} and sum(s.role != "ramp" for s in left) == 1


def test_the_trim_taken_is_recorded_as_that_lifters_and_said_with_the_name() -> None:
    scene = four().given(SetLeaving(2, in_minutes(12)))
    n, trim = trim_for(scene, 2)
    taken = decide(scene.state, TakeTrim(n), scene.now, seen(scene))
    assert isinstance(taken, tuple)
    (event,) = [event for event in taken if event.kind == "trim_taken"]
    assert (event.lifter, event.action, event.seconds) == (2, "leave", trim.seconds)
    assert command_words(taken, scene.state.gym, {2: "Bo"}).startswith("trim: Bo, ")


def test_an_order_that_gets_who_must_go_done_sooner_is_worth_others_waiting_but_not_the_closing() -> None:
    now = Played((), finish=3000, waits=2, waited=100, moved=40, overdue=300)
    assert worth(now, replace(now, overdue=300 - WORTH_SECONDS, waited=400))
    assert not worth(now, replace(now, overdue=301 - WORTH_SECONDS, waited=400))
    assert not worth(now, replace(now, overdue=0, finish=3001))
    assert worth(now, replace(now, overdue=0, finish=3001), closing=3001)
    assert not worth(now, replace(now, overdue=0, finish=3002), closing=3001)
    assert not worth(now, replace(now, moved=0, finish=3001), closing=4000)
    assert not worth(now, replace(now, overdue=301, finish=2000))


def test_an_order_offered_for_who_must_go_gets_them_done_sooner() -> None:
    """Five with a set each left to do: the fourth must go a minute before they would be done."""
    found = 0
    for first in range(1, 6):
        scene = evening(*(ready(n, RACK, "squat", squat=60 + 10 * ((n + first) % 5)) for n in range(1, 6)))
        for _ in range(10):
            scene = scene.later(seconds=180).given(a_set(RACK))
        view = seen(scene)
        fourth = view.turns[3].lifter
        scene = scene.given(SetLeaving(fourth, round(done(view, fourth).total_seconds()) - 60), every=0)
        view = seen(scene)
        for offer in view.offers:
            if "must go" in offer.why:
                found += 1
                taken = decide(scene.state, TakeOffer(RACK), scene.now, view)
                assert isinstance(taken, tuple)
                assert done(seen(scene.given(taken, every=0)), fourth) < done(view, fourth)
                assert ("who must go is in time" in offer.why) == (seen(scene.given(taken, every=0)).leavers == ())
    assert found


# --- late


def test_who_is_late_is_planned_from_when_they_were_told_to_come() -> None:
    scene = four().given(belongs(9, squat=50), ExpectLate(9, 1200))
    first = next(turn for turn in seen(scene).turns if turn.lifter == 9)
    assert first.start >= scene.now + timedelta(minutes=20)
    _, tonight, _ = tonight_evening(scene.state, scene.now + timedelta(minutes=5))
    assert next(one.come for one in tonight.lifters if one.lifter == 9) == 900


def test_who_should_have_come_by_now_is_taken_to_come_in_two_minutes() -> None:
    scene = four().given(belongs(9, squat=50), ExpectLate(9, 300))
    _, tonight, _ = tonight_evening(scene.state, scene.now + timedelta(minutes=8))
    assert next(one.come for one in tonight.lifters if one.lifter == 9) == NOT_YET.total_seconds()


def test_without_a_word_of_when_it_is_a_quarter_of_an_hour_also_in_older_records() -> None:
    scene = evening(belongs(9))
    told = scene.when(ExpectLate(9))
    assert told.event("late_expected").seconds == USUALLY_LATE == 900
    older = Event(kind="late_expected", happened=scene.now, session=scene.state.evening.session, lifter=9)
    assert scene.given(older, every=0).state.evening.late == {9: scene.now + timedelta(minutes=15)}


def test_a_lateness_is_put_right_by_saying_it_again_and_kept_to_sensible_minutes() -> None:
    scene = evening(belongs(9)).given(ExpectLate(9)).given(ExpectLate(9, 2400))
    assert scene.state.evening.late == {9: scene.now + timedelta(minutes=40)}
    assert "1 to 240" in scene.when(ExpectLate(9, 0)).why
    assert "1 to 240" in scene.when(ExpectLate(9, 241 * 60)).why
