"""What can't be built with what the gym owns, and when the plates may change."""

from __future__ import annotations

from dataclasses import replace

from hypothesis import given
from hypothesis import strategies as st

from floor.core.commands import BarFound, StartSet
from floor.core.gym import Bar, Gym, Plate
from floor.core.restock import SPANS, STEPS, gaps, held_at, run_words, runs, why_not_now
from floor.core.stacks import build, load_of, nearest
from tests.core.scenes import Scene, evening, gym, ready

LOADED = BarFound(1, 9000)  # 25 and 10 a side on the 20 kg bar


def loaded() -> Scene:
    """An evening with plates on the first station's bar and a lifter up."""
    scene = evening(*ready(squat=90)).given(LOADED)
    assert scene.state.evening.stations[1].stack == ("25", "10")
    return scene


def with_plate(of: Gym, plate_id: str, **fields: object) -> Gym:
    plates = tuple(replace(p, **fields) if p.id == plate_id else p for p in of.plates)  # type: ignore[arg-type]
    return replace(of, plates=plates)


def without(of: Gym, plate_id: str) -> Gym:
    return replace(of, plates=tuple(p for p in of.plates if p.id != plate_id))


def test_plates_on_the_bars_are_counted_where_they_are_until_the_session_is_closed() -> None:
    scene = loaded()
    assert held_at(scene.state) == {"25": {1: 1}, "10": {1: 1}}
    closed = replace(scene.state, evening=replace(scene.state.evening, closed=scene.now))
    assert held_at(closed) == {}


def test_between_sets_plates_may_come_and_go() -> None:
    state = loaded().state
    assert why_not_now(state, with_plate(gym(), "25", pairs=1)) == ""
    assert why_not_now(state, with_plate(gym(), "20", pairs=0)) == ""
    assert why_not_now(state, without(gym(), "20")) == ""
    more = replace(gym(), plates=(*gym().plates, Plate("45lb", 2041, 1, 450, 60, True)))
    assert why_not_now(state, more) == ""


def test_a_plate_that_stands_on_a_bar_stays_what_it_is() -> None:
    state = loaded().state
    for gone in (with_plate(gym(), "25", pairs=0), without(gym(), "25")):
        assert why_not_now(state, gone) == "Rack: 1 pair of the 25 on the bar, 0 would be left. Take it off first."
    for other in ({"mass": 2490}, {"diameter": 400}, {"thickness": 60}, {"droppable": False}):
        assert why_not_now(state, with_plate(gym(), "25", **other)).startswith("Rack: the 25 is on the bar.")


def test_bars_stations_and_collars_wait_for_the_close() -> None:
    state = loaded().state
    for changed in (
        replace(gym(), collar=250),
        replace(gym(), bars=(*gym().bars, Bar("25", "25 kg bar", 2500, 415, 1))),
        replace(gym(), stations=gym().stations[:2]),
    ):
        assert "only plates" in why_not_now(state, changed)
        assert why_not_now(Scene().state, changed) == ""


def test_nothing_changes_under_a_lifter() -> None:
    running = loaded().given(StartSet(1))
    assert why_not_now(running.state, with_plate(gym(), "20", pairs=9)) == "A set is running at Rack: grade it first."


def test_what_cant_be_built_is_found_load_by_load() -> None:
    for unit, own in (("kg", gym()), ("lb", replace(gym(), unit="lb"))):
        low, high = SPANS[unit]
        for step in STEPS[unit]:
            slow = [x for x in range(low, high + 1, step) if not isinstance(build(own, x, "20"), tuple)]
            assert list(gaps(own, "20", step)) == slow


def test_without_quarters_every_other_step_is_missing() -> None:
    bare = replace(gym(), plates=tuple(p for p in gym().plates if p.mass >= 250 and p.mass % 250 == 0))
    assert gaps(bare, "20", 250)[:4] == (2250, 2750, 3250, 3750)
    assert run_words(runs(gaps(bare, "20", 100), 100))[0] == "21 to 24"


@given(st.lists(st.integers(1, 60), unique=True).map(sorted), st.sampled_from([50, 100, 250]))
def test_stretches_hold_the_same_loads(numbers: list[int], step: int) -> None:
    loads = [n * step for n in numbers]
    stretches = runs(loads, step)
    assert [x for first, last in stretches for x in range(first, last + 1, step)] == loads
    assert len(stretches) == sum(n - 1 not in numbers for n in numbers)


def test_a_pound_plate_with_its_measured_mass_is_loaded_in_a_kg_gym() -> None:
    """45 lb is 20.41 kg to the hundredth: 1 lb = 0.45359237 kg, the agreement of 1959 (from memory), computed."""
    mixed = replace(gym(), plates=(*gym().plates, Plate("45lb", 2041, 2, 450, 60, True)))
    assert build(mixed, 6082, "20") == ("45lb",)
    assert build(mixed, 6082, "20", {}, lift_from_floor=True) == ("45lb",)
    assert load_of(mixed, "20", ("45lb", "45lb")) == 10_164
    assert nearest(mixed, 6090, "20")[0] == 6082
    assert build(mixed, 6000, "20") == ("20",)
