"""Next time by the coach's hand: N on the close and on the lifter's screen, asked once more when it jumps."""

from __future__ import annotations

from pathlib import Path

import pytest

from floor.core import commands as c
from floor.core.state import NextPlan
from floor.session import Session
from floor.tui.dialogs.ask import AskLoad
from floor.tui.dialogs.confirm import Confirm
from floor.tui.screens.close import Close
from floor.tui.screens.lifter import LifterView
from tests.tui.house import done, read
from tests.tui.test_close import LARGE, SMALL, an_evening, closing
from tests.tui.test_lifter_screen import looking
from tests.tui.test_week_screen import settled, the_week

ADA, SQUAT = 1, "squat"


def plan(session: Session) -> NextPlan:
    return session.state.lifters[ADA].plans[SQUAT]


@pytest.mark.parametrize("size", [SMALL, LARGE])
async def test_n_on_the_close_sets_another_load_and_the_close_leaves_it(tmp_path: Path, size: tuple[int, int]) -> None:
    session = an_evening(tmp_path)
    async with closing(session, size) as (app, pilot):
        await pilot.press("n", "1")
        await pilot.pause()
        await pilot.press("2")  # Ada's lifts tonight: the clean, then the squat
        await pilot.pause()
        assert isinstance(app.screen, AskLoad) and "now 65 kg" in read(app.screen)
        assert "All reps made" in read(app.screen)
        await pilot.press(*"60", "enter")
        await pilot.pause()
        assert isinstance(app.screen, Close)
        assert "Ada: next squat 60 kg" in read(app.screen, "#message")
        said = " ".join(read(app.screen, "#summary").split())
        assert "set by the coach (the rule said: " in said and "80 % of the full 60 kg, down from 62.5" in said
        await pilot.press("enter")
        await pilot.pause()
        assert (plan(session).load, plan(session).rule, plan(session).overruled) == (6000, "by-hand", "all-made")
    session.journal.close()


async def test_a_jump_for_next_time_is_set_on_a_yes_alone(tmp_path: Path) -> None:
    session = an_evening(tmp_path)
    async with closing(session) as (app, pilot):
        for answer in ("n", "y"):
            await pilot.press("n", "1")
            await pilot.pause()
            await pilot.press("2")
            await pilot.pause()
            await pilot.press(*"90", "enter")
            await pilot.pause()
            assert isinstance(app.screen, Confirm)
            assert "Ada: 90 kg is 25 kg more than planned." in " ".join(read(app.screen).split())
            await pilot.press(answer)
            await pilot.pause()
            assert (plan(session).load == 9000) is (answer == "y")
    session.journal.close()


async def test_nobody_who_lifted_is_a_sentence(tmp_path: Path) -> None:
    session = an_evening(tmp_path)
    while session.state.evening.here:
        session.undo()
    async with closing(session) as (app, pilot):
        await pilot.press("n")
        await pilot.pause()
        assert "Nobody lifted tonight" in read(app.screen, "#message")
    session.journal.close()


async def test_n_on_the_lifters_screen_overrules_what_stands_and_is_listed(tmp_path: Path) -> None:
    session = an_evening(tmp_path)
    done(session, c.CloseSession())
    async with looking(session, ADA, (140, 80)) as (app, pilot):
        assert isinstance(app.screen, LifterView)
        assert "N next" in read(app.screen, "#keys")
        await pilot.press("n")
        await pilot.pause()
        await pilot.press(*"-5", "enter")
        await pilot.pause()
        await app.workers.wait_for_complete()
        await pilot.pause()
        assert (plan(session).load, plan(session).overruled) == (6000, "all-made")
        words = " ".join(read(app.screen, "#said").split())
        assert "next time 65 (all reps made" in words and "the coach: lighten, 60 kg" in words


@pytest.mark.parametrize("size", [SMALL, LARGE])
async def test_n_on_the_week_asks_of_the_lifter_under_the_cursor(tmp_path: Path, size: tuple[int, int]) -> None:
    session = an_evening(tmp_path)
    done(session, c.CloseSession())
    async with the_week(session, size) as (app, pilot):
        assert "N next" in read(app.screen, "#keys")
        await pilot.press("n")
        await pilot.pause()
        assert isinstance(app.screen, AskLoad) and "Ada: squat, next time" in read(app.screen)
        await pilot.press(*"60", "enter")
        await settled(app, pilot)
        assert (plan(session).load, plan(session).overruled) == (6000, "all-made")
        assert "set by the coach" in " ".join(read(app.screen, "#list").split())
