"""Rows kept as they were painted are the rows that stand there: in a border, in another theme, at another size."""

from __future__ import annotations

import pytest
from rich.segment import Segment
from textual.app import App, ComposeResult
from textual.geometry import Region

from floor.tui.widgets.card import StationCard
from floor.tui.widgets.cardview import CardView
from floor.tui.widgets.lines import Lines


class Bench(App[None]):
    CSS = """
    #framed { height: 6; border: solid $accent; padding: 1 2; background: $surface; }
    #plain { height: 2; }
    """

    def compose(self) -> ComposeResult:
        yield Lines(["Ben 1:20", "Ida 0:40"], id="framed")
        yield Lines(["Otto 2:05"], id="plain")

    def painted(self) -> list[list[Segment]]:
        """The screen as it would be painted whole, from what the widgets hand over."""
        return [list(strip) for strip in self.screen._compositor.render_strips()]

    def words(self) -> list[str]:
        return ["".join(segment.text for segment in row).rstrip() for row in self.painted()]


def colours(row: list[Segment]) -> set[object]:
    return {segment.style.bgcolor for segment in row if segment.style is not None}


@pytest.mark.asyncio
async def test_a_changed_row_stands_in_its_place_inside_a_border():
    app = Bench()
    async with app.run_test(size=(20, 9)) as pilot:
        app.query_one("#framed", Lines).show(["Ben 1:20", "Ida 0:39"])
        await pilot.pause()
        words = app.words()
        assert words[2] == "│  Ben 1:20        │"
        assert words[3] == "│  Ida 0:39        │"
        assert words[6] == "Otto 2:05"


@pytest.mark.asyncio
async def test_rows_that_did_not_change_are_handed_over_as_they_are():
    app = Bench()
    async with app.run_test(size=(20, 9)) as pilot:
        framed = app.query_one("#framed", Lines)
        whole = Region(0, 0, 20, 6)
        before = list(framed.render_lines(whole))
        framed.show(["Ben 1:20", "Ida 0:39"])
        after = list(framed.render_lines(whole))
        assert [y for y in range(6) if before[y] is not after[y]] == [3]
        await pilot.pause()


@pytest.mark.asyncio
async def test_a_new_theme_paints_every_kept_row_in_its_colours():
    app = Bench()
    async with app.run_test(size=(20, 9)) as pilot:
        before = [colours(row) for row in app.painted()]
        app.theme = "textual-light"
        await pilot.pause()
        app.query_one("#plain", Lines).show(["Otto 2:04"])
        await pilot.pause()
        after = [colours(row) for row in app.painted()]
        assert all(not was & now for was, now in zip(before, after, strict=True))


@pytest.mark.asyncio
async def test_kept_rows_follow_a_new_size():
    app = Bench()
    async with app.run_test(size=(20, 9)) as pilot:
        app.painted()
        await pilot.resize_terminal(30, 9)
        await pilot.pause()
        assert app.words()[2] == "│  Ben 1:20" + " " * 18 + "│"
        await pilot.resize_terminal(12, 9)
        await pilot.pause()
        assert app.words()[2] == "│  Ben 1:  │"


class CardBench(App[None]):
    def compose(self) -> ComposeResult:
        yield StationCard(CardView("Platform 1", name="Ada"))


@pytest.mark.asyncio
async def test_a_card_in_a_new_theme_has_the_new_colours():
    app = CardBench()
    async with app.run_test(size=(30, 12)) as pilot:
        card = app.query_one(StationCard)
        before = card.render_line(0)
        app.theme = "textual-light"
        await pilot.pause()
        after = card.render_line(0)
        assert before.text == after.text
        assert {s.style for s in before} != {s.style for s in after}
