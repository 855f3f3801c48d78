"""The clean never goes ahead of the load its form has been seen to hold: found at arrival, frozen for the evening."""

from __future__ import annotations

from dataclasses import replace

from floor.core.commands import Arrive, ClearPain, CloseSession, PlanNext, RampDone, ReportPain, SetStage
from floor.core.evidence.formlimit import VERSION, Cell
from floor.core.gym import Entry, Programme
from floor.core.limits import CAPS, cap_words, form_lifts, found
from floor.core.state import FormCap, NextPlan
from floor.core.summary import summarise
from floor.core.whynext import why_next
from tests.core.scenes import PLATFORM, Scene, a_set, belongs, evening, gym, kg

FALLS_AT_40 = (Cell(kg(30), 2, 12, 0), Cell(kg(40), 4, 2, 10), Cell(kg(30), 7, 12, 0), Cell(kg(40), 9, 2, 10))
"""Clean at 30 kg and faulty at 40, on four evenings."""
HOLDS_AT_40 = (Cell(kg(40), 2, 12, 0), Cell(kg(40), 4, 12, 0), Cell(kg(40), 7, 12, 0))
FEW = (Cell(kg(40), 2, 1, 2),)


def arrives(clean: float, seen: tuple[Cell, ...] | None, lift: str = "clean") -> Scene:
    """A lifter with that clean planned checks in, with this on the record."""
    what = () if seen is None else ((lift, seen),)
    return evening(belongs(1, "clean", clean=clean)).when(Arrive(1, PLATFORM, seen=what))


def plan(scene: Scene, lift: str = "clean") -> NextPlan:
    return scene.state.lifters[1].plans[lift]


def build_loads(scene: Scene) -> set[int]:
    return {s.load for s in scene.of(1).sets if s.role == "build"}


def test_a_plan_past_the_form_limit_comes_down_to_it_on_record() -> None:
    scene = arrives(50, FALLS_AT_40)
    limit, brought = scene.event("limit_found"), scene.event("next_planned")
    assert limit.load is not None and kg(30) < limit.load < kg(40)
    assert (limit.rule, limit.definition, limit.count, limit.day) == ("form-limit", VERSION, 48, 4)
    assert (brought.rule, brought.was) == ("form-limit-caps", kg(50))
    assert brought.load is not None and brought.load <= limit.load
    assert build_loads(scene) == {brought.load}


def test_a_plan_under_the_form_limit_is_left_alone() -> None:
    scene = arrives(40, HOLDS_AT_40)
    assert scene.event("limit_found").load is not None
    assert "next_planned" not in scene.kinds
    assert build_loads(scene) == {kg(40)}


def test_too_little_seen_caps_nothing_and_says_so() -> None:
    scene = arrives(50, FEW)
    assert (scene.event("limit_found").load, scene.event("limit_found").count) == (None, 3)
    assert build_loads(scene) == {kg(50)}
    assert cap_words(scene.of(1).limits["clean"], "kg") == (
        "form too early to say: 3 watched reps on 1 day (10 on 2 needed)"
    )


def test_the_stages_own_limit_still_holds_with_nothing_seen() -> None:
    jumping = (belongs(1, "clean", clean=50), SetStage(1, "clean", 3))
    scene = evening(jumping).when(Arrive(1, PLATFORM, seen=(("clean", ()),)))
    assert build_loads(scene) == {kg(20)}


def test_no_record_read_leaves_no_limit_and_no_words() -> None:
    scene = arrives(50, None)
    assert "limit_found" not in scene.kinds and scene.of(1).limits == {}
    assert cap_words(None, "kg") == ""


def test_what_was_found_at_arrival_is_used_all_evening() -> None:
    scene = arrives(40, HOLDS_AT_40)
    frozen = scene.of(1).limits
    scene = scene.given(RampDone(1), *(a_set(PLATFORM, made=3, faults="a") for _ in range(2)))
    assert scene.of(1).limits == frozen


def test_next_time_goes_no_further_than_the_form_limit_and_says_on_what_evidence() -> None:
    cap = FormCap(kg(41), 48, 4)
    scene = evening(belongs(1, "clean", clean=40), Arrive(1, PLATFORM), RampDone(1))
    present = replace(scene.of(1), limits={"clean": cap})
    state = replace(scene.state, evening=replace(scene.state.evening, here={1: present}))
    scene = replace(scene, state=state).given(*(a_set(PLATFORM, made=3) for _ in range(4)))
    coming = summarise(scene.state).came[0].lifts[0].next
    assert coming is not None and coming.load <= cap.load
    closed = scene.given(CloseSession())
    assert plan(closed).load <= cap.load


def test_a_plan_by_hand_past_the_limit_comes_down_once_the_lift_was_done() -> None:
    scene = arrives(40, HOLDS_AT_40)
    limit = scene.of(1).limits["clean"].load
    assert limit is not None
    scene = scene.given(PlanNext(1, "clean", 4, 3, kg(60), sure=True))
    assert plan(scene.given(CloseSession())).load == kg(60)  # nothing was seen since
    closed = scene.given(RampDone(1), *(a_set(PLATFORM, made=3) for _ in range(4)), CloseSession())
    assert plan(closed).rule == "build-step" and kg(40) < plan(closed).load <= limit


def test_a_lift_trained_in_sets_across_and_not_marked_is_not_held_by_the_limit() -> None:
    scene = evening(belongs(1, "squat", squat=60)).when(Arrive(1, 1, seen=(("squat", FALLS_AT_40),)))
    assert "limit_found" not in scene.kinds


def test_the_gyms_marked_lifts_and_the_build_sets_are_held_by_form() -> None:
    lifter = evening(belongs(1, "squat")).state.lifters[1]
    assert form_lifts(gym(), lifter) == ("clean",)
    build = Programme("squat", "x", ((Entry("press", 3, 5, role="build"),),))
    assert form_lifts(replace(gym(), programmes={"squat": build}), lifter) == ("clean", "press")


def test_pain_cleared_during_the_evening_plans_under_the_limit_found_at_arrival() -> None:
    scene = evening(belongs(1, "clean", clean=50), ReportPain(1))
    scene = scene.given(Arrive(1, PLATFORM, seen=(("clean", FALLS_AT_40),)), ClearPain(1))
    limit = scene.of(1).limits["clean"].load
    assert limit is not None and max(build_loads(scene)) <= limit


def test_the_cap_is_the_load_at_which_eight_reps_in_ten_are_clean() -> None:
    cap = found(FALLS_AT_40, "kg")
    assert (cap.reps, cap.days) == (48, 4)
    assert cap_words(FormCap(kg(46.25), 38, 5), "kg") == "form holds to about 46.3 kg (38 watched reps)"


def test_next_time_says_how_far_form_was_seen_to_hold() -> None:
    scene = arrives(40, FALLS_AT_40)
    said = why_next(scene.state, scene.of(1), "clean", CAPS)
    limit = scene.of(1).limits["clean"]
    assert said == f"no further than form has been seen to hold ({cap_words(limit, 'kg')})" and "48 watched" in said
