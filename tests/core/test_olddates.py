"""Dates in an old spreadsheet: the file decides which number is the day, or the coach does."""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from floor.core.columns import find_columns, read_map
from floor.core.olddates import Unclear, find_style, read_date
from floor.core.plausible import odd_load

MARCH = date(2026, 3, 4)


@pytest.mark.parametrize("text", ["2026-03-04", "2026/3/4", "4.3.2026", "04.03.26", "4. 3. 2026", "2026-03-04 18:30"])
def test_a_date_with_the_year_first_or_with_dots_needs_no_help(text: str) -> None:
    assert find_style([text]) == "" and read_date(text, "") == MARCH


@pytest.mark.parametrize(
    "text",
    ["4 Mar 2026", "4 March 2026", "Mar 4, 2026", "MARCH 4 2026", "4-Mar-26", "04-mar-2026", "4. Mar. 2026",
     "2026 Mar 4", "4th of March 2026", "Wed 4 Mar 2026", "Wednesday, March 4th, 2026", "4 Mar 2026 18:30"],
)  # fmt: skip
@pytest.mark.parametrize("style", ["", "dmy", "mdy"])
def test_a_month_by_its_english_name_needs_no_help(text: str, style: str) -> None:
    assert find_style([text]) == "" and read_date(text, style) == MARCH


def test_every_month_and_its_short_name_is_known() -> None:
    for number in range(1, 13):
        day = date(2026, number, 5)
        assert read_date(day.strftime("%d %B %Y"), "") == read_date(day.strftime("%b %d, %Y"), "") == day
    assert read_date("5 Sept 2026", "") == date(2026, 9, 5)


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("4 Mar", "names no year"),
        ("Mar 26", "names no year"),
        ("Mar 2026", "names no day"),
        ("31 Feb 2026", "not a day of the calendar"),
        ("4 Ma 2026", "not a date"),
        ("4 Mai 2026", "names no month that is known"),
        ("4 Ju 2026", "not a date"),
        ("Tue 4 Mar 2026", "was a Wednesday"),
        ("gym closed", "not a date"),
    ],
)
def test_a_named_date_that_is_half_or_wrong_is_not_guessed(text: str, why: str) -> None:
    answer = read_date(text, "dmy")
    assert isinstance(answer, str) and why in answer


def test_one_number_over_twelve_decides_for_the_whole_file() -> None:
    assert find_style(["3/4/2026", "31/3/2026"]) == "dmy"
    assert find_style(["3/4/2026", "3-31-2026"]) == "mdy"
    assert read_date("4/3/2026", "dmy") == read_date("3/4/2026", "mdy") == MARCH


def test_where_nothing_decides_the_coach_is_asked() -> None:
    unclear = find_style(["3/4/2026", "5/6/2026"])
    assert isinstance(unclear, Unclear) and "--dates" in unclear.words
    assert find_style(["3/4/2026"], "mdy") == "mdy"
    assert find_style(["4/4/2026", "5/5/2026"]) == ""


def test_dates_of_both_kinds_in_one_file_are_refused() -> None:
    unclear = find_style(["31/3/2026", "3/31/2026"])
    assert isinstance(unclear, Unclear) and "2026-03-31" in unclear.words


def test_a_spreadsheet_that_made_real_dates_of_some_may_have_swapped_day_and_month() -> None:
    unclear = find_style(["13/3/2026", "2026-04-03"])
    assert isinstance(unclear, Unclear) and "changed day for month" in unclear.words
    assert find_style(["13/3/2026", "2026-04-23"]) == "dmy"


@pytest.mark.parametrize("text", ["", "31.2.2026", "yesterday", "2026-13-01", "4/3", "1.1.1926"])
def test_what_is_no_day_is_answered_with_a_sentence(text: str) -> None:
    answer = read_date(text, "dmy")
    assert isinstance(answer, str) and answer.endswith((".", "?"))


def test_columns_go_by_the_names_coaches_give_them() -> None:
    found = find_columns(["Date ", "ATHLETE", "Exercise", "Weight (lbs)", "Reps", "RPE"], {})
    assert dict(found.places) == {"date": 0, "lifter": 1, "lift": 2, "load": 3, "reps": 4}
    assert found.load_unit == "lb" and found.unread == ("RPE",)
    assert find_columns(["kg"], {}).load_unit == "kg"


def test_two_columns_for_one_thing_are_asked_about_unless_the_coach_said_which() -> None:
    assert "can both be the load" in find_columns(["Weight", "Load"], {}).wrong[0]
    told = read_map(["Weight=load"])
    assert isinstance(told, dict)
    found = find_columns(["Load", "Weight"], told)
    assert found.wrong == () and found.places["load"] == 1
    assert isinstance(read_map(["Weight=mass"]), str) and isinstance(read_map(["Weight"]), str)


def test_a_load_ten_times_too_heavy_is_asked_about() -> None:
    assert "300 kg" in odd_load(60_000, [], "kg")
    assert odd_load(60_000, [], "lb") == "" and odd_load(67_000, [], "lb") != ""
    assert "more than 3 times" in odd_load(25_000, [6_000, 8_000], "kg")
    assert odd_load(24_000, [6_000, 8_000], "kg") == ""
    assert odd_load(25_000, [], "kg") == ""


def test_a_date_left_as_a_number_is_the_day_a_spreadsheet_counts() -> None:
    # 45292 is 2024-01-01: 154 years of days from 1899-12-30, counted by the calendar itself
    assert read_date("45292", "") == date(1899, 12, 30) + timedelta(days=45292) == date(2024, 1, 1)
    assert read_date("46330.75", "") == date(2026, 11, 4)
    for text in ("2024", "31126", "041026", "453"):  # years, short dates and loads are none
        assert isinstance(read_date(text, ""), str)


def test_a_number_beside_dates_with_strokes_may_be_one_with_day_and_month_swapped() -> None:
    assert isinstance(find_style(["13/3/2026", "46330"]), Unclear)  # the 4th of November
    assert find_style(["13/3/2026", "46346"]) == "dmy"


def test_headings_of_other_languages_are_known_with_and_without_accents() -> None:
    found = find_columns(["Datum", "Athlet", "U\u0308bung", "S\u00e4tze", "Wdh.", "Gewicht (kg)"], {})
    assert list(found.places) == ["date", "lifter", "lift", "sets", "reps", "load"] and found.load_unit == "kg"
    assert find_columns(["Fecha", "Poids"], {}).places == {"date": 0, "load": 1}
    assert find_columns(["Data", "Tag", "Last", "Series"], {}).places == {}


def test_a_plain_heading_goes_before_one_of_another_language() -> None:
    found = find_columns(["Poids", "Weight", "Reps"], {})
    assert found.wrong == () and found.places == {"load": 1, "reps": 2}
