"""Who shares which station: like loads together, an even finish, the coach's own choice left alone."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

from hypothesis import given, settings
from hypothesis import strategies as st

from floor.core.arrivals import sets_tonight
from floor.core.commands import Arrive, ExpectLate, JoinLifter, Leave, OpenSession, PlanNext, ShareOut
from floor.core.definitions import parse_gym
from floor.core.groups import AWAY, groups, moves, place_for, place_new, told
from floor.core.gym import Gym, Station
from floor.core.outlooking.wholeevening import WholeEvening
from floor.core.state import State
from floor.templates import templates
from tests.core.scenes import BENCH, PLATFORM, RACK, Scene, a_set, belongs, came, gym

RACKED = frozenset({"rack"})


def racks(count: int = 2) -> Scene:
    """An evening with so many stations that can do anything."""
    anything = tuple(
        Station(n, f"Platform {n}", frozenset({"floor", "rack", "bench"}), "20") for n in range(1, count + 1)
    )
    return Scene(State(gym=replace(gym(), stations=anything))).given(OpenSession())


def shared(scene: Scene) -> list[set[int]]:
    """The groups, as sets of lifters."""
    by_station: dict[int, set[int]] = {}
    for lifter, station in groups(scene.state, scene.now).items():
        by_station.setdefault(station, set()).add(lifter)
    return [group for _, group in sorted(by_station.items())]


def test_like_loads_share_a_station() -> None:
    scene = racks().given(*(belongs(n, squat=load) for n, load in enumerate((40, 100, 45, 105), 1)))
    assert sorted(map(sorted, shared(scene))) == [[1, 3], [2, 4]]


def test_no_station_gets_everyone_though_all_lift_the_same() -> None:
    scene = racks().given(*(belongs(n, squat=60) for n in range(1, 7)))
    assert [len(group) for group in shared(scene)] == [3, 3]


def test_the_loads_of_a_group_in_pounds_are_shown_as_planned() -> None:
    texts = templates(unit="lb")
    pounds = parse_gym(texts, {name: 1 for name in texts}, "lb")
    assert isinstance(pounds, Gym)
    pounds = replace(pounds, programmes=gym().programmes, settings=replace(pounds.settings, programme="squat"))
    scene = Scene(State(gym=pounds)).given(*(JoinLifter(n) for n in (1, 2)), OpenSession())
    scene = scene.given(PlanNext(1, "squat", 3, 5, 13500), PlanNext(2, "squat", 3, 5, 14000))
    assert any("squat 135 to 140 lb" in part.why for group in told(scene.state, scene.now) for part in group.parts)


def test_whoever_is_here_stays_where_the_coach_put_them() -> None:
    scene = racks().given(came(1, 2, squat=40), *(belongs(n, squat=40) for n in (2, 3, 4)))
    assert groups(scene.state, scene.now)[1] == 2


def test_a_lift_goes_where_it_can_be_done() -> None:
    scene = Scene().given(OpenSession(), belongs(1, "bench", bench=50), belongs(2, "squat", squat=60))
    assert groups(scene.state, scene.now) == {1: BENCH, 2: RACK}


def test_who_has_been_away_for_long_is_not_counted_on_but_has_a_place_when_they_come() -> None:
    scene = racks().given(belongs(1, squat=60), belongs(2, squat=60))
    long_ago = scene.now - AWAY - timedelta(days=1)
    lifters = {**scene.state.lifters, 2: replace(scene.state.lifters[2], last_came=long_ago)}
    state = replace(scene.state, lifters=lifters)
    assert set(groups(state, scene.now)) == {1}
    assert place_for(state, lifters[2], scene.now).station is not None
    late = Scene(state, scene.now).given(ExpectLate(2))
    assert set(groups(late.state, late.now)) == {1, 2}


def test_who_has_left_takes_no_place() -> None:
    scene = racks().given(came(1, 1, squat=60), Leave(1), belongs(2, squat=60))
    assert set(groups(scene.state, scene.now)) == {2}


def test_the_reason_names_the_lift_the_loads_and_the_others() -> None:
    scene = racks().given(*(belongs(n, squat=load) for n, load in enumerate((40, 100, 45, 105), 1)))
    place = place_for(scene.state, scene.state.lifters[3], scene.now)
    assert place.why == "squat 40 to 45 kg with {others}" and place.others == (1,)


def test_a_lifter_alone_in_a_group_needs_no_reason() -> None:
    scene = racks().given(belongs(1, squat=40))
    assert place_for(scene.state, scene.state.lifters[1], scene.now).why == ""


def test_a_gym_without_stations_has_no_place() -> None:
    state = State(gym=replace(gym(), stations=()), lifters=racks().given(belongs(1, squat=40)).state.lifters)
    assert place_for(state, state.lifters[1], Scene().now).station is None
    assert groups(state, Scene().now) == {} and moves(state, Scene().now) == ()


def badly_placed() -> Scene:
    """Light and heavy at each of two stations."""
    loads = ((1, 1, 40), (2, 1, 100), (3, 2, 45), (4, 2, 105))
    return racks().given(*(came(n, station, squat=load) for n, station, load in loads))


def test_those_who_stand_badly_are_moved_at_one_key_and_it_is_one_command() -> None:
    scene = badly_placed()
    going = moves(scene.state, scene.now)
    assert going
    done = scene.when(ShareOut(going))
    assert {e.rule for e in done.events if e.kind == "lifter_moved"} == {"groups"}
    stand = {n: done.of(n).station for n in (1, 2, 3, 4)}
    assert stand[1] == stand[3] and stand[2] == stand[4] and stand[1] != stand[2]
    assert moves(done.state, done.now) == ()


def test_who_has_lifted_is_moved_no_more() -> None:
    scene = badly_placed()
    for station in (1, 2):
        scene = scene.given(a_set(station))
    begun = {n for n in (1, 2, 3, 4) if scene.of(n).last_down() is not None}
    assert len(begun) == 2 and not begun & {lifter for lifter, _ in moves(scene.state, scene.now)}


def test_nobody_is_moved_when_one_of_them_cannot_be() -> None:
    scene = Scene().given(OpenSession(), came(1, RACK, squat=60), came(2, RACK, squat=60))
    refused = scene.when(ShareOut(((1, PLATFORM), (2, RACK))))
    assert "has no rack" in refused.why and refused.of(1).station == RACK
    assert "already" in scene.when(ShareOut(())).why


def test_each_group_says_why_and_when_it_is_done() -> None:
    scene = racks().given(*(belongs(n, squat=load) for n, load in enumerate((40, 100, 45, 105), 1)))
    said = {part.why: part.lifters for group in told(scene.state, scene.now) for part in group.parts}
    assert said == {"like loads, squat 40 to 45 kg": (1, 3), "like loads, squat 100 to 105 kg": (2, 4)}
    assert all(group.done is not None and group.done > scene.now for group in told(scene.state, scene.now))


def test_who_fills_a_station_up_is_there_for_an_even_finish() -> None:
    scene = racks().given(*(belongs(n, squat=load) for n, load in enumerate((40, 120, 40, 40), 1)))
    said = {part.why: part.lifters for group in told(scene.state, scene.now) for part in group.parts}
    assert said["for an even finish, squat 120 kg"] == (2,)
    assert sum(why.startswith("like loads, squat 40 kg") for why in said) >= 1


def test_a_lift_with_one_station_is_there_because_it_can_be_done_nowhere_else() -> None:
    scene = Scene().given(OpenSession(), belongs(1, "bench", bench=50), belongs(2, "bench", bench=60))
    (group,) = (group for group in told(scene.state, scene.now) if group.parts)
    assert group.station.id == BENCH and group.parts[0].why == "only here, bench press 50 to 60 kg"


def test_somebody_new_goes_where_there_is_most_time_left() -> None:
    scene = racks().given(*(came(n, 1, squat=60) for n in (1, 2, 3)), came(4, 2, squat=60))
    place = place_new(scene.state, 9, scene.now)
    assert place.station is not None and place.station.id == 2


@settings(max_examples=20, deadline=None)
@given(st.integers(4, 12), st.integers(1, 2))
def test_who_need_not_bench_leaves_the_one_bench_to_those_who_do(count: int, benching: int) -> None:
    one_bench = tuple(Station(n, f"Platform {n}", needs, "20") for n, needs in ((1, RACKED), (2, RACKED | {"bench"})))
    scene = Scene(State(gym=replace(gym(), stations=one_bench))).given(OpenSession())
    for n in range(1, count + 1):
        programme = "squat-bench" if n % 3 < benching else "squat-press"
        scene = scene.given(belongs(n, programme, squat=60, bench=50, press=40))
    at = groups(scene.state, scene.now)
    sets = {n: sets_tonight(scene.state, lifter, scene.now) for n, lifter in scene.state.lifters.items()}
    evening = WholeEvening(scene.state.gym, scene.state.lifters, sets)
    for lifter, station in at.items():
        moved = evening.finish({**at, lifter: 3 - station})
        assert evening.finish(at) - moved <= 3 * 60, f"{lifter} would end the evening earlier elsewhere"


@settings(max_examples=30, deadline=None)
@given(st.lists(st.integers(8, 60), min_size=1, max_size=12), st.integers(1, 4))
def test_everyone_has_a_place_and_checking_in_where_it_says_changes_nothing(loads: list[int], count: int) -> None:
    scene = racks(count).given(*(belongs(n, squat=2.5 * load) for n, load in enumerate(loads, 1)))
    planned = groups(scene.state, scene.now)
    assert set(planned) == set(scene.state.lifters)
    for lifter in planned:
        scene = scene.given(Arrive(lifter, planned[lifter]))
        assert groups(scene.state, scene.now) == planned
