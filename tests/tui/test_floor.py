"""The floor by its keys: what the coach presses and what the screen then says."""

from __future__ import annotations

from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from pathlib import Path

import pytest
from textual.pilot import Pilot

from floor.clock import SetClock
from floor.core import commands as c
from floor.core.gym import Grade
from floor.core.state import DONE
from floor.session import Failed, Session
from floor.tui.app import FloorApp
from floor.tui.draw.spans import row_text
from floor.tui.screens.floor import Floor
from floor.tui.widgets.card import StationCard
from floor.tui.widgets.cardlines import card_lines
from tests.tui.house import check_in, new_clock, open_session, read


class Evening:
    """A running floor, and ways to read it."""

    def __init__(self, app: FloorApp, pilot: Pilot[None], clock: SetClock) -> None:
        self.app, self.pilot, self.clock = app, pilot, clock

    @property
    def session(self) -> Session:
        return self.app.session

    async def press(self, *keys: str) -> None:
        for key in keys:
            self.clock.on(5)
            await self.pilot.press(key)

    async def wait(self, seconds: float) -> None:
        self.clock.on(seconds)
        self.app.tick()
        await self.pilot.pause()

    def card(self, station: int) -> str:
        card = self.app.screen.query_one(f"#station-{station}", StationCard)
        return "\n".join(row_text(row) for row in card_lines(card.view, *card.size))

    def view(self, station: int) -> object:
        return self.app.screen.query_one(f"#station-{station}", StationCard).view

    def words(self, where: str) -> str:
        return read(self.app.screen, where)


@asynccontextmanager
async def evening(tmp_path: Path, size: tuple[int, int] = (80, 24), ramp: bool = False) -> AsyncIterator[Evening]:
    clock = new_clock()
    session = open_session(tmp_path, clock)
    check_in(session, 1, 2, 3)
    if not ramp:
        for lifter in (1, 2, 3):
            session.do(c.RampDone(lifter))
            clock.on(600)
    app = FloorApp(session, ticking=False)
    async with app.run_test(size=size) as pilot:
        await pilot.pause()
        assert isinstance(app.screen, Floor)
        yield Evening(app, pilot, clock)
    session.journal.close()


def lifted(session: Session, lifter: int) -> list[tuple[str, int, int, str | None]]:
    sets = session.state.evening.here[lifter].sets
    return [(s.lift, s.made, s.missed, s.grade) for s in sets if s.status == DONE and s.role != "ramp"]


async def test_a_clean_set_is_two_keys_after_the_start(tmp_path: Path) -> None:
    async with evening(tmp_path) as floor:
        up = floor.session.state.evening.stations[1].up
        assert up is not None
        await floor.press("enter", "enter", "enter")
        assert lifted(floor.session, up) == [("clean", 3, 0, Grade.SHARP)]


async def test_a_fault_is_one_letter_and_holds_the_load(tmp_path: Path) -> None:
    async with evening(tmp_path) as floor:
        await floor.press("f5")  # the lightest is a young lifter, for whom a rough set is more
        await floor.press("enter", "space", "a", "enter")
        assert "arms bent early" in floor.words("#panel")
        assert "3 rough?" in floor.words("#panel")
        await floor.press("enter")
        assert "KEEP" in floor.words("#panel")
        assert "one thing to fix before more load" in floor.words("#panel")


async def test_a_sharp_build_set_adds_a_step_and_minus_overrules_it(tmp_path: Path) -> None:
    async with evening(tmp_path) as floor:
        await floor.press("enter", "enter", "1")
        assert "ADD" in floor.words("#panel")
        await floor.press("minus")
        assert "LIGHTER" in floor.words("#panel")
        assert "overruled by the coach" in floor.words("#panel")


async def test_the_fault_list_is_on_screen_while_the_set_runs_and_not_before(tmp_path: Path) -> None:
    async with evening(tmp_path) as floor:
        assert "arms bent early" not in floor.words("#panel")
        await floor.press("enter")
        assert "arms bent early" in floor.words("#panel")


async def test_a_letter_outside_a_set_says_what_to_do_and_changes_nothing(tmp_path: Path) -> None:
    async with evening(tmp_path) as floor:
        before = floor.session.state
        await floor.press("a")
        assert floor.session.state == before
        assert "Enter starts it" in floor.words("#message")


async def test_a_missed_rep_is_one_key_and_shows_on_the_card(tmp_path: Path) -> None:
    async with evening(tmp_path) as floor:
        await floor.press("enter", "space", "full_stop")
        view = floor.app.screen.query_one("#station-1", StationCard).view
        assert [mark.made for mark in view.marks] == [True, False, None]


async def test_undo_names_what_it_took_back_and_goes_across_sets(tmp_path: Path) -> None:
    async with evening(tmp_path) as floor:
        before = floor.session.state
        await floor.press(*["enter"] * 6)
        await floor.press("backspace")
        assert "Undone" in floor.words("#message") and "graded sharp" in floor.words("#message")
        await floor.press(*["backspace"] * 5)
        assert floor.session.state == before


async def test_the_rest_starts_when_the_bar_is_down_not_at_the_grade(tmp_path: Path) -> None:
    async with evening(tmp_path) as floor:
        up = floor.session.state.evening.stations[1].up
        assert up is not None
        name = floor.session.names[up]
        await floor.press("enter", "enter")  # the last rep is the second key
        await floor.wait(30)
        await floor.press("1")
        rest = floor.session.state.gym.lifts["clean"].rest - 35
        assert f"{name} {rest // 60}:{rest % 60:02d}" in floor.words("#resting")


async def test_three_late_sets_in_a_row_are_two_keys_each(tmp_path: Path) -> None:
    async with evening(tmp_path) as floor:
        await floor.press("f2", "enter", "f2", "enter", "f2", "enter")
        done = [lifted(floor.session, lifter) for lifter in (1, 2, 3)]
        assert done == [[("clean", 3, 0, Grade.UNSEEN)]] * 3


async def test_the_board_shows_the_finished_bar_and_the_change(tmp_path: Path) -> None:
    async with evening(tmp_path, (140, 45)) as floor:
        card = floor.card(1)
        assert "each side" in card and "next" in card
        await floor.press("enter")
        assert "each side" not in floor.card(1)


async def test_ramp_done_is_one_key(tmp_path: Path) -> None:
    async with evening(tmp_path, ramp=True) as floor:
        await floor.press("right", "left")
        up = floor.session.state.evening.stations[1].up
        assert up is not None
        coming = floor.session.state.evening.here[up].pending()
        if coming is None or coming.role != "ramp":
            await floor.press("f5")
            up = floor.session.state.evening.stations[1].up
        assert up is not None
        await floor.press("f4")
        coming = floor.session.state.evening.here[up].pending()
        assert coming is not None and coming.role != "ramp"


async def test_pain_holds_the_lifter_and_says_so_until_it_is_cleared(tmp_path: Path) -> None:
    async with evening(tmp_path) as floor:
        await floor.press("enter", "space", "f9", "1", *"knee", "enter")
        held = [i for i, lifter in floor.session.state.lifters.items() if lifter.held]
        assert len(held) == 1
        name = floor.session.names[held[0]]
        assert f"HELD  {name}" in floor.words("#resting")
        assert "knee" not in floor.words("#resting") + floor.card(1) + floor.words("#panel")
        assert floor.session.state.evening.stations[1].up != held[0]


async def test_esc_at_where_it_hurts_holds_all_the_same(tmp_path: Path) -> None:
    async with evening(tmp_path) as floor:
        await floor.press("f9", "1", "escape")
        assert [i for i, lifter in floor.session.state.lifters.items() if lifter.held]
        assert "HELD" in floor.words("#resting")


async def test_stop_everything_is_one_key_and_the_same_key_goes_on(tmp_path: Path) -> None:
    async with evening(tmp_path) as floor:
        await floor.press("exclamation_mark", "enter")
        assert "ALL STOPPED" in floor.words("#header")
        assert "Everything is stopped" in floor.words("#message")
        await floor.press("exclamation_mark")
        assert "ALL STOPPED" not in floor.words("#header")


async def test_a_load_far_above_the_plan_is_asked_about_first(tmp_path: Path) -> None:
    async with evening(tmp_path) as floor:
        before = floor.session.state
        await floor.press("f7", *"+20", "enter")
        assert floor.session.state == before
        await floor.press("escape", "f7", *"+20", "enter", "y")
        assert floor.session.state != before


async def test_a_load_nobody_can_build_is_refused_with_the_nearest(tmp_path: Path) -> None:
    async with evening(tmp_path) as floor:
        before = floor.session.state
        await floor.press("f7", *"900", "enter")
        assert floor.session.state == before
        assert "can't be built here; the nearest below is" in floor.words("#message")


async def test_a_stop_is_overruled_with_two_keys_not_one(tmp_path: Path) -> None:
    async with evening(tmp_path) as floor:
        up = floor.session.state.evening.stations[1].up
        assert up is not None
        await floor.press("enter", "space", "x", "enter")
        assert "STOP the power clean for today" in floor.words("#panel")
        stopped = floor.session.state
        await floor.press("plus", "enter")  # the key of the whole evening is no here
        await floor.press("plus", "escape")
        assert floor.session.state == stopped
        await floor.press("equals_sign", "y")
        assert not floor.session.state.evening.here[up].stopped


async def test_a_set_is_started_before_the_rest_is_over_on_a_y_alone_and_says_how_much_was_left(tmp_path: Path) -> None:
    async with evening(tmp_path) as floor:
        await floor.press(*["enter"] * 9)
        up = floor.session.state.evening.stations[1].up
        assert up is not None
        before = floor.session.state
        await floor.press("enter", "enter")  # one too many after the grade, and one more: no
        assert floor.session.state == before
        await floor.press("enter", "y")
        assert floor.session.state.evening.here[up].running() is not None
        assert "of rest left" in floor.words("#message")


async def test_a_locked_keyboard_does_nothing_until_it_is_opened(tmp_path: Path) -> None:
    async with evening(tmp_path) as floor:
        await floor.press("slash", "k")
        await floor.pilot.pause()
        before = floor.session.state
        await floor.press("enter", "f4", "backspace", "a")
        assert floor.session.state == before
        assert "LOCKED" in floor.words("#header")
        await floor.press("exclamation_mark")
        assert "ALL STOPPED" in floor.words("#header")
        await floor.press("exclamation_mark")
        await floor.press("ctrl+k", "enter")
        assert floor.session.state != before


async def test_tab_takes_the_station_that_needs_a_key(tmp_path: Path) -> None:
    async with evening(tmp_path) as floor:
        floor.session.do(c.Move(3, 2))
        floor.app.show()
        await floor.press("tab")
        assert "▶ Platform 2" in floor.words("#panel")


async def test_tab_passes_a_station_where_nobody_is_up(tmp_path: Path) -> None:
    async with evening(tmp_path) as floor:
        floor.session.do(c.Move(3, 3))
        floor.app.show()
        await floor.press("tab")
        assert "▶ Platform 3" in floor.words("#panel"), "nobody is up at the second"
        await floor.press("tab")
        assert "▶ Platform 1" in floor.words("#panel")


async def test_tab_stays_when_nobody_is_up_elsewhere_and_says_so(tmp_path: Path) -> None:
    async with evening(tmp_path) as floor:
        await floor.press("tab")
        assert "▶ Platform 1" in floor.words("#panel")
        assert "Nobody is up at another station" in floor.words("#message")


async def test_a_failed_commit_is_shown_sticks_and_changes_nothing(tmp_path: Path) -> None:
    async with evening(tmp_path) as floor:
        floor.session.journal.path.unlink()
        before = floor.session.state
        await floor.press("enter")
        assert floor.session.state == before
        assert "deleted, moved or replaced" in floor.words("#message")
        await floor.press("a")
        assert "deleted, moved or replaced" in floor.words("#message")
        assert isinstance(floor.session.do(c.StartSet(1)), Failed)


async def test_the_bell_rings_once_when_the_rest_of_a_promised_lifter_is_over(tmp_path: Path) -> None:
    async with evening(tmp_path) as floor:
        rings: list[bool] = []
        floor.app.bell = lambda: rings.append(True)  # type: ignore[method-assign]
        await floor.press(*["enter"] * 9)
        for _ in range(8):
            await floor.wait(40)
        heard = len(rings)
        assert heard >= 1
        await floor.wait(400)
        await floor.wait(400)
        assert len(rings) == heard


async def test_a_restart_shows_the_same_words(tmp_path: Path) -> None:
    async with evening(tmp_path) as floor:
        await floor.press("enter", "space", "a", "right")
        await floor.press("left")
        before = floor.card(1)
        session = Session(floor.session.journal, floor.clock)
        assert session.state == floor.session.state
        app = FloorApp(session, ticking=False)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        assert Evening(app, pilot, floor.clock).card(1) == before


@pytest.mark.parametrize("typed", ["b", "B"])
async def test_a_fault_is_marked_with_caps_lock_on_as_well(tmp_path: Path, typed: str) -> None:
    async with evening(tmp_path) as floor:
        await floor.press("enter", "space")
        before = floor.session.journal.head.seq
        await floor.press(typed)
        assert floor.session.journal.head.seq == before + 1
