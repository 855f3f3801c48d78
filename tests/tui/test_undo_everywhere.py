"""Every screen stands through every undo done while it is open, whatever goes: the lifter, the evening, the history."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from floor.core import commands as c
from floor.core.gym import Grade
from floor.roster import bring_roster
from floor.session import Done, Session
from floor.tui.app import FloorApp
from floor.tui.dialogs.confirm import Confirm
from floor.tui.keys import keys_of
from floor.tui.screens.base import EveningScreen
from floor.tui.screens.checkin import CheckIn
from floor.tui.screens.close import Close
from floor.tui.screens.drill import Drill
from floor.tui.screens.floor import Floor
from floor.tui.screens.lifter import LifterView
from floor.tui.screens.plates import Plates
from floor.tui.screens.questions import Questions
from floor.tui.screens.sheetentry import SheetEntry
from floor.tui.screens.week import Week
from tests.bringing import HEAD, csv, taken
from tests.tui.house import check_in, done, empty_session, new_clock, open_session, read
from tests.tui.test_week_screen import settled

HISTORY = HEAD + "".join(
    f"2026-11-{day},{who},squat,{load},5\n"
    for day, load in ((16, 60), (18, 62.5), (20, 65)) for who in ("Oda Invented", "Pim Made-Up")
)  # fmt: skip
ROSTER = "lifter,lift,sets,reps,load\nOda Invented,squat,3,5,60\nPim Made-Up,bench,3,5,40\n"
ALWAYS: tuple[Callable[[], EveningScreen], ...] = (Questions, Plates, CheckIn, Week, lambda: LifterView(1))
"""The screens that can be open at any time."""
OPEN: tuple[Callable[[], EveningScreen], ...] = (Floor, SheetEntry, Close)
"""Those that are opened while a session is open."""


def a_history(folder: Path) -> Session:
    session = empty_session(folder, new_clock())
    taken(session, csv(folder, HISTORY))
    return session


def a_roster(folder: Path) -> Session:
    session = empty_session(folder, new_clock())
    assert isinstance(bring_roster(session, csv(folder, ROSTER)), Done)
    return session


def an_evening(folder: Path) -> Session:
    """Everybody came, one set was lifted, a drill is on."""
    session = open_session(folder)
    check_in(session, 1, 2)
    first = next(s for s in session.state.evening.here[1].sets if s.role != "ramp")
    done(session, c.RecordWhole(1, first.no, first.reps, grade=Grade.SHARP))
    done(session, c.StartDrill("clean", 1))
    return session


def a_closed_evening(folder: Path) -> Session:
    session = an_evening(folder)
    done(session, c.EndDrill())
    done(session, c.CloseSession())
    return session


def a_visit_after_a_history(folder: Path) -> Session:
    session = a_history(folder)
    check_in(session, 1)
    return session


@pytest.mark.parametrize(
    ("scene", "screens"),
    [
        (a_history, ALWAYS),
        (a_roster, ALWAYS),
        (an_evening, (*OPEN, Drill, *ALWAYS)),
        (a_closed_evening, (*OPEN, *ALWAYS)),
        (a_visit_after_a_history, (*ALWAYS, *OPEN)),
    ],
    ids=lambda value: getattr(value, "__name__", ""),
)
async def test_every_screen_stands_until_nothing_is_left_to_undo(
    tmp_path: Path, scene: Callable[[Path], Session], screens: tuple[Callable[[], EveningScreen], ...]
) -> None:
    app = FloorApp(session := scene(tmp_path), ticking=False)
    async with app.run_test(size=(80, 24)) as pilot:
        for screen in screens:
            app.push_screen(screen())
            await settled(app, pilot)
        top = app.screen
        for _ in range(40):
            await pilot.press("backspace")
            if isinstance(app.screen, Confirm):
                await pilot.press("y")
            assert app.screen is top and all(s.is_mounted for s in app.screen_stack)
            app.tick()
            await settled(app, pilot)
            if "Nothing left" in app.message:
                break
        assert "Nothing left" in app.message and session.state.lifters == {}
    session.journal.close()


@pytest.mark.parametrize("where", ["week", "lifter", "close", "sheetentry", "checkin"])
async def test_every_key_stands_too_once_everything_was_taken_back(tmp_path: Path, where: str) -> None:
    made = {"week": Week, "lifter": lambda: LifterView(1), "close": Close, "sheetentry": SheetEntry, "checkin": CheckIn}
    app = FloorApp(session := an_evening(tmp_path), ticking=False)
    done(session, c.EndDrill())
    async with app.run_test(size=(80, 24)) as pilot:
        app.push_screen(top := made[where]())
        await settled(app, pilot)
        while "Nothing left" not in app.message:
            app.take_back()
        await settled(app, pilot)
        for key in keys_of(where):
            if app.screen is not top:
                await pilot.press("escape")
            if app.screen is not top:
                app.push_screen(top := made[where]())
                await settled(app, pilot)
            await pilot.press(key.key)
            await settled(app, pilot)
        assert session.state.lifters == {}
    session.journal.close()


@pytest.mark.parametrize("size", [(80, 24), (140, 45)], ids=["small", "large"])
async def test_a_history_taken_back_leaves_a_week_without_sessions(tmp_path: Path, size: tuple[int, int]) -> None:
    app = FloorApp(session := a_history(tmp_path), ticking=False)
    async with app.run_test(size=size) as pilot:
        await pilot.press("v")
        await settled(app, pilot)
        assert "▶ Oda" in read(app.screen, "#list")
        await pilot.press("backspace", "y", "n", "enter")
        assert isinstance(app.screen, Week) and session.state.lifters == {}
        await settled(app, pilot)
        assert "No session is on record yet." in read(app.screen, "#list")
    session.journal.close()


async def test_a_history_goes_on_a_yes_alone_and_what_goes_is_said_in_a_gym_opened_again_too(tmp_path: Path) -> None:
    a_history(tmp_path).journal.close()
    app = FloorApp(session := empty_session(tmp_path, new_clock()), ticking=False)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("v")
        await settled(app, pilot)
        for answer in ("enter", "escape", "n"):
            await pilot.press("backspace")
            asked = " ".join(read(app.screen).split())
            assert "6 sets on 3 days of 2 lifters" in asked and "Oda and Pim go from the gym with it." in asked
            await pilot.press(answer)
            assert len(session.state.lifters) == 2
        await pilot.press("backspace", "y")
        assert "Undone: a history brought in, 6 sets." in read(app.screen, "#message")
        assert session.state.lifters == {}
    session.journal.close()


async def test_a_lifter_who_went_from_the_gym_is_not_gone_to_from_the_week_as_it_was_read(tmp_path: Path) -> None:
    app = FloorApp(session := a_history(tmp_path), ticking=False)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("v")
        await settled(app, pilot)
        week = app.screen
        assert isinstance(week, Week)
        session.undo()
        for key in (week.action_look, week.action_next_load):
            app.say("")
            key()
            assert app.screen is week and app.message == "That lifter is no longer in the gym."
    session.journal.close()
