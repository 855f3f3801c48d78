"""The list of keys: nothing in the table is missing from it, and it opens and closes by a key."""

from __future__ import annotations

from pathlib import Path

import pytest
from textual.containers import VerticalScroll

from floor.tui.app import FloorApp
from floor.tui.keys import KEYS, MORE
from floor.tui.marks import MARKS
from floor.tui.present_running import SEVERITY_SIGN
from floor.tui.screens.keyshelp import LEGEND, KeysHelp, help_lines
from floor.tui.widgets.cardparts import REP_SIGNS
from tests.core.scenes import gym
from tests.tui.house import open_session


def test_every_key_and_every_letter_of_everything_else_is_listed() -> None:
    lines = [line.plain.split() for line in help_lines()]
    for key in KEYS:
        assert any(words[:1] == [key.shown] and words[1:3] == key.words.split()[:2] for words in lines), key
    for more in MORE:
        assert any(words[:3] == ["/", "then", more.letter] for words in lines), more


def test_a_line_of_the_list_fits_the_narrowest_screen() -> None:
    assert max(len(line.plain) for line in help_lines()) <= 70


def test_the_keys_of_one_screen_stand_under_one_heading() -> None:
    headings = [line.plain for line in help_lines() if line.plain and not line.plain.startswith(" ")]
    assert len(headings) == len(set(headings)) == len({key.where for key in KEYS}) + 1, "and one over the marks"


async def test_f1_opens_the_list_it_scrolls_and_either_key_closes_it(tmp_path: Path) -> None:
    app = FloorApp(open_session(tmp_path), ticking=False)
    async with app.run_test(size=(80, 24)) as pilot:
        for closing in ("f1", "escape"):
            below = app.screen
            await pilot.press("f1")
            assert isinstance(app.screen, KeysHelp)
            listed = app.screen.query_one("#keys-list")
            await pilot.press("end")
            await pilot.wait_for_scheduled_animations()
            assert listed.scroll_y == listed.max_scroll_y > 0
            await pilot.press(closing)
            assert app.screen is below


def test_every_mark_of_the_floor_is_explained_once_at_the_end_of_the_list() -> None:
    lines = [line.plain for line in help_lines("floor")]
    legend = lines[lines.index(LEGEND) + 1 :]
    assert legend and "" not in legend, "nothing comes after it"
    told = " ".join(mark for mark, _ in MARKS)
    signs = {sign for sign in SEVERITY_SIGN.values() if sign.strip()} | {sign for sign, _ in REP_SIGNS.values()}
    assert [sign for sign in (*signs, "▶", "5T", "└─", "?") if sign not in told] == []
    assert len({mark for mark, _ in MARKS}) == len(MARKS)


def test_the_light_full_size_disc_of_the_legend_is_one_the_gym_has() -> None:
    assert [plate.id for plate in gym().plates if plate.full_size and not plate.droppable] == ["5T"]


@pytest.mark.parametrize("size", [(80, 24), (140, 45)])
async def test_one_key_goes_from_the_keys_to_the_marks(tmp_path: Path, size: tuple[int, int]) -> None:
    app = FloorApp(open_session(tmp_path), ticking=False)
    async with app.run_test(size=size) as pilot:
        await pilot.press("f1")
        listed = app.screen.query_one("#keys-list", VerticalScroll)
        assert "End: the marks" in str(listed.border_subtitle)
        await pilot.press("end")
        await pilot.wait_for_scheduled_animations()
        shown = help_lines("checkin")[-(listed.size.height) :]
        assert any(line.plain.split()[:1] == ["▾"] for line in shown)
