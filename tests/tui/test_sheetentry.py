"""Back from the paper: one key a set, in the sheet's order."""

from __future__ import annotations

from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from pathlib import Path
from typing import Any

import pytest

from floor.core import commands as c
from floor.core.gym import Grade
from floor.core.state import TheSet
from floor.core.teaching import is_walk
from floor.session import Session
from floor.tui.app import FloorApp
from floor.tui.screens.floor import Floor
from floor.tui.screens.sheetentry import SheetEntry
from tests.tui.house import check_in, done, open_session, read


@asynccontextmanager
async def entering(session: Session, size: tuple[int, int] = (80, 24)) -> AsyncIterator[tuple[FloorApp, Any]]:
    app = FloorApp(session, ticking=False)
    async with app.run_test(size=size) as pilot:
        app.push_screen(SheetEntry())
        await pilot.pause()
        yield app, pilot


def tonight(folder: Path, *lifters: int) -> Session:
    """The walk through Ada's clean stages, sheet number 1, is entered already."""
    session = open_session(folder)
    check_in(session, *lifters)
    walk = session.state.evening.here[1].sets[0]
    assert is_walk(session.state.gym.lifts[walk.lift], walk)
    done(session, c.RecordWhole(1, walk.no, walk.reps, grade=Grade.SOUND))
    return session


def set_of(session: Session, lifter: int, no: int) -> TheSet:
    """A lifter's set by its number, counted after the walk."""
    found = session.state.evening.here[lifter].set(no + (lifter == 1))
    assert found is not None
    return found


def in_hand(app: FloorApp) -> str:
    marked = [line for line in read(app.screen, "#sets").splitlines() if line.startswith("▶")]
    assert len(marked) == 1
    return marked[0]


@pytest.mark.parametrize("key,grade", list(zip("12345", Grade, strict=True)))
async def test_one_digit_enters_a_set_with_all_its_reps(tmp_path: Path, key: str, grade: Grade) -> None:
    session = tonight(tmp_path, 1)
    async with entering(session) as (app, pilot):
        assert "   2  Ada            power clean ramp" in in_hand(app)
        await pilot.press(key)
        first = set_of(session, 1, 1)
        assert (first.made, first.missed, first.grade) == (first.reps, 0, grade)
        assert "   3  Ada            power clean build" in in_hand(app)


async def test_enter_says_done_and_unseen(tmp_path: Path) -> None:
    session = tonight(tmp_path, 1)
    async with entering(session) as (_, pilot):
        await pilot.press("enter")
        assert set_of(session, 1, 1).grade is Grade.UNSEEN


async def test_a_dot_takes_a_rep_off_and_shows_it_before_the_grade(tmp_path: Path) -> None:
    session = tonight(tmp_path, 1)
    async with entering(session) as (app, pilot):
        await pilot.press("tab", "full_stop")
        assert "2 made" in in_hand(app)
        assert set_of(session, 1, 2).grade is None
        await pilot.press("3")
        second = set_of(session, 1, 2)
        assert (second.made, second.missed, second.grade) == (2, 1, Grade.ROUGH)


async def test_a_letter_marks_a_fault_on_the_last_rep(tmp_path: Path) -> None:
    session = tonight(tmp_path, 1)
    async with entering(session) as (app, pilot):
        await pilot.press("tab", "a")
        assert "arms bent early" in in_hand(app)
        await pilot.press("3")
        assert set_of(session, 1, 2).faults == ((3, "arms-bent-early"),)


async def test_a_letter_pressed_again_takes_the_fault_off(tmp_path: Path) -> None:
    session = tonight(tmp_path, 1)
    async with entering(session) as (_, pilot):
        await pilot.press("tab", "a", "a", "1")
        assert set_of(session, 1, 2).faults == ()


async def test_a_letter_that_is_no_fault_of_this_lift_is_refused(tmp_path: Path) -> None:
    async with entering(tonight(tmp_path, 1)) as (app, pilot):
        await pilot.press("z")
        assert 'The power clean has no fault "z".' in read(app.screen, "#message")


async def test_another_load_than_printed_is_two_keys(tmp_path: Path) -> None:
    session = tonight(tmp_path, 1)
    async with entering(session) as (app, pilot):
        await pilot.press("tab", "plus")
        assert "42.5 kg × 3" in in_hand(app)
        await pilot.press("2")
        assert set_of(session, 1, 2).load == 4250


async def test_tab_skips_and_the_skipped_set_stays_to_enter(tmp_path: Path) -> None:
    session = tonight(tmp_path, 1)
    async with entering(session) as (app, pilot):
        await pilot.press("tab", "tab", "2")
        assert set_of(session, 1, 3).grade is Grade.SOUND
        assert set_of(session, 1, 2).grade is None
        assert "   5  Ada" in in_hand(app)


async def test_a_work_set_entered_says_its_ramp_was_done(tmp_path: Path) -> None:
    session = tonight(tmp_path, 1)
    async with entering(session) as (app, pilot):
        await pilot.press("tab", "1")
        assert set_of(session, 1, 1).grade is Grade.UNSEEN
        assert "   2  Ada" not in read(app.screen, "#sets")


async def test_backspace_first_drops_what_was_typed_and_then_undoes(tmp_path: Path) -> None:
    session = tonight(tmp_path, 1)
    async with entering(session) as (app, pilot):
        await pilot.press("1", "full_stop", "backspace")
        assert "made" not in in_hand(app) and "   3  Ada" in in_hand(app)
        assert set_of(session, 1, 1).grade is Grade.SHARP
        await pilot.press("backspace")
        assert set_of(session, 1, 1).grade is None
        assert "   2  Ada" in in_hand(app)
        assert "Undone" in read(app.screen, "#message")


async def test_a_whole_evening_is_entered_one_key_a_set(tmp_path: Path) -> None:
    session = tonight(tmp_path, 1, 4)
    async with entering(session) as (app, pilot):
        total = sum(len(p.sets) for p in session.state.evening.here.values())
        await pilot.press(*["2"] * total)
        assert "Every set of everyone here is entered." in read(app.screen, "#sets")
        assert all(s.grade is Grade.SOUND for p in session.state.evening.here.values() for s in p.sets)


async def test_a_set_that_stops_a_lift_takes_its_other_sets_off_the_list(tmp_path: Path) -> None:
    session = tonight(tmp_path, 1)
    async with entering(session) as (app, pilot):
        await pilot.press("tab", "x", "4")
        assert "power clean" not in read(app.screen, "#sets")
        assert "squat ramp" in in_hand(app)


async def test_the_letters_of_the_lift_in_hand_are_on_the_screen(tmp_path: Path) -> None:
    session = tonight(tmp_path, 1)
    async with entering(session) as (app, _):
        words = read(app.screen, "#typed")
        for fault in session.state.gym.lifts["clean"].faults:
            assert f" {fault.letter}  {fault.name}" in words


async def test_a_set_running_on_the_floor_is_not_entered_from_paper(tmp_path: Path) -> None:
    session = tonight(tmp_path, 1)
    done(session, c.StartSet(1))
    async with entering(session) as (app, pilot):
        await pilot.press("1")
        assert "is lifting: end that set first" in read(app.screen, "#message")


async def test_a_set_lifted_before_the_pain_can_be_entered_and_its_lifter_is_marked_held(tmp_path: Path) -> None:
    session = tonight(tmp_path, 1)
    done(session, c.ReportPain(1))
    before = session.state.evening.proposals
    async with entering(session) as (app, pilot):
        assert in_hand(app).endswith("held")
        await pilot.press("2")
        assert set_of(session, 1, 1).grade is Grade.SOUND
        assert session.state.evening.proposals == before


async def test_escape_goes_back_to_the_floor(tmp_path: Path) -> None:
    async with entering(tonight(tmp_path, 1)) as (app, pilot):
        await pilot.press("escape")
        await pilot.pause()
        assert isinstance(app.screen, Floor)


async def test_a_set_of_somebody_held_is_entered_on_a_y_alone_and_the_next_one_is_in_hand(tmp_path: Path) -> None:
    session = tonight(tmp_path, 1)
    done(session, c.ReportPain(1))
    session.clock.on(60)  # type: ignore[attr-defined]
    async with entering(session) as (app, pilot):
        await pilot.press("2")
        await pilot.pause()
        assert "Ada is held for pain since 18:00. Was this set done before?" in " ".join(read(app.screen).split())
        await pilot.press("enter")
        await pilot.pause()
        assert set_of(session, 1, 1).grade is None
        await pilot.press("2", "y")
        await pilot.pause()
        assert set_of(session, 1, 1).grade is Grade.SOUND
        assert "   3  Ada            power clean build" in in_hand(app)
