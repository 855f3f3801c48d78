"""Loads are exact, typed as people type them, and shown with their unit."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from floor.core.units import convert, most, parse_load, show_load, show_with_unit

LOADS = st.integers(1, 100_000)


@pytest.mark.parametrize(
    ("load", "shown"),
    [
        (6250, "62.5"),
        (6000, "60"),
        (6025, "60.25"),
        (10, "0.1"),
        (5, "0.05"),
        (0, "0"),
        (100_000, "1000"),
        (-250, "-2.5"),
    ],
)
def test_a_load_is_shown_without_trailing_zeros(load: int, shown: str) -> None:
    assert show_load(load) == shown


def test_a_load_is_shown_with_its_unit() -> None:
    assert show_with_unit(6250, "kg") == "62.5 kg"
    assert show_with_unit(13500, "lb") == "135 lb"


@pytest.mark.parametrize(
    ("typed", "load"),
    [
        ("60", 6000), ("62.5", 6250), ("62,5", 6250), (" 62.50 ", 6250), (".5", 50), ("0,25", 25), ("007", 700),
        ("62.5 kg", 6250), ("62,5KG", 6250), ("1000", 100_000),
    ],
)  # fmt: skip
def test_a_load_is_read_with_a_point_or_a_comma(typed: str, load: int) -> None:
    assert parse_load(typed) == load


@pytest.mark.parametrize(
    ("typed", "sentence"),
    [
        ("", "No load was typed."),
        ("  ", "No load was typed."),
        ("-20", "A load cannot be negative."),
        ("\N{MINUS SIGN}20", "A load cannot be negative."),
        ("0", "A load must be more than zero."),
        ("0.00", "A load must be more than zero."),
        ("1000.01", "More than 1000 kg is not a load for a bar."),
        ("9" * 5000, "More than 1000 kg is not a load for a bar."),
        ("62.505", "A load has at most two decimals."),
        ("1,000", "A load has at most two decimals."),
        ("heavy", '"heavy" is not a number.'),
        ("1e3", '"1e3" is not a number.'),
        ("nan", '"nan" is not a number.'),
        ("+5", '"+5" is not a number.'),
        ("60.", '"60." is not a number.'),
        ("1.234,5", '"1.234,5" is not a number.'),
        ("-", '"-" is not a number.'),
        ("--5", '"--5" is not a number.'),
        ("kg", '"kg" is not a number.'),
        ("\N{ARABIC-INDIC DIGIT SIX}0", '"\N{ARABIC-INDIC DIGIT SIX}0" is not a number.'),
        ("60 lb", "Loads here are in kg, not lb."),
    ],
)
def test_what_is_no_load_is_answered_with_one_sentence(typed: str, sentence: str) -> None:
    assert parse_load(typed) == sentence


def test_a_long_slip_of_the_hand_is_not_quoted_whole() -> None:
    answer = parse_load("x" * 500)
    assert isinstance(answer, str)
    assert len(answer) < 50


def test_in_a_pound_gym_the_limit_is_the_same_mass() -> None:
    assert parse_load("2204.62", "lb") == most("lb") == 220_462
    assert parse_load("2204.63", "lb") == "More than 2204.62 lb is not a load for a bar."
    assert parse_load("60 kg", "lb") == "Loads here are in lb, not kg."


@given(LOADS)
def test_what_is_shown_can_be_typed_back(load: int) -> None:
    assert parse_load(show_load(load)) == load
    assert parse_load(show_with_unit(load, "kg").replace(".", ",")) == load


@given(st.text(max_size=12))
def test_any_text_gives_a_load_in_range_or_a_sentence(text: str) -> None:
    answer = parse_load(text)
    if isinstance(answer, int):
        assert 0 < answer <= 100_000
    else:
        assert answer.endswith(".")


@pytest.mark.parametrize(
    ("load", "unit", "other"),
    [(4500, "lb", 2041), (2000, "kg", 4409), (100, "lb", 45), (100, "kg", 220), (10_000_000, "lb", 4_535_924)],
)
def test_a_pound_is_0_45359237_kg(load: int, unit: str, other: int) -> None:
    """The international pound of the 1959 agreement, exact by definition (from memory); the rest computed."""
    assert convert(load, unit, "lb" if unit == "kg" else "kg") == other


@given(st.integers(-100_000, 1_000_000), st.sampled_from(["kg", "lb"]))
def test_conversion_is_to_the_nearest_hundredth_and_a_half_goes_up(load: int, unit: str) -> None:
    other = "lb" if unit == "kg" else "kg"
    pound = Fraction("0.45359237")
    exact = load * pound if unit == "lb" else load / pound
    assert -Fraction(1, 2) < convert(load, unit, other) - exact <= Fraction(1, 2)


def test_an_exact_half_goes_up() -> None:
    half = 50_000_000  # hundredths of a pound: 22,679,618.5 hundredths of a kilogram
    assert convert(half, "lb", "kg") == 22_679_619
    assert convert(-half, "lb", "kg") == -22_679_618


@given(LOADS)
def test_kilograms_survive_a_visit_to_pounds(load: int) -> None:
    assert convert(convert(load, "kg", "lb"), "lb", "kg") == load


def test_the_same_unit_changes_nothing_and_an_unknown_one_is_refused() -> None:
    assert convert(6250, "kg", "kg") == 6250
    with pytest.raises(ValueError, match="stone"):
        convert(6250, "kg", "stone")
    with pytest.raises(ValueError, match="stone"):
        convert(6250, "stone", "stone")
