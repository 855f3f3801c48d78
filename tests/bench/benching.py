"""What the benchmarks share: the empty app, the clock, percentiles, the table."""

from __future__ import annotations

import os
import platform
import sys
import time
from collections.abc import Callable, Sequence
from pathlib import Path

from tests.terminal.terminal import Terminal

EMPTY_APP = Path(__file__).parent / "empty_app.py"
"""A Textual app with one Static that counts keys: what any app pays for a key and for its start."""


def milliseconds(values: Sequence[float], share: float) -> float:
    """The value below which that share of the seconds lie, in ms; the nearest rank, no interpolation."""
    ordered = sorted(values)
    return 1000 * ordered[min(len(ordered) - 1, int(share * len(ordered)))]


def timed(act: Callable[[], object]) -> float:
    """Seconds one call takes."""
    started = time.perf_counter()
    act()
    return time.perf_counter() - started


def key_to_paint(term: Terminal, key: str, still: float = 0.02) -> tuple[float, float, int]:
    """Seconds from a key to the first and to the last bytes it wrote, and how many bytes.

    The key goes in when the terminal has been still for `still` seconds, longer
    than a frame of the app (1/60 s), so that no key waits for the frame of the
    one before. The last bytes are those before the next such silence.
    AssertionError when nothing comes for a second: that key painted nothing.
    """
    while term.pump(still):
        pass
    term.let_go(key)
    started = time.perf_counter()
    term.press(key)
    came = term.pump(1.0)
    first = last = term.read_at - started
    assert came, f"{key!r} painted nothing:\n{term.text()}"
    size = len(came)
    while more := term.pump(still):
        last = term.read_at - started
        size += len(more)
    return first, last, size


def machine() -> str:
    """What it ran on, in one line."""
    load = os.getloadavg()[0] if hasattr(os, "getloadavg") else float("nan")
    return (
        f"{platform.system()} {platform.machine()}, {os.cpu_count()} cores, Python {platform.python_version()}, "
        f"load average {load:.1f} in the last minute"
    )


def report(title: str, rows: Sequence[Sequence[str]]) -> None:
    """Print a table; its first row is the head."""
    widths = [max(len(row[n]) for row in rows) for n in range(len(rows[0]))]
    out = sys.stdout
    print(f"\n\n{title}\n{machine()}", file=out)
    for row in rows:
        cells = [cell.rjust(width) for cell, width in zip(row, widths, strict=True)]
        print("  ".join([row[0].ljust(widths[0]), *cells[1:]]), file=out)
