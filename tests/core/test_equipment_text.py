"""Equipment written out is equipment read back."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from floor.core.definitions import NAME, STANDS, parse_gym
from floor.core.equipment_text import HEAD, equipment_text, head_of
from floor.core.gym import Bar, Gym, Plate, Station
from floor.templates import templates

PAINTED = st.text("0123456789abcdefXYZ.", min_size=1, max_size=6)
NAMES = st.text(min_size=1, max_size=NAME).filter(lambda s: s.isprintable() and bool(s.strip()))
MASSES = st.integers(1, 100_000)


@st.composite
def gyms(draw: st.DrawFn) -> Gym:
    ids = draw(st.lists(PAINTED, min_size=1, max_size=4, unique=True))
    names = draw(st.lists(NAMES, min_size=len(ids), max_size=len(ids), unique=True))
    bars = tuple(
        Bar(i, name, draw(MASSES), draw(st.integers(50, 1000)), draw(st.integers(5, 100)))
        for i, name in zip(ids, names, strict=True)
    )
    plates = tuple(
        Plate(i, draw(MASSES), draw(st.integers(0, 500)), draw(st.integers(50, 600)), draw(st.integers(1, 200)),
              draw(st.booleans()))
        for i in draw(st.lists(PAINTED, min_size=1, max_size=6, unique=True))
    )  # fmt: skip
    numbers = draw(st.lists(st.integers(1, 99), min_size=1, max_size=4, unique=True))
    titles = draw(st.lists(NAMES, min_size=len(numbers), max_size=len(numbers), unique=True))
    stations = tuple(
        Station(n, title, draw(st.frozensets(st.sampled_from(STANDS), min_size=1)), draw(st.sampled_from(bars)).id)
        for n, title in zip(numbers, titles, strict=True)
    )
    return Gym(plates=plates, bars=bars, stations=stations, collar=draw(st.integers(0, 1000)))


def read_back(text: str, unit: str = "kg") -> Gym:
    gym = parse_gym({**templates(unit=unit), "equipment": text}, {}, unit)
    assert isinstance(gym, Gym), gym.sentences()
    return gym


@given(gyms())
def test_any_equipment_written_out_is_read_back_the_same(gym: Gym) -> None:
    # The shipped lifts begin with 20 kg: one bar has to be as light as that.
    light = replace(gym, bars=(*gym.bars, Bar("zzzzzz", "a light bar!", 1, 100, 1)))
    back = read_back(equipment_text(light))
    assert (back.unit, back.collar) == ("kg", gym.collar)
    assert (back.bars, back.plates, back.stations) == (light.bars, light.plates, light.stations)


@pytest.mark.parametrize(("demo", "unit"), [(False, "kg"), (True, "kg"), (False, "lb")])
def test_the_shipped_equipment_survives_with_the_comment_on_top(demo: bool, unit: str) -> None:
    texts = templates(demo=demo, unit=unit)
    gym = parse_gym(texts, {}, unit)
    assert isinstance(gym, Gym)
    text = equipment_text(gym, head_of(texts["equipment"]))
    assert text.startswith(texts["equipment"].split("\n\n")[0])
    assert replace(read_back(text, unit), versions={}) == gym


def test_a_document_that_begins_without_a_comment_gets_one() -> None:
    assert head_of('unit = "kg"\n# a word\n') == HEAD
    assert head_of("# mine\n#\n# and yours\n\nunit = 1\n# not this") == "# mine\n#\n# and yours\n"
    assert all(line.startswith("#") for line in HEAD.splitlines())
