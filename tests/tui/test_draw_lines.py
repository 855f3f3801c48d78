"""Lines that refresh only the rows that changed, and words cut between words."""

import pytest
from rich.text import Text
from textual.app import App, ComposeResult
from textual.content import Content
from textual.strip import Strip

from floor.tui.draw.spans import cut, fit, row_text, row_width, wrap
from floor.tui.widgets.lines import Lines


class Watched(Lines):
    """Lines that note which rows they were asked to draw."""

    def __init__(self, lines) -> None:
        super().__init__(lines)
        self.drawn: list[int] = []

    def render_line(self, y: int) -> Strip:
        self.drawn.append(y)
        return super().render_line(y)


class Bench(App[None]):
    def __init__(self, lines) -> None:
        super().__init__()
        self.lines = Watched(lines)

    def compose(self) -> ComposeResult:
        yield self.lines


def test_a_cut_never_leaves_half_a_number():
    assert cut("off 10; on 15 and 2.5, each side", 21) == "off 10; on 15 and …"
    assert cut("62.5", 3) == "…"
    assert cut("squat · set 2", 9) == "squat …"
    assert cut("Aleksandra", 6) == "Aleks…"
    assert cut("Ben", 3) == "Ben"


def test_wrapping_breaks_between_words_and_marks_what_is_lost():
    assert wrap("off 10; on 15 and 2.5, each side", 24, 2) == ["off 10; on 15 and 2.5,", "each side"]
    assert wrap("off 10; on 15 and 2.5, each side", 24, 1) == ["off 10; on 15 and 2.5 …"]
    assert wrap("", 24, 2) == []
    assert wrap("words", 24, 0) == []


def test_a_fitted_line_is_exactly_as_wide_as_asked():
    assert row_width(fit((("abc", "x"), ("def", "y")), 4)) == 4
    assert row_text(fit((("漢字", "x"),), 3)) == "漢 "
    assert fit((("a", "x"), ("b", "x")), 3) == (("ab", "x"), (" ", ""))


@pytest.mark.asyncio
async def test_only_the_changed_row_is_drawn_again():
    app = Bench(["Ben 1:20", "Ida 0:40", "Otto 2:05"])
    async with app.run_test(size=(30, 5)) as pilot:
        await pilot.pause()
        app.lines.drawn.clear()
        assert app.lines.show(["Ben 1:20", "Ida 0:39", "Otto 2:05"]) == 1
        await pilot.pause()
        assert app.lines.drawn == [1]


@pytest.mark.asyncio
async def test_the_same_lines_draw_nothing():
    app = Bench([Text("Ben", style="bold")])
    async with app.run_test(size=(30, 3)) as pilot:
        await pilot.pause()
        app.lines.drawn.clear()
        assert app.lines.show([Text("Ben", style="bold")]) == 0
        await pilot.pause()
        assert app.lines.drawn == []


@pytest.mark.asyncio
async def test_a_change_of_style_alone_is_a_change():
    app = Bench([Text("Ben")])
    async with app.run_test(size=(30, 3)) as pilot:
        await pilot.pause()
        assert app.lines.show([Text("Ben", style="bold")]) == 1
        await pilot.pause()
        strip = app.lines.render_line(0)
        assert next(s for s in strip if "Ben" in s.text).style.bold


@pytest.mark.asyncio
async def test_lines_that_go_leave_blanks_and_long_ones_are_cut():
    app = Bench(["one", Content("two " * 20), "[b]three[/b]"])
    async with app.run_test(size=(12, 4)) as pilot:
        await pilot.pause()
        shown = [app.lines.render_line(y).text for y in range(4)]
        assert shown == ["one         ", "two two two ", "[b]three[/b]", " " * 12]
        assert app.lines.show(["one"]) == 2
        assert app.lines.render_line(1).text == " " * 12
        assert app.lines.words == ["one"]
