"""Tonight's groups at check-in: shown with their reason, taken at a key, anyone moved by a digit."""

from __future__ import annotations

from pathlib import Path

from floor.core import commands as c
from floor.core.groups import place_for
from floor.tui.app import FloorApp
from floor.tui.dialogs.reading import Reading
from floor.tui.screens.checkin import CheckIn
from tests.scenario import demo_session
from tests.tui.house import read


async def test_enter_says_where_and_with_whom(tmp_path: Path) -> None:
    session, _ = demo_session(tmp_path)
    app = FloorApp(session, ticking=False)
    async with app.run_test(size=(140, 45)) as pilot:
        await pilot.pause()
        state, now = session.state, session.clock.now()
        places = {session.names[n]: place_for(state, lifter, now) for n, lifter in state.lifters.items()}
        shown = 0
        for name in sorted(places, key=str.casefold):
            said = next(line for line in read(app.screen, "#details").splitlines() if "checks in" in line)
            station, others = places[name].station, places[name].others
            assert station is not None and f"checks in {name} at {station.name}" in said
            assert all(session.names[other] in said for other in others[:3]) and (" kg with " in said) == bool(others)
            shown += bool(others)
            await pilot.press("down")
        assert shown >= 6, "most have somebody to share with"
    session.journal.close()


async def test_g_shows_the_groups_and_moves_who_stands_elsewhere(tmp_path: Path) -> None:
    session, _ = demo_session(tmp_path)
    session.do(c.OpenSession())
    for lifter in sorted(session.state.lifters)[:8]:
        session.do(c.Arrive(lifter, 1))
    app = FloorApp(session, ticking=False)
    async with app.run_test(size=(80, 24)) as pilot:
        app.switch_screen(CheckIn())
        await pilot.pause()
        await pilot.press("g")
        await pilot.pause()
        assert isinstance(app.screen, Reading)
        shown = read(app.screen, "#body")
        assert "Platform 2: done about " in shown and "(moves)" in shown and "lifters move" in shown
        assert "like loads, " in shown and " kg: " in shown, "why they share a station"
        await pilot.press("enter")
        await pilot.pause()
        assert {p.station for p in session.state.evening.here.values()} > {1}, "those to come may fill a station"
        assert "to their groups" in read(app.screen, "#message")
        await pilot.press("backspace")
        assert {p.station for p in session.state.evening.here.values()} == {1}
    session.journal.close()


async def test_with_nobody_to_move_the_groups_are_only_read(tmp_path: Path) -> None:
    session, _ = demo_session(tmp_path)
    app = FloorApp(session, ticking=False)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        await pilot.press("g")
        await pilot.pause()
        assert "leave" in read(app.screen, "#body") and "move" not in read(app.screen, "#body")
        await pilot.press("escape")
        await pilot.pause()
        assert isinstance(app.screen, CheckIn) and not session.state.open
    session.journal.close()
