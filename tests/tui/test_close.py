"""Closing: the evening on one screen before it is closed, and the same after."""

from __future__ import annotations

from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from pathlib import Path
from typing import Any

import pytest

from floor.clock import SetClock
from floor.core import commands as c
from floor.core.gym import Grade
from floor.session import Session
from floor.tui.app import FloorApp
from floor.tui.dialogs.confirm import Confirm
from floor.tui.screens.checkin import CheckIn
from floor.tui.screens.close import Close
from floor.tui.screens.floor import Floor
from tests.tui.house import check_in, done, new_clock, open_session, read

SMALL, LARGE = (80, 24), (140, 45)


@asynccontextmanager
async def closing(session: Session, size: tuple[int, int] = LARGE) -> AsyncIterator[tuple[FloorApp, Any]]:
    app = FloorApp(session, ticking=False)
    async with app.run_test(size=size) as pilot:
        app.push_screen(Close())
        await pilot.pause()
        yield app, pilot


def an_evening(folder: Path, clock: SetClock | None = None) -> Session:
    """Ada's three squats sharp, Bo's first clean broken and overruled, Cleo held, one incident."""
    session = open_session(folder, clock)
    check_in(session, 1, 2, 3)
    for s in session.state.evening.here[1].of_lift("squat"):
        if s.role != "ramp":
            done(session, c.RecordWhole(1, s.no, 5, grade=Grade.SHARP))
    clean = next(s for s in session.state.evening.here[2].of_lift("clean") if s.role != "ramp")
    done(session, c.RecordWhole(2, clean.no, 3, 0, Grade.BROKEN, faults=((2, "back-rounding"),)))
    done(session, c.Overrule(2, "clean", "keep", sure=True))
    done(session, c.ReportPain(3))
    done(session, c.NoteIncident(1))
    return session


async def test_it_says_what_happened_what_changed_and_what_is_next(tmp_path: Path) -> None:
    async with closing(an_evening(tmp_path)) as (app, _):
        words = read(app.screen, "#summary")
        assert "squat: 3 of 3 work sets · 15 of 15 reps · top 62.5 kg × 5 · sharp 3" in words
        light = "next: 52 kg 2×5 (light day: 80 % of the full 65 kg, up from 62.5)"
        assert f"{light}: all reps made, form held: one step more" in words
        assert "power clean: 1 of 4 work sets · 3 of 3 reps · top 50 kg × 3 · broken 1 · back rounding" in words
        assert "overruled by the coach: the same, 50 kg" in words
        assert "form fell apart: lighter next time" in words
        assert "held until cleared: Cleo" in words
        assert "1 incident note" in words


async def test_enter_closes_and_the_recorded_plans_read_the_same(tmp_path: Path) -> None:
    clock = new_clock()
    session = an_evening(tmp_path, clock)
    async with closing(session) as (app, pilot):
        before = read(app.screen, "#summary")
        clock.on(90 * 60 + 61)
        await pilot.press("enter")
        assert not session.state.open
        assert "Session 1 closed 19:31" in read(app.screen, "#header")
        assert read(app.screen, "#summary") == before
        assert session.state.lifters[1].plans["squat"].load == 6500


async def test_closed_enter_goes_on_to_check_in(tmp_path: Path) -> None:
    session = an_evening(tmp_path)
    async with closing(session) as (app, pilot):
        await pilot.press("enter")
        assert "to check-in" in read(app.screen, "#keys")
        await pilot.press("enter")
        await pilot.pause()
        assert isinstance(app.screen, CheckIn)
        assert len([s for s in app.screen_stack if not isinstance(s, CheckIn)]) <= 1


async def test_undo_opens_the_session_again(tmp_path: Path) -> None:
    session = an_evening(tmp_path)
    async with closing(session) as (app, pilot):
        await pilot.press("enter", "backspace")
        assert isinstance(app.screen, Confirm) and not session.state.open
        await pilot.press("y")
        assert session.state.open
        assert "Enter closes it" in read(app.screen, "#header")
        assert "Undone" in read(app.screen, "#message")


async def test_escape_leaves_the_session_open(tmp_path: Path) -> None:
    session = an_evening(tmp_path)
    async with closing(session) as (app, pilot):
        await pilot.press("escape")
        await pilot.pause()
        assert isinstance(app.screen, Floor) and session.state.open


async def test_someone_lifting_is_a_no_with_the_name(tmp_path: Path) -> None:
    session = open_session(tmp_path)
    check_in(session, 1)
    done(session, c.StartSet(1))
    async with closing(session) as (app, pilot):
        await pilot.press("enter")
        assert "Ada is lifting at Platform 1: end that set first." in read(app.screen, "#message")
        assert session.state.open


@pytest.mark.parametrize("keys", [["down"] * 50, ["pagedown"] * 5])
async def test_a_long_evening_scrolls_to_its_last_line(tmp_path: Path, keys: list[str]) -> None:
    session = an_evening(tmp_path)
    last = session.state.gym.settings.cautions[-1]
    async with closing(session, SMALL) as (app, pilot):
        assert last not in read(app.screen, "#summary")
        assert "lines 1-" in read(app.screen, "#more")
        await pilot.press(*keys)
        assert last in read(app.screen, "#summary")
        await pilot.press("pageup")
        assert last not in read(app.screen, "#summary")


async def test_no_line_is_cut_at_the_edge(tmp_path: Path) -> None:
    async with closing(an_evening(tmp_path), SMALL) as (app, pilot):
        for _ in range(4):
            assert max(len(line) for line in read(app.screen, "#summary").splitlines()) <= 78
            await pilot.press("pagedown")


async def test_after_a_restart_the_closed_evening_can_be_read_the_same(tmp_path: Path) -> None:
    session = an_evening(tmp_path)
    done(session, c.CloseSession())
    again = Session(session.journal, session.clock)
    async with closing(session) as (app, _):
        first = read(app.screen, "#summary")
    async with closing(again) as (app, _):
        assert read(app.screen, "#summary") == first
