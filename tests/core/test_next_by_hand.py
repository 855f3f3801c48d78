"""What the coach plans by hand for next time: kept at the close, and on record with the rule it overrules."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from floor.core.commands import BringRoster, CloseSession, Command, PlanNext, ReportPain, RosterRow
from floor.core.events import Event
from floor.core.gym import Grade
from floor.core.state import NextPlan
from floor.core.summary import summarise
from tests.core.scenes import Scene, a_set, belongs, came, evening, kg, next_evening, ready

GOOD = a_set()
BROKEN = a_set(grade=Grade.BROKEN)


def squats(*sets: tuple[Command, ...]) -> Scene:
    """An evening of squats at 60 kg, so far."""
    return evening(ready(squat=60)).given(*sets)


def to(load: float, *, sure: bool = False, lift: str = "squat") -> PlanNext:
    return PlanNext(1, lift, 3, 5, kg(load), sure)


def plan(scene: Scene) -> NextPlan:
    return scene.state.lifters[1].plans["squat"]


def told(scene: Scene) -> list[tuple[str | None, int | None, str | None, str | None]]:
    """(rule, load, the rule it overrules, the coach's word) of the plans that a command recorded."""
    return [(e.rule, e.load, e.suggested, e.action) for e in scene.events if e.kind == "next_planned"]


def test_on_the_evening_the_rules_plan_stands_on_record_before_the_coachs() -> None:
    scene = squats(GOOD, GOOD, GOOD).when(to(60))
    assert told(scene) == [("all-made", kg(62.5), None, None), ("by-hand", kg(60), "all-made", "keep")]


@pytest.mark.parametrize(("load", "word"), [(57.5, "lighten"), (60, "keep"), (65, "add")])
def test_the_coachs_word_is_against_what_was_lifted(load: float, word: str) -> None:
    assert told(squats(GOOD, GOOD, GOOD).when(to(load)))[-1] == ("by-hand", kg(load), "all-made", word)


def test_the_close_leaves_what_the_coach_planned() -> None:
    scene = squats(GOOD, GOOD, GOOD).given(to(60)).when(CloseSession())
    assert told(scene) == [] and (plan(scene).load, plan(scene).rule) == (kg(60), "by-hand")


def test_after_the_close_the_standing_rule_is_overruled() -> None:
    scene = squats(GOOD, GOOD, GOOD).given(CloseSession()).when(to(60))
    assert told(scene) == [("by-hand", kg(60), "all-made", "keep")]
    assert (plan(scene).overruled, plan(scene).was) == ("all-made", kg(60))


def test_a_second_thought_overrules_the_same_rule() -> None:
    tonight = squats(GOOD, GOOD, GOOD).given(to(60)).when(to(65))
    later = squats(GOOD, GOOD, GOOD).given(CloseSession(), to(60)).when(to(65))
    assert told(tonight) == told(later) == [("by-hand", kg(65), "all-made", "add")]


def test_what_was_seen_since_brings_a_heavier_plan_down() -> None:
    scene = squats(GOOD, GOOD).given(to(65), BROKEN).when(CloseSession())
    assert [(rule, load) for rule, load, *_ in told(scene)] == [("broken-eases", kg(54))]
    hurt = squats(GOOD, GOOD, GOOD).given(to(65), ReportPain(1)).when(CloseSession())
    assert plan(hurt).rule == "pain-eases" and plan(hurt).load < kg(60)


def test_a_plan_no_heavier_than_the_rules_stands_whatever_was_seen_since() -> None:
    scene = squats(GOOD, GOOD).given(to(50), BROKEN, CloseSession())
    assert (plan(scene).load, plan(scene).rule) == (kg(50), "by-hand")


def test_more_than_was_proposed_waits_for_the_clearance() -> None:
    hurt = squats(GOOD, GOOD, GOOD).given(ReportPain(1))
    assert hurt.when(to(60)).why.startswith("{lifter} is held: pain was reported.")
    lighter = hurt.when(to(40))
    assert told(lighter)[-1] == ("by-hand", kg(40), "pain-eases", "lighten")
    assert plan(lighter.given(CloseSession())).load == kg(40)


def test_a_lift_not_done_yet_overrules_what_stood_before_the_evening() -> None:
    first = squats(GOOD, GOOD, GOOD)
    scene = next_evening(first).given(*came()[-1:]).when(to(60))
    assert told(scene) == [("by-hand", kg(60), "all-made", "keep")]
    assert plan(scene.given(CloseSession())).load == kg(60)


def test_tonights_rules_go_by_the_load_tonight_was_planned_with() -> None:
    early = squats().given(to(50), GOOD, GOOD, GOOD).when(to(60))
    assert told(early)[0][:2] == ("all-made", kg(62.5))


def test_what_nobody_proposed_is_not_overruled() -> None:
    brought = Scene().given(belongs(1), BringRoster((RosterRow(1, "squat", 3, 5, kg(60)),), ()))
    assert told(brought.when(to(65))) == [("by-hand", kg(65), None, None)]
    assert told(Scene().given(belongs(1)).when(to(65))) == [("by-hand", kg(65), None, None)]
    assert told(Scene().given(belongs(1), to(65)).when(to(60))) == [("by-hand", kg(60), None, None)]


def test_the_same_plan_again_is_no_overruling() -> None:
    scene = squats(GOOD, GOOD, GOOD)
    assert scene.when(to(62.5)).why == "That is what next time brings already."
    assert scene.given(CloseSession()).when(to(62.5)).why == "That is what next time brings already."


def test_the_close_says_what_the_coach_planned_and_what_the_rule_said() -> None:
    scene = squats(GOOD, GOOD, GOOD).given(to(60))
    for state in (scene.state, scene.given(CloseSession()).state):
        coming = summarise(state).came[0].lifts[0].next
        assert coming.load == kg(60) and coming.was == kg(60)
        assert coming.why.startswith("set by the coach (the rule said: ")


SETS = st.lists(st.sampled_from([GOOD, BROKEN, a_set(made=4, missed=1), a_set(faults="d")]), min_size=1, max_size=3)


@given(sets=SETS, since=SETS, load=st.sampled_from([40, 55, 60, 65, 70]))
def test_the_close_never_plans_more_than_the_rules_when_form_went_after_the_coach_planned(
    sets: list[tuple[Command, ...]], since: list[tuple[Command, ...]], load: float
) -> None:
    before = evening(ready(squat=60))
    for one in sets:
        before = before.given(one) if before.of(1).pending() else before
    by_hand = before.when(to(load, sure=True))
    if by_hand.refusal is not None:
        return
    rules, hand = before, by_hand
    for one in since:
        rules = rules.given(one) if rules.of(1).pending() else rules
        hand = hand.given(one) if hand.of(1).pending() else hand
    asked, stands = plan(rules.given(CloseSession())), plan(hand.given(CloseSession()))
    last = [e for e in by_hand.events if e.kind == "next_planned"][-1]
    assert stands.load <= asked.load or (stands.rule, asked.rule) == ("by-hand", overruled(last))


def overruled(event: Event) -> str | None:
    return event.suggested
