"""After a set: the word for whoever racked the bar; after the last one: what to do next."""

from __future__ import annotations

from pathlib import Path

import pytest

from floor.core import commands as c
from tests.tui.house import done
from tests.tui.test_floor import Evening, evening

SIZES = [(80, 24), (140, 45)]
A_SET_WITH_ARMS_BENT = ("enter", "space", "a", "enter", "enter")


def below(floor: Evening) -> str:
    """The panel, and the line under it."""
    return floor.words("#panel") + "\n" + floor.words("#plan")


@pytest.mark.parametrize("size", SIZES)
async def test_who_racked_the_bar_with_a_fault_is_told_the_cue_beside_the_proposal(
    tmp_path: Path, size: tuple[int, int]
) -> None:
    async with evening(tmp_path, size) as floor:
        up = floor.session.state.evening.stations[1].up
        name = floor.session.names[up or 0]
        await floor.press(*A_SET_WITH_ARMS_BENT)
        fault = floor.session.state.gym.lifts["clean"].fault("arms-bent-early")
        assert fault is not None
        assert f"tell {name}: {fault.cue}" in below(floor)
        assert "+ " in floor.words("#panel"), "the keys that overrule stay"
        await floor.press("enter", "enter", "1")
        assert "tell " not in below(floor)


async def test_who_has_left_is_told_nothing(tmp_path: Path) -> None:
    async with evening(tmp_path, (140, 45)) as floor:
        up = floor.session.state.evening.stations[1].up
        await floor.press(*A_SET_WITH_ARMS_BENT)
        floor.app.act(c.Leave(up or 0))
        await floor.pilot.pause()
        assert "tell " not in below(floor)


async def test_one_who_lifts_alone_reads_the_cue_once(tmp_path: Path) -> None:
    async with evening(tmp_path, (140, 45)) as floor:
        up = floor.session.state.evening.stations[1].up
        await floor.press(*A_SET_WITH_ARMS_BENT)
        for lifter in {1, 2, 3} - {up}:
            floor.app.act(c.Leave(lifter))
        await floor.pilot.pause()
        words = below(floor)
        assert words.count(f"{floor.session.names[up or 0]}: ") >= 1
        assert "tell " in words and "cue  " not in words


async def test_when_every_set_is_done_it_says_how_to_close(tmp_path: Path) -> None:
    async with evening(tmp_path) as floor:
        session = floor.session
        assert "All sets done" not in floor.words("#panel")
        for lifter in (1, 2, 3):
            for s in session.state.evening.here[lifter].sets:
                if s.status == "planned":
                    done(session, c.RecordWhole(lifter, s.no, s.reps))
        floor.app.tick()
        await floor.pilot.pause()
        for _ in session.state.gym.stations:
            assert "All sets done. / x closes the session." in floor.words("#panel")
            await floor.press("right")
        done(session, c.ExpectLate(4))
        floor.app.tick()
        await floor.pilot.pause()
        assert "All sets done" not in floor.words("#panel"), "somebody is still to come"


async def test_what_was_said_on_the_floor_does_not_follow_to_another_screen(tmp_path: Path) -> None:
    async with evening(tmp_path) as floor:
        for keys in (("slash", "x"), ("slash", "q")):
            await floor.press("right", "f7")
            assert "Nobody is up at this station." in floor.words("#message")
            await floor.press(*keys)
            assert "Nobody is up" not in floor.words("#message")
            await floor.press("escape")
            await floor.press("left")
