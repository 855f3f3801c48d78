"""Plates that two stations want at once: only what the gym cannot build on both bars has to wait, and it is said."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

from hypothesis import given, settings
from hypothesis import strategies as st

from floor.core.commands import StartSet
from floor.core.gym import Gym
from floor.core.outlook import ComingSet, Outlook
from floor.core.outlooking import outlook, tonight_evening
from floor.core.outlooking.plates import clash_table
from floor.core.planner import Rig, plan, wrong_with
from tests.core.planner.checking import breaches
from tests.core.scenes import PLATFORM, RACK, Scene, came, evening, gym, ready


def with_pairs(of: Gym, **pairs: int) -> Gym:
    """The gym with so many pairs of these plates (p25 is the 25) and none of the others."""
    return replace(of, plates=tuple(replace(p, pairs=pairs.get(f"p{p.id}".replace(".", "_"), 0)) for p in of.plates))


def short(scene: Scene, **pairs: int) -> Scene:
    return replace(scene, state=replace(scene.state, gym=with_pairs(scene.state.gym, **pairs)))


def seen(scene: Scene) -> Outlook:
    return outlook(scene.state, 1, scene.now)


def two_bars() -> Scene:
    """Two at the rack and two at the platform, 100 kg each."""
    rack = (ready(n, RACK, squat=100) for n in (1, 2))
    return evening(*rack, *(ready(n, PLATFORM, "pull", deadlift=100) for n in (3, 4))).later(seconds=400)


def clashes(of: Gym, *loads: str) -> int:
    """How many pairs of stations clash, each with one stack on the usual bar, plates apart by blanks."""
    rigs = [(Rig("20", tuple(load.split())),) for load in loads]
    return sum(map(sum, clash_table(of, rigs))) // 2


def at_100(view: Outlook) -> list[ComingSet]:
    return sorted((turn for turn in view.turns if turn.load == 10000), key=lambda turn: turn.start)


# --- what cannot stand on two bars


def test_what_the_gym_has_for_both_does_not_clash() -> None:
    assert clashes(with_pairs(gym(), p25=2, p15=2), "25 15", "25 15") == 0
    assert clash_table(with_pairs(gym(), p25=2, p15=2), [(Rig("20", ("25", "15")),)] * 2) == ()


def test_two_loads_clash_when_the_gym_can_build_only_one_of_them() -> None:
    assert clashes(with_pairs(gym(), p25=1, p15=2), "25 15", "25 15") == 1
    assert clashes(with_pairs(gym(), p25=1, p15=1), "25", "15") == 0


def test_a_load_that_can_be_built_otherwise_does_not_wait() -> None:
    assert clashes(with_pairs(gym(), p20=1, p10=2), "20", "20") == 0
    assert clashes(with_pairs(gym(), p20=1, p10=1), "20", "20") == 1


def test_one_bar_cannot_be_at_two_stations() -> None:
    light = min(gym().bars, key=lambda bar: bar.mass)
    one = replace(gym(), bars=tuple(replace(bar, count=1) if bar.id == light.id else bar for bar in gym().bars))
    assert clash_table(one, [(Rig(light.id),), (Rig(light.id),)]) == ((0, 1), (1, 0))
    two = replace(gym(), bars=tuple(replace(bar, count=2) for bar in gym().bars))
    assert clash_table(two, [(Rig(light.id),), (Rig(light.id),)]) == ()


def test_rigs_of_one_station_are_never_held_against_each_other() -> None:
    rigs = [(Rig("20", ("25",)), Rig("20", ("25", "15"))), (Rig("20", ("10",)),)]
    assert clash_table(with_pairs(gym(), p25=1, p15=1, p10=1), rigs) == ()


# --- planned


def test_with_plates_for_all_nobody_waits_for_any() -> None:
    assert all(turn.plates_from is None for turn in seen(two_bars()).turns)


def test_with_plates_for_one_bar_the_other_waits_and_where_they_are_is_said() -> None:
    scene = short(two_bars(), p25=1, p10=1, p5=1)
    sets = at_100(seen(scene))
    assert {turn.lifter for turn in sets} == {1, 2, 3, 4}
    for before, after in zip(sets, sets[1:], strict=False):
        assert after.station == before.station or after.start >= before.end
    waits = [turn for turn in sets if turn.plates_from is not None]
    assert waits
    for turn in waits:
        held = [other for other in sets if other.station == turn.plates_from and other.end <= turn.start]
        assert turn.plates_from != turn.station and held and turn.plates_wait > 0
        assert max(other.end for other in held) >= turn.start - timedelta(seconds=60)
        assert turn.rested is None or turn.start - timedelta(seconds=turn.plates_wait) >= turn.rested


def test_the_plates_on_a_bar_that_is_lifted_now_are_waited_for() -> None:
    scene = short(two_bars(), p25=1, p10=1, p5=1).given(StartSet(RACK))
    on = next(turn for turn in seen(scene).turns if turn.station == RACK)
    assert on.load == 10000 and on.start <= scene.now < on.end
    planned, _, played = tonight_evening(scene.state, scene.now)
    assert breaches(planned, played.turns) == [] and any(map(any, planned.clash))
    assert all(turn.start >= on.end for turn in at_100(seen(scene)) if turn.station == PLATFORM)


@settings(max_examples=25, deadline=None)
@given(st.lists(st.integers(0, 2), min_size=6, max_size=6), st.integers(0, 3), st.booleans())
def test_however_few_plates_there_are_the_floors_order_and_the_plan_share_them(
    pairs: list[int], more: int, lifts: bool
) -> None:
    scene = evening(
        *(came(n, RACK, "squat-press", squat=60 + 10 * n, press=30) for n in (1, 2)),
        *(came(n, PLATFORM, "pull", deadlift=70 + 10 * n + 5 * more) for n in (3, 4)),
    )
    names = ("p25", "p20", "p15", "p10", "p5", "p2_5")
    scene = short(scene, **dict(zip(names, pairs, strict=True)))
    if lifts:
        scene = scene.later(seconds=300).given(StartSet(RACK))
    planned, _, played = tonight_evening(scene.state, scene.now)
    assert wrong_with(planned) == ""
    assert breaches(planned, played.turns) == []
    assert breaches(planned, plan(planned, 3000).turns) == []
    assert seen(scene) == seen(scene)
