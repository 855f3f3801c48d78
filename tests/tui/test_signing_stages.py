"""Signing a stage off: the lifter of the proposal, by name, and no wrong key sends anybody far."""

from __future__ import annotations

from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from pathlib import Path

from floor.core import commands as c
from floor.core.gym import Grade
from floor.core.state import PLANNED
from floor.session import Session
from floor.tui.app import FloorApp
from floor.tui.dialogs.confirm import Confirm
from floor.tui.dialogs.pickstage import PickStage
from tests.tui.house import check_in, done, new_clock, open_session, read
from tests.tui.test_floor import Evening


@asynccontextmanager
async def floor(session: Session) -> AsyncIterator[Evening]:
    app = FloorApp(session, ticking=False)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        yield Evening(app, pilot, session.clock)  # type: ignore[arg-type]
    session.journal.close()


def evening(folder: Path) -> Session:
    """Ada has shown stage 9 of the clean; Bo, on the last stage, is up. Each does a set in turn."""
    session = open_session(folder, new_clock())
    done(session, c.SetStage(1, "clean", 9))
    done(session, c.SetStage(2, "clean", 11))
    check_in(session, 1, 2)
    for lifter in (2, 1, 2, 1, 2, 1):
        coming = next(s for s in session.state.evening.here[lifter].sets if s.status == PLANNED and s.role != "ramp")
        session.clock.on(200)  # type: ignore[attr-defined]
        done(session, c.RecordWhole(lifter, coming.no, coming.reps, grade=Grade.SHARP))
    assert session.state.evening.proposals[1, "clean"].action == "step_up"
    return session


async def test_the_stage_key_opens_the_lifter_of_the_proposal_not_whoever_is_up(tmp_path: Path) -> None:
    session = evening(tmp_path)
    if session.state.evening.stations[1].up == 1:
        done(session, c.Pass(1))
    async with floor(session) as night:
        assert session.state.evening.stations[1].up == 2 and "STAGE UP?" in night.words("#panel")
        await night.press("slash", "g")
        assert isinstance(night.app.screen, PickStage)
        asked = read(night.app.screen)
        assert "Ada, power clean: stage 9, from the floor." in asked and "Enter: up to stage 10, as proposed" in asked
        assert "▀" in asked or "█" in asked, "the name stands there large"
        await night.press("enter")
        assert session.state.lifters[1].stages["clean"] == 10
        assert session.state.lifters[2].stages["clean"] == 11
        assert "Ada: power clean stage 10" in night.words("#message")


async def test_a_wrong_key_far_from_the_stage_now_is_asked_about_and_enter_is_no(tmp_path: Path) -> None:
    session = evening(tmp_path)
    async with floor(session) as night:
        before = session.state
        await night.press("slash", "g", "1")
        assert isinstance(night.app.screen, Confirm)
        asked = " ".join(read(night.app.screen).split())
        assert "Ada, power clean: from stage 9 (from the floor) back to stage 1 (" in asked
        assert "Are you sure?" in asked
        await night.press("enter")
        assert session.state == before
        await night.press("slash", "g", "1", "y")
        assert session.state.lifters[1].stages["clean"] == 1


async def test_the_stage_now_is_no_change(tmp_path: Path) -> None:
    session = evening(tmp_path)
    async with floor(session) as night:
        before = session.state
        await night.press("slash", "g", "9")
        assert session.state == before
        assert "Ada stays on stage 9 of the power clean." in night.words("#message")


async def test_with_nobody_up_it_is_asked_whose_and_a_shown_stage_stands_first(tmp_path: Path) -> None:
    session = evening(tmp_path)
    async with floor(session) as night:
        await night.press("right", "slash", "g")  # the station to the right is free
        asked = read(night.app.screen)
        assert "Whose stage?" in asked
        assert asked.index("Ada, power clean  stage 9, shown: up to stage 10?") < asked.index("Bo, power clean")
        await night.press("enter", "enter")
        assert session.state.lifters[1].stages["clean"] == 10


async def test_a_stage_is_signed_at_the_close_too(tmp_path: Path) -> None:
    session = evening(tmp_path)
    async with floor(session) as night:
        await night.press("slash", "x")
        await night.pilot.pause()
        assert "stage" in night.words("#keys")
        await night.press("slash", "g", "enter", "enter")  # as the line says: / then g
        assert session.state.lifters[1].stages["clean"] == 10
