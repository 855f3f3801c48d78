"""What the floor says of teaching: the walk, the word to work on, the stage to sign, more rest, jumps, the drill."""

from __future__ import annotations

from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from pathlib import Path

import pytest

from floor.core import commands as c
from floor.core.gym import Grade
from floor.core.overruled import review
from floor.core.past import RuleCount
from floor.core.state import PLANNED
from floor.core.week import Week
from floor.session import Session
from floor.tui.app import FloorApp
from floor.tui.dialogs.confirm import Confirm
from floor.tui.present_week import blocks
from floor.tui.screens.lifter import LifterView
from tests.tui.house import check_in, done, new_clock, open_session, read
from tests.tui.test_floor import Evening
from tests.tui.test_week_screen import settled

SIZES = [(80, 24), (140, 45)]


@asynccontextmanager
async def floor(session: Session, size: tuple[int, int] = (80, 24)) -> AsyncIterator[Evening]:
    app = FloorApp(session, ticking=False)
    async with app.run_test(size=size) as pilot:
        await pilot.pause()
        clock = session.clock
        yield Evening(app, pilot, clock)  # type: ignore[arg-type]
    session.journal.close()


def cleans(folder: Path, stage: int = 9) -> Session:
    """Ada alone, on a stage of the clean; tonight begins with building the clean."""
    session = open_session(folder, new_clock())
    done(session, c.SetStage(1, "clean", stage))
    check_in(session, 1)
    first = session.state.evening.here[1].of_lift("clean")
    assert session.state.evening.here[1].sets[0].lift == "clean" and sum(s.role == "build" for s in first) >= 4
    return session


def whole(session: Session, grade: Grade = Grade.SHARP, fault: str = "") -> None:
    """Ada's next set that is no ramp, all reps made, seen late."""
    coming = next(s for s in session.state.evening.here[1].sets if s.status == PLANNED and s.role != "ramp")
    faults = ((1, fault),) if fault else ()
    session.clock.on(200)  # type: ignore[attr-defined]
    done(session, c.RecordWhole(1, coming.no, coming.reps, grade=grade, faults=faults))


@pytest.mark.parametrize("size", SIZES)
async def test_a_clean_session_begins_with_a_walk_through_the_stages(tmp_path: Path, size: tuple[int, int]) -> None:
    async with floor(cleans(tmp_path), size) as evening:
        assert "power clean walk 1-8" in evening.card(1) and "20 kg" in evening.words("#panel")
        assert "walk 1 rack, hang, and back down · 2 front rack check" in evening.words("#panel")
        await evening.press("f4")
        assert "walk" not in evening.card(1) and "power clean set 1/4" in evening.words("#panel")
        assert "stage 9" in evening.words("#panel")
        assert ("stage 9, from the floor" in evening.words("#panel")) == (size[0] > 80)


@pytest.mark.parametrize("size", SIZES)
async def test_a_stage_that_has_been_shown_is_signed_with_the_stage_key(tmp_path: Path, size: tuple[int, int]) -> None:
    session = cleans(tmp_path)
    for _ in range(3):
        whole(session)
    async with floor(session, size) as evening:
        words = evening.words("#panel")
        assert "STAGE UP? 30 kg, stage 10 " in words and "signed" not in words
        assert "why  the stage has been shown: press / then g to sign it off" in words
        await evening.press("slash", "g")
        assert "from the floor, faster" in (asked := read(evening.app.screen)) and "shown: sign it off" in asked
        await evening.press("a")  # the tenth in the list
        assert session.state.lifters[1].stages["clean"] == 10
        assert "stage 10 signed" in evening.words("#panel") and "stage 10" in str(evening.view(1))


async def test_the_word_of_last_time_is_there_when_the_lifter_steps_up(tmp_path: Path) -> None:
    session = cleans(tmp_path)
    whole(session, grade=Grade.ROUGH, fault="arms-bent-early")
    done(session, c.CloseSession())
    done(session, c.GiveProgramme(1, session.state.lifters[1].programme, 0))
    check_in(session, 1)
    async with floor(session, (140, 45)) as evening:
        assert "Ada: Long arms until you have jumped." in evening.words("#panel")
        await evening.press("f4", "enter")
        assert "cue  Long arms until you have jumped." in evening.words("#panel")


async def test_a_miss_after_a_short_rest_is_told_as_more_rest(tmp_path: Path) -> None:
    session = cleans(tmp_path, stage=11)
    async with floor(session) as evening:
        await evening.press("f4", "enter", "enter", "1")
        await evening.press("enter", "y", "space", "space", ".", "1")
        words = evening.words("#panel")
        assert "MORE REST 3:00, then 42.5 kg" in words
        assert "missed after a short rest" in words
        assert "rest 2:55" in words
        assert "└─ rested 0:15 of the 2:00 owed" in evening.words("#plan")


async def test_a_load_far_over_the_last_set_is_asked_about_and_escape_leaves_it(tmp_path: Path) -> None:
    async with floor(cleans(tmp_path, stage=11)) as evening:
        await evening.press("f4", "f7")
        await evening.press(*"49", "enter")
        assert isinstance(evening.app.screen, Confirm)
        await evening.press("escape")
        coming = evening.session.state.evening.here[1].pending()
        assert coming is not None and coming.load == 4000


@pytest.mark.parametrize("size", SIZES)
async def test_a_lift_ended_in_the_drill_is_said_and_can_be_overruled(tmp_path: Path, size: tuple[int, int]) -> None:
    session = cleans(tmp_path, stage=11)
    for command in (c.StartDrill("clean", 3), c.DrillRep(), c.DrillFault(1, "x"), c.EndDrill()):
        done(session, command)
    async with floor(session, size) as evening:
        words = evening.words("#panel")
        assert "Ada power clean, group drill" in words and "STOP the power clean for today" in words
        await evening.press("minus")
        assert isinstance(evening.app.screen, Confirm)
        await evening.press("y")
        coming = evening.session.state.evening.here[1].pending()
        assert coming is not None and coming.lift == "clean"


async def test_the_lifters_screen_says_how_the_word_has_gone(tmp_path: Path) -> None:
    session = cleans(tmp_path, stage=11)
    whole(session, grade=Grade.ROUGH, fault="arms-bent-early")
    whole(session)
    app = FloorApp(session, ticking=False)
    async with app.run_test(size=(140, 45)) as pilot:
        app.push_screen(LifterView(1))
        await pilot.pause()
        await settled(app, pilot)
        await pilot.pause()
        words = " ".join(read(app.screen, "#said").split())
        assert "Long arms until you have jumped. arms bent early: before 1 of 3, 33 % (6-79)" in words
        assert "since 0 of 3, 0 % (0-56): too early to say" in words
    session.journal.close()


def test_the_week_asks_about_a_rule_that_is_mostly_overruled(tmp_path: Path) -> None:
    session = open_session(tmp_path)
    day = session.clock.now().date()
    asked = review([RuleCount("rough-keeps", "add", 9), RuleCount("rough-keeps", None, 2)])
    week = Week(day, day, 1, 0, 1, 0, (), (), (), rules=asked)
    lines = [line.plain for block in blocks(week, session.state.gym, session.names, 80) for line in block.lines]
    assert [line.strip() for line in lines] == [
        "? You overruled rough-keeps 9 times in 11 (to add 9): change the rule?"
    ]
    assert max(len(line) for line in lines) <= 80
    session.journal.close()
