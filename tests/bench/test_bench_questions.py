"""Ten years of 200 lifters, six million sets: how long the ready questions take, beside SQLite and pandas.

Nothing here asserts a time: run it with `pytest -m bench -s tests/bench/test_bench_questions.py` and read the
tables. It takes seven minutes on two cores, most of it to make the gym, the kept copy and the peers' tables;
FLOOR_BENCH_GROUPS and FLOOR_BENCH_CYCLES make a smaller gym, FLOOR_BENCH_FOLDER keeps what was made.
Processor time is of all threads together: on a busy machine it says more than the time on the wall.
"""

from __future__ import annotations

import os
import sqlite3
import tempfile
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

import duckdb
import pytest

from floor.asking import Asker
from floor.background import Question, Table
from floor.clock import SetClock
from floor.core.week import the_week
from floor.journal import keeping
from floor.journal.question import connect
from floor.journal.snapshot import snapshot
from floor.journal.twoweeks import read_trends, read_two_weeks
from floor.session import Session
from floor.templates import ready_questions
from floor.tui import present_week
from tests.bench.benching import key_to_paint, milliseconds, report, timed
from tests.bench.large_gym import CYCLES, GROUPS, NOW, make_large, open_large
from tests.terminal.terminal import Terminal, python_floor

pytestmark = pytest.mark.bench

RUNS = 5
WEEK = ("who missed reps", "what nobody watched")
"""The ready questions about a week; the others look over all years."""
PEERS = {
    "who missed reps": (
        "SELECT lifter, lift, evening, load, sum(made), sum(missed) FROM sets WHERE missed > 0 "
        "AND evening > date((SELECT max(evening) FROM sets), '-7 day') GROUP BY lifter, lift, evening, load",
        lambda f: f[(f.missed > 0) & (f.evening > f.evening.max() - _days(7))]
        .groupby(["lifter", "lift", "evening", "load"], observed=True)[["made", "missed"]].sum(),
    ),
    "load moved per lifter": (
        "SELECT date(evening, 'weekday 0', '-6 day') AS monday, lifter, sum(load * made), sum(made) FROM sets "
        "GROUP BY monday, lifter",
        lambda f: f.assign(moved=f.load * f.made, monday=f.evening.dt.to_period("W"))
        .groupby(["monday", "lifter"], observed=True)[["moved", "made"]].sum(),
    ),
    "best estimated maximum": (
        "SELECT lifter, lift, max(load * (1 + made / 30.0)) FROM sets WHERE made BETWEEN 2 AND 10 AND missed = 0 "
        "AND grade NOT IN ('rough', 'broken') GROUP BY lifter, lift",
        lambda f: f[f.made.between(2, 10) & (f.missed == 0) & ~f.grade.isin(["rough", "broken"])]
        .assign(most=lambda g: g.load * (1 + g.made / 30)).groupby(["lifter", "lift"], observed=True).most.max(),
    ),
    "grades by evening": (
        "SELECT evening, grade, count(*) FROM sets WHERE role <> 'ramp' GROUP BY evening, grade",
        lambda f: f[f.role != "ramp"].groupby(["evening", "grade"], observed=True).size(),
    ),
    "what nobody watched": (
        "SELECT lifter, count(*), sum(seen) FROM sets WHERE role <> 'ramp' "
        "AND evening > date((SELECT max(evening) FROM sets), '-7 day') GROUP BY lifter",
        lambda f: f[(f.role != "ramp") & (f.evening > f.evening.max() - _days(7))]
        .groupby("lifter", observed=True).seen.agg(["size", "sum"]),
    ),
}  # fmt: skip
"""The ready questions over the one table of sets, as SQLite and as pandas would be asked them."""


def _days(many: int) -> object:
    import pandas as pd

    return pd.Timedelta(days=many)


@dataclass
class Large:
    path: Path
    session: Session
    opened: float
    copied: float


@pytest.fixture(scope="module")
def large() -> Iterator[Large]:
    given = os.environ.get("FLOOR_BENCH_FOLDER")
    with tempfile.TemporaryDirectory(prefix="floor-bench-") as throw_away:
        path = Path(given or throw_away) / "large.gym"
        if not path.exists():
            groups, cycles = os.environ.get("FLOOR_BENCH_GROUPS", GROUPS), os.environ.get("FLOOR_BENCH_CYCLES", CYCLES)
            make_large(path, int(groups), int(cycles))
        started = time.perf_counter()
        session = Session(open_large(path), SetClock(NOW))
        opened = time.perf_counter() - started
        asker = Asker(session)
        copied = timed(asker.prepare)
        asker.close()
        yield Large(path, session, opened, copied)
        session.journal.close()


def memory() -> tuple[int, int]:
    """MB this process holds now, and the most it held."""
    lines = Path("/proc/self/status").read_text().splitlines()
    now, most = (next(int(line.split()[1]) for line in lines if line.startswith(key)) for key in ("VmRSS", "VmHWM"))
    return now // 1024, most // 1024


def best(act: Callable[[], object], runs: int = RUNS) -> tuple[float, float]:
    """Milliseconds of the middle run on the wall, and of the least processor time."""
    wall, work = [], []
    for _ in range(runs):
        before = time.process_time()
        wall.append(timed(act))
        work.append(time.process_time() - before)
    return milliseconds(wall, 0.5), 1000 * min(work)


def test_opening_the_copy_and_the_week_and_what_they_hold_in_memory(large: Large, tmp_path: Path) -> None:
    fresh = best(lambda: snapshot(large.session.journal, tmp_path))
    state, names = large.session.state, large.session.names

    def week(trends: bool) -> None:
        cursor = large.session.journal.cursor()
        past = read_two_weeks(cursor)
        found = the_week(read_trends(cursor, past) if trends else past, state, names, NOW.date(), trends)
        cursor.close()
        assert found is not None
        assert present_week.window(present_week.blocks(found, state.gym, names, 120), 0, 40)

    shown, whole = best(lambda: week(False), 3), best(lambda: week(True), 3)
    now, most = memory()
    kept = keeping.kept_path(large.path)
    report(
        f"A gym of {large.session.journal.head.seq:,} events, {large.path.stat().st_size / 1e6:,.0f} MB",
        [
            ("", "ms", "processor ms"),
            ("opening it, state and all", f"{1000 * large.opened:.0f}", "–"),
            (f"the kept copy the first time or up to date ({kept.stat().st_size / 1e6:.0f} MB)",
             f"{1000 * large.copied:.0f}", "–"),
            ("fresh for a question after a set", f"{fresh[0]:.0f}", f"{fresh[1]:.0f}"),
            ("the two weeks read, a screenful put into lines (aim 300)", f"{shown[0]:.0f}", f"{shown[1]:.0f}"),
            ("the same with trends and stalls, which fill in", f"{whole[0]:.0f}", f"{whole[1]:.0f}"),
            (f"memory: {now} MB now, {most} MB at most (aim 400)", "", ""),
        ],
    )  # fmt: skip


def test_the_ready_questions_beside_sqlite_and_pandas(large: Large, tmp_path: Path) -> None:
    asked = connect(snapshot(large.session.journal, tmp_path), 60)
    ours = {q.name: best(lambda sql=q.sql: asked.cursor().execute(sql).fetchmany(1000)) for q in ready_questions()}
    theirs = _peers(asked, tmp_path)
    rows = [("", "ms", "processor ms", "aim", "SQLite ms", "pandas ms", "least ratio")]
    for question in ready_questions():
        wall, work = ours[question.name]
        beside = theirs.get(question.name)
        cells = ("–", "–", "–")
        if beside is not None:
            cells = (f"{beside[0]:.0f}", f"{beside[1]:.0f}", f"{min(beside) / wall:.1f}")
        aim = 60 if question.name in WEEK else 500
        rows.append((question.name, f"{wall:.0f}", f"{work:.0f}", str(aim), *cells))
    report("Ready questions, first 1,000 rows fetched (the child's own start and the pipe left out)", rows)


def _peers(asked: duckdb.DuckDBPyConnection, folder: Path) -> dict[str, tuple[float, float]]:
    """The same rows in SQLite, indexed by evening and by lifter, and in pandas; milliseconds of each."""
    columns = "evening, lifter, lift, role, load::DOUBLE AS load, made, missed, grade, seen"
    lite = sqlite3.connect(folder / "peer.sqlite")
    lite.execute("CREATE TABLE sets (evening TEXT, lifter TEXT, lift TEXT, role TEXT, load REAL, made INT, missed INT, "
                 "grade TEXT, seen INT)")  # fmt: skip
    cursor = asked.cursor().execute(f"SELECT evening::VARCHAR, {columns.partition(', ')[2]} FROM sets")
    while chunk := cursor.fetchmany(50_000):
        lite.executemany("INSERT INTO sets VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?)", chunk)
    lite.execute("CREATE INDEX by_evening ON sets (evening)")
    lite.execute("CREATE INDEX by_lifter ON sets (lifter, lift)")
    lite.execute("ANALYZE")
    lite.commit()
    found = {name: best(lambda sql=sql: lite.execute(sql).fetchmany(1000), 2)[0] for name, (sql, _) in PEERS.items()}
    lite.close()
    (folder / "peer.sqlite").unlink()
    table = asked.cursor().sql(f"SELECT {columns} FROM sets").to_arrow_table()
    frame = table.to_pandas(strings_to_categorical=True)
    del table
    frame["evening"] = frame["evening"].astype("datetime64[s]")
    return {name: (found[name], best(lambda f=f: f(frame), 2)[0]) for name, (_, f) in PEERS.items()}


def test_a_question_from_the_key_to_its_answer(large: Large) -> None:
    asker = Asker(large.session)
    asker.prepare()
    took = []
    for question in ready_questions():
        def whole(sql: str = question.sql) -> None:
            asked = asker.ask(sql)
            assert isinstance(asked, Question) and isinstance(asked.wait(60), Table)
            asked.stop()

        took.append((question.name, f"{best(whole, 3)[0]:.0f}"))
    asker.close()
    report("From the key to the first page, child started and ended", [("", "ms"), *took])


def test_a_recorded_key_while_a_question_runs(demo: Path, tmp_path: Path) -> None:
    """Space and Backspace on the floor: idle, and while the child of a question works beside it."""
    heavy = "SELECT sum(hash(a.range, b.range)) FROM range(10000000) a, range(1000000) b"
    times: dict[str, list[float]] = {"idle": [], "while a question runs": []}
    made = tmp_path / "demo-copy.duckdb"
    duckdb.connect(str(made)).close()
    with Terminal(python_floor("--gym", demo), 120, 40) as term:
        term.wait_for("no session is open")
        for _ in range(4):
            term.step("enter")
        term.step("f")
        term.wait_for("RESTING")
        term.step("enter")
        for turn in range(6):
            kind = ("idle", "while a question runs")[turn % 2]
            question = Question.start(made, heavy, seconds=60) if turn % 2 else None
            for _ in range(40):
                times[kind].append(key_to_paint(term, "space")[0])
                times[kind].append(key_to_paint(term, "backspace")[0])
            if question is not None:
                assert question.poll() is None, "the question ended before the keys did"
                question.stop()
    idle = times["idle"]
    report(
        "A recorded key and its undo, to the painted screen (aim: p99 within 1.5 of idle)",
        [
            ("", "keys", "median ms", "p99 ms", "ratio p99"),
            *((name, str(len(took)), f"{milliseconds(took, 0.5):.1f}", f"{milliseconds(took, 0.99):.1f}",
               f"{milliseconds(took, 0.99) / milliseconds(idle, 0.99):.2f}") for name, took in times.items()),
        ],
    )  # fmt: skip
