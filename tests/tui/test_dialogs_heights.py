"""Heights set for a lifter before stepping up."""

from __future__ import annotations

import pytest

from floor.core.state import Heights
from floor.tui.dialogs.heights import AskHeights
from tests.tui.dialog_bench import UNANSWERED, ask


def squat() -> AskHeights:
    return AskHeights("Ben squat: heights", ("rack", "safety"), Heights(rack=7, bench=2))


async def test_heights_are_typed_over_and_the_ones_not_asked_stay() -> None:
    assert (await ask(squat, "8", "down", "3", "enter")).answer == Heights(rack=8, safety=3, bench=2)
    assert (await ask(squat, "tab", "3", "up", "9", "enter")).answer == Heights(rack=9, safety=3, bench=2)


async def test_a_height_not_touched_stays() -> None:
    assert (await ask(squat, "tab", "3", "enter")).answer == Heights(rack=7, safety=3, bench=2)


async def test_an_empty_field_is_not_set() -> None:
    assert (await ask(squat, "backspace", "tab", "0", "enter")).answer == Heights(rack=None, safety=0, bench=2)


async def test_one_height_at_least() -> None:
    bench = await ask(squat, "backspace", "enter")
    assert bench.answer == UNANSWERED
    assert "Type one height at least." in bench.last_words
    assert bench.undone == 0


@pytest.mark.parametrize("typed", ["100", "7a", "1.5", "٣", "+3"])
async def test_only_whole_numbers_to_99(typed: str) -> None:
    bench = await ask(squat, "tab", *typed, "enter")
    assert bench.answer == UNANSWERED
    assert f'Safeties: "{typed}" is not a whole number from 0 to 99.' in bench.last_words


async def test_a_bad_height_is_the_one_to_type_again() -> None:
    assert (await ask(squat, "x", "tab", "3", "enter", "backspace", "6", "enter")).answer == Heights(6, 3, 2)


async def test_a_minus_is_no_height() -> None:
    bench = await ask(squat, "minus", "3", "enter")
    assert 'Rack: "-3" is not a whole number from 0 to 99.' in bench.last_words


async def test_names_and_keys_are_shown_and_only_what_is_asked() -> None:
    words = (await ask(squat)).last_words
    for part in ("rack", "safeties", "Enter set them", "Esc leave"):
        assert part in words
    assert "bench" not in words


async def test_all_three_fit_80x24() -> None:
    words = (await ask(lambda: AskHeights("Ben", ("rack", "safety", "bench"), Heights()), "enter")).last_words
    for part in ("rack", "safeties", "bench", "Type one height at least.", "Esc leave"):
        assert part in words


async def test_escape_sets_nothing() -> None:
    assert (await ask(squat, "9", "escape")).answer is None
