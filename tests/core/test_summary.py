"""What an evening came to: what happened, what changed, what next time brings."""

from __future__ import annotations

from dataclasses import replace

import pytest

from floor.core import commands as c
from floor.core.changed import changes
from floor.core.events import Event
from floor.core.gym import Grade
from floor.core.summary import LiftCame, lines, summarise
from tests.core.evenings import NAMES, Told, three_lifters
from tests.core.scenes import SIX, gym


def evening(*lifters: int) -> Told:
    told = three_lifters().do(c.OpenSession())
    return told.do(*(c.Arrive(i, 1) for i in lifters))


def work(told: Told, lifter: int, lift: str) -> list[int]:
    """The numbers of a lifter's work sets on a lift."""
    return [s.no for s in told.state.evening.here[lifter].of_lift(lift) if s.role != "ramp"]


def all_made(told: Told, lifter: int, lift: str, grade: Grade = Grade.SHARP) -> Told:
    reps = {s.no: s.reps for s in told.state.evening.here[lifter].of_lift(lift)}
    return told.do(*(c.RecordWhole(lifter, no, reps[no], grade=grade) for no in work(told, lifter, lift)))


def came(told: Told, lifter: int, lift: str) -> LiftCame:
    summary = summarise(told.state, told.events)
    one = next(x for x in summary.came if x.lifter == lifter)
    return next(x for x in one.lifts if x.lift == lift)


def said(told: Told, width: int = 100) -> str:
    return "\n".join(lines(summarise(told.state, told.events), told.state.gym, NAMES, width))


def test_every_set_made_and_sharp_brings_a_step_more() -> None:
    told = all_made(evening(1), 1, "squat")
    squat = came(told, 1, "squat")
    assert (squat.done, squat.planned, squat.made, squat.asked, squat.grades) == (3, 3, 15, 15, ((Grade.SHARP, 3),))
    assert squat.next is not None and (squat.next.was, squat.next.load) == (6250, 6500)
    done = "3 of 3 work sets · 15 of 15 reps · top 62.5 kg × 5 · sharp 3"
    coming = "52 kg 2×5 (light day: 80 % of the full 65 kg, up from 62.5)"
    assert f"squat: {done} · next: {coming}" in said(told, 200)


@pytest.mark.parametrize("grade", [Grade.ROUGH, Grade.BROKEN, Grade.UNSEEN])
def test_nothing_rough_broken_or_unseen_brings_more(grade: Grade) -> None:
    told = all_made(evening(1), 1, "squat", grade)
    squat = came(told, 1, "squat")
    assert squat.next is not None and squat.next.load <= 6250


@pytest.mark.parametrize("grade", list(Grade))
def test_the_preview_is_what_the_close_records(grade: Grade) -> None:
    told = all_made(evening(1, 2, 3), 1, "squat", grade)
    told.do(c.ReportPain(2))
    before = [(lift.lift, lift.next) for x in summarise(told.state).came for lift in x.lifts]
    told.do(c.CloseSession())
    after = [(lift.lift, lift.next) for x in summarise(told.state).came for lift in x.lifts]
    assert before == after


def test_a_load_that_rose_step_by_step_is_said_in_one_go() -> None:
    told = evening(1)
    first, second, *_ = work(told, 1, "clean")
    told.do(c.RecordWhole(1, first, 3, grade=Grade.SHARP), c.RecordWhole(1, second, 3, grade=Grade.SOUND))
    assert came(told, 1, "clean").changes == (
        "add 40 to 42.5 to 45 kg: all reps made, form held: one step more",
    )


def test_an_overruling_is_told_with_the_coachs_load() -> None:
    told = evening(1)
    told.do(c.RecordWhole(1, work(told, 1, "clean")[0], 3, grade=Grade.SHARP), c.Overrule(1, "clean", "keep"))
    assert came(told, 1, "clean").changes[-1] == "overruled by the coach: the same, 40 kg"


def test_what_a_clearance_or_a_signed_stage_changed_is_not_called_the_coachs_hand() -> None:
    eased = evening(1).do(c.ReportPain(1), c.ClearPain(1))
    assert came(eased, 1, "squat").changes == ("62.5 to 56 kg: lighter after the clearance",)
    signed = evening(1).do(c.SetStage(1, "clean", 2, sure=True))
    assert came(signed, 1, "clean").changes == ("stage 2 signed by the coach", "down to 20 kg: the most of the stage")
    by_hand = evening(1).do(c.ChangeLoad(1, 2250, sure=True))
    assert came(by_hand, 1, "clean").changes == ("by hand 20 to 22.5 kg",)


def test_a_proposal_that_changed_nothing_is_not_told() -> None:
    told = evening(1)
    told.do(c.RecordWhole(1, work(told, 1, "squat")[0], 5, grade=Grade.SHARP))
    assert came(told, 1, "squat").changes == ()


def test_a_stage_up_that_was_only_proposed_is_no_change_and_a_signed_one_is() -> None:
    planned = Event(
        kind="set_proposed", happened=SIX, session=1, lifter=1, lift="clean", action="step_up", stage=2,
        load=2000, was=2000, rule="stage-shown", set_no=3, count=1,
    )
    signed = Event(kind="stage_set", happened=SIX, session=1, lifter=1, lift="clean", stage=2, rule="signed")
    written = replace(signed, rule=None)
    assert changes((planned, written), gym()) == ()
    assert changes((planned, signed), gym()) == ("stage 2 signed by the coach",)


def test_a_lift_that_was_stopped_says_so_and_why() -> None:
    told = evening(1)
    squat = work(told, 1, "squat")[0]
    told.do(c.RecordWhole(1, squat, 4, 1, Grade.BROKEN, faults=((5, "folding-under-the-bar"),)))
    assert came(told, 1, "squat").changes == ("stop: a dangerous fault: this lift ends for today",)
    happened = "1 of 3 work sets · 4 of 5 reps · top 62.5 kg × 4 · broken 1 · folding under the bar · stopped"
    assert happened in said(told, 160)


def test_a_stop_that_was_taken_back_is_not_told_at_the_close() -> None:
    told = evening(1)
    first = work(told, 1, "squat")[0]
    told.do(c.RecordWhole(1, first, 5, 0, Grade.SHARP, faults=((5, "folding-under-the-bar"),)))
    told.do(c.PutRight(1, first, withdraw=((5, "folding-under-the-bar"),)))
    assert came(told, 1, "squat").changes == ("a set put right afterwards",)
    told.do(c.PutRight(1, first, grade=Grade.BROKEN))
    assert came(told, 1, "squat").changes == (
        "lighten 62.5 to 56 kg: the movement fell apart: lighter", "a set put right afterwards",
    )


def test_an_overruling_that_made_way_for_another_proposal_is_not_told() -> None:
    told = evening(1)
    first = work(told, 1, "clean")[0]
    told.do(c.RecordWhole(1, first, 3, grade=Grade.SHARP), c.Overrule(1, "clean", "keep"))
    told.do(c.PutRight(1, first, grade=Grade.BROKEN))
    assert not any("overruled" in words for words in came(told, 1, "clean").changes)


def test_sets_put_right_are_counted_once_each() -> None:
    told = all_made(evening(1), 1, "squat")
    first, second, third = work(told, 1, "squat")
    told.do(c.PutRight(1, first, made=4, missed=1), c.PutRight(1, second, made=4, missed=1))
    told.do(c.PutRight(1, third, made=4, missed=1), c.PutRight(1, third, made=5, missed=0))
    assert came(told, 1, "squat").changes[-1] == "3 sets put right afterwards"


def test_faults_are_counted_with_the_ramps_too() -> None:
    told = evening(1)
    ramp = next(s for s in told.state.evening.here[1].of_lift("squat") if s.role == "ramp")
    told.do(c.RecordWhole(1, ramp.no, 5, grade=Grade.ROUGH, faults=((1, "heels-lifting"), (2, "heels-lifting"))))
    assert came(told, 1, "squat").faults == (("heels lifting", 2),)


def test_a_held_lifter_is_named_in_the_head_and_gets_lighter() -> None:
    told = evening(1, 2).do(c.ReportPain(2))
    assert "held until cleared: Bo" in said(told).splitlines()[0]
    squat = came(told, 2, "squat")
    assert squat.next is not None and squat.next.load < 8000
    assert "held: pain reported before the first set, every lift waits for a clearance" in said(told, 150)


def test_incidents_late_ones_and_early_leavers_are_in_it() -> None:
    told = evening(1, 2).do(c.ExpectLate(3), c.NoteIncident(1), c.Leave(2))
    text = said(told)
    assert "1 incident note" in text
    assert "expected and not here: Cleo" in text
    assert "Bo  0 of" in text and "left early" in text


def test_work_of_another_session_is_not_counted() -> None:
    told = all_made(evening(1), 1, "clean").do(c.CloseSession(), c.OpenSession(), c.Arrive(1, 1))
    told.do(c.GiveProgramme(2, "week3"))
    assert all(lift.changes == () for x in summarise(told.state, told.events).came for lift in x.lifts)


@pytest.mark.parametrize("width", [40, 78, 118])
def test_no_line_is_wider_than_asked(width: int) -> None:
    told = all_made(evening(1, 2, 3), 1, "clean", Grade.ROUGH).do(c.ReportPain(2), c.NoteIncident(1))
    assert max(len(line) for line in said(told, width).splitlines()) <= width


def test_a_note_is_recorded_and_changes_nothing_on_the_floor() -> None:
    told = evening(1)
    before = told.state
    told.do(c.AddNote(1))
    assert told.events[-1].kind == "note_added" and told.state == before
