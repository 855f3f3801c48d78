"""The week: who came, what moved, what stalled, and how little a few reps say."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest

from floor.core import course
from floor.core.evidence.rates import wilson
from floor.core.evidence.trend import Verdict
from floor.core.gym import Grade
from floor.core.maxima import bests as bests_of
from floor.core.past import Best, Came, SetPast, WeekPast
from floor.core.state import NextPlan, State
from floor.core.week import Week, the_week
from tests.core.evenings import NAMES, three_lifters
from tests.plain_week import added_up

LAST = date(2026, 11, 22)
FIRST = LAST - timedelta(days=6)
TODAY = LAST + timedelta(days=3)


def lifted(
    days_ago: int, load: int, made: int = 5, *, lifter: int = 1, missed: int = 0, grade: Grade = Grade.SHARP,
    role: str = "work", lift: str = "squat", faults: tuple[tuple[int, str], ...] = (), no: int = 1,
) -> SetPast:  # fmt: skip
    """A set, so many days before the latest evening; its session has the number of its day."""
    evening = LAST - timedelta(days=days_ago)
    return SetPast(100 - days_ago, evening, lifter, lift, no, role, load, made, missed, grade, None, faults)


def past(*sets: SetPast, bests: tuple[Best, ...] | None = None) -> WeekPast:
    evenings = tuple(sorted({(s.session, s.evening) for s in sets}))
    came = tuple(sorted({(s.session, s.evening, s.lifter) for s in sets}))
    recent = bests_of(sets) if bests is None else bests
    return WeekPast(LAST, evenings, tuple(Came(*row) for row in came), added_up(sets, LAST), recent)


def week(of: WeekPast, state: State | None = None) -> Week:
    found = the_week(of, state or three_lifters().state, NAMES, TODAY)
    assert found is not None
    return found


def planned(state: State, lifter: int, plan: NextPlan) -> State:
    one = state.lifters[lifter]
    changed = replace(one, plans={**one.plans, plan.lift: plan})
    return replace(state, lifters={**state.lifters, lifter: changed})


def test_seven_days_up_to_the_latest_evening_and_the_seven_before() -> None:
    found = week(past(lifted(0, 6000), lifted(6, 5500), lifted(7, 5000), lifted(13, 4000, lifter=2)))
    assert (found.first, found.last) == (FIRST, LAST)
    assert (found.evenings, found.evenings_before, found.came, found.came_before) == (2, 2, 1, 2)
    ada, bo = found.lifters
    assert (ada.lifter, ada.came, ada.came_before) == (1, 2, 1)
    assert (bo.lifter, bo.came, bo.came_before) == (2, 0, 1)
    assert found.absent == (3,)


def test_no_evening_yet_is_no_week() -> None:
    assert the_week(WeekPast(), three_lifters().state, NAMES, TODAY) is None


def test_what_moved_is_the_heaviest_work_set_and_the_load_times_reps() -> None:
    ramp = lifted(0, 9000, role="ramp", no=3)
    sets = (lifted(0, 6000), lifted(0, 6250, 3, missed=2, no=2), ramp, lifted(8, 5750, 5), lifted(8, 5750, 4, no=2))
    (squat,) = week(past(*sets)).lifters[0].lifts
    assert squat.top is not None and (squat.top.load, squat.top.reps) == (6250, 3)
    assert squat.before is not None and (squat.before.load, squat.before.reps) == (5750, 5)
    assert squat.moved == 6000 * 5 + 6250 * 3 + 9000 * 5
    assert squat.moved_before == 5750 * 9
    assert squat.missed == 2


def test_the_estimate_is_of_a_work_set_all_made_and_not_rough_and_carries_its_band() -> None:
    sets = (
        lifted(0, 6000),
        lifted(0, 6250, grade=Grade.ROUGH, no=2),
        lifted(0, 6250, grade=Grade.BROKEN, no=3),
        lifted(0, 6250, 4, missed=1, no=4),
        lifted(0, 9000, role="ramp", no=5),
    )
    (squat,) = week(past(*sets)).lifters[0].lifts
    assert squat.maximum is not None
    assert squat.maximum.value == 7000  # 60 kg for 5: 60 x (1 + 5/30)
    assert squat.maximum.low == round(7000 * (1 - 0.042)) and squat.maximum.high == round(7000 * (1 + 0.042))


def test_a_set_that_nobody_watched_speaks_for_the_maximum_and_not_for_form() -> None:
    sets = (lifted(0, 6000), lifted(0, 6600, grade=Grade.UNSEEN, no=2))
    (squat,) = week(past(*sets)).lifters[0].lifts
    assert squat.maximum is not None and squat.maximum.value == 7700  # 66 kg for 5
    assert squat.faults.watched == 5


def test_before_the_trends_are_read_the_maximum_rests_on_the_two_weeks_alone() -> None:
    light, full = lifted(0, 8000), lifted(20, 10000)
    of, state = past(light, full), three_lifters().state
    for trends, evening in ((False, LAST), (True, LAST - timedelta(days=20))):
        found = the_week(of, state, NAMES, TODAY, trends)
        assert found is not None
        (squat,) = found.lifters[0].lifts
        assert squat.maximum is not None and squat.maximum.evening == evening


def test_without_an_estimate_this_week_the_one_before_stands() -> None:
    sets = (lifted(0, 6000, grade=Grade.ROUGH), lifted(9, 6000))
    (squat,) = week(past(*sets)).lifters[0].lifts
    assert squat.maximum is not None and squat.maximum.evening == LAST - timedelta(days=9)


def test_only_watched_reps_count_for_the_fault_rate_and_few_say_little() -> None:
    sets = (
        lifted(0, 6000, faults=((2, "heels-lifting"), (2, "diving-down"), (4, "heels-lifting"))),
        lifted(0, 6000, grade=Grade.UNSEEN, no=2),
        lifted(9, 6000, faults=((1, "heels-lifting"),), no=3),
    )
    (squat,) = week(past(*sets)).lifters[0].lifts
    assert (squat.faults.faulty, squat.faults.watched) == (2, 5)
    assert squat.faults.rate == wilson(2, 5)
    assert squat.faults.rate.high - squat.faults.rate.low > 0.5


def test_nothing_watched_is_no_rate() -> None:
    assert course.fault_rate([lifted(0, 6000, grade=Grade.UNSEEN)]).words == "none watched"


def test_a_fault_somewhere_in_the_set_is_one_faulty_rep_at_least() -> None:
    assert lifted(0, 6000, faults=((0, "heels-lifting"),)).faulty == 1
    assert lifted(0, 6000, faults=((0, "heels-lifting"), (3, "heels-lifting"))).faulty == 1


def test_a_fault_on_a_missed_rep_never_adds_a_clean_one() -> None:
    done = lifted(0, 6000, 4, missed=1, faults=((5, "heels-lifting"),))
    assert done.clean <= 4 and done.clean + done.faulty <= done.tried


def test_stalls_by_repeats_stand_before_stalls_by_trend() -> None:
    about_60 = (6000, 6010, 5990, 6005, 5995, 6002, 6012, 5992, 6007, 5997)
    flat = tuple(Best(LAST - timedelta(days=7 * n), 1, "squat", 5, load) for n, load in enumerate(about_60))
    sets = (lifted(0, 6000), lifted(0, 5000, lifter=2))
    state = planned(three_lifters().state, 2, NextPlan("squat", 3, 5, 4500, course.EASED, 0, was=5000))
    found = week(past(*sets, bests=flat), state)
    assert [(s.lifter, s.repeats) for s in found.stalls] == [(2, True), (1, False)]
    assert found.stalls[0].words == "stalled: 3 repeats running, now lighter"
    assert "under a step in 4 weeks" in found.stalls[1].words


def test_a_lift_held_at_its_stages_heaviest_load_is_no_stall() -> None:
    clean = three_lifters().state.gym.lifts["clean"]
    stage = next(s for s in clean.stages if s.most is not None)
    assert stage.most is not None
    flat = tuple(Best(LAST - timedelta(days=7 * n), 1, "clean", 3, stage.most) for n in range(10))
    state = planned(three_lifters().state, 1, NextPlan("clean", 4, 3, stage.most, "stage-holds", 0))
    lifters = {**state.lifters, 1: replace(state.lifters[1], stages={"clean": stage.no})}
    done = lifted(0, stage.most, 3, lift="clean")
    found = week(past(done, bests=flat), replace(state, lifters=lifters))
    (lift,) = found.lifters[0].lifts
    assert found.stalls == () and lift.progress is not None
    assert lift.progress.verdict is Verdict.HELD
    assert lift.progress.words.startswith("at stage limit: no more than ")
    (lift,) = week(past(done, bests=flat), state).lifters[0].lifts
    assert lift.progress is not None and lift.progress.verdict is Verdict.STALLED, "past its stages it is one"


def test_a_lift_whose_load_is_still_being_found_is_no_stall() -> None:
    flat = tuple(Best(LAST - timedelta(days=7 * n), 1, "bench", 5, 2000) for n in range(10))
    found = week(past(lifted(0, 2000, lift="bench"), bests=flat))
    (lift,) = found.lifters[0].lifts
    assert found.stalls == () and lift.progress is not None
    assert lift.progress.verdict is Verdict.EARLY and "still to be found" in lift.progress.words


def test_repeats_still_running_are_a_stall() -> None:
    state = planned(three_lifters().state, 1, NextPlan("squat", 3, 5, 6000, "miss-repeats", 3))
    found = week(past(lifted(0, 6000)), state)
    assert [s.words for s in found.stalls] == ["stalled: 3 repeats running"]


def test_a_lift_that_rises_is_no_stall_and_a_few_days_are_too_early() -> None:
    rising = tuple(Best(LAST - timedelta(days=7 * n), 1, "squat", 5, 6000 - 250 * n) for n in range(10))
    (squat,) = week(past(lifted(0, 6000), bests=rising)).lifters[0].lifts
    assert squat.progress.verdict is Verdict.RISING
    (squat,) = week(past(lifted(0, 6000), bests=rising[:3])).lifters[0].lifts
    assert squat.progress.verdict is Verdict.EARLY


def test_before_the_twelve_weeks_are_read_nothing_is_said_of_progress_and_the_rest_stands() -> None:
    flat = tuple(Best(LAST - timedelta(days=7 * n), 1, "squat", 5, 6000) for n in range(10))
    state = three_lifters().state
    early = the_week(past(lifted(0, 6000)), state, NAMES, TODAY, trends=False)
    whole = the_week(past(lifted(0, 6000), bests=flat), state, NAMES, TODAY)
    assert early is not None and whole is not None and whole.stalls and not early.stalls
    (before,), (after,) = early.lifters[0].lifts, whole.lifters[0].lifts
    assert before.progress is None and after.progress is not None
    assert replace(before, progress=after.progress) == after


def test_the_plan_is_the_recorded_one() -> None:
    (squat,) = week(past(lifted(0, 6000))).lifters[0].lifts
    assert squat.plan is not None and squat.plan.load == 6250


# --- one lift over time


def test_the_form_limit_in_words_with_its_band_and_how_many_reps() -> None:
    sets = [lifted(n * 2, 4000, 5, no=n) for n in range(8)]
    sets += [lifted(n * 2, 5500, 5, faults=((1, "a"), (2, "a"), (3, "a")), no=20 + n) for n in range(8)]
    found = course.form(sets, "kg", TODAY)
    assert found.limit.load is not None and 4000 < found.limit.load < 5500
    assert found.words.startswith("fault-free 8 times in 10 up to ")
    assert found.words.endswith(", 80 watched reps") and " kg (" in found.words


def test_too_little_seen_is_said_so() -> None:
    sets = [lifted(0, 4000), lifted(0, 4000, grade=Grade.UNSEEN, no=2)]
    assert course.form(sets, "kg", TODAY).words == "too little seen: 5 watched reps on 1 evening, 10 on 2 needed"


def test_form_that_fails_at_every_load_says_the_lightest() -> None:
    sets = [lifted(n, 4000, 5, faults=((1, "a"), (2, "a"), (3, "a"), (4, "a")), no=n) for n in range(6)]
    assert course.form(sets, "kg", TODAY).words.startswith("not fault-free 8 times in 10 even at 40 kg")


@pytest.mark.parametrize(("load", "past_it"), [(4000, False), (6000, True)])
def test_a_plan_past_the_form_limit_is_noticed(load: int, past_it: bool) -> None:
    sets = [lifted(n * 2, 4000, 5, no=n) for n in range(8)]
    sets += [lifted(n * 2, 5500, 5, faults=((1, "a"), (2, "a"), (3, "a")), no=20 + n) for n in range(8)]
    limit = course.form(sets, "kg", TODAY).limit
    assert course.past_limit(limit, NextPlan("squat", 3, 5, load, "all-made", 0)) is past_it


def test_faults_by_week_count_reps_and_leave_unwatched_weeks_open() -> None:
    sets = [
        lifted(0, 6000, faults=((1, "a"), (2, "a"), (2, "b"))),
        lifted(8, 6000, grade=Grade.UNSEEN, no=2),
        lifted(15, 6000, faults=((0, "a"),), no=3),
        lifted(20, 6000, no=4),
    ]
    found = course.fault_weeks(sets, 26)
    assert found is not None
    assert found.watched == (10, 0, 5)
    assert [row.fault for row in found.rows] == ["a", "b"]
    assert found.rows[0].share == (0.1, None, 0.4)
    assert found.rows[1].share == (0.0, None, 0.2)
    assert (found.rows[0].total.faulty, found.rows[0].total.watched) == (3, 15)
    assert course.fault_weeks([lifted(0, 6000, grade=Grade.UNSEEN)], 26) is None
