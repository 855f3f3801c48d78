"""Bringing a roster in: tolerant of how it was saved, strict about what it says."""

from dataclasses import replace

import pytest

from floor.core.definitions import parse_gym
from floor.core.gym import Gym
from floor.core.roster import read_roster
from floor.templates import templates

GYM = parse_gym(templates(), {}, "kg")
assert isinstance(GYM, Gym)
HEAD = "lifter,lift,sets,reps,load,unit\n"


def test_a_plain_roster_is_taken_line_by_line() -> None:
    roster = read_roster(HEAD + "Mara Quill,squat,3,5,62.5,kg\nMara Quill,power clean,5,3,40,kg\n", GYM)
    assert roster.bad == ()
    assert [(x.lift, x.sets, x.reps, x.load) for x in roster.lines] == [("squat", 3, 5, 6250), ("clean", 5, 3, 4000)]


def test_semicolons_with_decimal_commas_and_a_byte_order_mark_are_taken() -> None:
    text = "\ufefflifter;lift;sets;reps;load;unit\r\nMara Quill;squat;3;5;62,5;kg\r\n"
    assert [x.load for x in read_roster(text, GYM).lines] == [6250]


def test_pounds_are_turned_into_the_gyms_kilograms() -> None:
    # 1 lb = 0.45359237 kg, international agreement of 1959 (from memory): 135 lb = 61.23 kg
    assert read_roster(HEAD + "Mara,squat,3,5,135,lb\n", GYM).lines[0].load == 6123


def test_columns_may_stand_in_any_order_and_the_unit_may_be_left_out() -> None:
    roster = read_roster("load,lift,lifter,reps,sets\n50,Deadlift,Mara,5,1\n", GYM)
    assert [(x.lifter, x.lift, x.load) for x in roster.lines] == [("Mara", "deadlift", 5000)]


def test_bar_in_place_of_a_load_is_the_empty_bar_where_the_lift_is_done() -> None:
    assert [x.load for x in read_roster(HEAD + "Mara,squat,3,5,bar,kg\nMara,press,3,5,Empty bar,\n", GYM).lines] == [
        2000, 2000,
    ]  # fmt: skip
    twenty, fifteen = GYM.stations[0], replace(GYM.stations[0], id=9, bar="15")
    mixed = read_roster(HEAD + "Mara,squat,3,5,bar,kg\n", replace(GYM, stations=(twenty, fifteen)))
    assert [str(bad) for bad in mixed.bad] == [
        "line 2, load: the gym has more than one bar for this lift: write what the empty bar weighs."
    ]


@pytest.mark.parametrize(
    ("row", "column"),
    [
        (",squat,3,5,60,kg", "lifter"),
        ("Mara,snatch grip wiggle,3,5,60,kg", "lift"),
        ("Mara,squat,three,5,60,kg", "sets"),
        ("Mara,squat,0,5,60,kg", "sets"),
        ("Mara,squat,3,-5,60,kg", "reps"),
        ("Mara,squat,3,5,heavy,kg", "load"),
        ("Mara,squat,3,5,-60,kg", "load"),
        ("Mara,squat,3,5,60,stone", "unit"),
        ("Mara,squat,3,5,62,5,kg", "line"),
    ],
)
def test_a_bad_line_is_named_with_line_and_column_and_nothing_is_taken(row: str, column: str) -> None:
    roster = read_roster(HEAD + "Ada,press,3,5,30,kg\n" + row + "\n", GYM)
    assert roster.lines == ()
    assert [(bad.line, bad.column) for bad in roster.bad] == [(3, column)]


def test_every_bad_line_is_named_not_only_the_first() -> None:
    roster = read_roster(HEAD + "Ada,press,x,5,30,kg\n\nBo,press,3,y,30,kg\n", GYM)
    assert [(bad.line, bad.column) for bad in roster.bad] == [(2, "sets"), (4, "reps")]


def test_the_same_lift_twice_for_a_lifter_is_refused() -> None:
    roster = read_roster(HEAD + "Ada,press,3,5,30,kg\nada,press,3,5,32.5,kg\n", GYM)
    assert "line 2" in roster.bad[0].why


def test_an_empty_file_and_a_missing_column_say_what_to_write() -> None:
    assert "lifter,lift,sets,reps,load,unit" in str(read_roster("", GYM).bad[0])
    assert "load" in str(read_roster("lifter,lift,sets,reps\nA,squat,3,5\n", GYM).bad[0])


def test_a_number_of_thousands_of_digits_is_a_bad_line_like_any_other() -> None:
    bad = read_roster(HEAD + f"Mara,squat,{'9' * 5000},5,60,kg\n", GYM).bad
    assert [(one.line, one.column) for one in bad] == [(2, "sets")]


def test_after_a_name_over_two_lines_the_lines_are_still_those_of_the_file() -> None:
    bad = read_roster(HEAD + '"Mara\nQuill",squat,3,5,60,kg\n\nBo,nolift,3,5,60,kg\n', GYM).bad
    assert [(one.line, one.column) for one in bad] == [(5, "lift")]
