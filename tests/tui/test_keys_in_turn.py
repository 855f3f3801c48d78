"""However fast keys come, each acts before the next: a letter never overtakes the key before it."""

from __future__ import annotations

import asyncio
from collections.abc import Sequence
from pathlib import Path

import pytest
from textual import events

from floor.core.gym import Grade
from floor.core.state import DONE, TheSet
from floor.tui.app import FloorApp
from floor.tui.dialogs.ask import AskText
from floor.tui.dialogs.pick import Pick
from floor.tui.keys import MORE
from floor.tui.screens.checkin import CheckIn
from floor.tui.screens.close import Close
from floor.tui.screens.floor import Floor
from floor.tui.screens.week import Week
from tests.tui.house import check_in, new_clock, open_session
from tests.tui.test_floor import Evening, evening

NAMES = {"/": "slash", ".": "full_stop", " ": "space", "\r": "enter"}


def at_once(app: FloorApp, typed: str | Sequence[str]) -> None:
    """Keys one behind the other in the same instant, as a paste or a held up screen brings them."""
    for one in typed:
        name = NAMES.get(one, one)
        app.post_message(events.Key(name, one if len(one) == 1 and one.isprintable() else None))


async def settled(floor: Evening) -> None:
    for _ in range(3):
        await floor.pilot.pause()


def running(floor: Evening) -> TheSet:
    found = [s for p in floor.session.state.evening.here.values() if (s := p.running()) is not None]
    assert len(found) == 1
    return found[0]


async def test_the_letter_after_the_menus_key_is_never_a_fault(tmp_path: Path) -> None:
    async with evening(tmp_path) as floor:
        await floor.press("enter", "space")
        before = floor.session.journal.head
        at_once(floor.app, "/x")
        await settled(floor)
        assert running(floor).faults == () and floor.session.journal.head == before
        assert isinstance(floor.app.screen, Close)


@pytest.mark.parametrize("letter", sorted({m.letter for m in MORE}))
async def test_no_letter_of_the_menu_marks_the_set_that_runs(tmp_path: Path, letter: str) -> None:
    async with evening(tmp_path) as floor:
        await floor.press("enter", "space")
        before = running(floor).faults
        at_once(floor.app, ["/", letter])
        await settled(floor)
        faults = [s.faults for p in floor.session.state.evening.here.values() for s in p.sets]
        assert before == () and not any(faults)


async def test_a_letter_behind_the_choice_is_no_fault_either(tmp_path: Path) -> None:
    async with evening(tmp_path) as floor:
        await floor.press("enter", "space")
        at_once(floor.app, "/wx")
        await settled(floor)
        assert running(floor).faults == ()
        assert isinstance(floor.app.screen, Week)


async def test_the_key_between_an_answer_and_what_it_opens_waits_for_it(tmp_path: Path) -> None:
    async with evening(tmp_path) as floor:
        await floor.press("enter", "space", "slash")
        menu = floor.app.screen
        assert isinstance(menu, Pick)
        menu.reply("week")
        at_once(floor.app, "x")
        await settled(floor)
        assert running(floor).faults == () and isinstance(floor.app.screen, Week)


async def test_a_fault_belongs_to_the_rep_typed_before_it(tmp_path: Path) -> None:
    async with evening(tmp_path) as floor:
        await floor.press("enter")
        letter = floor.session.state.gym.lifts[running(floor).lift].faults[0].letter
        at_once(floor.app, [" ", " ", letter])
        await settled(floor)
        assert [rep for rep, _ in running(floor).faults] == [2]


async def test_a_whole_set_typed_at_once_is_the_set_that_was_typed(tmp_path: Path) -> None:
    async with evening(tmp_path) as floor:
        await floor.press("enter")
        on = running(floor)
        at_once(floor.app, [" "] * (on.reps - 1) + [".", "2"])
        await settled(floor)
        after = [p.set(on.no) for p in floor.session.state.evening.here.values()]
        assert any(s.status == DONE and s.made == on.reps - 1 and s.missed == 1 and s.grade is Grade.SOUND
                   for s in after if s is not None)  # fmt: skip


async def test_a_key_behind_the_one_that_opens_a_question_is_the_questions(tmp_path: Path) -> None:
    async with evening(tmp_path) as floor:
        at_once(floor.app, ["f9", "1"])
        await settled(floor)
        assert isinstance(floor.app.screen, AskText)


async def test_keys_typed_on_the_way_to_the_floor_wait_until_it_stands(tmp_path: Path) -> None:
    clock = new_clock()
    session = open_session(tmp_path, clock)
    check_in(session, 1)
    app = FloorApp(session, ticking=False)
    async with app.run_test(size=(80, 24)) as pilot:
        floor = Evening(app, pilot, clock)
        app.action_checkin()
        await settled(floor)
        assert isinstance(app.screen, CheckIn)
        at_once(app, ["f", "\r", " ", " "])
        await settled(floor)
        assert isinstance(app.screen, Floor) and running(floor).marks == (True, True)


async def test_the_floor_opens_at_the_first_station_with_somebody_to_lift(tmp_path: Path) -> None:
    clock = new_clock()
    session = open_session(tmp_path, clock)
    check_in(session, 4, station=2)
    app = FloorApp(session, ticking=False)
    async with app.run_test(size=(80, 24)) as pilot:
        floor = Evening(app, pilot, clock)
        app.action_checkin()
        await settled(floor)
        await pilot.press("f")
        assert isinstance(app.screen, Floor) and app.screen.hand == 2
        await pilot.press("enter")
        assert running(floor) is not None


async def test_enter_held_down_starts_one_set_and_grades_none(tmp_path: Path) -> None:
    async with evening(tmp_path) as floor:
        floor.app.held_down = 60.0
        at_once(floor.app, "\r" * 12)
        await settled(floor)
        assert running(floor).full, "two Enters are taken, as a hand may press them: started, and all made"
        assert not [s for p in floor.session.state.evening.here.values() for s in p.sets if s.grade is Grade.SHARP]


async def test_two_enters_that_a_slow_machine_reads_together_both_act(tmp_path: Path) -> None:
    async with evening(tmp_path) as floor:
        floor.app.held_down = 60.0
        await floor.press("enter", "space")
        at_once(floor.app, "\r\r")
        await settled(floor)
        assert not any(p.running() for p in floor.session.state.evening.here.values())


async def test_enter_pressed_again_after_a_moment_goes_on_and_space_is_always_free(tmp_path: Path) -> None:
    async with evening(tmp_path) as floor:
        floor.app.held_down = 0.05
        await floor.press("enter")
        at_once(floor.app, "   ")
        await settled(floor)
        assert len(running(floor).marks) == 3
        await asyncio.sleep(0.1)
        await floor.press("enter")
        assert [s.grade for p in floor.session.state.evening.here.values() for s in p.sets if s.status == DONE][-1]
        assert not any(p.running() for p in floor.session.state.evening.here.values())
