"""After pain was cleared: the load that hurt does not come back by itself, whenever the clearance was recorded."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from floor.core.commands import (
    Arrive,
    ClearPain,
    CloseSession,
    Command,
    CountRep,
    Leave,
    OpenSession,
    PlanNext,
    RampDone,
    ReportPain,
    StartSet,
)
from floor.core.gym import Grade
from tests.core.scenes import (
    BENCH,
    PLATFORM,
    RACK,
    Scene,
    a_set,
    belongs,
    came,
    evening,
    kg,
    next_evening,
    ready,
    whole_set,
)

CLEARED = (ReportPain(1), ClearPain(1))
MISSED = a_set(made=3, missed=2)


def plan(scene: Scene, lift: str = "squat") -> tuple[str, float]:
    """(rule, kg) of what next time brings."""
    plan = scene.state.lifters[1].plans[lift]
    return plan.rule, plan.load / 100


def done(scene: Scene, station: int = RACK) -> Scene:
    """Every set that is left, sharp."""
    while scene.of(1).pending() is not None:
        scene = scene.given(whole_set(station))
    return scene


def works(scene: Scene, lift: str = "squat") -> list[float]:
    return [s.load / 100 for s in scene.of(1).of_lift(lift) if s.role != "ramp"]


def back(scene: Scene, station: int = RACK) -> Scene:
    """The lifter's next evening."""
    return next_evening(scene).given(Arrive(1, station))


# --- cleared during the evening


def test_after_a_clearance_next_time_is_no_heavier_than_tonight_ended() -> None:
    scene = done(evening(ready(squat=100), CLEARED))
    assert works(scene) == [90, 90, 90]
    assert plan(scene.given(CloseSession())) == ("cleared-stays", 90)


def test_and_it_comes_up_step_by_step_after_that() -> None:
    scene = back(done(evening(ready(squat=100), CLEARED)))
    assert works(scene) == [90, 90, 90]
    assert plan(done(scene).given(CloseSession())) == ("all-made", 92.5)


def test_misses_after_a_clearance_do_not_bring_the_load_that_hurt_back() -> None:
    scene = evening(ready(squat=100), CLEARED, MISSED, whole_set(), whole_set())
    assert works(scene) == [90, 81, 81]
    assert plan(scene.given(CloseSession())) == ("cleared-stays", 81)


def test_a_set_cut_short_by_pain_is_no_miss_and_no_repeat() -> None:
    cut = evening(ready(squat=100), StartSet(RACK), CountRep(RACK, True), CLEARED)
    closed = done(cut).given(CloseSession())
    assert plan(closed) == ("cleared-stays", 90) and closed.state.lifters[1].plans["squat"].repeats == 0


def test_pain_in_the_last_set_brings_a_lighter_load_though_nothing_was_left_to_ease() -> None:
    scene = evening(ready(squat=100), a_set(), a_set(), StartSet(RACK), CountRep(RACK, True), CLEARED, CloseSession())
    assert plan(scene) == ("cleared-stays", 90)


def test_who_leaves_in_the_middle_of_a_set_has_missed_nothing() -> None:
    scene = evening(ready(squat=100), a_set(), StartSet(RACK), CountRep(RACK, True), Leave(1), CloseSession())
    assert plan(scene) == ("unfinished-stays", 100)


def test_a_light_day_after_a_clearance_holds_the_full_load_down_too() -> None:
    who = belongs(1, "three days", squat=100, bench=60)
    scene = evening(who, Arrive(1, RACK), RampDone(1), *(a_set() for _ in range(3)))
    scene = done(back(scene, BENCH), BENCH)
    scene = back(scene).given(RampDone(1), CLEARED)
    begun = scene.state.lifters[1].plans["squat"].load / 100
    scene = done(scene)
    rule, load = plan(scene.given(CloseSession()))
    assert rule == "cleared-stays" and load * 0.8 <= works(scene)[-1] + 0.5 and load < begun


# --- cleared before the evening


def test_a_plan_from_before_the_pain_starts_eased_though_it_was_cleared_days_ago() -> None:
    scene = done(evening(ready(squat=100))).given(CloseSession()).later(days=1).given(CLEARED).later(days=1)
    scene = scene.given(OpenSession()).when(Arrive(1, RACK))
    eased = scene.event("next_planned")
    assert (eased.rule, eased.was, eased.load) == ("pain-cleared-eases", kg(102.5), kg(92))
    assert works(scene) == [92, 92, 92]
    closed = done(scene).given(CloseSession())
    assert plan(closed) == ("cleared-stays", 92)
    assert plan(done(back(done(scene))).given(CloseSession()))[0] == "all-made"


def test_what_was_eased_on_the_evening_of_the_pain_is_not_eased_twice() -> None:
    hurt = evening(ready(squat=100), a_set(), ReportPain(1), CloseSession())
    assert plan(hurt) == ("pain-eases", 90)
    scene = hurt.given(ClearPain(1)).later(days=2).given(OpenSession(), Arrive(1, RACK))
    assert works(scene) == [90, 90, 90]
    assert plan(done(scene).given(CloseSession())) == ("cleared-stays", 90)


def test_a_lift_of_another_day_waits_for_its_own_first_evening() -> None:
    """Pain on a squat evening, cleared: the bench starts eased on its day and the squat, done since, goes on."""
    scene = done(evening(belongs(1, "three days", squat=100, bench=60), Arrive(1, RACK), CLEARED))
    scene = back(scene, BENCH)
    assert works(scene, "bench") == [54, 54, 54]
    assert plan(done(scene, BENCH).given(CloseSession()), "bench") == ("cleared-stays", 54)


def test_held_at_the_door_and_cleared_there_starts_eased() -> None:
    scene = done(evening(ready(squat=100))).given(CloseSession(), ReportPain(1)).later(days=2)
    scene = scene.given(OpenSession(), Arrive(1, RACK), ClearPain(1))
    assert works(scene) == [92, 92, 92]


def test_building_adds_nothing_on_the_first_evening_since_a_clearance_and_goes_on_after_it() -> None:
    scene = evening(belongs(1, "clean", clean=40), CLEARED, CloseSession()).later(days=1)
    scene = done(scene.given(OpenSession(), Arrive(1, PLATFORM)), PLATFORM)
    assert works(scene, "clean") == [36, 36, 36, 36]
    again = done(back(scene, PLATFORM), PLATFORM)
    assert works(again, "clean")[0] == 36 < works(again, "clean")[-1]


def test_a_newcomer_without_a_plan_adds_nothing_on_the_first_evening_back() -> None:
    first = evening(came(1, PLATFORM, "clean"), ReportPain(1), CloseSession(), ClearPain(1)).later(days=2)
    scene = done(first.given(OpenSession(), Arrive(1, PLATFORM)), PLATFORM)
    assert len(set(works(scene, "clean"))) == 1


def test_a_plan_the_coach_made_after_the_clearance_stands_as_it_is() -> None:
    scene = done(evening(ready(squat=100))).given(CloseSession(), *CLEARED, PlanNext(1, "squat", 3, 5, kg(100)))
    scene = scene.later(days=2).given(OpenSession(), Arrive(1, RACK))
    assert works(scene) == [100, 100, 100]
    assert plan(done(scene).given(CloseSession())) == ("cleared-stays", 100)


@pytest.mark.parametrize("days", [1, 10, 40])
def test_a_clearance_counts_however_long_ago_it_was(days: int) -> None:
    scene = done(evening(ready(squat=100))).given(CloseSession(), *CLEARED).later(days=days)
    scene = scene.given(OpenSession(), Arrive(1, RACK))
    assert max(works(scene)) <= 92.5
    assert plan(done(scene).given(CloseSession()))[1] <= max(works(scene))


Sets = tuple[Command, ...]
SETS = st.sampled_from([a_set(), a_set(made=4, missed=1), MISSED, a_set(faults="k"), a_set(faults="d"),
                        *(a_set(grade=grade) for grade in (Grade.ROUGH, Grade.BROKEN, Grade.UNSEEN))])


@settings(deadline=None, max_examples=60)
@given(st.lists(SETS, max_size=3), st.lists(SETS, max_size=3), st.booleans())
def test_no_evening_with_a_clearance_brings_more_than_it_ended_with(
    before: list[Sets], after: list[Sets], youth: bool
) -> None:
    scene = evening(ready(squat=100, youth=youth))
    for one in (*before, CLEARED, *after):
        pending = scene.of(1).pending() is not None
        scene = scene.given(one) if pending or one is CLEARED else scene
    worked = [s.load for s in scene.of(1).sets if s.role == "work" and s.status == "done"]
    loads = [s.load for s in scene.of(1).sets if s.role == "work" and s.status in ("done", "planned")]
    brings = scene.given(CloseSession()).state.lifters[1].plans["squat"]
    if worked:
        assert brings.load <= loads[-1] and brings.load < kg(100), brings
