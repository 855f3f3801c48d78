"""The plan's offers, the coach's own order, the trims; and who was told next instead of whom, and why."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest

from floor.core.apply import fold
from floor.core.commands import (
    ClearPain,
    Command,
    EndSet,
    FollowBar,
    HoldOrder,
    Leave,
    Move,
    Pass,
    RecordWhole,
    Refusal,
    ReportPain,
    StartSet,
    Swap,
    SwapLifts,
    TakeOffer,
    TakeTrim,
)
from floor.core.decide import decide
from floor.core.events import check
from floor.core.outlook import NO_OUTLOOK, ComingSet, Offer, Outlook, Trim
from floor.core.promises import REASONS, told_words
from floor.core.queue import promised_line
from floor.core.state import DONE, DROPPED, PLANNED
from floor.core.words import command_words
from tests.core.scenes import BENCH, PLATFORM, RACK, Scene, a_set, came, evening, ready

NAMES = {1: "Ada", 2: "Bo", 3: "Cleo", 4: "Dov"}


def three() -> Scene:
    """Three squatters past their ramp and rested, told 1 then 2, then 3."""
    return evening(ready(1, squat=40), ready(2, squat=60), ready(3, squat=80)).later(seconds=240)


def four() -> Scene:
    """As three, with one more, and heavier."""
    return three().given(ready(4, squat=90)).later(seconds=240)


def offering(scene: Scene, *order: int, seconds: int = 180, plates: int = 4) -> Outlook:
    """A plan that offers this order at the rack, for the state of the scene."""
    offer = Offer(RACK, order, order[0], seconds, plates, "{lifter} first keeps the plates on.")
    return Outlook(cmd=1, made=scene.now, refined=True, offers=(offer,))


def does(scene: Scene, command: Command, outlook: Outlook = NO_OUTLOOK, after: int = 10) -> Scene:
    """One command with a plan beside it."""
    now = scene.now + timedelta(seconds=after)
    answer = decide(scene.state, command, now, outlook)
    if isinstance(answer, Refusal):
        return replace(scene, now=now, events=(), refusal=answer)
    for event in answer:
        check(event)
    return Scene(fold(scene.state, answer), now, answer, None)


def order(scene: Scene, station: int = RACK) -> list[int]:
    return [turn.lifter for turn in promised_line(scene.state, station)]


def turns(scene: Scene, count: int) -> list[int]:
    """Who lifts in the next sets at the rack, everyone rested in between."""
    lifted = []
    for _ in range(count):
        up = scene.promised(RACK)[0]
        assert up is not None
        lifted.append(up)
        scene = scene.given(a_set()).later(seconds=240)
    return lifted


# --- the plan's offer


def test_an_offer_taken_puts_its_order_in_place_with_what_it_gains() -> None:
    scene = three()
    taken = does(scene, TakeOffer(RACK), offering(scene, 3, 1, 2))
    assert order(taken) == [3, 1, 2] and taken.promised(RACK) == (3, 1)
    event = taken.event("offer_taken")
    assert (event.lifter, event.seconds, event.count, event.rule) == (3, 180, 4, "plan")
    placed = [e for e in taken.events if e.kind == "line_placed"]
    assert [(e.lifter, e.rule) for e in placed] == [(3, "plan"), (1, "plan"), (2, "plan")]


def test_an_offer_taken_is_said_in_words_with_the_minutes() -> None:
    scene = three()
    taken = does(scene, TakeOffer(RACK), offering(scene, 3, 1, 2))
    assert command_words(taken.events, scene.state.gym, NAMES) == "Rack: the plan's order, Cleo first, 3 min earlier"


def test_an_order_taken_from_the_plan_is_used_up_and_the_rising_bar_comes_back() -> None:
    scene = four()
    taken = does(scene, TakeOffer(RACK), offering(scene, 4, 3, 2, 1))
    assert taken.state.evening.stations[RACK].own
    assert turns(taken, 5) == [4, 3, 2, 1, 3]  # the lightest of those who are rested


def test_without_a_plan_nothing_is_taken() -> None:
    scene = three()
    assert "no offer at this station" in does(scene, TakeOffer(RACK)).why
    assert "no offer at this station" in does(scene, TakeOffer(PLATFORM), offering(scene, 3, 1, 2)).why
    assert does(scene, TakeOffer(9), offering(scene, 3, 1, 2)).why == "The gym has no station 9."


@pytest.mark.parametrize("since", [Leave(3), ReportPain(3), Move(3, PLATFORM)], ids=["left", "held", "moved"])
def test_an_offer_that_names_who_does_not_wait_here_any_more_is_refused(since: Command) -> None:
    scene = evening(ready(1, squat=40), ready(2, squat=60), ready(3, programme="pull", deadlift=60))
    outlook = offering(scene, 3, 1, 2)
    refused = does(scene.given(since), TakeOffer(RACK), outlook)
    assert refused.why == "The offer is of an older state: {lifter} is not waiting here."
    assert refused.refusal is not None and refused.refusal.lifter == 3


def test_an_offer_never_puts_a_lifter_on_the_bar_long_before_the_rest_is_over() -> None:
    scene = three().given(a_set())
    assert "before the rest is over" in does(scene, TakeOffer(RACK), offering(scene, 1, 2, 3)).why
    rested = scene.later(seconds=240)
    assert does(rested, TakeOffer(RACK), offering(rested, 1, 2, 3)).promised(RACK) == (1, 2)


def test_who_rests_may_be_put_second_when_the_first_takes_that_long() -> None:
    scene = three().given(a_set()).later(seconds=120)
    whole = offering(scene, 3, 1, 2)
    assert order(does(scene, TakeOffer(RACK), whole)) == [3, 1, 2]
    soon = scene.now + timedelta(seconds=1)
    quick = replace(whole, turns=(ComingSet(RACK, 3, scene.coming(3).no, "squat", 0, scene.now, soon),))
    refused = does(scene, TakeOffer(RACK), quick)
    assert refused.why == "The offer puts {lifter} on the bar 0:39 before the rest is over."
    assert order(does(scene.later(seconds=50), TakeOffer(RACK), quick)) == [3, 1, 2]


def test_an_offer_of_the_order_that_stands_is_nothing_to_take() -> None:
    scene = three()
    assert does(scene, TakeOffer(RACK), offering(scene, *order(scene))).why.startswith("The line stands in the order")


def test_an_offer_taken_while_a_set_runs_leaves_the_one_on_the_bar() -> None:
    scene = three().given(StartSet(RACK))
    taken = does(scene, TakeOffer(RACK), offering(scene, 3, 2))
    assert taken.promised(RACK) == (1, 3)


# --- the coach's own order


def test_a_held_order_goes_round_after_round_as_it_was_pinned() -> None:
    swapped = four().given(Swap(RACK, 1, 4), Swap(RACK, 2, 3))
    assert order(swapped) == [4, 3, 2, 1]
    held = swapped.when(HoldOrder(RACK))
    assert held.kinds == ("order_held", *["line_placed"] * 4)  # nobody is told anything new
    assert turns(held, 12) == [4, 3, 2, 1] * 3
    assert turns(swapped, 5) == [4, 3, 2, 1, 3]


def test_who_arrives_at_a_held_order_comes_after_the_others() -> None:
    scene = three().given(HoldOrder(RACK), came(4, squat=20))
    assert turns(scene, 8) == [1, 2, 3, 4, 1, 2, 3, 4]


def test_an_order_is_held_while_a_set_runs_with_the_one_on_the_bar_last() -> None:
    scene = three().given(StartSet(RACK), HoldOrder(RACK)).given(a_set()[1:]).later(seconds=240)
    assert turns(scene, 5) == [2, 3, 1, 2, 3]


def test_a_set_recorded_late_counts_as_the_turn_in_a_held_order() -> None:
    scene = three().given(HoldOrder(RACK))
    scene = scene.given(RecordWhole(1, scene.coming(1).no, 5)).later(seconds=240)
    assert turns(scene, 4) == [2, 3, 1, 2]


def test_a_swap_in_a_held_order_changes_what_is_held() -> None:
    scene = three().given(HoldOrder(RACK), Swap(RACK, 2, 3))
    assert turns(scene, 6) == [1, 3, 2, 1, 3, 2]
    running = three().given(HoldOrder(RACK), StartSet(RACK), Swap(RACK, 2, 3)).given(a_set()[1:]).later(seconds=240)
    assert turns(running, 5) == [3, 2, 1, 3, 2]


def test_a_pass_in_a_held_order_lets_the_next_go_first_from_then_on() -> None:
    assert turns(three().given(HoldOrder(RACK), Pass(RACK)), 6) == [2, 1, 3, 2, 1, 3]


def test_who_moves_to_a_station_with_a_held_order_is_in_it() -> None:
    scene = three().given(came(4, PLATFORM, "pull", deadlift=20), HoldOrder(RACK), Move(4, RACK)).later(seconds=240)
    assert scene.state.evening.stations[RACK].ahead == (2, 3, 4, 1)
    assert turns(scene, 5) == [1, 2, 3, 4, 1]


def test_who_was_held_for_pain_has_a_place_in_a_held_order_once_cleared() -> None:
    scene = three().given(ReportPain(3), HoldOrder(RACK))
    assert turns(scene, 4) == [1, 2, 1, 2]
    assert set(turns(scene.given(ClearPain(3), every=300), 3)) == {1, 2, 3}


def test_who_does_another_lift_first_at_the_same_station_keeps_a_place_in_a_held_order() -> None:
    scene = three().given(came(4, programme="squat-press", squat=20, press=20), HoldOrder(RACK), SwapLifts(4))
    assert scene.coming(4).lift == "press" and scene.of(4).station == RACK
    assert sorted(scene.state.evening.stations[RACK].ahead) == [1, 2, 3, 4]


def test_who_leaves_a_held_order_is_out_of_it() -> None:
    assert turns(three().given(HoldOrder(RACK), Leave(2)), 4) == [1, 3, 1, 3]


def test_back_to_the_rising_bar_clears_an_order_by_hand_and_says_why_another_is_next() -> None:
    scene = three().given(Swap(RACK, 2, 3), HoldOrder(RACK))
    assert scene.promised(RACK) == (1, 3) and scene.state.evening.stations[RACK].held
    back = scene.when(FollowBar(RACK))
    assert back.promised(RACK) == (1, 2) and not back.state.evening.stations[RACK].own
    assert told_words(back.events, NAMES) == ["Bo next instead of Cleo: back to the rising bar"]


def test_holding_and_going_back_are_each_refused_when_there_is_nothing_to_do() -> None:
    assert three().when(FollowBar(RACK)).why == "The rising bar is followed here already."
    assert three().given(HoldOrder(RACK)).when(HoldOrder(RACK)).why == "Your own order is held here already."
    assert "takes two" in evening(ready(1, squat=60)).when(HoldOrder(RACK)).why


def test_no_offer_is_taken_against_the_coachs_held_order() -> None:
    scene = three().given(HoldOrder(RACK))
    assert "Your own order is held" in does(scene, TakeOffer(RACK), offering(scene, 3, 1, 2)).why


# --- trims


def trims(scene: Scene, *which: Trim) -> Outlook:
    return Outlook(cmd=1, made=scene.now, refined=True, trims=which)


def statuses(scene: Scene, lifter: int, lift: str) -> list[str]:
    return [s.status for s in scene.of(lifter).of_lift(lift) if s.role != "ramp"]


def test_a_trim_taken_leaves_its_sets_out_and_is_said_with_its_minutes() -> None:
    scene = three()
    last = {n: scene.of(n).sets[-1].no for n in (1, 2, 3)}
    trim = Trim("set", "one work set each", 540, tuple(last.items()))
    taken = does(scene, TakeTrim(0), trims(scene, trim))
    assert [statuses(taken, n, "squat") for n in (1, 2, 3)] == [[PLANNED, PLANNED, DROPPED]] * 3
    assert taken.event("trim_taken").seconds == 540
    assert command_words(taken.events, scene.state.gym, NAMES) == "trim: 3 sets left out, 9 min earlier"


def test_what_a_trim_left_out_no_proposal_brings_back() -> None:
    scene = three()
    trimmed = does(scene, TakeTrim(0), trims(scene, Trim("set", "", 60, ((1, scene.of(1).sets[-1].no),))))
    lifted = trimmed.given(StartSet(RACK), a_set()[1:])
    assert statuses(lifted, 1, "squat") == [DONE, PLANNED, DROPPED]


def test_the_ramp_is_never_left_out_alone() -> None:
    scene = evening(came(1, squat=80), came(2, squat=60))
    ramp = scene.coming(1)
    assert ramp.role == "ramp"
    refused = does(scene, TakeTrim(0), trims(scene, Trim("set", "", 60, ((1, ramp.no),))))
    assert refused.why == "The ramp is never left out."


def test_a_lift_left_out_whole_takes_its_ramp_with_it() -> None:
    scene = evening(came(1, programme="squat-bench", squat=60, bench=60))
    bench = [s for s in scene.of(1).of_lift("bench") if s.role != "ramp"]
    taken = does(scene, TakeTrim(0), trims(scene, Trim("lift", "", 900, tuple((1, s.no) for s in bench))))
    assert {s.status for s in taken.of(1).of_lift("bench")} == {DROPPED}
    assert {s.status for s in taken.of(1).of_lift("squat")} == {PLANNED}


def test_a_trim_moves_lifters_where_their_lift_can_be_done() -> None:
    scene = evening(ready(1, RACK, "pull", deadlift=60), ready(2, RACK, "pull", deadlift=80))
    taken = does(scene, TakeTrim(0), trims(scene, Trim("move", "", 300, (), ((2, PLATFORM),))))
    assert taken.of(2).station == PLATFORM and taken.event("lifter_moved").rule == "trim"
    no = does(scene, TakeTrim(0), trims(scene, Trim("move", "", 300, (), ((2, BENCH),))))
    assert "has no" in no.why


def test_a_trim_of_an_older_state_or_none_is_refused() -> None:
    scene = three()
    outlook = trims(scene, Trim("set", "", 60, ((1, scene.coming(1).no),)))
    assert "no such trim" in does(scene, TakeTrim(1), outlook).why
    assert "no such trim" in does(scene, TakeTrim(0)).why
    assert "older state" in does(scene.given(a_set()), TakeTrim(0), outlook).why
    assert does(scene.given(Leave(1)), TakeTrim(0), outlook).why == "{lifter} has left."


# --- told next instead of whom


@pytest.mark.parametrize(
    ("command", "words"),
    [
        (Leave(2), "Cleo next instead of Bo: Bo left"),
        (ReportPain(2), "Cleo next instead of Bo: Bo is held for pain"),
        (Move(2, BENCH + 1), ""),
        (Swap(RACK, 2, 3), "Cleo next instead of Bo: the coach swapped them"),
    ],
    ids=["left", "held", "nowhere", "swapped"],
)
def test_another_one_told_next_is_announced_with_the_reason(command: Command, words: str) -> None:
    after = three().when(command)
    assert told_words(after.events, NAMES) == ([words] if words else [])


def test_a_set_recorded_late_of_who_was_next_says_so() -> None:
    scene = three()
    after = scene.when(RecordWhole(2, scene.coming(2).no, 5))
    assert told_words(after.events, NAMES) == ["Cleo next instead of Bo: Bo's set is recorded"]


def test_the_offer_taken_is_the_reason_when_another_is_next() -> None:
    scene = three()
    taken = does(scene, TakeOffer(RACK), offering(scene, 1, 3, 2))
    assert told_words(taken.events, NAMES) == ["Cleo next instead of Bo: the coach took the plan's order"]
    assert taken.event("told_next").other == 2


def test_a_turn_that_comes_round_as_promised_is_not_announced() -> None:
    scene = three()
    for command in a_set():
        scene = scene.when(command)
        assert told_words(scene.events, NAMES) == []
    assert three().when(EndSet(RACK)).refusal is not None


def test_every_reason_is_a_sentence() -> None:
    assert all(words and not words.endswith(".") for words in REASONS.values())
