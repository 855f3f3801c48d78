"""B on the lifter's screen: bodyweight and birth year, with the person alone, and the smaller step they speak for."""

from __future__ import annotations

from pathlib import Path

import pytest

from floor.core import commands as c
from floor.tui.screens.lifter import LifterView
from tests.tui.house import done, read
from tests.tui.test_lifter_screen import LARGE, SMALL, looking
from tests.tui.test_week_screen import an_evening

ADA = 1
TALL = (140, 90)


async def test_a_birth_year_proposes_a_smaller_step_and_s_says_so(tmp_path: Path) -> None:
    session = an_evening(tmp_path)
    async with looking(session, ADA, TALL) as (app, pilot):
        assert "smaller steps" not in read(app.screen, "#said")
        await pilot.press("b", "y")
        await pilot.pause()
        await pilot.press(*"1960", "enter")
        await app.workers.wait_for_complete()
        await pilot.pause()
        said = " ".join(read(app.screen, "#said").split())
        assert "body born 1960 · smaller steps: 1.25 kg proposed (about 60 or older, common practice" in said
        assert "born: 1960" in said  # among the notes, for the coach's eyes
        before = dict(session.state.lifters[ADA].steps)
        await pilot.press("s")
        await pilot.pause()
        assert "Proposed: 1.25 kg (about 60 or older" in " ".join(read(app.screen).split())
        await pilot.press("escape")
        assert session.state.lifters[ADA].steps == before, "the coach sets it, or not"


@pytest.mark.parametrize("size", [SMALL, LARGE])
async def test_a_bodyweight_is_noted_with_its_day_and_undone_like_any_note(
    tmp_path: Path, size: tuple[int, int]
) -> None:
    session = an_evening(tmp_path)
    async with looking(session, ADA, size) as (app, pilot):
        await pilot.press("b", "w")
        await pilot.pause()
        await pilot.press(*"48", "enter")
        await pilot.pause()
        assert isinstance(app.screen, LifterView)
        assert [n.text for n in session.people[ADA].noted("bodyweight")] == ["48 kg on 2026-11-25"]
        assert session.undo() and session.people[ADA].noted("bodyweight") == ()


async def test_what_no_person_weighs_is_refused_in_a_sentence(tmp_path: Path) -> None:
    session = an_evening(tmp_path)
    async with looking(session, ADA) as (app, pilot):
        for keys, words in (("w", "500"), "A bodyweight is between 15 and 300 kg."), (("y", "60"), "four digits"):
            await pilot.press("b", keys[0])
            await pilot.pause()
            await pilot.press(*keys[1], "enter")
            await pilot.pause()
            assert words in read(app.screen, "#message")
        assert session.people[ADA].notes == ()


async def test_neither_is_on_the_record_nor_on_a_card(tmp_path: Path) -> None:
    session = an_evening(tmp_path)
    async with looking(session, ADA) as (app, pilot):
        await pilot.press("b", "w")
        await pilot.pause()
        await pilot.press(*"48.75", "enter")
        await pilot.pause()
        await pilot.press("c")
        await pilot.pause()
        (card,) = [path for path in tmp_path.iterdir() if path.suffix == ".html"]
        assert "48.75" not in card.read_text(encoding="utf-8")
        (noted,) = [e for e in session.tonight if e.kind == "note_added"]
        assert noted.load is None and noted.lifter == ADA
        done(session, c.OpenSession())
