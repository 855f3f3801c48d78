"""A rating of effort and a remark are set aside; a bracket that may change the sets is not."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from floor.core.remarks import set_aside


@pytest.mark.parametrize(
    ("text", "kept", "aside"),
    [
        ("3x5 60 RPE 8", "3x5 60", ("RPE 8",)),
        ("3x5 60 @RPE 8.5", "3x5 60", ("@RPE 8.5",)),
        ("100x5 (easy)", "100x5", ("(easy)",)),
        ("100x5 (easy) rir 2-3", "100x5", ("(easy)", "rir 2-3")),
        ("100x5 rpe8, 105x5 [slow]; 110x3", "100x5, 105x5; 110x3", ("rpe8", "[slow]")),
        ("3x5 100", "3x5 100", ()),
    ],
)
def test_what_stands_beside_the_sets_is_set_aside_as_it_was_written(
    text: str, kept: str, aside: tuple[str, ...]
) -> None:
    assert set_aside(text) == (kept, aside)


@pytest.mark.parametrize(
    "bracket", ["(x2)", "(missed last)", "(each side)", "(lbs)", "(only two sets)", "(+2.5)", "(knee pain)", "(bar)"]
)
def test_a_bracket_that_may_change_the_sets_stays(bracket: str) -> None:
    assert set_aside(f"100x5 {bracket}") == (f"100x5 {bracket}", ())


def test_a_rating_in_the_midst_of_sets_stays() -> None:
    assert set_aside("3x5 60 RPE 8 3x5 70") == ("3x5 60 RPE 8 3x5 70", ())


@given(st.text(alphabet="0123456789x,.;@/ kglb\n-", max_size=40))
def test_without_a_rating_or_a_bracket_nothing_is_touched(text: str) -> None:
    assert set_aside(text) == (text, ())
