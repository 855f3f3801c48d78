"""The rising bar: lightest first, round again, and whoever was told stays told."""

from __future__ import annotations

from floor.core.commands import (
    AllMade,
    Arrive,
    ChangeLoad,
    ClearPain,
    EndSet,
    Leave,
    Move,
    Pass,
    RampDone,
    RecordWhole,
    ReportPain,
    StartSet,
    Swap,
    SwapLifts,
)
from floor.core.gym import Grade
from floor.core.queue import line, promised_line
from tests.core.scenes import BENCH, PLATFORM, RACK, Scene, a_set, belongs, came, evening, kg, ready


def three(light: float = 40, middle: float = 60, heavy: float = 80) -> Scene:
    """Three squatters past their ramp; the heavy one came first."""
    return evening(ready(3, squat=heavy), ready(2, squat=middle), ready(1, squat=light))


def turns(scene: Scene, station: int, count: int, rest: int = 4) -> tuple[list[int], Scene]:
    """Who lifts in the next `count` sets at a station, with `rest` minutes in between: everyone is rested."""
    order = []
    for _ in range(count):
        up = scene.promised(station)[0]
        assert up is not None
        order.append(up)
        reps = scene.coming(up).reps
        scene = scene.given(a_set(station, made=reps)).later(seconds=60 * rest)
    return order, scene


def test_the_bar_rises_lightest_first_after_those_who_were_told() -> None:
    scene = evening(*(ready(n, squat=load) for n, load in ((1, 90), (2, 80), (3, 50), (4, 70), (5, 60))))
    order, _ = turns(scene, RACK, 5)
    assert order == [1, 2, 3, 5, 4]  # 1 and 2 were told before the lighter ones came


def test_a_ramp_ticked_off_lets_those_still_on_lighter_loads_go_first() -> None:
    scene = evening(came(1, RACK, "clean", clean=50), came(2, RACK, "clean", clean=40))
    assert scene.promised(RACK) == (1, 2)
    assert scene.given(RampDone(1)).promised(RACK) == (2, 1)


def test_a_ramp_ticked_off_leaves_the_lightest_up() -> None:
    others = (ready(2, RACK, "clean", clean=60), came(3, RACK, "clean", clean=70))
    scene = evening(came(1, RACK, "clean", clean=30), *others)
    assert scene.promised(RACK)[0] == 1
    assert scene.given(RampDone(1)).promised(RACK)[0] == 1


def test_a_ramp_ticked_off_for_somebody_else_moves_nobody() -> None:
    scene = evening(came(1, RACK, "clean", clean=50), came(2, RACK, "clean", clean=40))
    assert scene.given(RampDone(2)).promised(RACK) == (1, 2)


def test_round_again_in_the_same_order_for_the_lightest_is_not_waited_for() -> None:
    order, _ = turns(three(), RACK, 9)
    assert order == [3, 2, 1] * 3


def test_the_bar_does_not_wait_for_a_lifter_who_rests_while_another_is_ready() -> None:
    scene = evening(ready(1, squat=40), ready(2, squat=60), ready(3, squat=80))
    order, _ = turns(scene, RACK, 6, rest=0)
    downs = {lifter: [i for i, who in enumerate(order) if who == lifter] for lifter in (1, 2, 3)}
    assert all(second - first >= 2 for first, second in downs.values())


def test_ramp_loads_are_shared_and_rise_before_the_work_sets() -> None:
    scene = evening(came(1, squat=60), came(2, squat=80))
    loads = []
    for _ in range(11):
        up = scene.promised(RACK)[0]
        assert up is not None
        loads.append(scene.coming(up).load // 100)
        scene = scene.given(a_set(made=scene.coming(up).reps))
    assert loads == [20, 20, 40, 40, 60, 60, 60, 80, 60, 80, 80]  # two take turns


def test_equal_bars_go_to_whoever_has_waited_longest() -> None:
    scene = evening(ready(2, squat=60), came(1, squat=60), RampDone(1), ready(3, squat=60))
    order, _ = turns(scene, RACK, 6)
    assert order == [2, 1, 3, 2, 1, 3]


def test_who_was_told_next_stays_next_when_someone_lighter_arrives() -> None:
    scene = evening(ready(1, squat=60), ready(2, squat=80))
    assert scene.promised(RACK) == (1, 2)
    scene = scene.given(came(3, squat=30))
    assert scene.promised(RACK) == (1, 2)
    scene = scene.given(a_set())
    assert scene.promised(RACK) == (2, 3)


def test_the_promise_is_an_event_and_outlives_the_set() -> None:
    scene = three().given(StartSet(RACK), AllMade(RACK)).when(EndSet(RACK))
    assert scene.event("stepped_up").lifter == 2
    assert scene.event("told_next").lifter == 1


def test_one_alone_is_up_again_and_nobody_is_next() -> None:
    scene = evening(ready(squat=60)).when(StartSet(RACK))
    assert scene.promised(RACK) == (1, None)
    assert scene.given(AllMade(RACK), EndSet(RACK)).promised(RACK) == (1, None)


def test_a_pass_lets_the_next_one_go_first_and_then_it_is_the_passers_turn() -> None:
    scene = three()
    assert scene.promised(RACK) == (3, 2)
    passed = scene.when(Pass(RACK))
    assert (passed.event("turn_passed").lifter, passed.event("turn_passed").other) == (3, 2)
    assert passed.promised(RACK) == (2, 3)
    assert turns(passed, RACK, 3)[0] == [2, 3, 1]


def test_nobody_passes_alone_or_while_a_set_runs() -> None:
    assert evening(ready(squat=60)).when(Pass(RACK)).why.startswith("{lifter} is the only one here")
    assert three().given(StartSet(RACK)).when(Pass(RACK)).why == "A set is running here: end it first."
    assert evening().when(Pass(RACK)).why == "Nobody is up here."
    assert evening().when(Pass(9)).why == "The gym has no station 9."


def test_two_who_swap_take_each_others_place() -> None:
    scene = three().given(Swap(RACK, 3, 1))
    assert [t.lifter for t in promised_line(scene.state, RACK)] == [1, 2, 3]
    assert scene.promised(RACK) == (1, 2)


def test_an_order_by_hand_is_used_up_and_the_rising_bar_comes_back() -> None:
    scene = three().given(Swap(RACK, 2, 1))
    assert [t.lifter for t in promised_line(scene.state, RACK)] == [3, 1, 2]
    order, scene = turns(scene, RACK, 9)
    assert order == [3, 1, 2] * 3
    assert scene.state.evening.stations[RACK].ahead == ()


def test_a_second_swap_keeps_the_order_of_the_first() -> None:
    scene = evening(ready(1, squat=40), ready(2, squat=50), ready(3, squat=60), ready(4, squat=70))
    scene = scene.given(Swap(RACK, 3, 4), Swap(RACK, 1, 2))
    assert [t.lifter for t in promised_line(scene.state, RACK)] == [2, 1, 4, 3]


def test_a_swap_while_a_set_runs_leaves_the_one_on_the_bar() -> None:
    scene = three().given(StartSet(RACK), Swap(RACK, 2, 1))
    assert scene.promised(RACK) == (3, 1)


def test_only_two_who_wait_at_the_station_can_swap() -> None:
    scene = three().given(came(4, PLATFORM, "pull"))
    assert scene.when(Swap(RACK, 1, 1)).why == "Choose two different lifters to swap."
    assert scene.when(Swap(RACK, 1, 4)).why == "{lifter} is not waiting at this station."
    assert scene.when(Swap(9, 1, 2)).why == "The gym has no station 9."


def test_a_late_arrival_joins_the_round_the_others_are_in() -> None:
    _, scene = turns(evening(ready(1, squat=60), ready(2, squat=80)), RACK, 4)
    scene = scene.given(ready(3, squat=40))
    assert scene.of(3).turns == 2
    assert turns(scene, RACK, 3)[0] == [1, 2, 3]  # 1 and 2 had been told


def test_a_late_arrival_is_not_put_in_the_round_of_one_who_has_finished() -> None:
    finished = evening(came(2, squat=20), a_set(), a_set(), a_set(), ready(1, squat=60), ready(4, squat=70))
    assert finished.of(2).pending() is None and finished.of(2).turns == 3
    assert (finished.of(1).turns, finished.of(4).turns) == (0, 0)
    stopped = evening(ready(2, squat=40), a_set(faults="x"), ready(1, squat=60))
    stopped = stopped.given(a_set(), a_set(), ready(3, squat=50))
    assert stopped.of(2).pending() is None and stopped.of(2).turns == 1
    assert stopped.of(3).turns == stopped.of(1).turns == 2


def test_a_lifter_who_leaves_is_promised_nothing() -> None:
    scene = three().when(Leave(2))
    assert scene.promised(RACK) == (3, 1)
    assert scene.event("told_next").lifter == 1
    assert scene.given(Leave(3), Leave(1)).promised(RACK) == (None, None)


def test_the_last_one_told_next_is_taken_off_when_held() -> None:
    scene = evening(ready(1, squat=60), ready(2, squat=80), StartSet(RACK)).when(ReportPain(2))
    assert scene.promised(RACK) == (1, None)
    assert 2 not in [t.lifter for t in line(scene.state, RACK)]


def test_a_held_lifter_is_out_of_the_line_and_comes_back_with_the_clearance() -> None:
    scene = three().given(ReportPain(2))
    assert scene.promised(RACK) == (3, 1)
    assert 2 in [t.lifter for t in line(scene.given(ClearPain(2)).state, RACK)]


def test_a_lighter_load_by_hand_does_not_break_the_promise() -> None:
    scene = three()
    assert scene.promised(RACK) == (3, 2)
    assert scene.given(ChangeLoad(1, kg(20))).promised(RACK) == (3, 2)


def test_a_set_recorded_late_uses_the_lifters_turn() -> None:
    scene = three()
    no = scene.coming(3).no
    scene = scene.given(RecordWhole(3, no, 5, grade=Grade.UNSEEN))
    assert scene.promised(RACK) == (2, 1)
    assert scene.of(3).turns == 1


# --- from station to station


def test_when_the_next_lift_needs_another_station_the_lifter_is_sent_there() -> None:
    scene = evening(came(1, programme="squat-bench", squat=20, bench=20))
    scene = scene.given(a_set(), StartSet(RACK), AllMade(RACK)).when(EndSet(RACK))
    assert scene.event("lifter_moved").station == BENCH
    assert scene.promised(RACK) == (None, None)
    assert scene.promised(BENCH) == (1, None)


def test_who_stays_at_the_station_is_not_sent_away() -> None:
    scene = evening(came(1, programme="squat-press", squat=20, press=20)).given(a_set(), a_set())
    assert scene.coming(1).lift == "press"
    assert scene.of(1).station == RACK


def test_a_move_by_hand_takes_the_lifter_along_with_no_promise_left_behind() -> None:
    scene = evening(came(1, PLATFORM, "pull", deadlift=60), came(2, RACK, squat=60)).when(Move(1, RACK))
    assert scene.event("lifter_moved").rule == "by-hand"
    assert scene.promised(PLATFORM) == (None, None)
    assert scene.promised(RACK) == (2, 1)


def test_nobody_is_moved_to_where_the_next_lift_cannot_be_done() -> None:
    scene = evening(came(squat=60))
    assert scene.when(Move(1, PLATFORM)).why == "{lifter}'s next lift is the squat: Platform has no rack."
    assert scene.when(Move(1, RACK)).why == "{lifter} is at that station already."
    assert scene.when(Move(1, 9)).why == "The gym has no station 9."
    assert scene.given(StartSet(RACK)).when(Move(1, PLATFORM)).why == "{lifter} is lifting: end that set first."


def test_who_moves_joins_the_round_at_the_new_station() -> None:
    scene = evening(came(1, PLATFORM, "pull", deadlift=40), came(2, RACK, "pull", deadlift=50))
    scene = scene.given(RampDone(2), a_set(RACK), a_set(RACK), Move(1, RACK))
    assert scene.of(1).turns == scene.of(2).turns == 2


# --- the rack is taken: swap the lifts


def test_swapping_lifts_puts_the_other_lift_first_and_sends_the_lifter_there() -> None:
    scene = evening(ready(2, squat=80), came(1, programme="squat-bench", squat=60, bench=40)).when(SwapLifts(1))
    swapped = scene.event("lifts_swapped")
    assert (swapped.lift, swapped.other_lift) == ("squat", "bench")
    assert scene.of(1).station == BENCH
    assert [s.lift for s in scene.of(1).sets][:2] == ["bench", "bench"]
    assert [s.no for s in scene.of(1).of_lift("squat")] == [1, 2, 3, 4]


def test_swapped_lifts_come_back_to_the_first_one_afterwards() -> None:
    scene = evening(came(1, programme="squat-bench", squat=20, bench=20), SwapLifts(1))
    scene = scene.given(a_set(BENCH, made=6), a_set(BENCH, made=6))
    assert (scene.coming(1).lift, scene.of(1).station) == ("squat", RACK)


def test_lifts_are_swapped_in_the_middle_of_one_and_it_goes_on_later() -> None:
    scene = evening(came(1, programme="squat-press", squat=20, press=20), a_set(), SwapLifts(1))
    assert [s.lift for s in scene.of(1).sets if s.status == "planned"] == ["press", "press", "squat"]


def test_there_must_be_another_lift_to_swap_to() -> None:
    scene = evening(came(squat=60), belongs(2), Arrive(2, PLATFORM))
    assert scene.when(SwapLifts(1)).why == "{lifter} has no other lift left tonight."
    assert scene.given(StartSet(RACK)).when(SwapLifts(1)).why == "{lifter} is lifting: end that set first."
