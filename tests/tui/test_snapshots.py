"""The floor as a picture, at three sizes, with the time set: look before you update one."""

from __future__ import annotations

from pathlib import Path
from typing import Protocol

import pytest
from textual.pilot import Pilot

from floor.tui.app import FloorApp
from tests.scenario import demo_session, everyone_in, lift_on


class Compare(Protocol):
    def __call__(self, app: FloorApp, terminal_size: tuple[int, int], run_before: object) -> bool: ...


@pytest.mark.parametrize("size", [(80, 24), (120, 40), (160, 50)], ids=lambda s: f"{s[0]}x{s[1]}")
def test_the_floor_looks_as_it_did(snap_compare: Compare, tmp_path: Path, size: tuple[int, int]) -> None:
    session, clock = demo_session(tmp_path)
    everyone_in(session, clock)
    lift_on(session, clock, 4)

    async def a_set_runs(pilot: Pilot[None]) -> None:
        await pilot.press("enter", "space", "a")
        await pilot.pause()

    assert snap_compare(FloorApp(session, ticking=False), terminal_size=size, run_before=a_set_runs)
