"""What a set changes tonight: one test a rule, and the order they are asked in."""

from __future__ import annotations

import pytest

from floor.core.commands import (
    AllMade,
    ClearPain,
    Command,
    DrillFault,
    DrillRep,
    EndDrill,
    EndSet,
    Overrule,
    PutRight,
    RampDone,
    RecordWhole,
    ReportPain,
    SetStage,
    StartDrill,
    StartSet,
    SwapLifts,
)
from floor.core.events import Event
from floor.core.gym import Grade, Severity
from floor.core.proposals import RULES_VERSION, TONIGHT, suggest_grade
from floor.core.state import DROPPED, TheSet
from tests.core.scenes import PLATFORM, RACK, Scene, a_set, came, evening, gym, kg, ready
from tests.core.test_a_tenth_tonight import coarse

# The squat's letters: d not deep enough (fix), c chest dropping (fix), k knees caving in (lighten),
# l looking around (note), f folding under the bar (end).


def proposed(scene: Scene, *a_whole_set: Command) -> tuple[str, str, int]:
    """(action, rule, load) of what a set led to."""
    *past, last = a_whole_set
    event = scene.given(*past).when(last).event("set_proposed")
    return event.action or "", event.rule or "", event.load or 0


def squat(youth: bool = False) -> Scene:
    return evening(ready(squat=60, youth=youth))


def test_a_good_set_leaves_the_work_sets_as_planned() -> None:
    assert proposed(squat(), *a_set()) == ("keep", "as-planned", kg(60))
    assert proposed(squat(), *a_set(grade=Grade.SOUND, faults="l")) == ("keep", "as-planned", kg(60))


def test_more_reps_than_planned_add_nothing() -> None:
    assert proposed(squat(), *a_set(made=6)) == ("keep", "as-planned", kg(60))


def test_a_rough_set_keeps_the_load() -> None:
    assert proposed(squat(), *a_set(grade=Grade.ROUGH)) == ("keep", "rough-keeps", kg(60))


def test_a_broken_set_lightens_every_set_to_come() -> None:
    scene = squat().given(a_set(grade=Grade.BROKEN))
    assert [s.load for s in scene.of(1).sets[2:]] == [kg(60), kg(54), kg(54)]
    assert proposed(squat(), *a_set(grade=Grade.BROKEN)) == ("lighten", "broken-set", kg(54))


def test_a_fault_to_fix_keeps_the_load_even_when_the_coach_calls_it_sharp() -> None:
    assert proposed(squat(), *a_set(faults="d", grade=Grade.SHARP)) == ("keep", "fix-first", kg(60))


def test_a_fault_that_lightens_lightens_whatever_the_grade() -> None:
    assert proposed(squat(), *a_set(faults="k", grade=Grade.SHARP)) == ("lighten", "lighten-fault", kg(54))


def test_a_dangerous_fault_ends_the_lift_for_today() -> None:
    scene = squat().given(a_set(faults="x", grade=Grade.SHARP))
    assert proposed(squat(), *a_set(faults="x", grade=Grade.SHARP))[:2] == ("stop", "dangerous-fault")
    assert [s.status for s in scene.of(1).sets[3:]] == [DROPPED, DROPPED]
    assert scene.of(1).stopped == {"squat": "dangerous-fault"}
    assert scene.promised(RACK) == (None, None)


def test_a_dangerous_fault_stops_its_lift_and_not_the_next_one() -> None:
    scene = evening(came(programme="squat-press", squat=20, press=20)).given(a_set(faults="x"))
    assert scene.coming(1).lift == "press"


def test_a_dangerous_fault_in_the_ramp_stops_the_work_sets() -> None:
    scene = evening(came(squat=60)).given(a_set(faults="x"))
    assert {s.status for s in scene.of(1).sets[1:]} == {DROPPED}


def test_one_rep_short_with_good_form_keeps_the_load() -> None:
    assert proposed(squat(), *a_set(made=4, missed=1, grade=Grade.SHARP)) == ("keep", "one-rep-short", kg(60))


@pytest.mark.parametrize(("made", "missed"), [(3, 2), (3, 0), (0, 1)])
def test_two_reps_short_lighten_missed_or_not_tried(made: int, missed: int) -> None:
    answer = proposed(squat(), *a_set(made=made, missed=missed, grade=Grade.SOUND))
    assert answer == ("lighten", "two-reps-short", kg(54))


def test_a_set_nobody_watched_adds_nothing() -> None:
    assert proposed(squat(), *a_set(grade=Grade.UNSEEN)) == ("keep", "unseen-keeps", kg(60))


def test_a_ramp_set_done_alone_goes_on_as_planned() -> None:
    assert proposed(evening(came(squat=60)), *a_set(grade=Grade.UNSEEN)) == ("keep", "ramp-goes-on", kg(40))


def test_a_ramp_that_falls_apart_takes_the_whole_lift_down_for_tonight() -> None:
    scene = evening(came(squat=60)).given(a_set(), a_set(grade=Grade.BROKEN))
    assert [s.load for s in scene.of(1).sets] == [kg(20), kg(40), kg(36), kg(36), kg(36)]
    assert proposed(scene, *a_set(grade=Grade.SHARP)) == ("keep", "asked-keeps", kg(36))


def test_building_adds_nothing_more_once_the_form_has_fallen_apart() -> None:
    scene = evening(came(1, PLATFORM, "clean", clean=40), RampDone(1))
    scene = scene.given(a_set(PLATFORM, made=3, grade=Grade.BROKEN))
    assert proposed(scene, *a_set(PLATFORM, made=3, grade=Grade.SHARP))[:2] == ("keep", "asked-keeps")


def test_building_adds_a_step_and_nothing_the_evening_pain_was_cleared() -> None:
    scene = evening(came(1, PLATFORM, "clean", clean=40), RampDone(1))
    good = a_set(PLATFORM, made=3, grade=Grade.SHARP)
    assert proposed(scene, *good) == ("add", "build-adds", kg(42.5))
    assert proposed(scene.given(ReportPain(1), ClearPain(1)), *good)[:2] == ("keep", "cleared-keeps")


def test_a_stage_has_a_heaviest_load_until_it_is_signed_off() -> None:
    newcomer = evening(came(1, PLATFORM, "clean"))
    assert {s.load for s in newcomer.of(1).of_lift("clean")} == {kg(20)}
    assert proposed(newcomer, *a_set(PLATFORM, made=3, grade=Grade.SHARP)) == ("keep", "stage-limit", kg(20))


def test_a_good_ramp_set_lets_the_bar_rise() -> None:
    assert proposed(evening(came(squat=60)), *a_set()) == ("keep", "as-planned", kg(40))


def test_a_rough_ramp_set_is_done_again_and_then_goes_back_up_by_the_ramp() -> None:
    scene = evening(came(squat=60)).given(a_set(grade=Grade.ROUGH))
    assert [s.load for s in scene.of(1).sets] == [kg(20), kg(20), kg(60), kg(60), kg(60)]
    assert proposed(scene, *a_set()) == ("add", "step-back-up", kg(40))
    scene = scene.given(a_set())
    assert proposed(scene, *a_set()) == ("keep", "as-planned", kg(60))


# --- twice the same fault


def test_the_same_fault_two_sets_running_lightens() -> None:
    once = squat().given(a_set(faults="d"))
    assert proposed(once, *a_set(faults="d")) == ("lighten", "twice-lighten", kg(54))
    assert proposed(once, *a_set(faults="c")) == ("keep", "rough-keeps", kg(60))


def test_the_same_note_twice_is_put_right_before_more() -> None:
    assert proposed(squat().given(a_set(faults="l")), *a_set(faults="l")) == ("keep", "note-twice", kg(60))
    clean = staged(11).given(a_set(made=3, faults="o"))
    assert proposed(clean, *a_set(made=3, faults="o")) == ("keep", "note-twice", kg(32.5))
    assert proposed(clean, *a_set(made=3)) == ("add", "build-adds", kg(35))


def test_a_note_twice_in_the_ramp_holds_nothing() -> None:
    scene = evening(came(squat=60)).given(a_set(faults="l"))
    assert proposed(scene, *a_set(faults="l")) == ("keep", "as-planned", kg(60))


def test_a_good_set_in_between_starts_the_count_again() -> None:
    scene = staged().given(a_set(made=3, faults="a"), a_set(made=3))
    assert proposed(scene, *a_set(made=3, faults="a"))[:2] == ("keep", "rough-keeps")


def staged(stage: int = 9, load: float = 30) -> Scene:
    """A lifter on a stage of the clean, who has walked the stages above it."""
    who = came(1, RACK, "clean", clean=load)
    return evening(who[:-1], SetStage(1, "clean", stage), who[-1:], (RampDone(1),) if stage > 1 else ())


def test_on_the_first_stage_there_is_none_below_and_the_load_comes_down() -> None:
    scene = staged(1).given(a_set(RACK, made=3, faults="a"))
    assert proposed(scene, *a_set(RACK, made=3, faults="a"))[:2] == ("lighten", "twice-lighten")


def test_stepping_down_overruled_gives_the_stage_back() -> None:
    scene = staged().given(a_set(RACK, made=3, faults="h"), a_set(RACK, made=3, faults="h"))
    assert [s.stage for s in scene.of(1).sets[1:]] == [9, 9, 8, 8]
    scene = scene.given(Overrule(1, "clean", "keep"))
    assert [s.stage for s in scene.of(1).sets[1:]] == [9, 9, 9, 9]


# --- build sets and the young


def test_a_build_set_adds_a_step_while_form_holds() -> None:
    scene = evening(came(1, PLATFORM, "clean", clean=30), RampDone(1))
    assert proposed(scene, *a_set(PLATFORM, made=3)) == ("add", "build-adds", kg(32.5))
    assert proposed(scene, *a_set(PLATFORM, made=3, grade=Grade.UNSEEN))[0] == "keep"
    assert proposed(scene, *a_set(PLATFORM, made=3, faults="a"))[0] == "keep"


def test_work_sets_across_never_add_within_the_evening() -> None:
    scene = squat().given(a_set(), a_set(), a_set())
    assert {s.load for s in scene.of(1).sets if s.role == "work"} == {kg(60)}


def test_a_young_lifters_rough_set_lightens() -> None:
    assert proposed(squat(youth=True), *a_set(grade=Grade.ROUGH)) == ("lighten", "youth-rough", kg(54))


def test_a_young_lifters_broken_set_ends_the_lift() -> None:
    assert proposed(squat(youth=True), *a_set(grade=Grade.BROKEN))[:2] == ("stop", "youth-broken")


def test_a_young_lifter_who_misses_a_rep_goes_lighter_and_not_on_to_failure() -> None:
    missed = a_set(made=4, missed=1, grade=Grade.SHARP)
    assert proposed(squat(youth=True), *missed) == ("lighten", "youth-missed", kg(54))
    assert proposed(squat(), *missed) == ("keep", "one-rep-short", kg(60))


def test_lightening_stays_on_the_bar_in_hand_where_the_empty_one_is_light_enough() -> None:
    light = a_set(grade=Grade.BROKEN)
    assert proposed(evening(came(squat=22)), *light)[2] == kg(20)
    assert proposed(evening(came(squat=20.5)), *light)[2] < kg(20), "half a kilo is no lightening"


def test_after_the_last_set_of_a_lift_nothing_is_proposed() -> None:
    scene = squat().given(a_set(), a_set(), StartSet(RACK), AllMade(RACK)).when(EndSet(RACK))
    assert "set_proposed" not in scene.kinds


def test_lightening_stops_at_the_lightest_bar() -> None:
    assert proposed(evening(came(squat=10)), *a_set(grade=Grade.BROKEN))[2] == kg(10)


def test_every_proposal_says_its_rule_its_version_and_what_was_planned() -> None:
    event = squat().given(a_set()[:-1]).when(EndSet(RACK, Grade.BROKEN)).event("set_proposed")
    assert (event.definition, event.was, event.set_no, event.count) == (RULES_VERSION, kg(60), 4, 2)


def capped() -> Scene:
    """A lifter whose form has been seen to hold 31 kg in the clean."""
    scene = staged(11)
    found = Event(
        kind="limit_found", happened=scene.now, session=1, lifter=1, lift="clean", load=kg(31), count=40, day=3,
        rule="form-limit", definition="form limit/1",
    )
    return scene.given(found)


def test_building_stops_short_of_the_form_limit() -> None:
    assert proposed(capped(), *a_set(made=3)) == ("keep", "form-limit", kg(30))
    assert proposed(staged(11), *a_set(made=3)) == ("add", "build-adds", kg(32.5))


def test_every_rule_of_tonight_has_spoken_in_these_tests() -> None:
    young, grown, pull = squat(youth=True), squat(), staged()
    cleared = staged(11).given(ReportPain(1), ClearPain(1))
    missed = a_set(made=4, missed=1, grade=Grade.SHARP)
    drilled = staged(11).given(StartDrill("clean", 1), DrillRep(), DrillFault(1, "e"), EndDrill())
    spoken = {
        proposed(grown.given(a_set(faults="l")), *a_set(faults="l"))[1],
        proposed(grown.given(a_set()), *missed)[1],
        proposed(drilled, *a_set(made=3))[1],
        proposed(capped(), *a_set(made=3))[1],
        proposed(coarse(), *a_set(made=3))[1],
        proposed(pull.given(a_set(made=3), a_set(made=3)), *a_set(made=3))[1],
        proposed(staged(11), *a_set(made=3))[1],
        proposed(cleared, *a_set(made=3))[1],
        proposed(evening(came(squat=60)), *a_set(grade=Grade.UNSEEN))[1],
        proposed(evening(came(squat=60)).given(a_set(grade=Grade.ROUGH)), *a_set())[1],
        proposed(grown.given(a_set(grade=Grade.BROKEN)), *a_set())[1],
        proposed(evening(came(squat=60)).given(a_set(), a_set(faults="k")), *a_set())[1],
        proposed(grown, RecordWhole(1, 3, 5, grade=Grade.SHARP, load=kg(90), sure=True))[1],
        proposed(grown.given(a_set()), PutRight(1, 1, add=((1, "knees-caving-in"),)))[1],
        proposed(grown, StartSet(RACK), PutRight(1, 2, grade=Grade.ROUGH))[1],
        proposed(grown, *a_set(faults="x"))[1],
        proposed(young, *a_set(grade=Grade.BROKEN))[1],
        proposed(young, *a_set(grade=Grade.ROUGH))[1],
        proposed(young, *missed)[1],
        proposed(grown, *a_set(grade=Grade.BROKEN))[1],
        proposed(grown, *a_set(faults="k", grade=Grade.SOUND))[1],
        proposed(pull.given(a_set(made=3, faults="a")), *a_set(made=3, faults="a"))[1],
        proposed(grown.given(a_set(faults="d")), *a_set(faults="d"))[1],
        proposed(grown, *a_set(made=3, grade=Grade.SOUND))[1],
        proposed(grown, *a_set(grade=Grade.ROUGH))[1],
        proposed(grown, *a_set(faults="d", grade=Grade.SHARP))[1],
        proposed(grown, *a_set(made=4, grade=Grade.SHARP))[1],
        proposed(grown, *a_set(grade=Grade.UNSEEN))[1],
        proposed(pull, *a_set(made=3))[1],
        proposed(grown, *a_set())[1],
    }
    assert spoken == {rule.id for rule in TONIGHT}


# --- the suggested grade


@pytest.mark.parametrize(
    ("made", "faults", "grade"),
    [
        (5, (), Grade.SHARP),
        (5, ("looking-around",), Grade.SOUND),
        (4, (), Grade.SOUND),
        (3, (), Grade.ROUGH),
        (5, ("not-deep-enough",), Grade.ROUGH),
        (5, ("knees-caving-in",), Grade.ROUGH),
        (5, ("knees-caving-in", "back-rounding"), Grade.BROKEN),
        (5, ("folding-under-the-bar", "looking-around"), Grade.BROKEN),
    ],
)
def test_the_grade_is_suggested_from_reps_and_faults(made: int, faults: tuple[str, ...], grade: Grade) -> None:
    done = TheSet(1, "squat", "work", 5, kg(60), marks=(True,) * made, faults=tuple(enumerate(faults, 1)))
    assert suggest_grade(gym(), done) is grade


def test_ending_without_a_word_takes_the_suggestion_and_both_are_on_record() -> None:
    scene = squat().given(a_set(faults="d")[:-1])
    ended = scene.when(EndSet(RACK)).event("set_ended")
    assert (ended.grade, ended.suggested) == (Grade.ROUGH, Grade.ROUGH)
    ended = scene.when(EndSet(RACK, Grade.SOUND)).event("set_ended")
    assert (ended.grade, ended.suggested) == (Grade.SOUND, Grade.ROUGH)


# --- overruling


def test_the_coach_overrules_and_it_is_on_record_beside_the_rule() -> None:
    scene = squat().given(a_set(grade=Grade.BROKEN)).when(Overrule(1, "squat", "keep", sure=True))
    event = scene.event("proposal_overruled")
    assert (event.rule, event.action, event.was, event.load) == ("broken-set", "keep", kg(54), kg(60))
    assert [s.load for s in scene.of(1).sets[3:]] == [kg(60), kg(60)]
    assert scene.state.evening.proposals[1, "squat"].overruled == "keep"


def test_overruled_to_add_is_a_step_over_the_set_just_done_and_to_lighten_a_tenth_under() -> None:
    scene = squat().given(a_set())
    assert scene.when(Overrule(1, "squat", "add")).event("proposal_overruled").load == kg(62.5)
    assert scene.when(Overrule(1, "squat", "lighten")).event("proposal_overruled").load == kg(54)


def test_a_stop_overruled_gives_every_set_back() -> None:
    scene = squat().given(a_set(faults="x"), Overrule(1, "squat", "lighten"))
    assert [(s.status, s.load) for s in scene.of(1).sets[3:]] == [("planned", kg(54))] * 2
    assert scene.of(1).stopped == {}
    ramp = evening(came(squat=60)).given(a_set(faults="x"), Overrule(1, "squat", "keep"))
    assert {s.status for s in ramp.of(1).sets[1:]} == {"planned"}


def test_a_proposal_acted_on_is_not_overruled_any_more() -> None:
    scene = squat().given(a_set(), StartSet(RACK))
    assert scene.when(Overrule(1, "squat", "add")).why.startswith("That proposal has been acted on")
    done = squat().given(a_set(), a_set(), a_set())
    assert done.when(Overrule(1, "squat", "add")).why.startswith("That proposal has been acted on")


def test_there_must_be_something_to_overrule_and_a_word_to_do_it_with() -> None:
    scene = squat()
    assert scene.when(Overrule(1, "squat", "add")).why == "There is no proposal to overrule."
    scene = scene.given(a_set())
    assert scene.when(Overrule(1, "squat", "keep")).why == "The proposal keeps the load already."
    assert scene.when(Overrule(1, "squat", "double")).why == "A proposal is overruled with add, keep or lighten."
    assert scene.when(Overrule(2, "squat", "add")).why == "{lifter} is not here: check in first."


def test_nobody_overrules_standing_pain() -> None:
    scene = squat().given(a_set(), ReportPain(1))
    assert scene.when(Overrule(1, "squat", "add")).why.startswith("{lifter} is held: pain was reported.")


def test_a_proposal_stands_while_another_lift_comes_first() -> None:
    scene = evening(came(programme="squat-press", squat=20, press=20)).given(a_set(grade=Grade.BROKEN), SwapLifts(1))
    assert scene.given(Overrule(1, "squat", "keep", sure=True)).of(1).of_lift("squat")[1].load == kg(20)


# --- sets recorded out of turn


def test_a_broken_set_recorded_ahead_of_its_turn_lightens_the_ones_left_behind_too() -> None:
    scene = squat().given(RecordWhole(1, 4, 5, grade=Grade.BROKEN))
    assert [s.load for s in scene.of(1).sets[2:]] == [kg(54), kg(60), kg(54)]


def test_a_build_set_recorded_late_adds_nothing_once_a_later_set_is_on_record() -> None:
    scene = evening(came(1, PLATFORM, "clean", clean=30)).given(RecordWhole(1, 3, 3, grade=Grade.BROKEN))
    assert scene.coming(1).load == kg(27)
    scene = scene.when(RecordWhole(1, 2, 3, grade=Grade.SHARP, load=kg(30)))
    assert scene.event("set_proposed").rule == "as-planned"
    assert scene.coming(1).load == kg(27)


def test_the_severities_are_told_apart() -> None:
    squat_faults = {f.letter: f.severity for f in gym().lifts["squat"].faults}
    assert [squat_faults[x] for x in "dlkx"] == [Severity.FIX, Severity.NOTE, Severity.LIGHTEN, Severity.END]
