"""Sets written down afterwards, by their keys: what they change for the lifter is shown, and never silently."""

from __future__ import annotations

from pathlib import Path

import pytest

from floor.core import commands as c
from floor.tui.dialogs.setform import SetForm
from tests.tui.house import done
from tests.tui.test_floor import evening

SIZES = [(80, 24), (140, 45)]


@pytest.mark.parametrize("size", SIZES)
async def test_a_late_set_shows_its_own_proposal_and_reason_like_a_watched_one(
    tmp_path: Path, size: tuple[int, int]
) -> None:
    async with evening(tmp_path, size) as floor:
        first = floor.session.state.evening.stations[1].up
        await floor.press("enter", "enter", "1")
        assert f"{floor.session.names[first or 0]} power clean" in floor.words("#panel")
        late = floor.session.state.evening.stations[1].up
        assert late is not None and late != first
        await floor.press("f2", "4")
        panel = floor.words("#panel")
        assert f"{floor.session.names[late]} power clean" in panel and "broken → " in panel
        assert "LIGHTER" in panel and "the movement fell apart: lighter" in panel
        await floor.press("equals_sign", "enter")
        assert floor.session.state.evening.proposals[late, "clean"].overruled is None, "Enter is no"
        await floor.press("equals_sign", "y")
        assert "overruled by the coach" in floor.words("#panel")
        assert floor.session.state.evening.proposals[late, "clean"].overruled == "keep"


async def test_a_set_put_down_before_the_last_one_watched_is_shown_all_the_same(tmp_path: Path) -> None:
    async with evening(tmp_path, (140, 45)) as floor:
        await floor.press("enter", "enter", "1")
        late = floor.session.state.evening.stations[1].up
        await floor.press("f2", *["less_than_sign"] * 9, "4")
        assert f"{floor.session.names[late or 0]} power clean" in floor.words("#panel")
        assert "LIGHTER" in floor.words("#panel")


async def test_a_late_set_at_another_station_says_what_it_led_to(tmp_path: Path) -> None:
    async with evening(tmp_path, (140, 45)) as floor:
        done(floor.session, c.Move(2, 2))
        await floor.press("enter", "enter", "1", "f2")
        form = floor.app.screen
        assert isinstance(form, SetForm)
        there = next(at for at, row in enumerate(form.rows) if row.lifter == 2)
        await floor.press(*["down"] * there, "4")
        assert "Bo: power clean 50 kg recorded, broken → LIGHTER 45 kg (was 50 kg)" in floor.words("#message")
        assert "Bo power clean" not in floor.words("#panel")


async def test_what_a_set_put_right_now_leads_to_is_said(tmp_path: Path) -> None:
    async with evening(tmp_path, (140, 45)) as floor:
        first = floor.session.state.evening.stations[1].up
        await floor.press("enter", "enter", "1", "enter", "enter", "1")
        assert floor.session.names[first or 0] not in floor.words("#panel").splitlines()[1]
        await floor.press("f3", "down", "3")
        message = floor.words("#message")
        assert "put right: sharp to rough → LIGHTER" in message


@pytest.mark.parametrize(
    "size,said", zip(SIZES, ("one more · 1 sharp?", "one more than planned · 1 sharp? (Enter)"), strict=True)
)
async def test_a_rep_past_the_plan_is_said_where_the_reps_are(tmp_path: Path, size: tuple[int, int], said: str) -> None:
    async with evening(tmp_path, size) as floor:
        await floor.press("enter", *["space"] * 3)
        assert "rep 3 of 3 · 1 sharp? (Enter)" in floor.words("#panel").splitlines()[0]
        await floor.press("space")
        assert floor.words("#panel").splitlines()[0].endswith(f"rep 4 of 3: {said}")
        assert "rep 4 made, one more than planned" in floor.words("#message")
        await floor.press("2")
        if size != (80, 24):
            assert "reps: one more than planned" in floor.words("#panel")


async def test_a_load_put_right_far_over_the_plan_is_asked_about(tmp_path: Path) -> None:
    async with evening(tmp_path, (140, 45)) as floor:
        first = floor.session.state.evening.stations[1].up or 0
        await floor.press("enter", "enter", "1")
        done_set = next(s for s in floor.session.state.evening.here[first].sets if s.role != "ramp" and s.grade)
        await floor.press("f3", "equals_sign", *"150", "enter", "1")
        now = floor.session.state.evening.here[first].set(done_set.no)
        assert now is not None and now.load == done_set.load, "nothing is written before the coach is sure"
        await floor.press("y")
        now = floor.session.state.evening.here[first].set(done_set.no)
        assert now is not None and now.load == 15000
        assert max(s.load for s in floor.session.state.evening.here[first].of_lift("clean") if s.grade is None) < 15000


async def test_a_set_done_before_a_stop_can_be_chosen_and_those_after_it_cannot(tmp_path: Path) -> None:
    async with evening(tmp_path, (140, 45)) as floor:
        first = floor.session.state.evening.stations[1].up or 0
        work = [s for s in floor.session.state.evening.here[first].sets if s.role != "ramp" and s.lift == "clean"]
        end = next(f for f in floor.session.state.gym.lifts["clean"].faults if f.severity == "end")
        done(floor.session, c.RecordWhole(first, work[1].no, 3, faults=((3, end.id),)))
        await floor.press("f2")
        form = floor.app.screen
        assert isinstance(form, SetForm)
        theirs = [row.set_no for row in form.rows if row.lifter == first and row.lift_name == "power clean"]
        assert theirs == [work[0].no]
