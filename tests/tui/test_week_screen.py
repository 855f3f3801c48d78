"""The week on screen: read beside the keys, the figures with their limits, one key to the lifter."""

from __future__ import annotations

from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from dataclasses import replace
from pathlib import Path
from threading import Event
from typing import Any

import pytest

from floor.core import commands as c
from floor.core.gym import Grade
from floor.core.past import WeekPast
from floor.journal.log import Connection
from floor.journal.twoweeks import read_two_weeks
from floor.session import Session
from floor.tui.app import FloorApp
from floor.tui.screens.checkin import CheckIn
from floor.tui.screens.floor import Floor
from floor.tui.screens.lifter import LifterView
from floor.tui.screens.week import Week
from tests.tui.house import check_in, done, empty_session, new_clock, open_session, read

SMALL, LARGE = (80, 24), (140, 45)


def an_evening(folder: Path) -> Session:
    """Ada squats three sharp sets, Bo one clean with a fault; Dov was not here; the session is closed."""
    session = open_session(folder, new_clock())
    check_in(session, 1, 2)
    for s in session.state.evening.here[1].of_lift("squat"):
        if s.role != "ramp":
            done(session, c.RecordWhole(1, s.no, 5, grade=Grade.SHARP))
    clean = next(s for s in session.state.evening.here[2].of_lift("clean") if s.role != "ramp")
    done(session, c.RecordWhole(2, clean.no, 3, 0, Grade.ROUGH, faults=((2, "arms-bent-early"),)))
    done(session, c.CloseSession())
    return session


async def settled(app: FloorApp, pilot: Any) -> None:
    """The record is read and shown."""
    await app.workers.wait_for_complete()
    await pilot.pause()


@asynccontextmanager
async def the_week(session: Session, size: tuple[int, int] = LARGE) -> AsyncIterator[tuple[FloorApp, Any]]:
    app = FloorApp(session, ticking=False)
    async with app.run_test(size=size) as pilot:
        app.push_screen(Week())
        await pilot.pause()
        await settled(app, pilot)
        yield app, pilot
    session.journal.close()


@pytest.mark.parametrize("size", [SMALL, LARGE])
async def test_who_came_what_moved_and_what_is_next(tmp_path: Path, size: tuple[int, int]) -> None:
    async with the_week(an_evening(tmp_path), size) as (app, _):
        header, words = read(app.screen, "#header"), read(app.screen, "#list")
        assert "1 evening, 2 came (week before: 0, 0 came)" in header
        assert "Ada  came 1 time, 0 the week before" in words
        squat = next(line for line in words.splitlines() if line.strip().startswith("squat"))
        assert "62.5 × 5" in squat and "73 (70-76)" in squat and "0/15  0 (0-20)" in squat and "52 ↑ 80%" in squat
        clean = next(line for line in words.splitlines() if line.strip().startswith("power clean"))
        assert "1/3  33 (6-79)" in clean
        assert words.split("\n\n")[0].strip() == "2 not here this week: Cleo, Dov"
        assert max(len(line) for line in words.splitlines()) <= size[0]


async def test_what_the_figures_are_worth_is_always_said(tmp_path: Path) -> None:
    async with the_week(an_evening(tmp_path), SMALL) as (app, _):
        limits = read(app.screen, "#limits")
        assert "likely low" in limits and "95 % sure" in limits and len(limits) <= 80


async def test_a_wide_screen_has_the_trend_and_the_reason(tmp_path: Path) -> None:
    async with the_week(an_evening(tmp_path)) as (app, _):
        words = read(app.screen, "#list")
        assert "too early to say" in words and "all reps made, form held: one step more" in words


async def test_a_narrow_screen_says_the_reasons_of_the_lifter_under_the_cursor(tmp_path: Path) -> None:
    async with the_week(an_evening(tmp_path), SMALL) as (app, pilot):
        words = " ".join(read(app.screen, "#list").split())
        light = "next: 52 kg 2×5 (light day: 80 % of the full 65 kg, up from 62.5)"
        assert f"{light}: all reps made, form held: one step more" in words
        assert "form fell apart" not in words and "one thing to fix" not in words, "Bo's reasons wait for the cursor"
        await pilot.press("down")
        await pilot.pause()
        words = " ".join(read(app.screen, "#list").split())
        assert "one thing to fix first: same load (arms bent early)" in words and "all reps made" not in words


async def test_a_gym_without_an_evening_says_what_to_do(tmp_path: Path) -> None:
    async with the_week(empty_session(tmp_path, new_clock())) as (app, pilot):
        assert "No session is on record yet." in read(app.screen, "#list")
        await pilot.press("enter", "down", "e")
        assert isinstance(app.screen, Week) and "no session yet" in read(app.screen, "#message")


@pytest.mark.parametrize("key", ["n", "1", "enter", "x"])
async def test_a_key_that_comes_before_the_week_says_so_and_does_nothing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, key: str
) -> None:
    go = Event()

    def held(cursor: Connection) -> WeekPast:
        go.wait(10)
        return read_two_weeks(cursor)

    monkeypatch.setattr("floor.tui.screens.week.read_two_weeks", held)
    app = FloorApp(session := an_evening(tmp_path), ticking=False)
    async with app.run_test(size=SMALL) as pilot:
        app.push_screen(week := Week())
        await pilot.pause()
        await pilot.press(key)
        assert app.screen is week and "still being read: that key did nothing" in read(week, "#message")
        await pilot.press("e")
        assert "Written beside the gym file" in read(week, "#message"), "what needs no reading acts"
        go.set()
        await settled(app, pilot)
        await pilot.press("n")
        await pilot.pause()
        assert app.screen is not week
        await pilot.press("escape", "escape")
        assert isinstance(app.screen, CheckIn)
    session.journal.close()


async def test_the_arrows_choose_and_enter_goes_to_the_lifter_and_back(tmp_path: Path) -> None:
    async with the_week(an_evening(tmp_path)) as (app, pilot):
        await pilot.press("down", "down", "down", "enter")
        await settled(app, pilot)
        assert isinstance(app.screen, LifterView) and app.screen.lifter == 2
        await pilot.press("escape")
        assert isinstance(app.screen, Week) and "▶ Bo" in read(app.screen, "#list")


async def test_on_a_small_screen_the_cursor_stays_in_sight(tmp_path: Path) -> None:
    async with the_week(an_evening(tmp_path), (80, 10)) as (app, pilot):
        for name in ("Ada", "Bo", "Ada"):
            assert f"▶ {name}" in read(app.screen, "#list"), name
            await pilot.press("down" if name == "Ada" else "up")


async def test_something_recorded_or_undone_is_read_again(tmp_path: Path) -> None:
    async with the_week(an_evening(tmp_path)) as (app, pilot):
        session = app.session
        done(session, c.OpenSession())
        done(session, c.Arrive(4, 1))
        app.show()
        await settled(app, pilot)
        assert "Dov" in read(app.screen, "#list") and "1 not here this week: Cleo" in read(app.screen, "#list")
        assert "2 evenings, 3 came" in read(app.screen, "#header")
        await pilot.press("backspace")
        await settled(app, pilot)
        assert "2 not here this week: Cleo, Dov" in read(app.screen, "#list")


async def test_the_evenings_summary_is_written_beside_the_gym_file(tmp_path: Path) -> None:
    async with the_week(an_evening(tmp_path)) as (app, pilot):
        await pilot.press("e")
        written = sorted(p.suffix for p in tmp_path.glob("gym-evening-1-2026-11-25.*"))
        assert written == [".html", ".md", ".txt"]
        assert "Written beside the gym file" in read(app.screen, "#message")


async def test_v_at_check_in_and_slash_w_on_the_floor_open_it(tmp_path: Path) -> None:
    session = an_evening(tmp_path)
    app = FloorApp(session, ticking=False)
    async with app.run_test(size=SMALL) as pilot:
        assert isinstance(app.screen, CheckIn)
        await pilot.press("v")
        await settled(app, pilot)
        assert isinstance(app.screen, Week)
        await pilot.press("escape")
        assert isinstance(app.screen, CheckIn)
        done(session, c.OpenSession())
        done(session, c.Arrive(1, 1))
        await pilot.press("f")
        assert isinstance(app.screen, Floor)
        await pilot.press("slash", "w")
        await pilot.pause()
        await settled(app, pilot)
        assert isinstance(app.screen, Week)
    session.journal.close()


async def test_what_is_known_first_is_shown_first_and_never_in_place_of_all_of_it(tmp_path: Path) -> None:
    async with the_week(an_evening(tmp_path)) as (app, pilot):
        screen = app.screen
        assert isinstance(screen, Week) and screen.week is not None
        whole, early = screen.week, replace(screen.week, trends=False)
        assert whole.trends
        screen.show_early(early)
        assert screen.week is whole
        screen.found = None
        screen.show_early(early)
        await pilot.pause()
        assert screen.week is early and "reading twelve weeks" in read(screen, "#limits")
        assert "Ada" in read(screen, "#list")
