"""What next time brings: one test a rule, and the close of the session."""

from __future__ import annotations

from dataclasses import replace

from floor.core.apply import fold
from floor.core.commands import (
    Arrive,
    BarFound,
    ChangeLoad,
    ClearPain,
    CloseSession,
    Command,
    GiveProgramme,
    Leave,
    Move,
    OpenSession,
    Overrule,
    Pass,
    PlanNext,
    RecordWhole,
    ReportPain,
    SetStage,
    StartSet,
    StopAll,
    Swap,
)
from floor.core.events import CARRIED, Event
from floor.core.gym import Grade
from floor.core.nexttime import NEXT
from floor.core.state import NextPlan, State
from tests.core.scenes import (
    BENCH,
    PLATFORM,
    RACK,
    SIX,
    Scene,
    a_set,
    came,
    evening,
    gym,
    kg,
    next_evening,
    ready,
    whole_set,
)

GOOD = a_set()


def plan(scene: Scene, lift: str = "squat", lifter: int = 1) -> NextPlan:
    return scene.state.lifters[lifter].plans[lift]


def closed(*sets: Command | tuple[Command, ...], youth: bool = False, repeats: int = 0) -> tuple[str, int, int]:
    """(rule, load, repeats) of next time's squat, after these sets of a 3 x 5 at 60 kg."""
    told = Event(
        kind="next_planned", happened=SIX, lifter=1, lift="squat", sets=3, reps=5, load=kg(60), rule="x", count=repeats
    )
    who = ready(squat=60, youth=youth)
    scene = evening(who[:-2], told, who[-2:], *sets).given(CloseSession())
    return plan(scene).rule, plan(scene).load, plan(scene).repeats


def test_all_reps_made_and_form_held_adds_one_step_and_forgets_the_repeats() -> None:
    assert closed(GOOD, GOOD, GOOD, repeats=2) == ("all-made", kg(62.5), 0)


def test_a_rough_set_repeats_the_load() -> None:
    assert closed(GOOD, a_set(grade=Grade.ROUGH), GOOD) == ("rough-repeats", kg(60), 1)


def test_a_fault_to_fix_repeats_the_load_whatever_the_grade() -> None:
    assert closed(GOOD, a_set(faults="d", grade=Grade.SHARP), GOOD) == ("rough-repeats", kg(60), 1)


def test_a_fault_to_fix_in_the_ramp_counts() -> None:
    scene = evening(came(squat=60)).given(a_set(faults="d"), a_set(), *(a_set() for _ in range(3)), CloseSession())
    assert (plan(scene).rule, plan(scene).load) == ("rough-repeats", kg(60))


def test_a_missed_rep_repeats_the_load() -> None:
    assert closed(GOOD, a_set(made=4, missed=1), GOOD) == ("miss-repeats", kg(60), 1)


def test_three_repeats_in_a_row_ease_and_start_again() -> None:
    assert closed(GOOD, a_set(made=4, missed=1), GOOD, repeats=1) == ("miss-repeats", kg(60), 2)
    assert closed(GOOD, a_set(made=4, missed=1), GOOD, repeats=2) == ("three-repeats-ease", kg(54), 0)


def test_three_misses_over_three_evenings_ease() -> None:
    scene = evening(ready(squat=60))
    for _ in range(3):
        scene = scene.given(a_set(made=4, missed=1), a_set(made=4, missed=1), a_set(made=4, missed=1))
        assert plan(scene).load == kg(60)
        scene = next_evening(scene).given(Arrive(1, RACK), *ready(1)[-1:])
    assert (plan(scene).rule, plan(scene).load) == ("three-repeats-ease", kg(54))


def test_a_broken_set_eases() -> None:
    assert closed(GOOD, a_set(grade=Grade.BROKEN), GOOD) == ("broken-eases", kg(54), 0)


def test_after_a_fault_that_lightens_next_time_is_no_heavier_than_tonight_ended() -> None:
    assert closed(a_set(faults="k", grade=Grade.SHARP), GOOD, GOOD) == ("asked-holds", kg(54), 0)


def test_a_fault_that_lightens_costs_nothing_next_time_where_the_coach_kept_the_load() -> None:
    kept = closed(a_set(faults="k", grade=Grade.SOUND), Overrule(1, "squat", "keep", sure=True), GOOD, GOOD)
    assert kept == ("asked-holds", kg(60), 1)
    assert closed(GOOD, GOOD, a_set(faults="k", grade=Grade.SOUND)) == ("asked-holds", kg(60), 1)


def test_after_a_fault_that_lightens_the_last_load_of_the_evening_is_what_it_ended_at() -> None:
    back = (a_set(faults="k", grade=Grade.ROUGH), GOOD, Overrule(1, "squat", "add", sure=True), GOOD)
    rule, load, _ = closed(*back)
    assert rule == "asked-holds" and kg(54) < load <= kg(60)


def test_a_fault_that_lightens_three_evenings_running_eases() -> None:
    last = a_set(faults="k", grade=Grade.SOUND)
    assert closed(GOOD, GOOD, last, repeats=2) == ("three-repeats-ease", kg(54), 0)


def test_a_stopped_lift_eases() -> None:
    assert closed(GOOD, a_set(faults="x")) == ("stopped-eases", kg(54), 0)


def test_a_lift_stopped_in_its_ramp_eases_too() -> None:
    scene = evening(came(squat=60)).given(a_set(faults="x"), CloseSession())
    assert (plan(scene).rule, plan(scene).load) == ("stopped-eases", kg(54))


def test_a_dangerous_fault_in_the_last_set_eases_with_nothing_left_to_stop() -> None:
    assert closed(GOOD, GOOD, a_set(faults="x")) == ("broken-eases", kg(54), 0)


def test_sets_left_out_keep_the_plan() -> None:
    assert closed(GOOD, repeats=1) == ("unfinished-stays", kg(60), 1)


def test_a_lift_not_done_keeps_its_plan_and_says_nothing() -> None:
    scene = evening(ready(squat=60)).when(CloseSession())
    assert scene.kinds == ("session_closed",)
    assert plan(scene).rule == "by-hand"


def test_sets_nobody_watched_keep_the_load() -> None:
    unseen = a_set(grade=Grade.UNSEEN)
    assert closed(unseen, unseen, unseen, repeats=1) == ("unseen-stays", kg(60), 1)


def test_lighter_than_planned_by_hand_is_the_same_plan_again() -> None:
    assert closed(ChangeLoad(1, kg(50)), GOOD, GOOD, GOOD) == ("lowered-repeats", kg(60), 1)


def test_pain_eases_even_what_was_not_done() -> None:
    assert closed(ReportPain(1)) == ("pain-eases", kg(54), 0)
    assert closed(GOOD, GOOD, GOOD, ReportPain(1)) == ("pain-eases", kg(54), 0)


def test_the_evening_pain_is_cleared_adds_nothing() -> None:
    assert closed(ReportPain(1), ClearPain(1), GOOD, GOOD, GOOD) == ("cleared-stays", kg(54), 0)


def test_a_light_day_does_not_move_the_load_and_is_no_repeat() -> None:
    scene = evening(came(programme="three days", squat=60)[:-1], GiveProgramme(1, "three days", 2), Arrive(1, RACK))
    assert [s.load for s in scene.of(1).sets if s.role == "work"] == [kg(48)] * 2
    scene = scene.given(*(whole_set() for _ in scene.of(1).sets), CloseSession())
    assert (plan(scene).rule, plan(scene).load, plan(scene).repeats) == ("light-day", kg(60), 0)


def test_a_light_day_still_eases_after_a_broken_set() -> None:
    scene = evening(came(programme="three days", squat=60)[:-1], GiveProgramme(1, "three days", 2), *ready(1)[-2:])
    scene = scene.given(a_set(grade=Grade.BROKEN), CloseSession())
    assert (plan(scene).rule, plan(scene).load) == ("broken-eases", kg(54))


def test_a_step_that_cannot_be_built_is_done_in_reps_first() -> None:
    coarse = replace(gym(), plates=tuple(p for p in gym().plates if p.mass >= kg(5)))
    scene = Scene(State(gym=coarse)).given(OpenSession(), ready(squat=60), GOOD, GOOD, GOOD, CloseSession())
    assert (plan(scene).rule, plan(scene).load, plan(scene).reps) == ("reps-first", kg(60), 6)


def test_building_starts_one_step_up_next_time_however_far_it_rose_tonight() -> None:
    scene = evening(ready(1, PLATFORM, "clean", clean=30)).given(*(a_set(PLATFORM, made=3) for _ in range(4)))
    assert [s.load for s in scene.of(1).sets if s.role == "build"] == [kg(30), kg(32.5), kg(35), kg(37.5)]
    closed = plan(scene.given(CloseSession()), "clean")
    assert (closed.rule, closed.load, closed.was) == ("build-step", kg(32.5), kg(30))


def test_a_first_load_is_found_and_then_planned_with_the_programmes_sets() -> None:
    beginner = came(programme="press")
    scene = evening(beginner[:-1], SetStage(1, "press", 3), beginner[-1:])
    scene = scene.given(*(a_set(made=6) for _ in range(3)), CloseSession())
    found = plan(scene, "press")
    assert (found.load, found.sets, found.reps, found.rule) == (kg(22), 3, 6, "found")


def test_pain_after_building_starts_lighter_than_tonight_started() -> None:
    """From 30 up to 37.5, then pain: a tenth off 37.5 would be more than the 30 it began with."""
    scene = evening(ready(1, PLATFORM, "clean", clean=30))
    scene = scene.given(*(a_set(PLATFORM, made=3) for _ in range(3)), ReportPain(1), CloseSession())
    assert (plan(scene, "clean").rule, plan(scene, "clean").load) == ("pain-eases", kg(27))


def test_building_that_ends_rough_does_not_take_the_rough_load_as_found() -> None:
    rough = (*(a_set(PLATFORM, made=3) for _ in range(3)), a_set(PLATFORM, made=3, grade=Grade.ROUGH))
    scene = evening(ready(1, PLATFORM, "clean", clean=30)).given(*rough, CloseSession())
    assert (plan(scene, "clean").rule, plan(scene, "clean").load) == ("rough-repeats", kg(30))


def test_every_rule_between_sessions_speaks_in_these_tests() -> None:
    unseen, light = a_set(grade=Grade.UNSEEN), ChangeLoad(1, kg(50))
    spoken = {
        closed(*sets)[0]
        for sets in (
            (ReportPain(1),), (GOOD, a_set(faults="x")), (a_set(grade=Grade.BROKEN),), (a_set(faults="k"),),
            (a_set(grade=Grade.ROUGH),),
            (a_set(made=4),), (GOOD,), (light, GOOD, GOOD, GOOD), (unseen, unseen, unseen), (GOOD, GOOD, GOOD),
            (ReportPain(1), ClearPain(1), GOOD, GOOD, GOOD),
        )
    }  # fmt: skip
    apart = {"not-done", "light-day", "two-for-two-waits", "over-once", "stage-holds",
             "light-day-repeats"}  # these have their own tests
    assert spoken == {rule.id for rule in NEXT} - apart


# --- the close


def test_the_next_day_follows_in_sequence_and_not_by_weekday() -> None:
    scene = evening(ready(programme="three days", squat=60, bench=40), GOOD, GOOD, GOOD)
    scene = next_evening(scene, days=9).given(Arrive(1, BENCH))
    assert scene.coming(1).lift == "bench"
    scene = next_evening(scene.given(*(a_set(BENCH, made=s.reps) for s in scene.of(1).sets)), days=1)
    assert scene.given(Arrive(1, RACK)).coming(1).lift == "squat"
    assert scene.state.lifters[1].day == 2


def test_a_day_not_begun_is_not_done() -> None:
    scene = evening(ready(programme="three days", squat=60)).given(CloseSession())
    assert scene.state.lifters[1].day == 0


def test_the_last_day_is_followed_by_the_first() -> None:
    scene = evening(came(programme="squat", squat=20), a_set(), a_set(), a_set()).given(CloseSession())
    assert scene.state.lifters[1].day == 0


def test_one_who_left_early_is_planned_for_as_well() -> None:
    scene = evening(ready(squat=60), GOOD, GOOD, GOOD, Leave(1)).given(CloseSession())
    assert plan(scene).load == kg(62.5)


def test_nothing_closes_while_a_set_runs() -> None:
    scene = evening(ready(squat=60), StartSet(RACK)).when(CloseSession())
    assert scene.why == "{lifter} is lifting at Rack: end that set first."


def test_a_closed_session_takes_nothing_more() -> None:
    scene = evening(ready(squat=60), ready(2, squat=60)).given(CloseSession())
    for command in (StartSet(RACK), Pass(RACK), Swap(RACK, 1, 2), BarFound(RACK, kg(50)), Move(1, PLATFORM), StopAll(),
                    RecordWhole(1, 3, 5), CloseSession()):  # fmt: skip
        assert scene.when(command).why


def test_a_plan_by_hand_is_what_comes_next() -> None:
    scene = next_evening(evening(ready(squat=60), GOOD, GOOD, GOOD)).given(PlanNext(1, "squat", 3, 5, kg(67.5)))
    assert plan(scene).rule == "by-hand"
    assert [s.load for s in scene.given(Arrive(1, RACK)).of(1).sets][-1] == kg(67.5)


def test_what_is_carried_is_enough_to_plan_the_next_evening() -> None:
    start = Scene()
    scene, events = start, list[Event]()
    for command in (OpenSession(), *ready(squat=60), *GOOD, *GOOD, *GOOD, ReportPain(1), CloseSession()):
        scene = scene.when(command)
        events += scene.events
    carried = fold(start.state, [e for e in events if e.kind in CARRIED])
    assert carried.lifters == scene.state.lifters
    assert carried.sessions == scene.state.sessions
