"""One lifter on screen: charts legible as letters, the form limit in words, notes for the coach, the card."""

from __future__ import annotations

from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from pathlib import Path
from typing import Any

import pytest

from floor.core import commands as c
from floor.core.gym import Grade
from floor.core.people import NoteAdded
from floor.session import Session
from floor.tui import present_lifter as words
from floor.tui.app import FloorApp
from floor.tui.screens.lifter import LifterView
from floor.tui.widgets.plot import NOTHING, Plot, levels
from tests.scenario import demo_session
from tests.tui.house import check_in, done, new_clock, open_session, read
from tests.tui.test_week_screen import an_evening, settled

SMALL, LARGE = (80, 24), (140, 45)


@asynccontextmanager
async def looking(session: Session, lifter: int, size: tuple[int, int] = LARGE) -> AsyncIterator[tuple[FloorApp, Any]]:
    app = FloorApp(session, ticking=False)
    async with app.run_test(size=size) as pilot:
        app.push_screen(LifterView(lifter))
        await pilot.pause()
        await settled(app, pilot)
        await pilot.pause()
        yield app, pilot
    session.journal.close()


@pytest.fixture
def demo(tmp_path: Path) -> Session:
    return demo_session(tmp_path)[0]


def drawn(app: FloorApp, which: str) -> str:
    """The letters of a plot as they stand on the screen."""
    plot = app.screen.query_one(which, Plot)
    return "\n".join("".join(s.text for s in plot.render_line(y)) for y in range(plot.size.height))


@pytest.mark.parametrize("size", [SMALL, LARGE])
async def test_load_and_maximum_are_told_apart_by_sign_not_colour(demo: Session, size: tuple[int, int]) -> None:
    async with looking(demo, 1, size) as (app, _):
        assert "kg: line heaviest work set, x estimated max" in " ".join(read(app.screen, "#load-words").split())
        plot = drawn(app, "#load-plot")
        assert plot.count("x") > 5 and any(0x2800 < ord(letter) <= 0x28FF for letter in plot)
        assert "22 Nov" in plot and "80" in plot


@pytest.mark.parametrize("size", [SMALL, LARGE])
async def test_what_waits_for_a_yes_stands_first(demo: Session, size: tuple[int, int]) -> None:
    async with looking(demo, 1, size) as (app, _):
        words = " ".join(read(app.screen, "#said").split())
        assert words.startswith(("proposed ", "next ")) and "yours to decide" in words


async def test_tab_goes_round_the_charts_on_a_small_screen(demo: Session) -> None:
    async with looking(demo, 1, SMALL) as (app, pilot):
        def shown() -> list[str]:
            return [n for n in ("load", "form", "faults") if app.screen.query_one(f"#{n}").display]

        assert shown() == ["load"]
        await pilot.press("tab")
        assert shown() == ["form"]
        await pilot.pause()
        assert "o" in drawn(app, "#form-plot") and "80" in drawn(app, "#form-plot")
        await pilot.press("tab")
        await pilot.pause()
        assert shown() == ["faults"] and "reps watched" in read(app.screen, "#faults")
        await pilot.press("tab")
        assert shown() == ["load"]


async def test_a_wide_screen_shows_all_three(demo: Session) -> None:
    async with looking(demo, 1) as (app, _):
        assert all(app.screen.query_one(f"#{n}").display for n in ("load", "form", "faults"))
        seen = [fault.name for fault in demo.state.gym.lifts["squat"].faults]
        assert any(name in read(app.screen, "#faults") for name in seen)


async def test_the_form_limit_the_estimate_and_the_rate_come_with_their_bands(demo: Session) -> None:
    async with looking(demo, 1) as (app, _):
        words = read(app.screen, "#said")
        assert "fault-free 8 times in 10" in words and "watched reps" in words
        assert "likely low" in words and "95 % sure" in words and "yours to decide" in words
        assert "stage        4 of 4, add load" in words
        assert "PLANS, latest first" in words and "OVERRULED, latest first" in words


async def test_what_is_to_be_lifted_is_said_once_and_the_plans_before_are_loads(demo: Session) -> None:
    async with looking(demo, 1) as (app, _):
        said, _, listed = read(app.screen, "#said").partition("PLANS, latest first")
        plans = listed.partition("OVERRULED")[0]
        assert "×" in said and " kg" in plans and "×" not in plans


async def test_too_little_seen_is_a_sentence_where_the_chart_would_be(tmp_path: Path) -> None:
    async with looking(an_evening(tmp_path), 2) as (app, _):
        words = read(app.screen, "#said")
        assert "too little seen: 3 watched reps on 1 evening, 10 on 2 needed" in words
        assert "One evening makes no line" in read(app.screen, "#load-words")
        assert app.screen.query_one("#form-plot", Plot).drawing == NOTHING


async def test_the_arrows_go_round_the_lifts(demo: Session) -> None:
    async with looking(demo, 1, SMALL) as (app, pilot):
        assert "▶squat◀" in read(app.screen, "#tabs")
        await pilot.press("left")
        assert "▶deadlift◀" in read(app.screen, "#tabs")
        await pilot.press("right", "right")
        assert "▶power clean◀" in read(app.screen, "#tabs")


async def test_the_last_line_can_be_reached_and_is_the_coachs_note(tmp_path: Path) -> None:
    session = open_session(tmp_path, new_clock())
    check_in(session, 1)
    for s in session.state.evening.here[1].sets:
        if s.role != "ramp":
            done(session, c.RecordWhole(1, s.no, s.reps, grade=Grade.SHARP))
    outcome = session.do(c.AddNote(1), [NoteAdded(1, "caution", "Left knee: stop when it swells.")])
    assert outcome.words
    async with looking(session, 1, SMALL) as (app, pilot):
        assert "Left knee" not in read(app.screen, "#said") and "more lines" in read(app.screen, "#said")
        await pilot.press(*["pagedown"] * 6)
        words = read(app.screen, "#said")
        assert "for the coach's eyes" in words and "caution: Left knee: stop when it swells." in words
        await pilot.press(*["up"] * 40)
        assert "form limit" in read(app.screen, "#said")


async def test_c_writes_the_card_and_no_note_is_on_it(demo: Session, tmp_path: Path) -> None:
    async with looking(demo, 6) as (app, pilot):
        await pilot.press("pagedown")
        assert "Physiotherapist" in read(app.screen, "#said")
        await pilot.press("c")
        assert "Written beside the gym file" in read(app.screen, "#message")
        cards = sorted(tmp_path.glob("demo-card-6-Ingrid-2026-11-25.*"))
        assert [p.suffix for p in cards] == [".html", ".md", ".txt"]
        for path in cards:
            words = path.read_text(encoding="utf-8")
            assert "Ingrid" in words and "Castellanos" not in words and "Physio" not in words and "knee" not in words


async def test_someone_who_never_lifted_has_no_chart(demo: Session) -> None:
    async with looking(demo, 14, SMALL) as (app, pilot):
        assert not app.screen.query_one("#charts").display
        await pilot.press("right", "tab", "c")
        assert isinstance(app.screen, LifterView)


async def test_the_keys_help_starts_with_this_screen(demo: Session) -> None:
    async with looking(demo, 1) as (app, pilot):
        await pilot.press("f1")
        await pilot.pause()
        words = str(app.screen.query_one("#keys-words").render())
        assert words.index("ONE LIFTER") < words.index("THE FLOOR")


def test_the_levels_of_a_plot_are_round_and_hold_all_of_it() -> None:
    for low, high in ((47.5, 93.3), (20, 20), (0.1, 0.9), (61, 63)):
        found = levels(low, high)
        assert found[0] <= low and found[-1] >= high and 2 <= len(found) <= 7


@pytest.mark.parametrize("width", [40, 80, 200])
@pytest.mark.parametrize("at", range(8))
def test_the_lift_in_hand_is_in_sight_however_many_there_are(width: int, at: int) -> None:
    names = ["power clean", "squat", "bench press", "deadlift", "long lunge", "push jerk", "row", "one-arm snatch"]
    shown = words.tabs(names, at, width)
    assert shown.cell_length <= width and f"▶{names[at]}◀" in shown.plain
    seen = [name for name in names if f" {name} " in shown.plain.replace("▶", " ").replace("◀", " ")]
    first, last = names.index(seen[0]), names.index(seen[-1]) + 1
    assert seen == names[first:last]
    assert (f"←{first} " in shown.plain) == (first > 0) and (f"{len(names) - last}→" in shown.plain) == (last < 8)
    assert (seen == names) == (width == 200)
