"""What the outlook offers: another order for the round, ways to end by closing, where to stand."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime, timedelta
from itertools import combinations
from random import Random

from hypothesis import given, settings
from hypothesis import strategies as st

from floor.core.commands import Command, FollowBar, HoldOrder, OpenSession, StartSet, TakeOffer, TakeTrim
from floor.core.decide import decide
from floor.core.gym import Entry, Programme
from floor.core.outlook import Outlook, Watch
from floor.core.outlooking import outlook, tonight_evening
from floor.core.outlooking.floor_order import Played
from floor.core.outlooking.offering import WORTH_PLATES, WORTH_SECONDS, worth
from floor.core.queue import UP_SLACK
from floor.core.state import Heights, State
from tests.core.random_evenings import COMMANDS, START, play
from tests.core.scenes import PLATFORM, RACK, Scene, a_set, came, evening, kg, ready


def seen(scene: Scene, refined: bool = False) -> Outlook:
    return outlook(scene.state, 1, scene.now, refined=refined)


def an_evening(seed: int) -> Scene:
    """Four to six at one rack, some with their ramps done, a few sets into the evening. Invented."""
    chance = Random(seed)
    people = []
    for n in range(1, chance.randint(4, 6) + 1):
        comes = came if chance.random() < 0.4 else ready
        programme = chance.choice(("squat", "squat", "squat-press", "press"))
        people.append(
            comes(n, RACK, programme, squat=chance.randrange(40, 140, 5), press=chance.randrange(25, 60, 5))
        )
    scene = evening(*people)
    for _ in range(chance.randint(0, 8)):
        up = scene.promised(RACK)[0]
        if up is not None:
            reps = scene.coming(up).reps
            scene = scene.later(seconds=chance.randint(60, 160)).given(a_set(RACK, made=reps))
    return scene


EVENINGS = [an_evening(seed) for seed in range(40)]
OFFERED = [(scene, view.offers[0]) for scene in EVENINGS if (view := seen(scene)).offers]


def comes_to(scene: Scene) -> datetime:
    finish = seen(scene).finish
    assert finish is not None
    return finish


# --- another order


def test_some_evenings_have_an_offer_and_most_have_none() -> None:
    assert 3 <= len(OFFERED) <= len(EVENINGS) // 2


def test_an_offer_taken_gains_what_it_said() -> None:
    for scene, offer in OFFERED:
        taken = decide(scene.state, TakeOffer(RACK), scene.now, seen(scene))
        assert isinstance(taken, tuple), taken
        after = scene.given(taken, every=0)
        assert comes_to(after) == comes_to(scene) - timedelta(seconds=offer.seconds)
        ours = [turn.lifter for turn in seen(after).at(RACK)]
        assert tuple(ours[: len(offer.order)]) == offer.order


def test_who_is_up_and_who_was_told_next_stay_where_they_are() -> None:
    for scene, offer in OFFERED:
        told = [x for x in scene.promised(RACK) if x is not None]
        assert list(offer.order[: len(told)]) == told
        assert offer.lifter not in told and offer.lifter in offer.order


def test_an_offer_is_of_one_turn_each_and_says_what_it_gains() -> None:
    for scene, offer in OFFERED:
        assert len(set(offer.order)) == len(offer.order)
        assert offer.why.startswith("{lifter} before {other}: ")
        assert offer.other is not None and offer.other != offer.lifter
        assert offer.seconds >= 0
        if offer.seconds >= WORTH_SECONDS:
            assert f"done {offer.seconds // 60} min earlier" in offer.why
        if offer.plates:
            assert f"{abs(offer.plates)} plates {'fewer' if offer.plates > 0 else 'more'}" in offer.why
        turns = {turn.lifter: turn for turn in reversed(seen(scene).at(RACK))}
        assert all(turns[x].set_no == scene.coming(x).no for x in offer.order)


def test_nobody_in_an_offer_is_called_to_the_bar_long_before_their_rest_is_over() -> None:
    for scene, offer in OFFERED:
        taken = decide(scene.state, TakeOffer(RACK), scene.now, seen(scene))
        assert isinstance(taken, tuple)
        _, tonight, played = tonight_evening(scene.given(taken, every=0).state, scene.now)
        free = tonight.spots[0].free
        told = sum(x is not None for x in scene.promised(RACK))
        for n, turn in enumerate(t for t in played.turns if t.station == 0):
            if told <= n < len(offer.order):
                assert turn.start <= free + turn.set_up + UP_SLACK
            assert n >= len(offer.order) or turn.start >= tonight.lifters[turn.lifter].ready
            free = turn.end


def test_a_change_is_worth_a_minute_four_plates_or_a_long_wait_and_never_costs_time() -> None:
    now = Played((), finish=3000, waits=2, waited=100, moved=40)
    assert worth(now, replace(now, finish=3000 - WORTH_SECONDS))
    assert not worth(now, replace(now, finish=3001 - WORTH_SECONDS))
    assert worth(now, replace(now, moved=40 - WORTH_PLATES))
    assert not worth(now, replace(now, moved=41 - WORTH_PLATES))
    assert worth(now, replace(now, waits=1, waited=60))
    assert not worth(now, replace(now, waits=2, waited=60))
    assert worth(now, replace(now, finish=2900, moved=60))
    assert not worth(now, replace(now, finish=2900, waited=101))
    assert not worth(now, replace(now, finish=3001, moved=0))


def test_while_the_coach_holds_the_order_nothing_is_offered_against_it() -> None:
    scene, _ = OFFERED[0]
    held = scene.given(HoldOrder(RACK), every=0)
    assert seen(held).offers == () and seen(held, refined=True).offers == ()
    assert seen(held.given(FollowBar(RACK), every=0)).finish is not None


def test_a_held_order_is_foreseen_round_after_round() -> None:
    scene = evening(*(ready(n, squat=100 - 10 * n) for n in range(1, 5))).later(seconds=200).given(HoldOrder(RACK))
    order = [turn.lifter for turn in seen(scene).at(RACK)]
    assert order[:4] == order[4:8] == order[8:]


# --- the hour


def short_of_time(scene: Scene, minutes: int) -> State:
    gym = scene.state.gym
    return replace(scene.state, gym=replace(gym, settings=replace(gym.settings, minutes=minutes)))


def two_stations() -> Scene:
    """Five at the rack with two lifts each, one at the platform with one."""
    return evening(
        *(came(n, RACK, "squat-press", squat=50 + 5 * n, press=30) for n in range(1, 6)),
        came(6, PLATFORM, "press", press=30),
    )


def test_nothing_is_trimmed_while_the_hour_holds() -> None:
    scene = two_stations()
    assert outlook(short_of_time(scene, 300), 1, scene.now).trims == ()


def test_the_ways_to_end_earlier_stand_in_the_trades_order_and_each_gains() -> None:
    scene = two_stations()
    trims = outlook(short_of_time(scene, 20), 1, scene.now).trims
    kinds = [trim.kind for trim in trims]
    assert kinds == [kind for kind in ("backoff", "move", "lift", "set") if kind in kinds]
    assert {"lift", "set"} <= set(kinds)
    assert all(trim.seconds > 0 and trim.words for trim in trims)


def test_a_trim_taken_ends_the_evening_that_much_earlier() -> None:
    scene = replace(two_stations(), state=short_of_time(two_stations(), 20))
    view = seen(scene)
    assert view.trims
    for n, trim in enumerate(view.trims):
        taken = decide(scene.state, TakeTrim(n), scene.now, view)
        assert isinstance(taken, tuple), taken
        assert comes_to(scene) - comes_to(scene.given(taken, every=0)) == timedelta(seconds=trim.seconds), trim


def test_the_ramp_is_never_trimmed_but_with_its_whole_lift() -> None:
    scene = two_stations()
    for trim in outlook(short_of_time(scene, 20), 1, scene.now).trims:
        for lifter, no in trim.sets:
            out = scene.of(lifter).set(no)
            assert out is not None
            alike = {(lifter, s.no) for s in scene.of(lifter).of_lift(out.lift)}
            assert out.role != "ramp" or alike <= set(trim.sets)


def test_one_work_set_at_least_of_every_lift_is_left() -> None:
    scene = two_stations()
    trim = next(t for t in outlook(short_of_time(scene, 20), 1, scene.now).trims if t.kind == "set")
    for lifter, no in trim.sets:
        out = scene.of(lifter).set(no)
        assert out is not None and out.role != "ramp"
        work = [s for s in scene.of(lifter).of_lift(out.lift) if s.role != "ramp"]
        assert len(work) > 1 and out == work[-1]


def test_a_lift_that_is_begun_or_the_only_one_is_not_left_out() -> None:
    scene = evening(*(ready(n, squat=50 + 5 * n) for n in range(1, 5)))
    assert "lift" not in [t.kind for t in outlook(short_of_time(scene, 5), 1, scene.now).trims]


def test_lighter_sets_after_the_top_go_first() -> None:
    scene = evening(*(ready(n, RACK, "squat", squat=60) for n in range(1, 5)))
    here = dict(scene.state.evening.here)
    for lifter, present in here.items():
        sets = tuple(replace(s, load=kg(50)) if s.no == present.sets[-1].no else s for s in present.sets)
        here[lifter] = replace(present, sets=sets)
    state = short_of_time(scene, 5)
    state = replace(state, evening=replace(state.evening, here=here))
    first = outlook(state, 1, scene.now).trims[0]
    assert first.kind == "backoff"
    assert set(first.sets) == {(n, scene.of(n).sets[-1].no) for n in range(1, 5)}


# --- where to stand


def overlap(a: Watch, b: Watch) -> bool:
    return a.start < b.end and b.start < a.end


def test_the_coach_stands_at_one_set_at_a_time_in_order_of_time() -> None:
    scene = evening(
        *(came(n, RACK, "squat", youth=True, squat=40) for n in (1, 2)),
        *(came(n, PLATFORM, "press", youth=True, press=25) for n in (3, 4)),
    )
    view = seen(scene)
    assert view.watch and view.watched is not None and 0 < view.watched <= 1
    assert not any(overlap(a, b) for a, b in combinations(view.watch, 2))
    assert [w.start for w in view.watch] == sorted(w.start for w in view.watch)
    assert all(w.why for w in view.watch)


def test_the_choice_of_what_to_watch_weighs_as_much_as_any_other() -> None:
    for seed in range(12):
        scene = an_evening(seed)
        young = {x: replace(y, youth=x % 2 == 0) for x, y in scene.state.lifters.items()}
        view = outlook(replace(scene.state, lifters=young), 1, scene.now)
        wanted = [turn for turn in view.turns if turn.eyes][:12]
        ends = {(turn.lifter, turn.set_no): turn for turn in wanted}
        chosen = sum(ends[w.lifter, w.set_no].eyes for w in view.watch if (w.lifter, w.set_no) in ends)
        if len(wanted) == sum(1 for turn in view.turns if turn.eyes):
            assert chosen == most([(turn.start, turn.end, turn.eyes) for turn in wanted])


def most(sets: Sequence[tuple[datetime, datetime, int]]) -> int:
    """The most weight without an overlap, by trying every choice."""
    if not sets:
        return 0
    first, *others = sets
    apart = [s for s in others if s[0] >= first[1] or s[1] <= first[0]]
    return max(first[2] + most(apart), most(others))


def test_a_set_on_the_bar_that_needs_eyes_is_where_to_stand_now() -> None:
    scene = evening(ready(1, RACK, youth=True, squat=40)).later(seconds=200).given(StartSet(RACK))
    view = seen(scene)
    assert view.watch[0].lifter == 1 and view.watch[0].start <= scene.now < view.watch[0].end


def test_without_anything_to_see_there_is_no_share() -> None:
    scene = evening(ready(1, squat=60))
    old = replace(scene.state.lifters[1], sessions=50)
    view = outlook(replace(scene.state, lifters={1: old}), 1, scene.now)
    assert (view.watch, view.watched, view.watched_rotation) == ((), None, None)


@given(st.integers(1, 20), st.integers(1, 20))
def test_another_hole_of_the_rack_takes_its_time(first: int, second: int) -> None:
    scene = evening(*(ready(n, squat=60) for n in (1, 2))).later(seconds=400)
    people = {
        n: replace(scene.state.lifters[n], heights={"squat": Heights(rack=hole, safety=3)})
        for n, hole in ((1, first), (2, second))
    }
    one, two = (turn for turn in outlook(replace(scene.state, lifters=people), 1, scene.now).at(RACK)[:2])
    gap = (two.start - one.end).total_seconds()
    assert gap == (15 if first == second else 35)


def test_programmes_of_lighter_sets_are_trimmed_by_their_name() -> None:
    entry = Entry("squat", 2, 5, backoff=2, backoff_percent=80)
    day = Programme("top and back", "Top and back", ((entry,),))
    start = Scene()
    gym = replace(start.state.gym, programmes={**start.state.gym.programmes, "top and back": day})
    scene = evening_with(replace(start, state=replace(start.state, gym=gym)))
    first = outlook(short_of_time(scene, 5), 1, scene.now).trims[0]
    assert first.kind == "backoff"
    assert set(first.sets) == {(n, s.no) for n in (1, 2, 3) for s in scene.of(n).sets if s.role == "backoff"}
    assert len(first.sets) == 6


def evening_with(start: Scene) -> Scene:
    """Three on the programme of a top set and lighter ones after it."""
    return start.given(OpenSession(), *(ready(n, RACK, "top and back", squat=80) for n in (1, 2, 3)))


# --- whatever happened before


@settings(max_examples=30, deadline=None)
@given(COMMANDS)
def test_whatever_happened_what_is_proposed_can_be_taken_and_gains_what_it_says(past: list[Command]) -> None:
    steps = play(past)
    state = steps[-1].after if steps else START.state
    scene = Scene(state, START.now + timedelta(seconds=20 * (len(past) * 4 + 1)))
    if not state.open or state.evening.stopped:
        return
    scene = replace(scene, state=short_of_time(scene, 1))
    view = seen(scene, refined=False)
    choices: list[tuple[Command, int, int | None]] = [(TakeOffer(o.station), o.seconds, None) for o in view.offers]
    choices += [(TakeTrim(n), trim.seconds, trim.lifter) for n, trim in enumerate(view.trims)]
    for command, seconds, lifter in choices:
        taken = decide(scene.state, command, scene.now, view)
        assert isinstance(taken, tuple), taken
        after = seen(scene.given(taken, every=0))
        assert done(view, scene.now, lifter) - done(after, scene.now, lifter) == timedelta(seconds=seconds), command


def done(view: Outlook, now: datetime, lifter: int | None) -> datetime:
    """When the last bar is down; with a lifter, when theirs is."""
    return max((turn.end for turn in view.turns if lifter in (None, turn.lifter)), default=now)
