"""The outlook of an evening: the floor's own order by the clock, and what it comes to."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest
from hypothesis import given, settings

from floor.core.commands import (
    AllMade,
    Arrive,
    EndSet,
    ExpectLate,
    HoldOrder,
    Leave,
    Move,
    ReportPain,
    StartSet,
    Swap,
)
from floor.core.events import USUALLY_LATE
from floor.core.gym import Grade
from floor.core.outlook import ComingSet, Outlook
from floor.core.outlooking import outlook, tonight_evening
from floor.core.pace import NO_PACE, Pace
from floor.core.planner import plan, wrong_with
from floor.core.queue import can_stand
from floor.core.rests import ready_at, rest_after
from floor.core.state import PLANNED, State
from tests.core.planner.checking import breaches
from tests.core.random_evenings import COMMANDS, START, play
from tests.core.scenes import BENCH, PLATFORM, RACK, SIX, Scene, a_set, belongs, came, evening, ready


def seen(scene: Scene, pace: Pace = NO_PACE) -> Outlook:
    return outlook(scene.state, 7, scene.now, pace)


def order(view: Outlook, station: int) -> list[int]:
    return [turn.lifter for turn in view.at(station)]


def shortest_bar_first() -> Scene:
    """Three at the rack for squats: 40, 60 and 80 kg, ramps done."""
    return evening(ready(1, squat=60), ready(2, squat=40), ready(3, squat=80))


# --- the order by the clock


def test_nothing_is_planned_when_nobody_has_a_set_to_do() -> None:
    for scene in (Scene(), evening(), evening(belongs(1, squat=60))):
        view = seen(scene)
        assert (view.cmd, view.made, view.turns, view.finish, view.offers) == (7, scene.now, (), None, ())


def test_the_lightest_bar_goes_first_and_the_round_again() -> None:
    scene = evening(*(ready(n, squat=110 - 10 * n) for n in range(1, 7))).later(seconds=300)
    rounds = order(seen(scene), RACK)
    up, coming = scene.promised(RACK)
    assert rounds[:2] == [up, coming]
    assert rounds[2:6] == [n for n in (6, 5, 4, 3, 2, 1) if n not in (up, coming)]
    assert rounds[6:12] == rounds[12:] == [6, 5, 4, 3, 2, 1]


def test_every_set_starts_when_its_lifter_is_rested_and_the_bar_is_made_ready() -> None:
    scene = shortest_bar_first()
    view = seen(scene)
    before: dict[int, ComingSet] = {}
    end = scene.now
    for turn in view.at(RACK):
        rested = before[turn.lifter].end + timedelta(seconds=180) if turn.lifter in before else turn.rested
        assert turn.rested == rested
        assert turn.start >= end and (rested is None or turn.start >= rested)
        before[turn.lifter], end = turn, turn.end
    assert view.finish == end


def test_the_rest_owed_for_a_ramp_ticked_off_is_waited_for() -> None:
    scene = evening(ready(1, squat=60))
    first = seen(scene).turns[0]
    assert first.rested == ready_at(scene.state.gym, scene.of(1))
    assert first.rested is not None and first.start == first.rested


def test_who_was_told_goes_first_and_second_whatever_the_loads() -> None:
    scene = evening(ready(3, squat=80), came(1, squat=60), came(2, squat=40))
    up, coming = scene.promised(RACK)
    assert up == 3
    assert order(seen(scene), RACK)[:2] == [up, coming]


def test_the_coachs_own_order_is_followed() -> None:
    scene = shortest_bar_first()
    first = order(seen(scene), RACK)[0]
    last = next(i for i in (3, 1, 2) if i != first)
    scene = scene.given(Swap(RACK, first, last))
    ahead = [x for x in scene.promised(RACK) if x is not None]
    ahead += [x for x in scene.state.evening.stations[RACK].ahead if x not in ahead]
    assert order(seen(scene), RACK)[: len(ahead)] == ahead and ahead[0] == last


def test_a_set_on_the_bar_stands_first_and_the_next_one_follows_it() -> None:
    scene = shortest_bar_first().given(StartSet(RACK), every=5)
    view = seen(scene)
    on, following = view.at(RACK)[:2]
    assert on.lifter == scene.promised(RACK)[0] and on.start <= scene.now < on.end
    assert following.lifter == scene.promised(RACK)[1] and following.start >= on.end


def test_a_set_started_before_its_rest_is_over_says_so_while_it_runs() -> None:
    scene = evening(ready(1, squat=60)).later(seconds=240).given(a_set(RACK))
    assert seen(scene).at(RACK)[0].start == seen(scene).at(RACK)[0].rested, "the plan itself waits for the rest"
    on = seen(scene.given(StartSet(RACK))).at(RACK)[0]
    assert on.rested is not None and on.start < on.rested
    rested = seen(scene.later(seconds=240).given(StartSet(RACK))).at(RACK)[0]
    assert rested.rested is not None and rested.start >= rested.rested


def test_a_bar_put_down_is_free_at_once_though_its_set_is_not_graded() -> None:
    scene = shortest_bar_first().given(StartSet(RACK)).later(seconds=30).given(AllMade(RACK))
    on, following = seen(scene).at(RACK)[:2]
    assert on.end == scene.now
    assert following.start >= on.end


def test_a_lifter_goes_where_the_next_lift_can_be_done() -> None:
    scene = evening(came(1, RACK, "squat-bench", squat=60, bench=40))
    view = seen(scene)
    lifts = {turn.lift: turn.station for turn in view.turns}
    assert lifts == {"squat": RACK, "bench": BENCH}


# --- who takes part


def test_who_has_left_or_is_held_has_no_part() -> None:
    scene = shortest_bar_first().given(Leave(1), ReportPain(2))
    assert {turn.lifter for turn in seen(scene).turns} == {3}


def test_a_lifter_expected_late_has_a_part_from_the_time_they_are_taken_to_come() -> None:
    scene = shortest_bar_first().given(belongs(9, squat=50), ExpectLate(9))
    theirs = [turn for turn in seen(scene).turns if turn.lifter == 9]
    assert theirs and theirs[0].set_no == 1
    assert theirs[0].start >= scene.now + timedelta(seconds=USUALLY_LATE)
    came_in = scene.given(Arrive(9, RACK))
    assert [turn.set_no for turn in seen(came_in).turns if turn.lifter == 9] == [turn.set_no for turn in theirs]


def test_who_is_expected_late_and_held_is_not_planned() -> None:
    scene = shortest_bar_first().given(belongs(9, squat=50), ExpectLate(9))
    held = replace(scene.state.lifters[9], held_since=SIX)
    state = replace(scene.state, lifters={**scene.state.lifters, 9: held})
    assert 9 not in {turn.lifter for turn in outlook(state, 1, scene.now).turns}


# --- what it comes to


def test_the_plan_is_never_later_than_the_floors_own_order_when_the_hour_is_short() -> None:
    scene = evening(*(ready(n, squat=30 + 7 * n) for n in range(1, 7)))
    gym = scene.state.gym
    short = replace(scene.state, gym=replace(gym, settings=replace(gym.settings, minutes=10)))
    view = outlook(short, 1, scene.now)
    assert view.planned is not None and view.finish is not None and view.closing is not None
    assert view.planned <= view.finish and view.closing < view.finish
    assert view.closing == scene.state.evening.opened + timedelta(minutes=10)


def test_a_pace_that_was_learned_moves_the_finish() -> None:
    scene = shortest_bar_first()
    slow = Pace({("squat", 5): (120.0, 200)})
    quick, long = seen(scene), seen(scene, slow)
    assert quick.finish is not None and long.finish is not None and long.finish > quick.finish
    assert all(turn.end - turn.start == timedelta(seconds=slow.seconds("squat", 5)) for turn in long.turns)


def test_the_same_state_gives_the_same_outlook_with_either_budget() -> None:
    scene = shortest_bar_first()
    assert seen(scene) == seen(scene)
    refined = outlook(scene.state, 7, scene.now, refined=True)
    assert refined == outlook(scene.state, 7, scene.now, refined=True)
    assert refined.refined and refined.turns == seen(scene).turns


# --- against the floor itself


ENDS, COMES, BEGINS = 0, 1, 2
"""What comes first at the same second."""


def lifted(scene: Scene) -> list[str]:
    """What the floor does otherwise when everybody comes, begins and ends when the outlook says they will."""
    turns = seen(scene).turns
    keys = [(turn.end, ENDS, turn) for turn in turns]
    keys += [(turn.start, BEGINS, turn) for turn in turns if turn.start >= scene.now]
    late = {turn.lifter: turn for turn in reversed(turns) if turn.lifter in scene.state.evening.late}
    keys += [(scene.state.evening.late[lifter], COMES, turn) for lifter, turn in late.items()]
    for when, what, turn in sorted(keys, key=lambda key: (key[0], key[1], key[2].station)):
        scene = replace(scene, now=when)
        if what == COMES:
            scene = scene.when(Arrive(turn.lifter, turn.station), 0)
        elif what == ENDS:
            scene = scene.when(AllMade(turn.station), 0).when(EndSet(turn.station, Grade.SOUND), 0)
        else:
            up = scene.promised(turn.station)[0]
            if up != turn.lifter:
                return [f"{up} is up at {turn.station} and not {turn.lifter}, set {turn.set_no}"]
            scene = scene.when(StartSet(turn.station), 0)
        if scene.refusal is not None:
            return [f"{turn.lifter}, set {turn.set_no}: {scene.refusal.why}"]
    undone = [p.lifter for p in scene.state.evening.here.values() if p.pending() is not None]
    return [f"{undone} have sets left"] if undone else []


ALL_LIFTS = {"clean": 40, "squat": 60, "press": 30, "bench": 45, "deadlift": 80}


def loads(more: int) -> dict[str, float]:
    return {lift: load + more for lift, load in ALL_LIFTS.items()}


FORESEEN = {
    "one bar, ramps and all": lambda: evening(*(came(n, RACK, squat=40 + 10 * n) for n in range(1, 6))),
    "two lifts, one bar": lambda: evening(
        *(came(n, RACK, "squat-press", squat=90 - 10 * n, press=20 + 5 * n) for n in range(1, 5))
    ),
    "from the rack to the bench": lambda: evening(
        *(came(n, RACK, "squat-bench", squat=50 + 5 * n, bench=30 + 5 * n) for n in range(1, 5)),
        *(came(n, PLATFORM, "pull", deadlift=60 + 10 * n) for n in range(5, 8)),
        *(came(n, BENCH, "bench", bench=30 + 10 * n) for n in range(8, 10)),
    ),
    "five lifts, to wherever fewest wait": lambda: evening(
        *(came(n, RACK, "everything", **loads(10 * n)) for n in range(1, 4)),
        *(came(n, PLATFORM, "everything", **loads(5 * n)) for n in range(4, 8)),
        came(8, PLATFORM, "pull", deadlift=100),
    ),
    "one who comes late": lambda: evening(
        *(ready(n, RACK, squat=40 + 5 * n) for n in range(1, 9)), belongs(9, "squat", squat=120), ExpectLate(9)
    ),
    "one lifting now": lambda: evening(
        *(ready(n, RACK, squat=40 + 10 * n) for n in range(1, 6)),
        *(came(n, PLATFORM, "pull", deadlift=80) for n in (6, 7)),
    ).later(seconds=300).given(StartSet(RACK)).later(seconds=7),
    "the coach's own order": lambda: evening(
        *(ready(n, RACK, squat=40 + 10 * n) for n in range(1, 6))
    ).later(seconds=300).given(Swap(RACK, 2, 5)),
    "an order held": lambda: evening(
        *(ready(n, RACK, squat=40 + 10 * n) for n in range(1, 6))
    ).later(seconds=300).given(StartSet(RACK), HoldOrder(RACK)).later(seconds=7),
}  # fmt: skip


@pytest.mark.parametrize("what", FORESEEN)
def test_the_floor_keeps_the_order_that_was_foreseen_to_the_end(what: str) -> None:
    scene = FORESEEN[what]()
    assert lifted(scene) == []
    for _ in range(4):
        up = scene.promised(RACK)[0]
        if up is not None and not any(p.running() for p in scene.state.evening.here.values()):
            scene = scene.later(seconds=90).given(a_set(RACK, made=scene.coming(up).reps))
            assert lifted(scene) == []


# --- whatever happened before


@settings(max_examples=40, deadline=None)
@given(COMMANDS)
def test_whatever_happened_the_foreseen_order_and_the_plan_keep_the_rules(past: list[object]) -> None:
    steps = play(past)  # type: ignore[arg-type]
    state = steps[-1].after if steps else START.state
    now = START.now + timedelta(seconds=20 * (len(past) + 40))
    if not state.open:
        assert outlook(state, 1, now).turns == ()
        return
    planned, tonight, kept = tonight_evening(state, now)
    assert wrong_with(planned) == ""
    assert breaches(planned, kept.turns) == []
    assert breaches(planned, plan(planned, 3000).turns) == []
    view = outlook(state, 1, now)
    assert view == outlook(state, 1, now)
    if view.planned is not None and view.finish is not None:
        assert view.planned <= view.finish
    unknown = {turn.lifter for turn in view.turns} - set(state.evening.here)
    assert unknown <= set(state.evening.late)
    away = {x for x, p in state.evening.here.items() if p.gone or state.lifters[x].held}
    assert not away & {turn.lifter for turn in view.turns}
    for present in state.evening.here.values():
        if present.lifter in away:
            continue
        foreseen = [turn.set_no for turn in view.turns if turn.lifter == present.lifter]
        running = present.running()
        to_do = [s.no for s in present.sets if s.status == PLANNED and _somewhere(state, s.lift)]
        assert foreseen == ([running.no] if running else []) + to_do
        rested = ready_at(state.gym, present)
        first = next((turn for turn in view.turns if turn.lifter == present.lifter), None)
        if rested is not None and first is not None and running is None:
            assert first.start >= rested
    last: dict[int, ComingSet] = {}
    for turn in view.turns:
        if turn.lifter in last and turn.lifter in state.evening.here:
            before = state.evening.here[turn.lifter].set(last[turn.lifter].set_no)
            assert before is not None
            assert turn.start >= last[turn.lifter].end + timedelta(seconds=rest_after(state.gym, before))
        last[turn.lifter] = turn


def _somewhere(state: State, lift: str) -> bool:
    return any(can_stand(station, state.gym.lifts[lift].needs) for station in state.gym.stations)


def test_a_lifter_moved_by_the_coach_is_planned_there() -> None:
    scene = evening(came(1, RACK, "pull", deadlift=80)).given(Move(1, PLATFORM))
    assert {turn.station for turn in seen(scene).turns} == {PLATFORM}


def test_a_set_that_was_done_is_not_planned_again() -> None:
    scene = shortest_bar_first().later(seconds=200)
    up = scene.promised(RACK)[0]
    assert up is not None
    done = scene.coming(up).no
    after = scene.given(a_set(RACK))
    assert (up, done) not in {(turn.lifter, turn.set_no) for turn in seen(after).turns}
