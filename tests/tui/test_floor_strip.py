"""The next ten minutes on the floor: a picture where there is room, words anywhere."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import pytest

from floor.core import commands as c
from floor.core.outlook import ComingSet, Outlook
from floor.session import Session
from floor.tui.app import FloorApp
from floor.tui.dialogs.tenminutes import TenMinutes
from floor.tui.screens.floor import Floor
from tests.tui.house import check_in, new_clock, open_session, read


def planned(session: Session) -> Outlook:
    """Everybody's next set, a minute each, one after the other at station 1."""
    now, turns = session.clock.now(), []
    for n, present in enumerate(session.state.evening.here.values()):
        coming = present.pending()
        assert coming is not None
        start = now + timedelta(minutes=n)
        turns.append(
            ComingSet(1, present.lifter, coming.no, coming.lift, coming.load, start, start + timedelta(seconds=50))
        )
    return Outlook(session.latest, now, False, tuple(turns))


def floor_of(session: Session) -> FloorApp:
    numbers = {name: lifter for lifter, name in session.names.items()}
    check_in(session, numbers["Ada"], numbers["Bo"])
    return FloorApp(session, ticking=False)


@pytest.mark.parametrize(("size", "there"), [((80, 24), False), ((120, 30), False), ((140, 45), True)])
async def test_the_picture_is_there_where_there_is_room(tmp_path: Path, size: tuple[int, int], there: bool) -> None:
    session = open_session(tmp_path, new_clock())
    app = floor_of(session)
    async with app.run_test(size=size) as pilot:
        await pilot.pause()
        app.show_outlook(planned(session))
        await pilot.pause()
        assert isinstance(app.screen, Floor)
        assert app.screen.query_one("#strip").display is there
        if there:
            shown = read(app.screen, "#strip")
            assert "next 10 min" in shown and "Ada" in shown and "Bo" in shown
    session.journal.close()


async def test_a_set_that_is_done_or_whose_lifter_left_is_no_longer_drawn(tmp_path: Path) -> None:
    session = open_session(tmp_path, new_clock())
    app = floor_of(session)
    async with app.run_test(size=(140, 45)) as pilot:
        await pilot.pause()
        app.show_outlook(planned(session))
        bo = next(i for i, name in session.names.items() if name == "Bo")
        app.act(c.Leave(bo))
        await pilot.pause()
        shown = read(app.screen, "#strip")
        assert "Ada" in shown and "Bo" not in shown
    session.journal.close()


async def test_the_words_are_a_letter_away_and_say_when_there_is_no_plan(tmp_path: Path) -> None:
    session = open_session(tmp_path, new_clock())
    app = floor_of(session)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        await pilot.press("slash", "v")
        await pilot.pause()
        assert "no plan yet" in read(app.screen, "#message")
        app.show_outlook(replace(planned(session), watched=0.946, watched_rotation=0.906))
        await pilot.press("slash", "v")
        await pilot.pause()
        assert isinstance(app.screen, TenMinutes)
        head = " ".join(read(app.screen, "#head").split())
        assert "Of the sets to watch tonight you can stand at 95% (strict rotation 91%)." in head
        lines = read(app.screen, "#body").splitlines()
        assert any("now Ada" in line and "kg" in line for line in lines)
        assert any("1:00 Bo" in line for line in lines)
        await pilot.press("down", "enter")
        assert isinstance(app.screen, Floor)
    session.journal.close()
