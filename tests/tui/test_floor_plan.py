"""The plan on the floor: shown when it is of this state, taken by a key, gone when it is old."""

from __future__ import annotations

import asyncio
import sys
import threading
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import pytest
from textual.pilot import Pilot

from floor.clock import SetClock
from floor.core import commands as c
from floor.core.outlook import NO_OUTLOOK, Offer, Outlook, Trim, Watch
from floor.core.pace import Pace
from floor.core.queue import promised_line
from floor.core.state import DROPPED, PLANNED
from floor.planning import Planner
from floor.planning_wire import NoPlan, Request
from floor.session import Session
from floor.tui.app import FloorApp
from floor.tui.dialogs.pick import Pick
from floor.tui.planner import Planned
from floor.tui.screens.floor import Floor
from floor.tui.widgets.card import StationCard
from tests.tui.house import check_in, done, new_clock, open_session, read

NARROW, WIDE = (80, 24), (140, 45)


class Evening:
    """A running floor with Ada up, Bo next and Cleo after at station 1, all past their ramp and rested."""

    def __init__(self, app: FloorApp, pilot: Pilot[None], clock: SetClock) -> None:
        self.app, self.pilot, self.clock = app, pilot, clock

    @property
    def session(self) -> Session:
        return self.app.session

    def line(self) -> list[int]:
        return [turn.lifter for turn in promised_line(self.session.state, 1)]

    async def planned(self, **parts: object) -> Outlook:
        """An outlook of this state arrives."""
        empty = Outlook(self.session.latest, self.clock.now(), True)
        outlook = replace(empty, **parts)  # type: ignore[arg-type]
        self.app.post_message(Planned(outlook))
        await self.pilot.pause()
        return outlook

    def an_offer(self, gain: int = 180) -> Offer:
        """The order turned round: whoever is up goes last."""
        order = tuple(reversed(self.line()))
        why = "{lifter} before {other}: done 3 min earlier, 4 plates fewer"
        return Offer(1, order, order[0], gain, 4, why, self.line()[0])

    async def press(self, *keys: str) -> None:
        for key in keys:
            self.clock.on(5)
            await self.pilot.press(key)
        await self.pilot.pause()

    async def tick(self, seconds: float) -> None:
        self.clock.on(seconds)
        self.app.tick()
        await self.pilot.pause()

    def words(self, where: str) -> str:
        return read(self.app.screen, where)


@asynccontextmanager
async def evening(
    folder: Path,
    size: tuple[int, int] = NARROW,
    planner: Planner | None = None,
) -> AsyncIterator[Evening]:
    clock = new_clock()
    session = open_session(folder, clock)
    check_in(session, 1, 2, 3)
    for lifter in (1, 2, 3):
        done(session, c.RampDone(lifter))
    clock.on(600)
    app = FloorApp(session, ticking=False, planner=planner)
    async with app.run_test(size=size) as pilot:
        await pilot.pause()
        assert isinstance(app.screen, Floor)
        yield Evening(app, pilot, clock)
    session.journal.close()


def title(floor: Evening) -> str:
    """The upper edge of the first station's card."""
    return floor.app.screen.query_one("#station-1", StationCard).render_line(0).text


async def test_the_hour_stands_in_the_header_with_what_a_strict_rotation_gives(tmp_path: Path) -> None:
    for size in (NARROW, WIDE):
        folder = tmp_path / str(size[0])
        folder.mkdir()
        async with evening(folder, size) as floor:
            assert "done" not in floor.words("#header") and "session" in floor.words("#header")
            now = floor.clock.now()
            late = {"finish": now + timedelta(minutes=64), "closing": now + timedelta(minutes=60)}
            await floor.planned(**late, rotation=now + timedelta(minutes=71))
            header = floor.words("#header")
            assert "done 19:14, 4 min over; strict rotation 19:21" in header or size == NARROW
            assert "done 19:14, 4 min over" in header and len(header) <= size[0]


async def test_an_offer_is_one_line_with_its_key_and_the_key_takes_it(tmp_path: Path) -> None:
    async with evening(tmp_path) as floor:
        offer = floor.an_offer()
        await floor.planned(offers=(offer,))
        first, then, *_ = names = [floor.session.names[lifter] for lifter in floor.line()]
        name, told = floor.session.names[offer.lifter], then
        assert name == names[-1]
        words = f"9 takes the offer: {name} before {first}: done 3 min earlier, 4 plates fewer"
        assert floor.words("#plan").startswith(words) and "then" not in words
        await floor.press("9")
        assert floor.line() == list(offer.order)
        assert f"the plan's order, {name} first, 3 min earlier" in floor.words("#message")
        assert told not in floor.words("#message")  # who was next is next still
        await floor.press("backspace")
        assert "Undone: Platform 1: the plan's order" in floor.words("#message")


async def test_no_key_takes_what_is_not_offered_and_says_so(tmp_path: Path) -> None:
    async with evening(tmp_path) as floor:
        before = floor.session.state
        await floor.press("9")
        assert floor.session.state == before
        assert "no offer at this station now" in floor.words("#message")
        await floor.press("8")
        assert "There is no plan yet: no trims." in floor.words("#message")


async def test_an_offer_of_an_older_state_is_not_taken_and_goes_with_the_next_second(tmp_path: Path) -> None:
    async with evening(tmp_path) as floor:
        await floor.planned(offers=(floor.an_offer(),))
        done(floor.session, c.AddNote(1))
        await floor.press("9")
        assert "no offer at this station now" in floor.words("#message")
        await floor.tick(1)
        assert floor.app.latest_outlook == NO_OUTLOOK
        assert "offer" not in floor.words("#plan")


async def test_a_plan_of_an_older_state_that_comes_late_is_not_shown(tmp_path: Path) -> None:
    async with evening(tmp_path) as floor:
        old = Outlook(floor.session.latest - 1, floor.clock.now(), True, offers=(floor.an_offer(),))
        floor.app.post_message(Planned(old))
        await floor.pilot.pause()
        assert "offer" not in floor.words("#plan") and floor.app.outlook == NO_OUTLOOK


async def test_where_to_stand_counts_down_and_the_offer_takes_turns_with_it_where_there_is_one_line(
    tmp_path: Path,
) -> None:
    async with evening(tmp_path) as floor:
        now = floor.clock.now()
        floor_set = floor.session.state.evening.here[2].pending()
        assert floor_set is not None
        watch = (
            Watch(1, 2, floor_set.no, now + timedelta(seconds=50), now + timedelta(seconds=80), "a new stage"),
            Watch(2, 3, 1, now, now + timedelta(seconds=5), "done already"),
        )
        await floor.planned(watch=watch)
        assert "stand at 1 in 0:50 (Bo, a new stage)" in floor.words("#plan")
        await floor.tick(50)
        assert "stand at 1 now (Bo, a new stage)" in floor.words("#plan")
        await floor.planned(watch=watch, offers=(floor.an_offer(),))
        seen = set()
        for _ in range(4):
            await floor.tick(5)
            seen.add(floor.words("#plan").strip().split(" ")[0])
        assert seen == {"9", "stand"}
        await floor.tick(10)
        assert "stand" not in floor.words("#plan")  # that set is over by the clock


async def test_while_a_set_runs_its_faults_keep_the_line(tmp_path: Path) -> None:
    async with evening(tmp_path) as floor:
        await floor.press("enter")
        before = floor.words("#plan")
        await floor.planned(offers=(floor.an_offer(),))
        assert floor.words("#plan") == before and "arms bent" in floor.words("#panel")


async def test_zero_holds_the_order_and_zero_again_goes_back(tmp_path: Path) -> None:
    async with evening(tmp_path, WIDE) as floor:
        assert "0 hold order" in " ".join(floor.words("#keys").split())
        await floor.press("0")
        assert floor.session.state.evening.stations[1].held
        assert "this order held" in floor.words("#message")
        assert "own order held: 0 goes back to the rising bar" in floor.words("#plan")
        assert "then, in your own order" in floor.words("#panel")
        assert "0 rising bar" in " ".join(floor.words("#keys").split())
        await floor.press("0")
        assert not floor.session.state.evening.stations[1].own
        assert "back to the rising bar" in floor.words("#message")
        await floor.press("backspace", "backspace")
        assert not floor.session.state.evening.stations[1].held


async def test_a_trim_is_picked_with_its_minutes_and_leaves_its_sets_out(tmp_path: Path) -> None:
    async with evening(tmp_path) as floor:
        last = floor.session.state.evening.here[1].sets[-1]
        trims = (Trim("set", "one work set less", 300, ((1, last.no),)),)
        now = floor.clock.now()
        await floor.planned(trims=trims, finish=now + timedelta(minutes=12), closing=now + timedelta(minutes=2))
        assert "8 trims it" in floor.words("#header")
        await floor.press("8")
        assert isinstance(floor.app.screen, Pick)
        dialog = read(floor.app.screen)
        assert "one work set less" in dialog and "5 min earlier" in dialog and "10 min over" in dialog
        assert "1 set: " in dialog and "Ada" in dialog.partition("1 set: ")[2], "who loses what"
        await floor.press("1")
        dropped = floor.session.state.evening.here[1].set(last.no)
        assert dropped is not None and dropped.status == DROPPED
        assert "trim: 1 set left out, 5 min earlier" in floor.words("#message")
        await floor.press("backspace")
        back = floor.session.state.evening.here[1].set(last.no)
        assert back is not None and back.status == PLANNED


async def test_another_one_told_next_is_said_on_the_message_line(tmp_path: Path) -> None:
    async with evening(tmp_path) as floor:
        _, told = floor.line()[:2]
        name = floor.session.names[told]
        floor.app.act(c.Leave(told))
        await floor.pilot.pause()
        assert f"next instead of {name}: {name} left" in floor.words("#message")


async def test_an_own_order_stands_on_the_card_on_a_small_screen_too(tmp_path: Path) -> None:
    async with evening(tmp_path) as floor:
        assert "own" not in title(floor)
        await floor.press("0")
        assert "· own" in title(floor)
        await floor.press("0")
        assert "own" not in title(floor)


async def test_the_pace_is_read_in_a_thread_of_its_own(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    threads: list[int] = []

    def read(cursor: object) -> Pace:
        threads.append(threading.get_ident())
        return Pace(walk=20)

    monkeypatch.setattr("floor.session.read_pace", read)
    sent: asyncio.Queue[Request] = asyncio.Queue()
    planner = Planner((sys.executable, "-P", "-m", "tests.stand_in_planner"))
    monkeypatch.setattr(planner, "send", sent.put_nowait)
    async with evening(tmp_path, planner=planner) as floor:
        first = await asyncio.wait_for(sent.get(), 60)
        await floor.press("enter")
        second = await asyncio.wait_for(sent.get(), 60)
    assert (first.pace.walk, second.pace.walk) == (20, 20)
    assert len(threads) == 1 and threads[0] != threading.get_ident()
    planner.close()


async def test_no_planner_is_said_on_the_line_and_keys_go_on(tmp_path: Path) -> None:
    async with evening(tmp_path) as floor:
        floor.app.post_message(Planned(NoPlan("it has ended")))
        await floor.pilot.pause()
        assert "no plan: it has ended" in floor.words("#plan")
        await floor.press("enter", "enter", "1")
        assert "graded sharp" in floor.words("#message")


async def test_a_planner_beside_plans_after_a_key_and_again_after_half_a_minute(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    came: asyncio.Queue[Outlook] = asyncio.Queue()

    show = FloorApp.show_outlook

    def heard(app: FloorApp, outlook: Outlook) -> None:
        show(app, outlook)
        if outlook.refined:
            came.put_nowait(outlook)

    monkeypatch.setattr(FloorApp, "show_outlook", heard)
    planner = Planner((sys.executable, "-P", "-m", "tests.stand_in_planner"))
    async with evening(tmp_path, planner=planner) as floor:
        first = await asyncio.wait_for(came.get(), 60)
        assert first.cmd == floor.session.latest
        await floor.press("enter")
        second = await asyncio.wait_for(came.get(), 60)
        assert second.cmd == floor.session.latest > first.cmd
        await floor.tick(29)
        await floor.tick(1)
        third = await asyncio.wait_for(came.get(), 60)
        assert third.cmd == second.cmd and third.made > second.made
    planner.close()
