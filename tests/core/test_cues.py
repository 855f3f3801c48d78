"""One cue at a time: which fault gets the word, how long it stays, and whether the word has helped."""

from __future__ import annotations

from datetime import date

from floor.core.commands import CloseSession, DrillFault, DrillRep, EndDrill, PutRight, RecordWhole, StartDrill
from floor.core.cues import cue, worth
from floor.core.gym import Grade
from floor.core.helped import helped
from floor.core.past import CuePast, SetPast
from tests.core.scenes import RACK, Scene, a_set, came, evening, gym, kg, next_evening, ready

# The squat's letters: d not deep enough (fix, bottom), c chest dropping (fix, way up), k knees caving in (lighten,
# way up), l looking around (note, set-up), v diving down (fix, way down), f folding under the bar (end).

SQUAT, CLEAN = gym().lifts["squat"], gym().lifts["clean"]


def first(**counts: int) -> str:
    found = worth(SQUAT, {fault.id: n for letter, n in counts.items() if (fault := SQUAT.fault_at(letter))})
    return found.letter if found else ""


def test_an_unsafe_fault_gets_the_word_before_any_other() -> None:
    assert first(d=5, k=1) == "k"
    assert first(d=5, k=1, v=4, f=1) in "kf"


def test_of_faults_alike_the_earliest_in_the_movement_gets_it() -> None:
    assert first(c=5, d=1, v=1) == "v"
    assert first(c=5, d=1) == "d"
    assert first(r=1, k=5) == "r"


def test_of_two_in_one_phase_the_more_frequent_gets_it() -> None:
    assert first(d=1, h=2) == "h"
    assert first(d=2, h=1) == "d"


def test_a_note_waits_until_there_is_nothing_to_fix() -> None:
    assert first(l=5, c=1) == "c"
    assert first(l=1) == "l"
    assert first() == ""


def word(scene: Scene, lift: str = "squat") -> str:
    found = cue(scene.state, 1, lift)
    return found.letter if found else ""


def squat() -> Scene:
    return evening(ready(squat=60))


def test_the_word_comes_from_the_set_before_and_there_is_only_one() -> None:
    assert word(squat()) == ""
    scene = squat().given(a_set(faults="cd"))
    assert word(scene) == "d"


def test_the_word_stays_after_one_good_set_and_is_let_go_after_two() -> None:
    scene = squat().given(a_set(faults="d"), a_set())
    assert word(scene) == "d"
    assert word(scene.given(a_set())) == ""


def test_a_set_nobody_watched_changes_no_word() -> None:
    scene = squat().given(a_set(faults="d"))
    assert word(scene.given(RecordWhole(1, 4, 5), RecordWhole(1, 5, 5))) == "d"


def test_a_worse_fault_takes_the_word_over_and_a_lesser_one_does_not() -> None:
    scene = squat().given(a_set(faults="d"))
    assert word(scene.given(a_set(faults="k"))) == "k"
    assert word(scene.given(a_set(faults="c"))) == "d"


def test_the_word_of_last_time_stands_when_the_lifter_steps_up_next_time() -> None:
    scene = next_evening(squat().given(a_set(), a_set(), a_set(faults="d"))).given(came(squat=60)[-1:])
    assert word(scene) == "d"
    scene = scene.given(a_set(), a_set())
    assert word(scene) == ""


def test_a_fault_withdrawn_takes_its_word_with_it() -> None:
    scene = squat().given(a_set(faults="d"))
    assert word(scene.given(PutRight(1, 3, withdraw=((5, "not-deep-enough"),)))) == ""
    scene = scene.given(PutRight(1, 3, add=((2, "back-rounding"),)))
    assert word(scene) == "r"


def test_the_same_fault_drilled_on_another_lift_does_not_keep_a_word_withdrawn() -> None:
    """Back rounding is a fault of the squat and of the clean: each lift has its own word."""
    rounding = CLEAN.fault("back-rounding")
    assert rounding is not None and SQUAT.fault("back-rounding") is not None
    scene = squat().given(a_set(), StartDrill("clean", 3), DrillRep(), DrillFault(1, rounding.letter), EndDrill())
    scene = scene.given(PutRight(1, 3, add=((2, "back-rounding"),)))
    assert word(scene) == "r"
    assert word(scene.given(PutRight(1, 3, withdraw=((2, "back-rounding"),)))) == ""


def test_a_fault_in_the_group_drill_is_the_word_for_the_first_set() -> None:
    scene = evening(came(1, RACK, "clean", clean=40), StartDrill("clean", 3), DrillRep(), DrillFault(1, "a"))
    assert word(scene, "clean") == "a"


def test_each_change_of_the_word_is_on_record_with_the_set_that_made_it() -> None:
    scene = squat()
    for one in a_set(faults="d"):
        scene = scene.when(one)
    event = scene.event("cue_set")
    assert (event.lifter, event.lift, event.fault, event.set_no) == (1, "squat", "not-deep-enough", 3)


# --- the drill as evidence


def drilled(letter: str) -> Scene:
    return evening(
        came(1, RACK, "clean", clean=40), StartDrill("clean", 3), DrillRep(), DrillFault(1, letter), EndDrill()
    )


def clean_after(letter: str) -> Scene:
    scene = drilled(letter)
    while scene.coming(1).role == "ramp":
        scene = scene.given(a_set(made=scene.coming(1).reps))
    return scene


def test_a_bad_fault_in_the_drill_keeps_the_lifter_from_adding_tonight() -> None:
    scene = clean_after("e")  # elbows low
    held = scene.given(a_set(made=3))
    assert held.state.evening.proposals[1, "clean"].rule == "drill-keeps"
    assert held.coming(1).load == kg(40)
    small = clean_after("a").given(a_set(made=3))  # one to fix holds nothing by itself
    assert small.coming(1).load == kg(42.5)


def test_the_ramp_goes_on_to_the_planned_load_after_a_bad_fault_in_the_drill() -> None:
    assert clean_after("e").coming(1).load == kg(40)


def test_a_dangerous_fault_in_the_drill_ends_that_lift_for_today() -> None:
    scene = drilled("x")
    assert scene.of(1).stopped == {"clean": "drill-ends"}
    assert scene.of(1).pending() is None


def test_a_dangerous_fault_in_the_drill_of_a_lift_not_planned_is_only_recorded() -> None:
    scene = evening(came(squat=60), StartDrill("clean", 3), DrillRep()).when(DrillFault(1, "x"))
    assert "set_proposed" not in scene.kinds


def test_the_faults_of_a_drill_stand_after_it_has_ended_and_not_the_next_evening() -> None:
    scene = drilled("e")
    assert scene.state.evening.drilled == ((1, "clean", "elbows-low"),)
    assert next_evening(scene.given(RecordWhole(1, 1, 5))).state.evening.drilled == ()


# --- has the word helped?

DAY = date(2026, 11, 2)


def past(session: int, faulty: int, n: int = 5, set_no: int = 1, grade: Grade = Grade.SOUND) -> SetPast:
    faults = tuple((rep, "not-deep-enough") for rep in range(1, faulty + 1))
    return SetPast(session, DAY, 1, "squat", set_no, "work", kg(60), n, 0, grade, 4, faults)


SAID = (CuePast(3, DAY, "squat", 1, "not-deep-enough"),)


def test_a_word_that_made_the_fault_rare_works() -> None:
    sets = [past(s, 3) for s in (1, 2, 3)] + [past(s, 0) for s in (4, 5, 6, 7)]
    found = helped(sets, SAID, "squat")
    assert found is not None
    assert (found.before.faulty, found.before.watched, found.after.faulty, found.after.watched) == (9, 15, 0, 20)
    assert found.verdict == "it works"


def test_while_the_intervals_touch_it_is_too_early_to_say() -> None:
    found = helped([past(1, 2), past(2, 1), past(3, 2), past(4, 1)], SAID, "squat")
    assert found is not None and found.verdict == "too early to say"


def test_nothing_seen_since_is_too_early_to_say() -> None:
    found = helped([past(3, 5)], SAID, "squat")
    assert found is not None and found.after.watched == 0 and found.verdict == "too early to say"


def test_a_fault_seen_more_often_since_asks_for_another_word() -> None:
    sets = [past(s, 0) for s in (1, 2)] + [past(3, 1)] + [past(s, 4) for s in (4, 5, 6)]
    found = helped(sets, SAID, "squat")
    assert found is not None and found.verdict == "more often since: try another word"


def test_the_set_that_led_to_the_word_counts_before_it_and_unwatched_sets_not_at_all() -> None:
    sets = [past(3, 2, set_no=1), past(3, 0, set_no=2), past(4, 0, grade=Grade.UNSEEN)]
    found = helped(sets, SAID, "squat")
    assert found is not None and (found.before.watched, found.after.watched) == (5, 5)


def test_a_word_said_again_counts_from_the_first_time() -> None:
    again = (*SAID, CuePast(5, DAY, "squat", 1, None), CuePast(6, DAY, "squat", 1, "not-deep-enough"))
    found = helped([past(s, 1) for s in range(1, 8)], again, "squat")
    assert found is not None and (found.before.watched, found.after.watched) == (15, 20)


def test_a_lift_without_a_word_has_nothing_to_say() -> None:
    assert helped([past(1, 2)], (), "squat") is None
    assert helped([past(1, 2)], SAID, "press") is None


def test_the_word_is_kept_over_the_close() -> None:
    scene = squat().given(a_set(faults="d"), CloseSession())
    assert scene.state.lifters[1].cues == {"squat": "not-deep-enough"}
