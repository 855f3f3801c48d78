"""The week's list: any window of it reads as the whole list does there, and only what is in it is put into words."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st
from textual.content import Content

from floor.tui.present_week import Block, window


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

    blocks = [block(number, height) for number, height in enumerate(heights)]
    found = [line.plain for line in window(blocks, top, rows)]
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
