"""The floor is no place without a session: once its opening is taken back, the keys are check-in's."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from floor.core.board import last_done, on_the_bar
from floor.core.queue import line, promised_line
from floor.tui.app import FloorApp
from floor.tui.keys import KEYS
from floor.tui.screens.base import EveningScreen
from floor.tui.screens.checkin import CheckIn
from floor.tui.screens.close import Close
from floor.tui.screens.floor import Floor
from floor.tui.screens.sheetentry import SheetEntry
from tests.tui.house import check_in, open_session

FLOOR_KEYS = [k.key for k in KEYS if k.where == "floor"]
OVER_IT: tuple[Callable[[], EveningScreen], ...] = (SheetEntry, Close)
"""The screens that lie over the floor while a session is open."""


@pytest.mark.parametrize("key", FLOOR_KEYS)
async def test_any_key_of_the_floor_is_safe_once_the_opening_is_undone(tmp_path: Path, key: str) -> None:
    app = FloorApp(session := open_session(tmp_path), ticking=False)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("enter", "f")
        assert isinstance(app.screen, Floor)
        await pilot.press("backspace", "backspace")
        assert isinstance(app.screen, CheckIn) and not session.state.open
        await pilot.press(key)
        await pilot.pause()
        assert app.return_code is None and app.screen_stack
    session.journal.close()


@pytest.mark.parametrize("over", OVER_IT)
async def test_leaving_a_screen_over_the_floor_leads_to_check_in_when_the_opening_is_gone(
    tmp_path: Path, over: Callable[[], EveningScreen]
) -> None:
    app = FloorApp(session := open_session(tmp_path), ticking=False)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("enter", "f")
        app.push_screen(over())
        await pilot.pause()
        await pilot.press("backspace", "backspace")
        assert app.screen.__class__ is over and not session.state.open
        await pilot.press("escape", "escape")
        await pilot.pause()
        assert isinstance(app.screen, CheckIn) and not any(isinstance(s, Floor) for s in app.screen_stack)
    session.journal.close()


def test_nobody_is_at_a_station_that_is_not_there(tmp_path: Path) -> None:
    session = open_session(tmp_path)
    check_in(session, 1)
    for number in (99, 0):
        assert on_the_bar(session.state, number) is None and last_done(session.state, number) is None
        assert line(session.state, number) == promised_line(session.state, number) == ()
    session.undo()
    session.undo()
    assert on_the_bar(session.state, 1) is None and line(session.state, 1) == ()
    session.journal.close()
