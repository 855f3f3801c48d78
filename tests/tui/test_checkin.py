"""Check-in by the keys: who is here, who is late, where, with what to lift."""

from __future__ import annotations

from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest

from floor.core import commands as c
from floor.core.groups import groups
from floor.core.people import NoteAdded
from floor.session import Session
from floor.tui.app import FloorApp
from floor.tui.screens.checkin import CheckIn
from floor.tui.screens.floor import Floor
from tests.tui.house import check_in, done, empty_session, new_clock, open_session, read

SMALL, LARGE = (80, 24), (140, 45)


@asynccontextmanager
async def at_check_in(session: Session, size: tuple[int, int] = SMALL) -> AsyncIterator[tuple[FloorApp, Any]]:
    app = FloorApp(session, ticking=False)
    async with app.run_test(size=size) as pilot:
        if not isinstance(app.screen, CheckIn):
            app.switch_screen(CheckIn())
        await pilot.pause()
        yield app, pilot


def line_of(app: FloorApp, name: str) -> str:
    """The line of the list with that lifter."""
    return next(line for line in read(app.screen, "#roll").splitlines() if line[2:].startswith(name))


async def test_an_empty_gym_says_what_to_do(tmp_path: Path) -> None:
    async with at_check_in(empty_session(tmp_path, new_clock())) as (app, pilot):
        words = read(app.screen)
        assert "W                           adds a lifter now" in words
        assert "floor import FILE.csv" in words and "floor import history FILE" in words
        assert "F1" in words
        await pilot.press("enter")
        assert "W adds a lifter" in read(app.screen, "#message")


@pytest.mark.parametrize("size", [SMALL, LARGE])
async def test_every_lifter_stands_in_the_list_with_tonights_work(tmp_path: Path, size: tuple[int, int]) -> None:
    async with at_check_in(open_session(tmp_path), size) as (app, _):
        assert "expected" in line_of(app, "Bo")
        assert "power clean 50 kg 4×3 · squat 80 kg 3×5" in line_of(app, "Bo")
        assert "youth" in line_of(app, "Cleo")
        assert "youth" not in line_of(app, "Bo")


async def test_the_first_check_in_opens_the_session(tmp_path: Path) -> None:
    session = open_session(tmp_path)
    async with at_check_in(session) as (app, pilot):
        assert "no session is open" in read(app.screen, "#header")
        await pilot.press("enter")
        assert "session 1 · 1 here · 3 expected" in read(app.screen, "#header")
        assert "here: Platform 1" in line_of(app, "Ada")
        await pilot.press("backspace")
        assert "expected" in line_of(app, "Ada") and session.state.open
        await pilot.press("backspace")
        assert not session.state.open


async def test_enter_follows_the_groups_of_the_evening(tmp_path: Path) -> None:
    async with at_check_in(open_session(tmp_path)) as (app, pilot):
        state, now = app.session.state, app.session.clock.now()
        planned = groups(state, now)
        assert len(set(planned.values())) == 3
        for name in ("Ada", "Bo", "Cleo"):
            lifter = next(i for i, board in app.session.names.items() if board == name)
            station = state.gym.station(planned[lifter]).name
            assert f"checks in {name} at {station}" in read(app.screen, "#details")
            await pilot.press("enter")
            assert f"here: {station}" in line_of(app, name)


async def test_a_digit_checks_in_there_and_then_moves(tmp_path: Path) -> None:
    async with at_check_in(open_session(tmp_path)) as (app, pilot):
        await pilot.press("2")
        assert "here: Platform 2" in line_of(app, "Ada")
        await pilot.press("3")
        assert "here: Platform 3" in line_of(app, "Ada")
        await pilot.press("9")
        assert "no station 9" in read(app.screen, "#message")


async def test_l_and_enter_say_a_quarter_of_an_hour_late_and_enter_still_checks_in(tmp_path: Path) -> None:
    async with at_check_in(open_session(tmp_path)) as (app, pilot):
        await pilot.press("down", "l", "enter")
        await pilot.pause()
        assert "late, about 18:15" in line_of(app, "Bo")
        assert "1 late" in read(app.screen, "#header")
        await pilot.press("up", "enter")
        assert "here: Platform" in line_of(app, "Bo")


async def test_after_who_is_late_comes_the_next_lifter_as_after_a_check_in(tmp_path: Path) -> None:
    async with at_check_in(open_session(tmp_path)) as (app, pilot):
        await pilot.press("l")
        await pilot.press("escape")
        assert line_of(app, "Ada").startswith("▶ "), "nothing was said of her"
        await pilot.press("l", "enter")
        await pilot.pause()
        assert line_of(app, "Bo").startswith("▶ ")
        await pilot.press("down", "down", "l", "enter")
        await pilot.pause()
        assert line_of(app, "Dov").startswith("▶ "), "past the last is the way to the floor"


async def test_a_walk_in_is_here_after_a_name_and_enter(tmp_path: Path) -> None:
    session = open_session(tmp_path)
    async with at_check_in(session) as (app, pilot):
        await pilot.press("w", *"Edda", "enter")
        await pilot.pause()
        assert "here: Platform " in line_of(app, "Edda")
        assert line_of(app, "Edda").startswith("▶ ")
        assert session.people[5].board == "Edda"
        assert session.state.evening.here[5].sets != ()


async def test_a_walk_in_is_asked_for_their_health_and_told_what_they_start_on(tmp_path: Path) -> None:
    session = open_session(tmp_path)
    async with at_check_in(session) as (app, pilot):
        await pilot.press("w")
        dialog = read(app.screen)
        start = session.state.gym.programmes[session.state.gym.settings.programme].name
        assert "health questions before the first lift" in " ".join(dialog.split()) and f"starts on: {start}" in dialog
        await pilot.press(*"Edda", "enter")
        await pilot.pause()
        said = read(app.screen, "#message")
        assert "health questions before the first lift" in said and start in said


async def test_a_walk_in_goes_where_the_groups_want_one_more(tmp_path: Path) -> None:
    session = open_session(tmp_path)
    check_in(session, 1, 2, 3, 4)
    app = FloorApp(session, ticking=False)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        assert isinstance(app.screen, Floor), "everybody is at the first station"
        await pilot.press("f8", "w")
        await pilot.pause()
        assert "▶ Platform 2  proposed" in read(app.screen)
        await pilot.press(*"Edda", "enter")
        await pilot.pause()
        assert session.state.evening.here[5].station == 2
        assert "health questions before the first lift" in read(app.screen, "#message")
    session.journal.close()


async def test_a_walk_in_opens_an_empty_gym(tmp_path: Path) -> None:
    session = empty_session(tmp_path, new_clock())
    async with at_check_in(session) as (app, pilot):
        await pilot.press("w", *"Edda", "enter")
        await pilot.pause()
        assert "here: Platform 1" in line_of(app, "Edda")


async def test_a_note_is_marked_in_the_list_and_read_only_when_asked(tmp_path: Path) -> None:
    session = open_session(tmp_path)
    async with at_check_in(session) as (app, pilot):
        await pilot.press("n", *"spray in the bag", "enter")
        await pilot.pause()
        assert "note ·" in line_of(app, "Ada")
        assert "spray" not in read(app.screen)
        assert [note.text for note in session.people[1].noted("caution")] == ["spray in the bag"]
        await pilot.press("n")
        assert "caution: spray in the bag" in read(app.screen)
        await pilot.press("escape", "backspace")
        assert "note ·" not in line_of(app, "Ada")
        assert session.people[1].notes == ()


async def test_a_stopped_lift_is_said_to_be_stopped_and_is_no_work_to_come(tmp_path: Path) -> None:
    session = open_session(tmp_path)
    check_in(session, 2)
    first = next(s for s in session.state.evening.here[2].sets if s.role != "ramp")
    dangerous = next(f for f in session.state.gym.lifts["clean"].faults if f.severity == "end")
    done(session, c.RecordWhole(2, first.no, first.reps, faults=((1, dangerous.id),)))
    async with at_check_in(session, LARGE) as (app, pilot):
        assert "power clean 50 kg 1×3, stopped · squat 80 kg 3×5" in line_of(app, "Bo")
        await pilot.press("down")
        assert "power clean: stopped, a dangerous fault: this lift ends for today" in read(app.screen)


async def test_a_held_lifter_shows_since_when_and_no_other_word_about_it(tmp_path: Path) -> None:
    session = open_session(tmp_path)
    done(session, c.ReportPain(2), [NoteAdded(2, "pain", "left knee")])
    async with at_check_in(session) as (app, pilot):
        await pilot.press("down")
        assert "held: pain since 25 Nov" in line_of(app, "Bo")
        assert "knee" not in read(app.screen)


async def test_a_held_lifter_may_come_but_plans_nothing_until_cleared(tmp_path: Path) -> None:
    session = open_session(tmp_path)
    done(session, c.ReportPain(2))
    async with at_check_in(session) as (app, pilot):
        await pilot.press("down", "enter")
        assert "Bo is here and held: no lift is planned" in read(app.screen, "#message")
        assert session.state.evening.here[2].sets == ()
        await pilot.press("c", *"Dr Example, today", "enter")
        await pilot.pause()
        assert "held" not in line_of(app, "Bo")
        assert "squat 80 kg 3×5" in line_of(app, "Bo")
        assert [note.text for note in session.people[2].noted("clearance")] == ["Dr Example, today"]


async def test_a_clearance_needs_a_name(tmp_path: Path) -> None:
    session = open_session(tmp_path)
    done(session, c.ReportPain(2))
    async with at_check_in(session) as (_, pilot):
        await pilot.press("down", "c", "enter", "escape")
        assert session.state.lifters[2].held


async def test_the_days_since_someone_came_are_the_calendars(tmp_path: Path) -> None:
    clock = new_clock()
    session = open_session(tmp_path, clock)
    clock.on(timedelta(hours=3).total_seconds())
    check_in(session, 1)
    done(session, c.CloseSession())
    clock.on(timedelta(days=2, hours=-4).total_seconds())
    async with at_check_in(session, LARGE) as (app, _):
        assert "2 days ago" in line_of(app, "Ada")
        assert "first time" in line_of(app, "Bo")


async def test_the_next_session_checks_in_the_same_way(tmp_path: Path) -> None:
    session = open_session(tmp_path)
    check_in(session, 1, 2)
    done(session, c.CloseSession())
    async with at_check_in(session) as (app, pilot):
        assert "no session is open" in read(app.screen, "#header")
        assert "expected" in line_of(app, "Ada")
        await pilot.press("enter")
        assert "session 2 · 1 here · 3 expected" in read(app.screen, "#header")


async def test_a_programme_is_given_by_its_key(tmp_path: Path) -> None:
    session = open_session(tmp_path)
    async with at_check_in(session) as (app, pilot):
        names = list(session.state.gym.programmes)
        await pilot.press("p", "2")
        await pilot.pause()
        assert session.state.lifters[1].programme == names[1]
        assert session.state.gym.programmes[names[1]].name + " · day 1" in read(app.screen, "#details")


async def test_the_details_show_ramp_work_heights_and_stage(tmp_path: Path) -> None:
    session = open_session(tmp_path)
    done(session, c.SetHeights(1, "squat", rack=12, safety=4))
    done(session, c.SetStage(1, "clean", 3))
    async with at_check_in(session) as (app, _):
        words = read(app.screen, "#details")
        assert "squat: ramp 20×5 40×5, then 62.5 kg 3×5 · rack 12 · safeties 4" in words
        assert "stage 3, " + session.state.gym.lifts["clean"].stages[2].name[:10] in words


async def test_f_goes_to_the_floor_only_when_a_session_is_open(tmp_path: Path) -> None:
    async with at_check_in(open_session(tmp_path)) as (app, pilot):
        await pilot.press("f")
        assert isinstance(app.screen, CheckIn) and "Nobody is checked in yet" in read(app.screen, "#message")
        await pilot.press("enter", "f")
        await pilot.pause()
        assert isinstance(app.screen, Floor)


async def test_enter_on_the_last_line_goes_to_the_floor(tmp_path: Path) -> None:
    session = open_session(tmp_path)
    check_in(session, 1)
    async with at_check_in(session) as (app, pilot):
        await pilot.press("down", "down", "down", "down")
        assert "▶ to the floor" in read(app.screen, "#roll")
        await pilot.press("enter")
        await pilot.pause()
        assert isinstance(app.screen, Floor)


async def test_every_lifter_of_a_large_group_can_be_reached(tmp_path: Path) -> None:
    session = open_session(tmp_path)
    for number in range(5, 25):
        done(session, c.JoinLifter(number), [])
    async with at_check_in(session) as (app, pilot):
        seen = set()
        for _ in range(len(session.state.lifters)):
            marked = [line for line in read(app.screen, "#roll").splitlines() if line.startswith("▶ ")]
            assert len(marked) == 1
            seen.add(marked[0][2:16].strip())
            await pilot.press("down")
        assert len(seen) == 24


async def test_all_cautions_show_where_there_is_room_and_each_in_its_turn_where_not(tmp_path: Path) -> None:
    clock = new_clock()
    session = open_session(tmp_path, clock)
    for number in range(5, 15):
        done(session, c.JoinLifter(number), [])
    cautions = session.state.gym.settings.cautions
    async with at_check_in(session, LARGE) as (app, pilot):
        assert all(caution in read(app.screen, "#cautions") for caution in cautions)
        await pilot.resize_terminal(*SMALL)
        await pilot.pause()
        seen = set()
        for _ in cautions:
            seen.add(read(app.screen, "#cautions").strip())
            clock.on(20)
            app.tick()
        assert len(seen) == len(cautions)


async def test_s_writes_the_sheet_beside_the_gym_file(tmp_path: Path) -> None:
    async with at_check_in(open_session(tmp_path)) as (app, pilot):
        await pilot.press("s")
        assert "gym-sheet-2026-11-25.txt" in read(app.screen, "#message")
        assert "power clean" in (tmp_path / "gym-sheet-2026-11-25.txt").read_text(encoding="utf-8")
        assert "<table>" in (tmp_path / "gym-sheet-2026-11-25.html").read_text(encoding="utf-8")


async def test_a_sheet_that_cannot_be_written_says_so(tmp_path: Path) -> None:
    (tmp_path / "gym-sheet-2026-11-25.txt").mkdir()
    async with at_check_in(open_session(tmp_path)) as (app, pilot):
        await pilot.press("s")
        assert "could not be written" in read(app.screen, "#message")


async def test_every_key_that_acts_is_on_the_screen(tmp_path: Path) -> None:
    async with at_check_in(open_session(tmp_path)) as (app, _):
        words = read(app.screen, "#keys")
        for shown in ("Enter", "1-9", "L", "M", "W", "N", "C", "P", "S", "F", "Bksp", "F1", "Ctrl+Q"):
            assert f" {shown} " in words
