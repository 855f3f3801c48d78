"""How load goes on from session to session: the step, the two load rules, reps first, back-off sets, stalls."""

from __future__ import annotations

from dataclasses import replace

import pytest

from floor.core.commands import (
    Arrive,
    ChangeLoad,
    CloseSession,
    Command,
    GiveProgramme,
    OpenSession,
    Overrule,
    RampDone,
    SetStage,
    SetStep,
)
from floor.core.events import Event
from floor.core.gym import Entry, Grade, Gym, Programme
from floor.core.state import NextPlan, State
from floor.core.steps import halved, most_after, next_up, smallest_step, step_of, stepped
from floor.core.summary import summarise
from tests.core.scenes import PLATFORM, RACK, SIX, Scene, a_set, came, evening, gym, kg, next_evening, ready

GOOD = a_set()
MISSED = a_set(made=4, missed=1)


def plan(scene: Scene, lift: str = "squat", lifter: int = 1) -> NextPlan:
    return scene.state.lifters[lifter].plans[lift]


def heavy_plates(lightest: float) -> Gym:
    """The gym with no plate lighter than this."""
    return replace(gym(), plates=tuple(p for p in gym().plates if p.mass >= kg(lightest)))


def at(gym_: Gym, *sets: Command | Event | tuple[Command | Event, ...], squat: float = 60) -> Scene:
    """A lifter in that gym, after their ramp and these."""
    return Scene(State(gym=gym_)).given(OpenSession(), ready(squat=squat), *sets)


def again(scene: Scene, *sets: Command | tuple[Command, ...]) -> Scene:
    """The next evening of the same lifter, ramp done, these sets, closed."""
    scene = scene.later(days=2).given(OpenSession(), Arrive(1, RACK), RampDone(1))
    return scene.given(*sets, CloseSession())


# --- the step


def test_the_step_is_the_lifts_until_the_lifter_has_one_of_their_own() -> None:
    scene = evening(ready(squat=60))
    assert step_of(gym(), scene.state.lifters[1], "squat") == kg(2.5)
    scene = scene.given(SetStep(1, "squat", kg(1)), GOOD, GOOD, GOOD, CloseSession())
    assert (plan(scene).load, plan(scene).rule) == (kg(61), "all-made")


def test_a_step_of_ones_own_is_of_one_lift_alone() -> None:
    scene = evening(ready(squat=60)).given(SetStep(1, "squat", kg(1)))
    assert step_of(gym(), scene.state.lifters[1], "deadlift") == gym().lifts["deadlift"].step


def test_the_same_step_no_step_and_an_absurd_one_are_refused() -> None:
    scene = evening(ready(squat=60))
    assert scene.when(SetStep(1, "squat", kg(2.5))).why == "That is the step already."
    assert scene.when(SetStep(1, "squat", 0)).why.startswith("A step is more than 0")
    assert scene.when(SetStep(1, "squat", kg(25))).why.startswith("A step is more than 0")
    assert scene.when(SetStep(1, "snatch", kg(1))).why == "The gym has no lift called snatch."


def test_a_programme_can_make_every_step_smaller() -> None:
    slow = replace(gym(), programmes={"squat": replace(gym().programmes["squat"], step_percent=40)})
    scene = at(slow, GOOD, GOOD, GOOD, CloseSession())
    assert plan(scene).load == kg(61)


def test_a_stalled_lift_is_eased_and_goes_on_in_half_the_step() -> None:
    told = Event(
        kind="next_planned", happened=SIX, lifter=1, lift="squat", sets=3, reps=5, load=kg(60), rule="x", count=2
    )
    who = ready(squat=60)
    scene = evening(who[:-2], told, who[-2:], GOOD, MISSED, GOOD).when(CloseSession())
    step = scene.event("step_set")
    assert (step.load, step.was, step.rule) == (kg(1.25), kg(2.5), "slowed-halves-step")
    assert step_of(gym(), scene.state.lifters[1], "squat") == step.load
    assert (plan(scene).rule, plan(scene).load) == ("three-repeats-ease", kg(54))


def test_the_step_is_never_halved_under_the_lightest_pair_of_plates() -> None:
    pair = smallest_step(gym())
    step = kg(2.5)
    for _ in range(10):
        step = halved(gym(), step)
    assert step == pair
    assert halved(gym(), pair) == pair


def test_a_single_repeat_leaves_the_step_alone() -> None:
    scene = evening(ready(squat=60), GOOD, MISSED, GOOD).when(CloseSession())
    assert "step_set" not in scene.kinds


# --- never more than a tenth


def test_a_beginner_with_an_empty_bar_gets_no_more_than_a_tenth() -> None:
    scene = evening(came(squat=20), *(a_set() for _ in range(3)))
    assert plan(scene.given(CloseSession())).load == kg(22)


@pytest.mark.parametrize("load", [1000, 2000, 2250, 4000, 10_000, 20_000])
def test_no_step_goes_past_a_tenth(load: int) -> None:
    assert load < stepped(load, kg(20), lambda wanted: wanted) == most_after(load) <= load * 1.1


def test_the_next_load_up_is_the_lightest_that_can_be_built_within_a_tenth() -> None:
    fives = 500
    assert next_up(kg(60), lambda wanted: wanted // fives * fives) == kg(65)
    assert next_up(kg(40), lambda wanted: wanted // fives * fives) is None


# --- reps first where the step can't be built


def test_a_step_the_plates_swallow_is_done_in_reps_up_to_two_and_then_in_load() -> None:
    coarse = heavy_plates(2.5)
    own = replace(coarse, lifts={**coarse.lifts, "squat": replace(coarse.lifts["squat"], step=kg(2.5))})
    scene = at(own, GOOD, GOOD, GOOD, CloseSession())
    assert (plan(scene).rule, plan(scene).load, plan(scene).reps, plan(scene).extra) == ("reps-first", kg(60), 6, 1)
    six = a_set(made=6)
    scene = again(scene, six, six, six)
    assert (plan(scene).rule, plan(scene).reps, plan(scene).extra) == ("reps-first", 7, 2)
    seven = a_set(made=7)
    scene = again(scene, seven, seven, seven)
    assert (plan(scene).rule, plan(scene).load, plan(scene).reps, plan(scene).extra) == ("reps-then-load", kg(65), 5, 0)


def test_the_added_reps_are_what_is_planned_next_time() -> None:
    scene = next_evening(at(heavy_plates(2.5), GOOD, GOOD, GOOD)).given(Arrive(1, RACK))
    assert [s.reps for s in scene.of(1).sets if s.role == "work"] == [6, 6, 6]


def test_a_light_day_has_no_added_reps() -> None:
    scene = at(heavy_plates(2.5), GOOD, GOOD, GOOD)
    days = ((Entry("squat", 2, 5, percent=80),),)
    light = replace(scene.state.gym, programmes={"squat": Programme("squat", "light", days)})
    scene = next_evening(scene)
    scene = replace(scene, state=replace(scene.state, gym=light)).given(Arrive(1, RACK))
    assert {s.reps for s in scene.of(1).sets if s.role == "work"} == {5}


def test_a_miss_keeps_the_added_reps_and_an_ease_drops_them() -> None:
    scene = at(heavy_plates(2.5), GOOD, GOOD, GOOD, CloseSession())
    missed = a_set(made=5, missed=1)
    scene = again(scene, missed, missed, missed)
    assert (plan(scene).rule, plan(scene).extra, plan(scene).reps) == ("miss-repeats", 1, 6)
    for _ in range(2):
        scene = again(scene, missed, missed, missed)
    assert (plan(scene).rule, plan(scene).extra, plan(scene).reps) == ("three-repeats-ease", 0, 5)


def test_a_next_load_over_a_tenth_is_left_to_the_coach_however_many_reps() -> None:
    scene = at(heavy_plates(5), GOOD, GOOD, GOOD, CloseSession(), squat=40)
    for made in (6, 7):
        done = a_set(made=made)
        scene = again(scene, done, done, done)
    assert (plan(scene).rule, plan(scene).load, plan(scene).reps) == ("no-load-fits", kg(40), 7)


# --- two-for-two


def two_for_two() -> Gym:
    return replace(gym(), settings=replace(gym().settings, load_rule="two-for-two"))


def test_two_for_two_waits_when_only_the_planned_reps_were_made() -> None:
    scene = at(two_for_two(), GOOD, GOOD, GOOD, CloseSession())
    assert (plan(scene).rule, plan(scene).load) == ("two-for-two-waits", kg(60))


def test_two_for_two_adds_after_two_reps_over_in_the_last_set_two_sessions_running() -> None:
    seven = a_set(made=7)
    scene = at(two_for_two(), GOOD, GOOD, seven, CloseSession())
    assert (plan(scene).rule, plan(scene).load, plan(scene).over) == ("over-once", kg(60), True)
    scene = again(scene, GOOD, GOOD, seven)
    assert (plan(scene).rule, plan(scene).load, plan(scene).over) == ("all-made", kg(62.5), False)


def test_two_for_two_begins_again_after_a_session_without() -> None:
    seven = a_set(made=7)
    scene = at(two_for_two(), GOOD, GOOD, seven, CloseSession())
    scene = again(scene, GOOD, GOOD, GOOD)
    assert (plan(scene).rule, plan(scene).over) == ("two-for-two-waits", False)
    assert plan(again(scene, GOOD, GOOD, seven)).rule == "over-once"


def test_one_rep_over_or_two_in_an_earlier_set_do_not_count() -> None:
    assert plan(at(two_for_two(), GOOD, GOOD, a_set(made=6), CloseSession())).rule == "two-for-two-waits"
    assert plan(at(two_for_two(), a_set(made=7), GOOD, GOOD, CloseSession())).rule == "two-for-two-waits"


def test_a_rough_set_repeats_under_two_for_two_as_well() -> None:
    assert plan(at(two_for_two(), GOOD, GOOD, a_set(made=7, faults="d"), CloseSession())).rule == "rough-repeats"


# --- a stall is said


def test_three_repeats_are_called_a_stall_before_any_statistic() -> None:
    patient = replace(gym(), settings=replace(gym().settings, repeats_before_ease=5))
    scene = at(patient, GOOD, GOOD, MISSED, CloseSession())
    for _ in range(2):
        scene = again(scene, GOOD, GOOD, MISSED)
    assert (plan(scene).rule, plan(scene).repeats, plan(scene).load) == ("stalled-repeats", 3, kg(60))
    coming = summarise(scene.state).came[0].lifts[0].next
    assert coming is not None and coming.why.startswith("stalled, three repeats")


# --- back-off sets


def with_backoff() -> Gym:
    days = ((Entry("squat", 1, 5, backoff=2, backoff_percent=80),),)
    return replace(gym(), programmes={"squat": Programme("squat", "top set and back off", days)})


def test_back_off_sets_come_after_the_top_set_at_their_share_of_it() -> None:
    scene = at(with_backoff())
    assert [(s.role, s.load) for s in scene.of(1).sets if s.role != "ramp"] == [
        ("work", kg(60)), ("backoff", kg(48)), ("backoff", kg(48)),
    ]  # fmt: skip


def test_back_off_sets_left_out_do_not_hold_the_load() -> None:
    scene = at(with_backoff(), GOOD, CloseSession())
    assert (plan(scene).rule, plan(scene).load) == ("all-made", kg(62.5))


def test_a_form_fault_in_a_back_off_set_counts_like_any_other() -> None:
    scene = at(with_backoff(), GOOD, a_set(faults="d"), CloseSession())
    assert (plan(scene).rule, plan(scene).load) == ("rough-repeats", kg(60))


def test_a_lighter_load_by_hand_never_raises_the_back_off_sets() -> None:
    scene = at(with_backoff(), ChangeLoad(1, kg(70), sure=True))
    assert [s.load for s in scene.of(1).sets if s.role == "backoff"] == [kg(48), kg(48)]
    scene = at(with_backoff(), ChangeLoad(1, kg(40)))
    assert [s.load for s in scene.of(1).sets if s.role == "backoff"] == [kg(40), kg(40)]


def test_heavier_after_the_top_set_is_a_step_on_the_back_off_set_and_not_on_the_top() -> None:
    scene = at(with_backoff(), GOOD, Overrule(1, "squat", "add"))
    assert [s.load for s in scene.of(1).sets if s.role == "backoff"] == [kg(50.5), kg(50.5)]


def test_a_lifter_without_a_load_finds_one_first_and_backs_off_another_day() -> None:
    scene = Scene(State(gym=with_backoff())).given(OpenSession(), ready()[:1], Arrive(1, RACK))
    assert "backoff" not in {s.role for s in scene.of(1).sets}


def test_a_programme_given_afresh_starts_the_days_again() -> None:
    scene = evening(ready(squat=60)).given(GiveProgramme(1, "three days", 1))
    assert (scene.state.lifters[1].programme, scene.state.lifters[1].day) == ("three days", 1)


def test_build_sets_that_never_reached_the_plan_go_on_from_there_and_say_so() -> None:
    scene = evening(ready(1, PLATFORM, "clean", clean=40)).given(ChangeLoad(1, kg(30)))
    scene = scene.given(*(a_set(PLATFORM, made=3) for _ in range(4)), CloseSession())
    assert (plan(scene, "clean").rule, plan(scene, "clean").load, plan(scene, "clean").was) == (
        "build-lowered", kg(37.5), kg(40),
    )  # fmt: skip


# --- held by a stage


def light(scene: Scene, *sets: Command | tuple[Command, ...]) -> Scene:
    """The next evening on the empty bar, which needs no ramp."""
    return scene.later(days=2).given(OpenSession(), Arrive(1, RACK), *sets, CloseSession())


def test_a_lift_held_by_its_stage_keeps_its_plan_and_never_counts_as_stalled() -> None:
    """20 kg is the most of the stage, 30 the plan: evening after evening of good sets is no repeat, nothing to ease."""
    scene = at(gym(), squat=30).given(CloseSession())
    scene = scene.given(SetStage(1, "squat", 3))
    for _ in range(4):
        scene = light(scene, GOOD, GOOD, GOOD)
        assert (plan(scene).load, plan(scene).rule, plan(scene).repeats) == (kg(30), "stage-holds", 0)


def test_a_lift_held_by_its_stage_still_eases_when_form_falls_apart() -> None:
    scene = at(gym(), squat=30).given(CloseSession())
    scene = light(scene.given(SetStage(1, "squat", 3)), GOOD, a_set(grade=Grade.BROKEN))
    assert plan(scene).rule == "broken-eases" and plan(scene).load < kg(30)
