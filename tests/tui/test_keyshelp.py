"""The list of keys: nothing in the table is missing from it, and it opens and closes by a key."""

from __future__ import annotations

from pathlib import Path

from floor.tui.app import FloorApp
from floor.tui.keys import KEYS, MORE
from floor.tui.screens.keyshelp import KeysHelp, help_lines
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
    assert len(headings) == len(set(headings)) == len({key.where for key in KEYS})


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
