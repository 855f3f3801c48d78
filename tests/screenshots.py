"""Makes every picture in screenshots/ from the demo gym and a set clock: `python -m tests.screenshots`."""

from __future__ import annotations

import asyncio
import tempfile
from pathlib import Path

from textual.pilot import Pilot

from floor.core.board import on_the_bar
from floor.core.outlook import NO_OUTLOOK
from floor.core.outlooking import outlook
from floor.templates import ready_questions
from floor.tui.app import FloorApp
from tests.scenario import demo_session, everyone_in, lift_on
from tests.tui.house import read

CHARTED = "load moved per lifter"
FOLDER = Path(__file__).parent.parent / "screenshots"


async def picture(app: FloorApp, pilot: Pilot[None], name: str) -> None:
    """Save the screen as it is now."""
    await pilot.pause()
    app.tick()
    await pilot.pause()
    svg = app.export_screenshot(title="floor")
    (FOLDER / f"{name}.svg").write_text(svg, encoding="utf-8")
    print(f"screenshots/{name}.svg")


async def start(size: tuple[int, int]) -> None:
    """One evening, photographed from check-in to close."""
    tag = f"{size[0]}x{size[1]}"
    with tempfile.TemporaryDirectory() as folder:
        session, clock = demo_session(Path(folder))
        app = FloorApp(session, ticking=False)
        async with app.run_test(size=size) as pilot:
            await picture(app, pilot, f"check-in-{tag}")
            await pilot.press("g")
            await picture(app, pilot, f"groups-{tag}")
            await pilot.press("escape")
            await pilot.press("v")
            await app.workers.wait_for_complete()
            await picture(app, pilot, f"week-{tag}")
            await pilot.press("enter")
            await pilot.pause()
            await app.workers.wait_for_complete()
            await picture(app, pilot, f"lifter-{tag}")
            await pilot.press("tab", "tab")
            await picture(app, pilot, f"lifter-faults-{tag}")
            await pilot.press("escape", "escape")
            everyone_in(session, clock)
            lift_on(session, clock, 4)
            app.show()
            await pilot.press("e", "down", "down", "right", "right")
            await picture(app, pilot, f"plates-{tag}")
            await pilot.press("escape")
            await pilot.press("f")
            app.show_outlook(outlook(session.state, session.latest, clock.now(), session.pace_reader()()))
            await picture(app, pilot, f"floor-{tag}")
            await pilot.press("slash", "v")
            await picture(app, pilot, f"ten-minutes-{tag}")
            await pilot.press("escape")
            app.show_outlook(NO_OUTLOOK)
            for _ in range(3):
                on = on_the_bar(session.state, 1)
                if on is not None and on.set.lift == "clean":
                    break
                await pilot.press("f5")
            for _ in range(3):
                if (on := on_the_bar(session.state, 1)) is not None and on.set.role == "ramp":
                    await pilot.press("f4")
            clock.on(120)
            await pilot.press("enter", "space", "a")
            await picture(app, pilot, f"fault-list-{tag}")
            clock.on(10)
            await pilot.press("enter", "enter")
            await picture(app, pilot, f"proposal-{tag}")
            await pilot.press("f2")
            await picture(app, pilot, f"late-set-{tag}")
            await pilot.press("escape", "f1")
            await picture(app, pilot, f"keys-{tag}")
            await pilot.press("escape", "f12")
            await pilot.pause()
            await pilot.press("f5")
            while "running" in read(app.screen, "#said"):
                await pilot.pause(0.05)
            await picture(app, pilot, f"question-{tag}")
            at = next(n for n, q in enumerate(ready_questions(), 1) if q.name == CHARTED)
            await pilot.press(*["down"] * at, "enter")
            await pilot.pause()
            while "running" in read(app.screen, "#said"):
                await pilot.pause(0.05)
            await pilot.press("f8")
            await picture(app, pilot, f"chart-{tag}")
            await pilot.press("escape")
            await pilot.press("slash", "x")
            await picture(app, pilot, f"close-{tag}")
        session.journal.close()


def main() -> None:
    """All pictures, small and large."""
    FOLDER.mkdir(exist_ok=True)
    for size in ((80, 24), (140, 45)):
        asyncio.run(start(size))


if __name__ == "__main__":
    main()
