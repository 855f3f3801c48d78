"""What a chart of an answer shows, before anything is drawn."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from floor.background import Cell, Column, Table
from floor.charting import SERIES, Bars, Lines, chart_of, day_words, in_one_year


def table(columns: str, *rows: tuple[Cell, ...]) -> Table:
    """Columns as "name:TYPE name:TYPE"."""
    pairs = (word.split(":") for word in columns.split())
    return Table(tuple(Column(name, kind) for name, kind in pairs), rows, False)


def test_words_and_a_number_are_bars_of_the_last_number() -> None:
    rows = (("Ada", 3, "62.50"), ("Bo", 4, "80.00"))
    found = chart_of(table("lifter:VARCHAR sets:BIGINT load:DECIMAL(9,2)", *rows), 0, "kg")
    assert found == Bars("load (kg)", ("Ada", "Bo"), (62.5, 80.0))


def test_the_number_in_hand_is_the_one_that_is_drawn() -> None:
    found = chart_of(table("lifter:VARCHAR sets:BIGINT load:DOUBLE", ("Ada", 3, 1.5)), 1, "kg")
    assert found == Bars("sets", ("Ada",), (3.0,))


def test_bars_with_the_same_words_are_told_apart_by_a_number() -> None:
    rows = (("squat", 40, 1.0), ("squat", 50, 2.0))
    found = chart_of(table("lift:VARCHAR from_load:INTEGER percent:DOUBLE", *rows), 0, "kg")
    assert isinstance(found, Bars) and found.labels == ("squat 40", "squat 50")


def test_a_day_and_words_are_a_line_for_each_word_in_order_of_time() -> None:
    rows = (("2026-03-04", "Ada", "65.00"), ("2026-03-02", "Ada", "62.50"), ("2026-03-02", "Bo", None))
    found = chart_of(table("evening:DATE lifter:VARCHAR top:DECIMAL(9,2)", *rows), 0, "lb")
    assert isinstance(found, Lines) and found.dated and found.title == "top (lb)"
    assert [(line.name, [y for _, y in line.points]) for line in found.lines] == [("Ada", [62.5, 65.0])]
    assert [day_words(x) for x, _ in found.lines[0].points] == ["2 Mar", "4 Mar"]


def test_lines_beyond_those_that_can_be_told_apart_are_counted() -> None:
    rows = tuple(("2026-03-02", f"L{n}", n) for n in range(SERIES + 3))
    found = chart_of(table("evening:DATE lifter:VARCHAR n:INTEGER", *rows), 0, "kg")
    assert isinstance(found, Lines) and (len(found.lines), found.left_out) == (SERIES, 3)


def test_a_time_and_numbers_are_a_line_each() -> None:
    found = chart_of(table("evening:DATE sharp:BIGINT sound:BIGINT", ("2026-03-02", 3, 4)), 0, "kg")
    assert isinstance(found, Lines) and [line.name for line in found.lines] == ["sharp", "sound"]


def test_numbers_alone_are_the_last_over_the_first() -> None:
    found = chart_of(table("load:DOUBLE rate:DOUBLE", (60.0, 0.2), (50.0, 0.1)), 0, "kg")
    assert isinstance(found, Lines) and found.lines[0].points == ((50.0, 0.1), (60.0, 0.2))


def test_what_cannot_be_drawn_says_why() -> None:
    assert chart_of(table("a:VARCHAR", ("x",)), 0, "kg") == "A chart needs a column of numbers."
    assert chart_of(table("a:INTEGER"), 0, "kg") == "There are no rows to draw."


@pytest.mark.parametrize(
    "day", ["9999-12-31 23:59:59.999999", "0001-01-01", "infinity", "-infinity", "12000-01-01", "0044-03-15 (BC)"]
)
def test_no_day_is_too_far_off(day: str) -> None:
    rows = ((day, 1.0), ("2026-03-02 18:00:00+00", 2.0))
    found = chart_of(table("at:TIMESTAMP load:DOUBLE", *rows), 0, "kg")
    assert isinstance(found, Lines)
    assert all(day_words(x, True) for line in found.lines for x, _ in line.points)


@given(st.floats(-1e7, 1e7))
def test_every_place_on_an_axis_of_days_has_a_name(day: float) -> None:
    assert day_words(day).split()[0].isdigit()


def test_days_of_several_years_name_theirs() -> None:
    assert in_one_year([20_454, 20_818]) and not in_one_year([20_453, 20_454])
    assert (day_words(20_455), day_words(20_455, year=True)) == ("2 Jan", "2 Jan 2026")


@pytest.mark.parametrize("number", [1e-320, 1e299, -1e299, float("inf"), float("nan"), 0.0])
def test_no_number_is_too_large_or_too_small_to_be_drawn(number: float) -> None:
    found = chart_of(table("a:VARCHAR n:DOUBLE", ("x", number), ("y", 1.0)), 0, "kg")
    assert isinstance(found, Bars) and all(value == 0 or 1e-100 <= abs(value) <= 1e100 for value in found.values)
