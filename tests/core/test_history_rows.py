"""Whatever sets a coach did, written a row a lift or a row a set, they are read as the same sets."""

from __future__ import annotations

from datetime import date, timedelta

from hypothesis import given, settings
from hypothesis import strategies as st

from floor.core.columns import find_columns
from floor.core.definitions import parse_gym
from floor.core.gym import Gym
from floor.core.history import Past, Reading, Row
from floor.core.historyrows import read_rows
from floor.core.olddates import find_style
from floor.core.shorthand import Written, write_shorthand
from floor.templates import templates

GYM = parse_gym(templates(), {}, "kg")
assert isinstance(GYM, Gym)

SETS = st.lists(st.tuples(st.integers(1250, 25_000), st.integers(1, 12)), min_size=1, max_size=8)
DAYS = st.integers(0, 2000).map(lambda n: date(2020, 1, 1) + timedelta(days=n))
ROWS = st.lists(st.tuples(DAYS, st.sampled_from(("Oda", "Pim Made-Up")), st.sampled_from(sorted(GYM.lifts)), SETS),
                min_size=1, max_size=6)  # fmt: skip


def read(headings: list[str], rows: list[list[str]], style: str = "") -> Past:
    assert isinstance(GYM, Gym)
    numbered = [Row(n, tuple(cells)) for n, cells in enumerate(rows, 2)]
    return read_rows("", numbered, find_columns(headings, {}), Reading(style=style), GYM)


def number(load: int, point: str = ".") -> str:
    return f"{load // 100}{point}{load % 100:02d}"


@given(ROWS)
@settings(max_examples=60, deadline=None)
def test_a_row_a_lift_in_shorthand_is_read_as_what_was_done(
    rows: list[tuple[date, str, str, list[tuple[int, int]]]],
) -> None:
    written = [
        [day.isoformat(), who, lift, write_shorthand([Written(reps, load, "kg") for load, reps in sets])]
        for day, who, lift, sets in rows
    ]
    past = read(["date", "lifter", "lift", "work"], written)
    assert past.bad == ()
    assert [(s.day, s.lifter, s.lift, s.load, s.made) for s in past.sets] == [
        (day, who, lift, load, reps) for day, who, lift, sets in rows for load, reps in sets
    ]


@given(ROWS)
@settings(max_examples=60, deadline=None)
def test_a_row_a_set_with_day_first_and_decimal_commas_is_read_the_same(
    rows: list[tuple[date, str, str, list[tuple[int, int]]]],
) -> None:
    lines = [
        [f"{day.day}/{day.month}/{day.year}", GYM.lifts[lift].name.upper(), number(load, ","), str(reps), who]
        for day, who, lift, sets in rows for load, reps in sets
    ]  # fmt: skip
    style = find_style([line[0] for line in lines])
    if not isinstance(style, str) or style == "mdy":
        style = find_style([line[0] for line in lines], "dmy")
    assert isinstance(style, str)
    past = read(["Date", "Exercise", "Weight", "Reps", "Name"], lines, style)
    assert past.bad == ()
    assert [(s.day, s.lifter, s.lift, s.load, s.made) for s in past.sets] == [
        (day, who, lift, load, reps) for day, who, lift, sets in rows for load, reps in sets
    ]


def test_sets_that_contradict_themselves_are_named() -> None:
    head = ["date", "lifter", "lift", "load", "sets", "reps"]
    for cells, column, why in (
        (["60", "3", "5,5,4,4"], "sets", "are 4"),
        (["60", "many", "5"], "sets", "whole number"),
        (["60", "3", "0"], "reps", "whole number"),
        (["60kg 5", "3", "5"], "load", "not a number"),
        (["60", "3x5", "5,5"], "sets", "both hold sets"),
        (["", "3", "5"], "load", "missing"),
        (["60", "3", "3x5 60"], "reps", "so does another column"),
    ):
        past = read(head, [["2026-01-05", "Oda", "squat", *cells]])
        assert past.sets == () and [(o.place.column, why in o.what) for o in past.bad] == [(column, True)], past.bad


def test_several_sets_without_a_rep_made_are_no_sets_even_with_a_miss() -> None:
    headings = ["date", "lifter", "lift", "sets", "reps", "load", "missed"]
    several = read(headings, [["2026-03-31", "Oda", "squat", "3", "0", "100", "2"]])
    assert several.sets == () and [bad.place.column for bad in several.bad] == ["reps"]
    one = read(headings, [["2026-03-31", "Oda", "squat", "1", "0", "100", "2"]])
    assert [(s.made, s.missed) for s in one.sets] == [(0, 2)]
