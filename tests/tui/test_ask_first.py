"""Enter before a first squat with no safeties noted: a question, and nothing started until it is answered."""

from __future__ import annotations

from pathlib import Path

from floor.core import commands as c
from floor.tui.app import FloorApp
from floor.tui.dialogs.confirm import Confirm
from floor.tui.keys import bindings
from tests.tui.house import new_clock, open_session, read


async def test_a_squat_with_no_safeties_noted_starts_on_a_yes_alone(tmp_path: Path) -> None:
    session = open_session(tmp_path, new_clock())
    session.do(c.OpenSession())
    lifter = next(n for n, who in session.state.lifters.items() if not who.held)
    session.do(c.Arrive(lifter, 1))
    while (coming := session.state.evening.here[lifter].pending()) is not None and coming.lift != "squat":
        session.do(c.RecordWhole(lifter, coming.no, coming.reps))
    app = FloorApp(session, ticking=False)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        await pilot.press("enter")
        await pilot.pause()
        assert isinstance(app.screen, Confirm) and "no safeties are noted" in " ".join(read(app.screen).split())
        await pilot.press("escape")
        await pilot.pause()
        assert session.state.evening.here[lifter].running() is None
        await pilot.press("enter")
        await pilot.pause()
        await pilot.press("enter")
        await pilot.pause()
        assert session.state.evening.here[lifter].running() is None
        await pilot.press("enter")
        await pilot.pause()
        await pilot.press("y")
        await pilot.pause()
        running = session.state.evening.here[lifter].running()
        assert running is not None and running.lift == "squat"
    session.journal.close()


def test_a_letter_acts_as_a_capital_too() -> None:
    keys = {getattr(b, "key", "") for b in bindings("lifter")}
    assert {"c", "C", "s", "S"} <= keys
    assert "A" not in {getattr(b, "key", "") for b in bindings("floor")}
