"""Stacks for the sets to come: the bar is built once for many, the same load the same way."""

from __future__ import annotations

from dataclasses import replace

from floor.core.commands import OpenSession, RampDone, RecordWhole, StartSet
from floor.core.forecast import coming_at
from floor.core.loading import buildable, loading
from floor.core.stacks import bar_for, nearest
from floor.core.state import State
from tests.core.scenes import PLATFORM, RACK, Scene, a_set, came, evening, gym, kg, ready


def stack_for(scene: Scene, lifter: int) -> tuple[str, ...]:
    return loading(scene.state, RACK, scene.coming(lifter), lifter).stack


def test_a_plate_that_stays_for_the_next_lifter_is_put_on_first() -> None:
    scene = evening(ready(1, squat=60), ready(2, squat=80))
    assert stack_for(scene, 2) == ("20", "10")  # 25 and 5 would be as few, and would all come off for 60 kg


def test_one_set_at_a_time_takes_the_fewest_plates() -> None:
    scene = evening(ready(1, squat=60), ready(2, squat=80))
    settings = replace(scene.state.gym.settings, look_ahead=1)
    alone = replace(scene.state, gym=replace(scene.state.gym, settings=settings))
    assert len(loading(alone, RACK, scene.coming(2), 2).stack) == 2
    assert coming_at(alone, RACK, scene.coming(2), 2) == (scene.coming(2),)


def test_the_same_load_is_built_the_same_way_all_evening() -> None:
    scene = evening(ready(1, squat=60), ready(2, squat=80))
    seen: dict[int, set[tuple[str, ...]]] = {}
    for _ in range(6):
        up = scene.promised(RACK)[0]
        assert up is not None
        seen.setdefault(scene.coming(up).load, set()).add(stack_for(scene, up))
        scene = scene.given(a_set()).later(seconds=240)
    assert {load: len(ways) for load, ways in seen.items()} == {kg(60): 1, kg(80): 1}


def test_the_bar_shown_does_not_depend_on_the_time() -> None:
    scene = evening(ready(1, squat=60), ready(2, squat=80), ready(3, squat=65)).given(a_set())
    later = scene.later(seconds=100)
    assert [stack_for(scene, n) for n in (1, 2, 3)] == [stack_for(later, n) for n in (1, 2, 3)]


def test_the_forecast_is_the_rising_bar_with_the_promises_first() -> None:
    scene = evening(ready(1, squat=80), ready(2, squat=60), ready(3, squat=40))
    coming = coming_at(scene.state, RACK, scene.coming(1), 1)
    assert [s.load for s in coming[:6]] == [kg(80), kg(60), kg(40), kg(40), kg(60), kg(80)]


def test_a_set_recorded_late_is_loaded_as_it_was_shown() -> None:
    scene = evening(ready(1, squat=60), ready(2, squat=80))
    shown = stack_for(scene, 1)
    recorded = scene.when(RecordWhole(1, scene.coming(1).no, 5)).event("set_recorded")
    assert recorded.stack == shown


def test_plates_too_heavy_for_the_coming_sets_may_stand_anywhere() -> None:
    """A 25 at another station is nothing to sets of 60 kg and less: they are built as if it were here."""
    scene = evening(ready(1, squat=60), ready(2, squat=50))
    elsewhere = scene.state.evening.stations[PLATFORM]
    stations = {**scene.state.evening.stations, PLATFORM: replace(elsewhere, stack=("25", "25"))}
    away = replace(scene.state, evening=replace(scene.state.evening, stations=stations))
    for lifter in (1, 2):
        assert loading(away, RACK, scene.coming(lifter), lifter) == loading(
            scene.state, RACK, scene.coming(lifter), lifter
        )


def test_a_plate_the_coming_sets_want_is_missed_when_it_stands_elsewhere() -> None:
    scene = evening(ready(1, squat=60))
    elsewhere = scene.state.evening.stations[PLATFORM]
    gone = tuple(p.id for p in scene.state.gym.plates if p.id == "20" for _ in range(p.pairs))
    stations = {**scene.state.evening.stations, PLATFORM: replace(elsewhere, stack=gone)}
    away = replace(scene.state, evening=replace(scene.state.evening, stations=stations))
    assert "20" not in loading(away, RACK, scene.coming(1), 1).stack


def one_light_bar() -> Scene:
    """Two lifters on 18 kg at two stations, in a gym with one bar that is light enough."""
    bars = tuple(replace(bar, count=1) if bar.id == "15" else bar for bar in gym().bars if bar.id in ("15", "20"))
    scene = Scene(State(gym=replace(gym(), bars=bars))).given(OpenSession())
    return scene.given(came(1, PLATFORM, "clean", clean=18), came(2, RACK, "clean", clean=18), RampDone(1), RampDone(2))


def test_a_bar_that_stands_at_one_station_is_not_put_on_another() -> None:
    scene = one_light_bar()
    assert [loading(scene.state, at, scene.coming(n), n).bar for n, at in ((1, PLATFORM), (2, RACK))] == ["15", "15"]
    scene = scene.given(StartSet(PLATFORM))
    second = loading(scene.state, RACK, scene.coming(2), 2)
    assert (second.bar, second.load, second.wanted) == ("20", kg(20), kg(18))
    assert scene.when(StartSet(RACK)).why.startswith("{lifter}: 20 kg is heavier than the 18 kg planned")
    assert scene.when(StartSet(RACK, sure=True)).event("set_started").load == kg(20)


def test_what_can_be_built_is_asked_of_the_gym_as_it_is_now() -> None:
    whole = gym()
    assert buildable(whole, "squat", kg(63.5)) == kg(63.5)
    few = replace(whole, plates=tuple(p for p in whole.plates if p.mass >= kg(10)))
    assert buildable(few, "squat", kg(63.5)) == kg(60)
    long_bars = replace(whole, bars=tuple(b for b in whole.bars if b.mass == kg(20)))
    assert (buildable(whole, "squat", kg(16)), buildable(long_bars, "squat", kg(16))) == (kg(16), kg(20))
    assert buildable(whole, "squat", kg(63.5)) == kg(63.5)
    for wanted in range(0, kg(200), 130):
        bar = bar_for(whole, wanted, "20")
        assert buildable(whole, "squat", wanted) == nearest(whole, wanted, bar)[0]
