"""What one recorded command costs on the disk, beside one row inserted and committed by DuckDB alone."""

from __future__ import annotations

from datetime import timedelta
from functools import partial
from pathlib import Path

import duckdb
import pytest

from floor.clock import WallClock
from floor.core.events import Event
from floor.journal.log import Journal
from tests.bench.benching import milliseconds, report, timed

COUNT = 2000


@pytest.mark.bench
def test_one_event_recorded_beside_one_row_inserted(demo: Path, tmp_path: Path) -> None:
    clock = WallClock()
    now = clock.now()
    journal = Journal.open(demo, now=now, zone="UTC", unit="kg", templates={})
    opened = max(recorded.events[0].session or 0 for recorded in journal.read().tonight) + 1
    journal.append([Event(kind="session_opened", happened=now, session=opened)])
    bare = duckdb.connect(str(tmp_path / "bare.duckdb"))
    bare.execute(
        "CREATE TABLE row (seq BIGINT, happened TIMESTAMPTZ, kind TEXT, lifter INTEGER, lift TEXT, rep INTEGER)"
    )
    ours: list[float] = []
    theirs: list[float] = []

    def insert(n: int) -> None:
        bare.execute("BEGIN")
        bare.execute("INSERT INTO row VALUES (?, ?, ?, ?, ?, ?)", [n, now, "rep_made", 1, "clean", 1])
        bare.execute("COMMIT")

    for n in range(COUNT):
        event = Event(
            kind="fault_seen", happened=now + timedelta(seconds=n), session=opened, lifter=1, lift="clean",
            set_no=1, rep=1, fault="arms-bent-early",
        )  # fmt: skip
        ours.append(timed(partial(journal.append, [event])))
        theirs.append(timed(partial(insert, n)))
    journal.close()
    bare.close()
    report(
        "One command of one event: committed, then the second copy forced to the disk",
        [
            ("", "count", "median ms", "p99 ms", "worst ms", "ratio median", "ratio p99"),
            *(
                (name, str(COUNT), f"{milliseconds(took, 0.5):.2f}", f"{milliseconds(took, 0.99):.2f}",
                 f"{1000 * max(took):.2f}", f"{milliseconds(took, 0.5) / milliseconds(theirs, 0.5):.1f}",
                 f"{milliseconds(took, 0.99) / milliseconds(theirs, 0.99):.1f}")
                for name, took in (("journal append", ours), ("bare insert, commit", theirs))
            ),
        ],
    )  # fmt: skip
