"""The close screen stands through every undo, down to a gym in which nothing was ever opened."""

from __future__ import annotations

from pathlib import Path

import pytest

from floor.core import commands as c
from floor.core.gym import Grade
from floor.roster import bring_roster
from floor.session import Done, Session
from floor.tui.app import FloorApp
from floor.tui.dialogs.confirm import Confirm
from floor.tui.screens.checkin import CheckIn
from floor.tui.screens.close import Close
from tests.tui.house import check_in, done, empty_session, new_clock, open_session, read

ROSTER = "lifter,lift,sets,reps,load\nOda Invented,squat,3,5,60\nPim Made-Up,bench,3,5,40\n"


def with_a_roster(folder: Path) -> Session:
    session = empty_session(folder, new_clock())
    (folder / "roster.csv").write_text(ROSTER, encoding="utf-8")
    assert isinstance(bring_roster(session, folder / "roster.csv"), Done)
    return session


async def test_a_check_in_taken_back_in_a_new_gym_leaves_the_close_screen_standing(tmp_path: Path) -> None:
    session = with_a_roster(tmp_path)
    app = FloorApp(session, ticking=False)
    async with app.run_test(size=(100, 30)) as pilot:
        await pilot.press("enter", "f", "slash", "x")
        await pilot.pause()
        assert isinstance(app.screen, Close) and "Session 1" in read(app.screen, "#header")
        await pilot.press("backspace", "backspace")
        assert not session.state.open and "No session" in read(app.screen, "#header")
        await pilot.press("enter")
        await pilot.pause()
        assert isinstance(app.screen, CheckIn)


@pytest.mark.parametrize("size", [(80, 24), (140, 45)], ids=["small", "large"])
async def test_every_undo_to_the_beginning_is_shown(tmp_path: Path, size: tuple[int, int]) -> None:
    session = open_session(tmp_path)
    check_in(session, 1, 2)
    first = next(s for s in session.state.evening.here[1].sets if s.role != "ramp")
    done(session, c.RecordWhole(1, first.no, first.reps, grade=Grade.SHARP))
    done(session, c.ReportPain(2))
    done(session, c.Leave(1))
    done(session, c.CloseSession())
    app = FloorApp(session, ticking=False)
    async with app.run_test(size=size) as pilot:
        app.push_screen(Close())
        await pilot.pause()
        taken_back: list[str] = []
        asked: list[str] = []
        for _ in range(60):
            before = session.state
            await pilot.press("backspace")
            if isinstance(app.screen, Confirm):
                asked.append(" ".join(read(app.screen).split()))
                await pilot.press("enter")
                assert session.state is before, "Enter takes nothing back"
                await pilot.press("backspace", "y")
            assert app.is_running and isinstance(app.screen, Close)
            taken_back.append(read(app.screen, "#message"))
            if "Nothing left" in taken_back[-1]:
                break
        assert "Undone: the session closed." in taken_back[0] and len(taken_back) > 10
        assert session.state.lifters == {} and "No session" in read(app.screen, "#header")
        assert "Session 1 is closed." in asked[0] and "Bo is held for pain." in asked[1]
        assert [words.split()[0] for words in asked[2:]] == ["Dov", "Cleo", "Bo", "Ada"], "each goes from the gym"
