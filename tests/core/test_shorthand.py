"""The notebook's shorthand: read in the one way it can be read, or answered with a sentence."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from floor.core.shorthand import REPS_AT_MOST, SETS_AT_MOST, Written, read_shorthand, write_shorthand


def sets(text: str, load_elsewhere: bool = False) -> list[tuple[int | None, str, bool, int]]:
    found = read_shorthand(text, load_elsewhere)
    assert not isinstance(found, str), found
    return [(s.load, s.unit, s.bar, s.reps) for s in found]


def at(load: int, *reps: int, unit: str = "") -> list[tuple[int | None, str, bool, int]]:
    return [(load, unit, False, r) for r in reps]


@pytest.mark.parametrize(
    ("text", "means"),
    [
        ("3x5 100", at(10000, 5, 5, 5)),
        ("3x5@100", at(10000, 5, 5, 5)),
        ("3 x 5 @ 100 kg", at(10000, 5, 5, 5, unit="kg")),
        ("3\N{MULTIPLICATION SIGN}5 62,5", at(6250, 5, 5, 5)),
        ("3*5 100", at(10000, 5, 5, 5)),
        ("100x5,5,4", at(10000, 5, 5, 4)),
        ("100 x 5 5 4", at(10000, 5, 5, 4)),
        ("100x5/5/4", at(10000, 5, 5, 4)),
        ("62,5x5", at(6250, 5)),
        ("62.25x5", at(6225, 5)),
        ("5 5 4 @ 220lb", at(22000, 5, 5, 4, unit="lb")),
        ("5,5,4@220lbs", at(22000, 5, 5, 4, unit="lb")),
        ("5 @ 100", at(10000, 5)),
        ("20x5", at(2000, 5)),
        ("10kg x5", at(1000, 5, unit="kg")),
        ("60x5, 80x3; 100x1", at(6000, 5) + at(8000, 3) + at(10000, 1)),
        ("60x5 80x3 100x1", at(6000, 5) + at(8000, 3) + at(10000, 1)),
        ("100x5,102,5x5", at(10000, 5) + at(10250, 5)),
        ("100x5,5,102.5x4", at(10000, 5, 5) + at(10250, 4)),
        ("100x5 reps", at(10000, 5)),
        ("60x5 / 80x3/100x1", at(6000, 5) + at(8000, 3) + at(10000, 1)),
        ("60x5 + 2x3 80+100x1", at(6000, 5) + at(8000, 3, 3) + at(10000, 1)),
        ("60x5 | 80x3\n100x1", at(6000, 5) + at(8000, 3) + at(10000, 1)),
        ("3x5x105", at(10500, 5, 5, 5)),
        ("3\N{MULTIPLICATION SIGN}5\N{MULTIPLICATION SIGN}62,5", at(6250, 5, 5, 5)),
        ("3x5x8kg", at(800, 5, 5, 5, unit="kg")),
        ("105 3x5", at(10500, 5, 5, 5)),
        ("60x5, 105 3x5; 110kg 1x3", at(6000, 5) + at(10500, 5, 5, 5) + at(11000, 3, unit="kg")),
        ("5/5/4 100", at(10000, 5, 5, 4)),
        ("5,5,4 20kg", at(2000, 5, 5, 4, unit="kg")),
        ("100 kg 5,5,4", at(10000, 5, 5, 4, unit="kg")),
        ("100 5,5,4", at(10000, 5, 5, 4)),
        ("5x100, 3x110", at(10000, 5) + at(11000, 3)),
        ("5x102,5, 3x110kg", at(10250, 5) + at(11000, 3, unit="kg")),
        ("100 x 5 / 5 / 4 / 110x3", at(10000, 5, 5, 4) + at(11000, 3)),
    ],
)
def test_every_form_the_trade_writes_is_read(text: str, means: list[tuple[int | None, str, bool, int]]) -> None:
    assert sets(text) == means


def test_the_empty_bar_is_a_load_without_a_number() -> None:
    assert sets("bar x5") == sets("barx5") == sets("empty bar x 5") == [(0, "", True, 5)]
    assert sets("3x5 bar") == sets("bar 3x5") == sets("bar 5,5,5") == sets("3x5xbar") == [(0, "", True, 5)] * 3
    for text in ("bar x5, 40x5", "bar x5/40x5", "bar x5 / 40x5", "bar x5 + 40x5", "bar x5 40x5"):
        assert sets(text) == [(0, "", True, 5), *at(4000, 5)], text


def test_where_a_column_holds_the_load_the_entry_is_sets_and_reps_alone() -> None:
    assert [reps for *_, reps in sets("3x5", True)] == [5, 5, 5]
    assert [reps for *_, reps in sets("5,5,4", True)] == [5, 5, 4]
    twice = read_shorthand("3x5 100", True)
    assert isinstance(twice, str) and "so does another column" in twice


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("3x12x20", "which number is the load"),
        ("100x5x3", "which number is the load"),
        ("5x5", "names no load"),
        ("5,5,4", "names no load"),
        ("100x5 @8", "may be reps or an effort"),
        ("5x5 @7.5", "may be reps or an effort"),
        ("3x5 10", "may be reps or an effort"),
        ("bw x 5", "no load on a bar"),
        ("20x5 40", "not understood"),
        ("20x5 25", "not understood"),
        ("100", "not understood"),
        ("bar x5, 40x5x3", "not understood"),
        ("bar x5 / 5x60", "not understood"),
        ("5x100", "not understood"),
        ("100x5/5/5 110", "not understood"),
        ("5,5,5 20", "not understood"),
        ("100kg 5", "not understood"),
        ("5,5 4kg", "not understood"),
        ("5 5 100kg", "not understood"),
        ("105, 3x5", "not understood"),
        ("100x5 (missed last)", "brackets may change the sets"),
        ("100x0", "not understood"),
        ("100x", "not understood"),
        ("99999x5", "not understood"),
        ("hard day", "not understood"),
        ("", "empty"),
        ("100x5 " * 60, "too long"),
    ],
)
def test_what_can_be_read_in_two_ways_or_none_is_answered_with_a_sentence(text: str, why: str) -> None:
    answer = read_shorthand(text)
    assert isinstance(answer, str) and why in answer and answer.endswith(".")


def test_two_readings_are_both_shown() -> None:
    two = read_shorthand("15x5,15,13x3")
    assert isinstance(two, str) and "15 x5,15; 13 x3" in two and "15 x5; 15.13 x3" in two


LOADS = st.one_of(
    st.builds(lambda load, unit: (load, unit, False), st.integers(1, 999_999), st.sampled_from(("kg", "lb"))),
    st.builds(lambda load: (load, "", False), st.integers(SETS_AT_MOST * 100 + 1, 999_999)),
    st.just((0, "", True)),
)
GROUPS = st.tuples(LOADS, st.lists(st.integers(1, REPS_AT_MOST), min_size=1, max_size=4))


@given(st.lists(GROUPS, min_size=1, max_size=4))
@settings(max_examples=300, deadline=None)
def test_what_is_written_reads_back_as_the_same_sets(
    groups: list[tuple[tuple[int, str, bool], list[int]]],
) -> None:
    work = tuple(Written(r, load, unit, bar) for (load, unit, bar), reps in groups for r in reps)
    assert read_shorthand(write_shorthand(work)) == work


@given(st.lists(GROUPS, min_size=2, max_size=4), st.sampled_from((" + ", " / ", "/", "+", " | ", "\n", "; ")))
@settings(max_examples=300, deadline=None)
def test_whatever_stands_between_the_groups_they_are_the_same_or_asked_about(
    groups: list[tuple[tuple[int, str, bool], list[int]]], between: str
) -> None:
    each = [tuple(Written(r, load, unit, bar) for r in reps) for (load, unit, bar), reps in groups]
    found = read_shorthand(between.join(write_shorthand(group) for group in each))
    assert found == tuple(one for group in each for one in group) or (isinstance(found, str) and "can be read" in found)


@given(st.integers(1, SETS_AT_MOST), st.integers(1, REPS_AT_MOST), st.integers(SETS_AT_MOST * 100 + 1, 99_999))
@settings(deadline=None)
def test_sets_times_reps_at_a_load_is_never_anything_else(count: int, reps: int, load: int) -> None:
    number = f"{load // 100}.{load % 100:02d}"
    forms = [f"{count}x{reps} {number}", f"{count} x {reps} @ {number}kg", f"{count}x{reps}@{number.replace('.', ',')}"]
    forms += [f"{number} {count}x{reps}", f"{number}kg {count}x{reps}", f"{count}x{reps}x{number}kg"]
    for text in forms:
        found = read_shorthand(text)
        assert not isinstance(found, str), (text, found)
        assert [(s.reps, s.load) for s in found] == [(reps, load)] * count


@given(st.text(alphabet="0123456789x,.;@/ kglbar\n-", max_size=40))
@settings(max_examples=600, deadline=None)
def test_whatever_is_typed_comes_to_sets_or_to_a_sentence(text: str) -> None:
    for elsewhere in (False, True):
        found = read_shorthand(text, elsewhere)
        if isinstance(found, str):
            assert found.endswith(".")
        else:
            assert found and all(1 <= s.reps <= REPS_AT_MOST for s in found)
            assert all((s.load is None) == elsewhere for s in found)
            assert all(s.bar or elsewhere or (s.load or 0) > 0 for s in found)
