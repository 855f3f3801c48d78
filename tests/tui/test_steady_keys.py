"""A key stands for the same lifter all evening, in every list of people, whoever comes or goes."""

from __future__ import annotations

from pathlib import Path

from floor.core import commands as c
from floor.core.people import PersonAdded
from floor.tui.app import FloorApp
from floor.tui.dialogs.pick import Pick
from tests.tui.house import check_in, done, new_clock, open_session, read
from tests.tui.test_floor import Evening

LISTS = {"pain": ("f9",), "leave": ("f8", "l"), "move": ("f8", "m")}


async def keys(floor: Evening, *press: str) -> dict[str, str]:
    """The keys of a list and whom they stand for."""
    await floor.press(*press)
    pick = floor.app.screen
    assert isinstance(pick, Pick)
    found = {key: option.label for key, option in zip(pick.letters, pick.options, strict=True)}
    await floor.press("escape")
    return found


async def test_a_key_stays_with_its_lifter_when_others_come_and_go(tmp_path: Path) -> None:
    clock = new_clock()
    session = open_session(tmp_path, clock)
    check_in(session, 4, 2, 3)
    app = FloorApp(session, ticking=False)
    async with app.run_test(size=(80, 24)) as pilot:
        floor = Evening(app, pilot, clock)
        for name, press in LISTS.items():
            assert await keys(floor, *press) == {"1": "Dov", "2": "Bo", "3": "Cleo"}, name
        done(session, c.Arrive(1, 1))
        done(session, c.Leave(2))
        done(session, c.Arrive(9, 1, new=True), [PersonAdded(9, "Aaron Example", "Aaron")])
        app.tick()
        for name, press in LISTS.items():
            assert await keys(floor, *press) == {"1": "Dov", "3": "Cleo", "4": "Ada", "5": "Aaron"}, name
        await floor.press("f9", "2")
        assert isinstance(app.screen, Pick)
        await floor.press("3", *"knee", "enter")
        assert session.state.lifters[3].held and not session.state.lifters[1].held


async def test_an_incident_about_nobody_has_a_key_of_its_own(tmp_path: Path) -> None:
    clock = new_clock()
    session = open_session(tmp_path, clock)
    check_in(session, 4, 2)
    app = FloorApp(session, ticking=False)
    async with app.run_test(size=(80, 24)) as pilot:
        floor = Evening(app, pilot, clock)
        app.screen.action_incident()  # type: ignore[attr-defined]
        await pilot.pause()
        assert await keys(floor) == {"0": "nobody in particular", "1": "Dov", "2": "Bo"}


async def test_the_message_of_a_correction_says_from_what_to_what(tmp_path: Path) -> None:
    clock = new_clock()
    session = open_session(tmp_path, clock)
    check_in(session, 4)
    first = session.state.evening.here[4].sets[0]
    done(session, c.RecordWhole(4, first.no, first.reps, load=first.load))
    right = done(session, c.PutRight(4, first.no, load=first.load + 200))
    assert right.words == "Dov: set 1 put right: 20 to 22 kg"
    undone = session.undo()
    assert getattr(undone, "words", "") == f"Undone: {right.words}."


async def test_an_incident_may_be_about_one_who_has_left(tmp_path: Path) -> None:
    clock = new_clock()
    session = open_session(tmp_path, clock)
    check_in(session, 4, 2, 3)
    done(session, c.Leave(2))
    app = FloorApp(session, ticking=False)
    async with app.run_test(size=(80, 24)) as pilot:
        floor = Evening(app, pilot, clock)
        app.screen.action_incident()  # type: ignore[attr-defined]
        await pilot.pause()
        assert "Bo" in read(app.screen, "#body") and "left" in read(app.screen, "#body")
        assert await keys(floor) == {"0": "nobody in particular", "1": "Dov", "2": "Bo", "3": "Cleo"}
        app.screen.action_incident()  # type: ignore[attr-defined]
        await pilot.pause()
        await floor.press("2", *"fell", "enter")
        assert session.people[2].notes[-1].text == "fell"
