"""The load a side and the collars on a station's card, where there is room for them."""

from __future__ import annotations

from dataclasses import replace

import pytest

from floor.core.definitions import parse_gym
from floor.core.gym import Gym
from floor.templates import templates
from floor.tui.draw.spans import row_text
from floor.tui.present import side_words
from floor.tui.widgets.cardlines import card_lines
from floor.tui.widgets.cardview import CardView


def gym(unit: str = "kg") -> Gym:
    parsed = parse_gym(templates(unit=unit), {}, unit)
    assert isinstance(parsed, Gym)
    return parsed


def test_a_side_is_its_plates_and_the_collars_are_named() -> None:
    assert side_words(gym(), "20", ("15", "2.5", "1.25")) == "18.75 kg a side · 20 kg bar · clips"
    heavy = replace(gym(), collar=250)
    assert side_words(heavy, "15", ("10",)) == "10 kg a side · 15 kg bar · collars 2.5"
    assert side_words(gym("lb"), "45", ("35", "25")) == "60 lb a side · 45 lb bar · clips"


def test_a_bare_bar_says_nothing() -> None:
    assert side_words(gym(), "20", ()) == ""


@pytest.mark.parametrize(
    ("width", "height", "there"), [(46, 32, True), (60, 32, True), (26, 15, False), (46, 14, False)]
)
def test_the_side_stands_over_the_change_on_a_large_card(width: int, height: int, there: bool) -> None:
    words = side_words(gym(), "20", ("15", "2.5", "1.25"))
    plates = tuple(gym().plate(p) for p in ("15", "2.5", "1.25"))
    view = CardView("Rack", name="Ben", load_text="57.5", plates=plates, side_words=words, change_words="on 1.25")
    shown = [row_text(row) for row in card_lines(view, width, height)]
    at = [n for n, text in enumerate(shown) if words in text]
    assert bool(at) == there
    if there:
        assert "on 1.25" in shown[at[0] + 1]
