"""`floor` and `floor demo`: the gym on screen."""

from __future__ import annotations

import argparse
import gc
import tempfile
from contextlib import closing
from importlib import import_module
from pathlib import Path
from threading import Thread

from floor.clock import WallClock, local_zone
from floor.session import Session
from floor.shell_gym import no, with_gym

HELD_DOWN = 0.05
"""Seconds between two Enters that are held down: a keyboard repeats 20 to 30 times a second. No source.

Two that close may be a hand's, when the machine was slow to read them: only a third is left out.
"""


def open_app(options: argparse.Namespace) -> int:
    """Open the coach's own gym on screen; it is made when there is none.

    The screens are imported meanwhile: opening waits for the disk and for the database.
    Hardly anything made on the way to the app is ever garbage, so the collector is left out of it.
    """
    gc.disable()
    Thread(target=import_module, args=("floor.tui.app",), name="screens", daemon=True).start()
    return with_gym(options, _run)


def _run(session: Session) -> int:
    from floor.planning import Planner
    from floor.tui.app import FloorApp

    gc.freeze()
    gc.enable()
    with closing(Planner()) as planner:
        app = FloorApp(session, session.journal.opening.words, planner=planner)
        app.held_down = HELD_DOWN
        app.run(mouse=False)
    return app.return_code or 0


def demo(options: argparse.Namespace) -> int:
    """Open a copy of the demo gym: thrown away, or kept where it was said."""
    keep: Path | None = options.keep
    if options.unit == "lb":
        return no("The demo gym is in kg. `floor --unit lb --gym FILE` makes a gym in pounds.")
    if keep is None and not options.make_only:
        with tempfile.TemporaryDirectory(prefix="floor-demo-") as folder:
            return _open_demo(Path(folder) / "demo.duckdb", "thrown away when you leave; --keep FILE keeps it", False)
    path = keep or Path(tempfile.mkdtemp(prefix="floor-demo-")) / "demo.duckdb"
    return _open_demo(path, "opened as it is" if path.exists() else "kept", options.make_only)


def _open_demo(path: Path, what: str, make_only: bool) -> int:
    from floor.demo import make_demo

    if not path.exists():
        print("Making the demo gym: twelve simulated weeks, a few seconds.", flush=True)
        make_demo(path, WallClock().now(), local_zone())
    print(f"The demo gym is {path} ({what}).", flush=True)
    return 0 if make_only else open_app(argparse.Namespace(gym=path, unit=None))
