"""From what to what, by which rule, on what evidence: on check-in, the floor, the close, the lifter; and the keys."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from floor.core import commands as c
from floor.core.card import make_card
from floor.core.events import Event
from floor.core.evidence.formlimit import Cell
from floor.core.pages import Page
from floor.session import Session
from floor.tui.app import FloorApp
from floor.tui.screens.checkin import CheckIn
from floor.tui.screens.close import Close
from floor.tui.screens.floor import Floor
from floor.tui.screens.lifter import LifterView
from tests.tui.house import EVENING, check_in, done, open_session, read
from tests.tui.test_week_screen import settled

SMALL, LARGE = (80, 24), (140, 45)
FALLS = tuple(Cell(load, days, clean, 12 - clean) for days in (2, 4, 7, 9) for load, clean in ((3000, 12), (4000, 2)))
"""Clean at 30 kg, faulty at 40."""


def arrived(folder: Path) -> Session:
    """Bo, 50 kg planned, checked in with a record that falls apart at 40 kg."""
    session = open_session(folder)
    done(session, c.OpenSession())
    done(session, c.Arrive(2, 1, seen=(("clean", FALLS),)))
    return session


def proposed(folder: Path) -> Session:
    """Ada, to whom the last close proposed the programme with the clean in midweek."""
    session = open_session(folder)
    stage = max(s.no for s in session.state.gym.lifts["clean"].stages if s.position) + 1
    done(session, c.SetStage(1, "clean", stage))
    done(session, c.GiveProgramme(1, "start3"))
    check_in(session, 1)
    event = Event(
        kind="programme_proposed", happened=EVENING, session=1, lifter=1, lift="deadlift", other_lift="clean",
        definition="mid3", load=8000, rule="deadlift-slows", count=2, stage=stage,
    )  # fmt: skip
    session.journal.append([event])
    return Session(session.journal, session.clock)


async def shown(app: FloorApp, pilot: Any, screen: Any) -> str:
    app.switch_screen(screen)
    await pilot.pause()
    return " ".join(read(app.screen).split())


@pytest.mark.parametrize("size", [SMALL, LARGE])
async def test_the_floor_says_the_form_limit_and_what_it_took_off(tmp_path: Path, size: tuple[int, int]) -> None:
    session = arrived(tmp_path)
    app = FloorApp(session, ticking=False)
    async with app.run_test(size=size) as pilot:
        words = await shown(app, pilot, Floor())
        limit = session.state.evening.here[2].limits["clean"]
        assert limit.load is not None and 3400 < limit.load < 3500
        assert "form holds to about 34.5 kg (96 watched reps): plan was 50 kg" in words
    session.journal.close()


async def test_check_in_says_it_for_the_highlighted_lifter(tmp_path: Path) -> None:
    session = arrived(tmp_path)
    app = FloorApp(session, ticking=False)
    async with app.run_test(size=LARGE) as pilot:
        await shown(app, pilot, CheckIn())
        await pilot.press("down")
        words = " ".join(read(app.screen, "#details").split())
        assert "power clean: form holds to about 34.5 kg (96 watched reps): plan was 50 kg" in words
    session.journal.close()


async def test_too_little_seen_is_said_and_takes_nothing_off(tmp_path: Path) -> None:
    session = open_session(tmp_path)
    done(session, c.OpenSession())
    done(session, c.Arrive(2, 1, seen=(("clean", FALLS[:0]),)))
    app = FloorApp(session, ticking=False)
    async with app.run_test(size=LARGE) as pilot:
        words = await shown(app, pilot, Floor())
        assert "form too early to say: 0 watched reps on 0 days (10 on 2 needed)" in words
    session.journal.close()


async def test_a_proposed_programme_waits_at_check_in_and_stands_first_in_the_list(tmp_path: Path) -> None:
    session = proposed(tmp_path)
    app = FloorApp(session, ticking=False)
    async with app.run_test(size=LARGE) as pilot:
        words = await shown(app, pilot, CheckIn())
        assert "proposed: programme Clean in midweek, the power clean first and light:" in words
        assert "why: the deadlift no longer recovers: a light pull in midweek" in words
        assert "deadlift 2 repeats running" in words
        await pilot.press("p")
        await pilot.pause()
        listed = read(app.screen)
        assert "3 days, proposed" in listed
        assert listed.index("Clean in midweek") < listed.index("Beginner, three days")
        await pilot.press("enter")
        await pilot.pause()
        assert session.state.lifters[1].programme == "mid3"
        assert "proposed:" not in read(app.screen)
    session.journal.close()


async def test_the_closing_screen_shows_what_is_proposed(tmp_path: Path) -> None:
    session = proposed(tmp_path)
    app = FloorApp(session, ticking=False)
    async with app.run_test(size=LARGE) as pilot:
        words = await shown(app, pilot, Close())
        assert "proposed: programme Clean in midweek" in words
    session.journal.close()


async def test_s_on_the_lifter_gives_them_a_step_of_their_own(tmp_path: Path) -> None:
    session = open_session(tmp_path)
    app = FloorApp(session, ticking=False)
    async with app.run_test(size=LARGE) as pilot:
        app.push_screen(LifterView(1))
        await pilot.pause()
        await settled(app, pilot)
        await pilot.pause()
        words = read(app.screen, "#said")
        lift = app.screen.in_hand.lift  # type: ignore[attr-defined]
        assert "never over a tenth · S changes it" in words
        await pilot.press("s")
        await pilot.press(*"1.5", "enter")
        await pilot.pause()
        await settled(app, pilot)
        await pilot.pause()
        assert session.state.lifters[1].steps == {lift.id: 150}
        assert "1.5 kg, their own (usual" in read(app.screen, "#said")
    session.journal.close()


async def test_back_off_sets_are_named_at_check_in_and_on_the_card(tmp_path: Path) -> None:
    session = open_session(tmp_path)
    done(session, c.GiveProgramme(1, "start3"))
    done(session, c.PlanNext(1, "deadlift", 1, 5, 9000))
    check_in(session, 1)
    app = FloorApp(session, ticking=False)
    async with app.run_test(size=LARGE) as pilot:
        words = await shown(app, pilot, CheckIn())
        assert "90 kg 1×5, back-off 76.5 kg 1×5" in words
    card = make_card(session.state, 1, session.names, EVENING, "25 Nov")
    assert isinstance(card, Page)
    assert "back-off" in [row[0] for part in card.parts for row in part.rows]
    session.journal.close()
