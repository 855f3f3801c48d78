"""The equipment on screen: seen, changed by keys, adopted as a whole or not at all."""

from __future__ import annotations

from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from pathlib import Path

import pytest
from textual.pilot import Pilot

from floor.core import commands as c
from floor.session import Session
from floor.tui.app import FloorApp
from floor.tui.dialogs.whole import read_whole
from floor.tui.screens.checkin import CheckIn
from floor.tui.screens.floor import Floor
from floor.tui.screens.plates import Plates
from tests.tui.house import check_in, done, open_session, read


@asynccontextmanager
async def plates_of(session: Session, size: tuple[int, int] = (80, 24)) -> AsyncIterator[tuple[FloorApp, Pilot[None]]]:
    """The equipment screen, opened from wherever the app begins."""
    app = FloorApp(session, ticking=False)
    async with app.run_test(size=size) as pilot:
        await pilot.press(*(("slash", "b") if session.state.open else ("e",)))
        await pilot.pause()
        assert isinstance(app.screen, Plates)
        yield app, pilot
    session.journal.close()


def line(app: FloorApp, start: str) -> list[str]:
    """The first line of the list whose first cell is `start`, in words."""
    shown = read(app.screen, "#things").splitlines()
    return next(words for text in shown if (words := text.replace("▶", " ").split()) and words[0] == start)


def version(session: Session) -> int:
    return session.state.gym.versions["equipment"]


@pytest.mark.parametrize("size", [(80, 24), (140, 45)])
async def test_everything_the_gym_owns_can_be_brought_into_sight(tmp_path: Path, size: tuple[int, int]) -> None:
    session = open_session(tmp_path)
    async with plates_of(session, size) as (app, pilot):
        seen = read(app.screen)
        for _ in range(20):
            await pilot.press("down")
            seen += read(app.screen)
        gym = session.state.gym
        for name in (*(p.id for p in gym.plates), *(b.name for b in gym.bars), *(s.name for s in gym.stations)):
            assert name in seen
        assert "spring clips" in seen
        assert max(len(text) for text in read(app.screen).splitlines()) <= size[0]
        for shown in ("Enter change", "+ one more", "A add", "X remove", "S save", "Esc back"):
            assert shown in read(app.screen, "#keys")


async def test_what_cant_be_built_follows_the_plates_that_are_typed(tmp_path: Path) -> None:
    async with plates_of(open_session(tmp_path)) as (app, pilot):
        assert "in steps of 2.5: nothing" in read(app.screen, "#gaps")
        assert "20.5, 21.5" in read(app.screen, "#gaps")
        for _ in range(7):
            await pilot.press("down")
        await pilot.press("x")  # the 1.25s
        assert "in steps of 2.5: 22.5, 27.5," in read(app.screen, "#gaps")
        await pilot.press("backspace")
        assert "in steps of 2.5: nothing" in read(app.screen, "#gaps")


async def test_the_gaps_are_those_of_the_bar_under_the_cursor(tmp_path: Path) -> None:
    async with plates_of(open_session(tmp_path)) as (app, pilot):
        assert "20 kg bar" in read(app.screen, "#gaps")
        await pilot.press(*["down"] * 11)
        assert "15 kg bar" in read(app.screen, "#gaps")


async def test_pairs_are_counted_up_and_saved_with_one_key(tmp_path: Path) -> None:
    session = open_session(tmp_path)
    async with plates_of(session) as (app, pilot):
        await pilot.press("plus", "plus", "minus")
        assert line(app, "25")[3] == "5"
        assert session.state.gym.plate("25").pairs == 4
        await pilot.press("s")
        assert (session.state.gym.plate("25").pairs, version(session)) == (5, 2)
        assert "equipment version 2 adopted" in read(app.screen, "#message")
        assert session.journal.document("equipment").startswith("# The demo gym's bars")
        await pilot.press("escape")
        assert isinstance(app.screen, CheckIn)


async def test_a_20_that_weighs_19_6_is_typed_as_it_weighs(tmp_path: Path) -> None:
    session = open_session(tmp_path)
    async with plates_of(session) as (app, pilot):
        await pilot.press("down", "right", "enter", *"19.6", "enter", "s")
        assert session.state.gym.plate("20").mass == 1960
        assert line(app, "20")[1:3] == ["19.6", "kg"]


async def test_sizes_and_whether_it_may_be_dropped_are_changed_in_place(tmp_path: Path) -> None:
    session = open_session(tmp_path)
    async with plates_of(session) as (app, pilot):
        await pilot.press("right", "right", "right", "enter", *"9", "enter")
        assert "not a whole number from 50 to 600" in read(app.screen)
        await pilot.press("backspace", *"400", "enter", "right", "enter", *"61", "enter", "right", "enter", "s")
        plate = session.state.gym.plate("25")
        assert (plate.diameter, plate.thickness, plate.droppable) == (400, 61, False)


async def test_a_pound_plate_is_added_with_its_measured_mass_and_is_not_to_be_dropped_until_said(
    tmp_path: Path,
) -> None:
    session = open_session(tmp_path)
    async with plates_of(session) as (app, pilot):
        await pilot.press("a", *"45lb", "enter", *"20.41", "enter", *"450", "enter", *"60", "enter", *"2", "enter")
        assert line(app, "45lb")[1:] == ["20.41", "kg", "2", "450", "60", "no"]
        await pilot.press("s")
        assert session.state.gym.plate("45lb").mass == 2041
        assert not session.state.gym.plate("45lb").droppable


async def test_a_plate_that_is_there_already_is_refused_in_a_sentence(tmp_path: Path) -> None:
    async with plates_of(open_session(tmp_path)) as (app, pilot):
        await pilot.press("a", *"25", "enter", *"25", "enter", *"450", "enter", *"60", "enter", *"2", "enter")
        assert "two plates with the id 25" in read(app.screen, "#message")
        assert "S saves" not in read(app.screen, "#header")


async def test_a_bar_and_a_station_are_added_and_the_collars_chosen(tmp_path: Path) -> None:
    session = open_session(tmp_path)
    async with plates_of(session, (140, 45)) as (app, pilot):
        await pilot.press(*["down"] * 10, "a", *"25", "enter", *"400", "enter", "enter")
        await pilot.press(*["down"] * 1, "a", *"Corner", "enter", "2", "4", *["down"] * 1)
        await pilot.press("enter", "2", "s")
        gym = session.state.gym
        assert (gym.bar("25").mass, gym.bar("25").name, gym.collar) == (2500, "25 kg bar", 250)
        assert (gym.station(4).name, gym.station(4).stands, gym.station(4).bar) == ("Corner", {"rack"}, "25")


async def test_more_stations_than_bars_is_said_at_once(tmp_path: Path) -> None:
    async with plates_of(open_session(tmp_path)) as (app, pilot):
        await pilot.press(*["down"] * 10, "minus")
        assert "3 stations want the bar 20 and there are 2" in read(app.screen, "#message")


async def test_leaving_with_changes_asks_first(tmp_path: Path) -> None:
    session = open_session(tmp_path)
    async with plates_of(session) as (app, pilot):
        await pilot.press("plus", "escape")
        assert "Leave without saving 1 change?" in read(app.screen)
        await pilot.press("n")
        assert isinstance(app.screen, Plates)
        await pilot.press("escape", "y")
        assert isinstance(app.screen, CheckIn)
        assert version(session) == 1


async def test_during_an_evening_the_plates_say_where_they_are_and_pairs_may_come(tmp_path: Path) -> None:
    session = open_session(tmp_path)
    check_in(session, 1, 2)
    done(session, c.BarFound(1, 7000))
    async with plates_of(session) as (app, pilot):
        assert line(app, "25")[-4:] == ["3", "free,", "on", "1:1"]
        await pilot.press(*["down"] * 13)
        assert "Platform 1" in read(app.screen, "#things") and "on it: 25" in read(app.screen, "#things")
        await pilot.press("x")
        assert "only plates can change now" in read(app.screen, "#message")
        await pilot.press(*["up"] * 13, "plus", "s")
        assert session.state.gym.plate("25").pairs == 5
        await pilot.press("escape")
        assert isinstance(app.screen, Floor)


async def test_a_plate_on_the_bar_cant_be_taken_out_from_under_it(tmp_path: Path) -> None:
    session = open_session(tmp_path)
    check_in(session, 1)
    done(session, c.BarFound(1, 7000))
    async with plates_of(session) as (app, pilot):
        await pilot.press("x")
        assert "1 pair of the 25 on the bar, 0 would be left" in read(app.screen, "#message")
        await pilot.press("minus", "minus", "minus", "minus")
        assert line(app, "25")[3] == "1"


async def test_nothing_is_saved_while_a_set_runs(tmp_path: Path) -> None:
    session = open_session(tmp_path)
    check_in(session, 1)
    done(session, c.StartSet(1))
    async with plates_of(session) as (app, pilot):
        await pilot.press("plus")
        assert "A set is running at Platform 1" in read(app.screen, "#message")
        assert version(session) == 1


@pytest.mark.parametrize("typed", ["", " ", "4.5", "-1", "501", "٣", "1e3", "9" * 30])
def test_a_count_is_a_whole_number(typed: str) -> None:
    assert isinstance(read_whole(typed, 0, 500), str)
    assert read_whole(" 12 ", 0, 500) == 12
