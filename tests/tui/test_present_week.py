"""The week's list: any window of it reads as the whole list does there, and only what is in it is put into words."""

from __future__ import annotations

import re
from datetime import date, timedelta

from hypothesis import given
from hypothesis import strategies as st
from rich.cells import cell_len
from textual.content import Content

from floor.core.week import LifterWeek, Week
from floor.tui.present_week import Block, blocks, header, window
from tests.core.scenes import gym


@given(st.lists(st.integers(1, 4), max_size=6), st.integers(0, 30), st.integers(1, 12))
def test_a_window_is_that_part_of_the_whole_list_and_writes_no_block_outside_it(
    heights: list[int], top: int, rows: int
) -> None:
    written: set[int] = set()

    def block(number: int, height: int) -> Block:
        def write() -> tuple[Content, ...]:
            written.add(number)
            return tuple(Content(f"{number}.{line}") for line in range(height))

        return Block(number, height, write)

    listed = [block(number, height) for number, height in enumerate(heights)]
    found = [line.plain for line in window(listed, top, rows)]
    lines = [f"{number}.{line}" if line >= 0 else "" for number, height in enumerate(heights)
             for line in range(0 if not number else -1, height)]  # fmt: skip
    assert found == lines[top : top + rows]
    seen = {int(line.partition(".")[0]) for line in found if line}
    assert seen <= written and len(written - seen) <= 1


def test_a_block_is_written_once() -> None:
    times: list[int] = []

    def write() -> tuple[Content, ...]:
        times.append(1)
        return (Content("a"),)

    one = Block(1, 1, write)
    assert window([one], 0, 5) == window([one], 0, 5) == [Content("a")] and times == [1]


@given(
    st.dates(date(2020, 1, 1), date(2030, 1, 1)), st.integers(0, 99), st.integers(1, 14), st.integers(1, 99),
    st.integers(0, 14), st.integers(0, 99),
)  # fmt: skip
def test_who_came_in_both_weeks_is_said_on_the_narrowest_screen(
    last: date, ago: int, evenings: int, came: int, evenings_before: int, came_before: int
) -> None:
    week = Week(last - timedelta(6), last, evenings, evenings_before, came, came_before, (), (), ())
    words = header(week, last + timedelta(ago), 80).plain
    assert cell_len(words) <= 80
    assert f"{evenings} evening{'s' if evenings > 1 else ''}, {came} came" in words
    assert re.search(rf"before: {evenings_before}, {came_before}( came)?\)$", words)
    assert f"to {last.day} {last:%b}" in words and (ago <= 7 or f"{ago} days ago" in words)


def test_where_there_is_room_the_header_says_it_in_full() -> None:
    week = Week(date(2026, 11, 19), date(2026, 11, 25), 3, 3, 8, 8, (), (), ())
    full = " THE WEEK  19 Nov to 25 Nov · 61 days ago · 3 evenings, 8 came (week before: 3, 8 came)"
    assert header(week, date(2027, 1, 25), 120).plain == full
    short = full.replace("19 Nov to", "19 to").replace("week before", "before")
    assert header(week, date(2027, 1, 25), 80).plain == short


def test_all_who_did_not_come_stand_together_before_everybody_else() -> None:
    here, gone = (LifterWeek(n, came, 2, False, ()) for n, came in ((1, 1), (2, 0)))
    week = Week(date(2026, 11, 19), date(2026, 11, 25), 1, 1, 1, 1, (here, gone), (3,), ())
    first, *_ = blocks(week, gym(), {1: "Oda", 2: "Pim", 3: "Quin"}, 80)
    assert [line.plain for line in first.lines] == ["  2 not here this week: Pim, Quin"]
