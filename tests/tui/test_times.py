"""The clock's questions by the keys: when somebody late will come, when somebody must go, and what is shown of it."""

from __future__ import annotations

from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from dataclasses import replace
from datetime import datetime, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest
from textual.pilot import Pilot

from floor.core import commands as c
from floor.core.outlook import NO_OUTLOOK, ComingSet, Leaver, Outlook, Trim
from floor.core.outlooking import outlook
from floor.core.state import DROPPED
from floor.tui.app import FloorApp
from floor.tui.dialogs.moment import AskMoment
from floor.tui.draw.tenminutes import blocks
from floor.tui.planner import Planned
from floor.tui.present_plan import leavers, plates, trim_words
from floor.tui.screens.checkin import CheckIn
from floor.tui.screens.floor import Floor
from tests.core.scenes import PLATFORM, RACK, SIX, Scene, came, evening
from tests.tui.dialog_bench import UNANSWERED, ask
from tests.tui.house import EVENING, check_in, done, new_clock, open_session, read

SMALL, LARGE = (80, 24), (140, 45)
NAMES = {1: "Ada", 2: "Bo", 3: "Cleo"}
ZONE = "Europe/Lisbon"


@asynccontextmanager
async def at_check_in(folder: Path, size: tuple[int, int] = SMALL) -> AsyncIterator[tuple[FloorApp, Pilot[None]]]:
    app = FloorApp(open_session(folder, new_clock()), ticking=False)
    async with app.run_test(size=size) as pilot:
        if not isinstance(app.screen, CheckIn):
            app.switch_screen(CheckIn())
        await pilot.pause()
        yield app, pilot


@asynccontextmanager
async def on_the_floor(folder: Path, size: tuple[int, int] = SMALL) -> AsyncIterator[tuple[FloorApp, Pilot[None]]]:
    session = open_session(folder, new_clock())
    check_in(session, 1, 2)
    app = FloorApp(session, ticking=False)
    async with app.run_test(size=size) as pilot:
        if not isinstance(app.screen, Floor):
            app.switch_screen(Floor())
        await pilot.pause()
        yield app, pilot


def line_of(app: FloorApp, name: str) -> str:
    return next(line for line in read(app.screen, "#roll").splitlines() if line[2:].startswith(name))


async def typed(pilot: Pilot[None], *keys: str) -> None:
    await pilot.press(*keys)
    await pilot.pause()


# --- the question


def moment(initial: str = "", empty: str = "") -> AskMoment:
    return AskMoment("Ada must go: when?", lambda: EVENING, ZoneInfo("Europe/Berlin"), "By then.", initial, empty)


async def test_minutes_or_a_time_is_typed_and_shown_before_enter() -> None:
    assert (await ask(moment, *"30", "enter")).answer == EVENING + timedelta(minutes=30)
    assert (await ask(moment, *"18:40", "enter")).answer == EVENING + timedelta(minutes=40)
    bench = await ask(moment, *"25")
    assert "now 18:00  →  about 18:25" in bench.last_words and bench.answer == UNANSWERED


async def test_what_stands_there_is_taken_by_enter_and_goes_with_the_first_letter() -> None:
    assert (await ask(lambda: moment("15"), "enter")).answer == EVENING + timedelta(minutes=15)
    assert (await ask(lambda: moment("15"), *"40", "enter")).answer == EVENING + timedelta(minutes=40)


async def test_what_is_no_moment_is_said_and_the_question_stays() -> None:
    bench = await ask(moment, *"17:40", "enter")
    assert "17:40 has passed: it is 18:00 now." in bench.last_words and bench.answer == UNANSWERED
    assert "Type minutes like 30, or a time like 18:40." in (await ask(moment, "enter")).last_words
    assert (await ask(moment, "escape")).answer is None


async def test_an_empty_answer_takes_back_only_what_there_is() -> None:
    bench = await ask(lambda: moment("18:40", "may stay"), "backspace", "enter")
    assert bench.answer == ""


# --- at check-in


async def test_so_many_minutes_late_is_said_in_the_list_and_in_the_record(tmp_path: Path) -> None:
    async with at_check_in(tmp_path) as (app, pilot):
        await typed(pilot, "l", *"40", "enter")
        assert "late, about 18:40" in line_of(app, "Ada")
        assert "Ada expected late, in 40 min" in read(app.screen, "#message")
        assert app.session.state.evening.late == {1: EVENING + timedelta(minutes=40)}
        await typed(pilot, "up", "l", *"18:25", "enter")
        assert "late, about 18:25" in line_of(app, "Ada")
        await typed(pilot, "backspace")
        assert "late, about 18:40" in line_of(app, "Ada")


async def test_leaving_the_question_marks_nobody_late_and_opens_no_session(tmp_path: Path) -> None:
    async with at_check_in(tmp_path) as (app, pilot):
        await typed(pilot, "l", "escape")
        assert not app.session.state.open and "expected" in line_of(app, "Ada")


@pytest.mark.parametrize("size", [SMALL, LARGE])
async def test_must_go_is_told_before_or_after_they_come_and_stands_in_the_list(
    tmp_path: Path, size: tuple[int, int]
) -> None:
    async with at_check_in(tmp_path, size) as (app, pilot):
        await typed(pilot, "m", *"18:40", "enter")
        assert "expected" in line_of(app, "Ada") and "must go 18:40" in line_of(app, "Ada")
        await typed(pilot, "enter", "up", "m", *"30", "enter")
        assert "here: Platform" in line_of(app, "Ada") and "must go 18:30" in line_of(app, "Ada")
        await typed(pilot, "m", "backspace", "enter")
        assert "must go" not in line_of(app, "Ada")
        assert "Ada may stay" in read(app.screen, "#message")


# --- on the floor


async def test_people_asks_who_must_go_and_the_board_says_when(tmp_path: Path) -> None:
    async with on_the_floor(tmp_path) as (app, pilot):
        await typed(pilot, "f8", "g", "2", *"25", "enter")
        assert app.session.state.evening.leaving == {2: EVENING + timedelta(minutes=25)}
        assert "MUST GO  Bo 18:25" in read(app.screen, "#resting")
        await typed(pilot, "f8", "l")
        assert "Platform 1 · must go 18:25" in read(app.screen)
        await typed(pilot, "2")
        assert "MUST GO" not in read(app.screen, "#resting")


async def test_people_asks_when_who_is_not_here_will_come_and_arrive_says_it(tmp_path: Path) -> None:
    async with on_the_floor(tmp_path) as (app, pilot):
        await typed(pilot, "f8", "t", "1", *"20", "enter")
        assert app.session.state.evening.late == {3: EVENING + timedelta(minutes=20)}
        await typed(pilot, "f8", "a")
        assert "late, about 18:20" in read(app.screen)


async def test_the_floor_says_who_would_not_be_done_and_8_trims_for_them(tmp_path: Path) -> None:
    async with on_the_floor(tmp_path) as (app, pilot):
        await typed(pilot, "f8", "g", "2", *"12", "enter")
        session = app.session
        app.post_message(Planned(outlook(session.state, session.latest, session.clock.now())))
        await pilot.pause()
        assert "Bo must go 18:12, done " in read(app.screen, "#plan") and "· 8 trims it" in read(app.screen, "#plan")
        await typed(pilot, "8")
        lines = [line for line in read(app.screen).splitlines() if "Bo: " in line]
        assert lines and "off, " in lines[0] and "min earlier" in lines[0]
        await typed(pilot, "1")
        assert "trim: Bo, " in read(app.screen, "#message")
        assert any(s.status == DROPPED for s in session.state.evening.here[2].sets)


async def test_a_time_to_go_is_undone_like_any_other_command(tmp_path: Path) -> None:
    async with on_the_floor(tmp_path) as (app, pilot):
        done(app.session, c.ExpectLate(3, 1200))
        await typed(pilot, "f8", "g", "1", *"30", "enter")
        await typed(pilot, "backspace")
        assert app.session.state.evening.leaving == {} and 3 in app.session.state.evening.late


# --- in words


def planned(scene: Scene, **parts: object) -> Outlook:
    return replace(Outlook(1, scene.now, True), **parts)  # type: ignore[arg-type]


def told(scene: Scene, done_at: float, best: float, trims: tuple[Trim, ...] = ()) -> str:
    """Lifter 2 must go at 18:30 by the outlook, and is done so many minutes after six."""
    late = Leaver(2, scene.state.evening.leaving[2], *(SIX + timedelta(minutes=x) for x in (done_at, best)))
    words = leavers(scene.state, planned(scene, leavers=(late,), trims=trims), NAMES, ZONE)
    return words.plain if words else ""


def leaving() -> Scene:
    scene = evening(came(1, squat=40), came(2, squat=60))
    seconds = round((SIX + timedelta(minutes=30) - scene.now).total_seconds()) - 10
    return scene.given(c.SetLeaving(2, seconds))


def test_who_would_not_be_done_is_said_with_the_best_there_is_and_the_trim() -> None:
    assert told(leaving(), 42, 42) == "Bo must go 18:30, done 18:42"
    assert told(leaving(), 42, 33) == "Bo must go 18:30, done 18:42, at best 18:33"
    trim = Trim("leave", "2 sets off, in time", 720, sets=((2, 5), (2, 6)), lifter=2)
    assert told(leaving(), 42, 42, (trim,)) == "Bo must go 18:30, done 18:42 · 8 trims it"
    said = trim_words(leaving().state, NO_OUTLOOK, trim, NAMES)
    assert said[:2] == ("Bo: 2 sets off, in time", "12 min earlier") and said[2].startswith("2 sets: ")


def test_who_has_left_is_held_or_may_stay_is_not_said() -> None:
    scene = leaving()
    view = planned(scene, leavers=(Leaver(2, scene.state.evening.leaving[2], SIX, SIX),))
    for command in (c.Leave(2), c.ReportPain(2), c.SetLeaving(2, None), c.SetLeaving(2, 3000)):
        assert leavers(scene.given(command).state, view, NAMES, ZONE) is None
    assert leavers(scene.state, view, NAMES, ZONE) is not None


def waiting(scene: Scene, start: datetime) -> Outlook:
    """Lifter 2's next set begins then, after 40 seconds' wait for plates that the platform has."""
    coming = scene.coming(2)
    end = start + timedelta(seconds=40)
    turn = ComingSet(RACK, 2, coming.no, coming.lift, coming.load, start, end, plates_from=PLATFORM, plates_wait=40)
    return planned(scene, turns=(turn,))


def test_who_waits_for_plates_is_said_with_how_long_and_where_they_are() -> None:
    scene = evening(came(1, squat=40), came(2, squat=60))
    view = waiting(scene, scene.now + timedelta(minutes=2))
    words = plates(scene.state, view, NAMES, scene.now)
    where = scene.state.gym.station(PLATFORM).name
    assert words is not None and words.plain == "Bo at Rack waits 0:40 for plates from Platform"
    stations = [(s.id, s.name) for s in scene.state.gym.stations]
    shown = blocks(view.turns, stations, NAMES, scene.now, scene.state.gym)
    assert any(row.under == f"waits 0:40 for plates from {where}" for block in shown for row in block.rows)


def test_a_wait_for_plates_more_than_ten_minutes_off_is_not_said() -> None:
    scene = evening(came(1, squat=40), came(2, squat=60))
    assert plates(scene.state, waiting(scene, scene.now + timedelta(minutes=11)), NAMES, scene.now) is None
    assert plates(scene.state, planned(scene), NAMES, scene.now) is None
