"""A large gym: years of the demo's evenings over and over, for other lifters and at other loads.

    python -m tests.bench.large_gym FILE [GROUPS [CYCLES]]

The demo's 36 evenings went through the real decide and apply; each copy of them
moves the numbers of session, command, row and lifter, the time and the load,
and nothing else, so every row has the form its kind needs. Some faults are
undone again, as coaches do. 39 groups of 14 share 200 lifters; 43 cycles of
twelve weeks are ten years: 6 million sets, 31 million events.

The chain is honest for the latest session only, which is what opening checks;
the rows before it have digests of the same length that prove nothing.
"""

from __future__ import annotations

import shutil
import sys
import tempfile
from datetime import UTC, datetime
from pathlib import Path

import duckdb

from floor.demo import make_demo
from floor.journal.log import Journal
from floor.journal.rows import COLUMNS, link, row_from
from floor.journal.schema import EVENT_COLUMNS

NOW = datetime(2026, 11, 25, 17, 0, tzinfo=UTC)
ZONE = "Europe/Berlin"
LIFTERS, GROUPS, CYCLES = 200, 39, 43
"""Ten years: 43 cycles of the demo's twelve weeks."""

UNDONE_OF = 40
"""Every so many faults, one that is undone at once."""

_TEMPLATE = f"""
CREATE TEMP TABLE template AS
WITH kept AS (
    SELECT * FROM demo.event
    WHERE session IS NOT NULL AND kind NOT IN ('lifter_joined', 'programme_given')
), slips AS (
    SELECT *, row_number() OVER (ORDER BY seq) AS slip FROM kept
    WHERE kind = 'fault_seen' AND cmd IN (SELECT cmd FROM kept GROUP BY cmd HAVING count(*) = 1)
), undos AS (
    SELECT * FROM slips WHERE slip % {UNDONE_OF} = 0
), all_ AS (
    SELECT * EXCLUDE (undoes), cmd::DOUBLE AS at_cmd, NULL::BIGINT AS of_cmd FROM kept
    UNION ALL BY NAME
    SELECT seq, session, happened + INTERVAL 1 SECOND AS happened, 'undone' AS kind, cmd + 0.5 AS at_cmd,
           cmd AS of_cmd FROM undos
), numbered AS (
    SELECT *, row_number() OVER (ORDER BY at_cmd, seq) AS no, dense_rank() OVER (ORDER BY at_cmd) AS c FROM all_
)
SELECT n.* EXCLUDE (seq, cmd, at_cmd, of_cmd), u.c AS undoes,
       n.no - min(n.no) OVER evening AS row_in, n.c - min(n.c) OVER evening AS cmd_in
FROM numbered AS n LEFT JOIN (SELECT DISTINCT at_cmd, c FROM numbered) AS u ON u.at_cmd = n.of_cmd
WINDOW evening AS (PARTITION BY n.session)
ORDER BY n.no
"""
"""The demo's evenings with rows and commands numbered from 0 within each; `undoes` still counts over all."""

_PLACES = """
CREATE TEMP TABLE place AS
WITH size AS (
    SELECT session, count(*) AS n, max(cmd_in) + 1 AS cmds, min(c) AS first FROM template GROUP BY session
)
SELECT session, first, g, 1 + g * {lifters} // {groups} AS shift,
       sum(n) OVER turns - n AS rows_before, sum(cmds) OVER turns - cmds AS cmds_before,
       row_number() OVER turns AS no
FROM size, range({groups}) AS r(g)
WINDOW turns AS (ORDER BY session, g ROWS UNBOUNDED PRECEDING)
"""
"""One row an evening of a group, in the order they are recorded in each cycle."""


def _cells() -> str:
    """Every column of a copied row, in the order of the table."""
    own = {
        "seq": "$seq + p.rows_before + t.row_in + 1",
        "cmd": "$cmd + p.cmds_before + t.cmd_in + 1",
        "session": "$session + p.no",
        "happened": "t.happened - to_days($days + (p.g % 2)::INTEGER) - to_minutes(35 * (p.g // 2)::INTEGER)",
        "lifter": "((t.lifter + p.shift - 2) % $lifters + 1)::INTEGER",
        "other": "((t.other + p.shift - 2) % $lifters + 1)::INTEGER",
        "load": 't."load" + (250 * ($cycle % 9))::INTEGER',
        "was": 't."was" + (250 * ($cycle % 9))::INTEGER',
        "undoes": "$cmd + p.cmds_before + t.undoes - p.first + 1",
        "chain": "md5(concat($seq, '.', p.no, '.', t.row_in))",
    }
    return ", ".join(f'{own.get(name, f"""t."{name}" """)} AS "{name}"' for name in EVENT_COLUMNS)


def make_large(path: Path, groups: int = GROUPS, cycles: int = CYCLES, lifters: int = LIFTERS) -> None:
    """Write the gym to a new file at `path`: that many groups of the demo's fourteen, that many times twelve weeks."""
    with tempfile.TemporaryDirectory(prefix="floor-large-") as folder:
        demo = Path(folder) / "demo.gym"
        make_demo(demo, NOW, ZONE)
        shutil.copy(demo, path)
        connection = duckdb.connect(str(path), config={"threads": 2, "memory_limit": "3GB"})
        try:
            connection.execute("SET TimeZone = 'UTC'")
            connection.execute(f"ATTACH '{demo}' AS demo (READ_ONLY)")
            connection.execute(_TEMPLATE)
            connection.execute("SELECT setseed(0.5)")
            connection.execute(_PLACES.format(groups=groups, lifters=lifters))
            _people(connection, lifters)
            _copies(connection, cycles, lifters)
            _honest_chain(connection)
            connection.execute("CHECKPOINT")
        finally:
            connection.close()
    path.with_name(path.name + ".tail").unlink(missing_ok=True)


def _people(connection: duckdb.DuckDBPyConnection, lifters: int) -> None:
    """The facts of no session, of the demo's first command and of everyone's joining; names like Lifter 17."""
    connection.execute("DELETE FROM event WHERE cmd > 1")
    connection.execute("DELETE FROM person")
    connection.execute(
        "INSERT INTO person SELECT n, 'Lifter Number ' || n, 'Lif ' || n, [] FROM range(1, $n + 1) AS r(n)",
        {"n": lifters},
    )
    connection.execute(
        "INSERT INTO event (seq, cmd, kind, happened, lifter, youth, definition, day, chain) "
        "SELECT $seq + 2 * n - 1 + k, 1 + n, CASE k WHEN 0 THEN 'lifter_joined' ELSE 'programme_given' END, "
        "       $now::TIMESTAMPTZ, n, CASE k WHEN 0 THEN false END, CASE k WHEN 1 THEN 'week3' END, "
        "       CASE k WHEN 1 THEN 1 END, md5('joined' || n || k) "
        "FROM range(1, $n + 1) AS r(n), range(2) AS s(k) ORDER BY n, k",
        {"n": lifters, "seq": connection.execute("SELECT max(seq) FROM event").fetchall()[0][0], "now": NOW},
    )


def _copies(connection: duckdb.DuckDBPyConnection, cycles: int, lifters: int) -> None:
    sessions, rows, commands = connection.execute(
        "SELECT max(p.no), sum(s.n), sum(s.cmds) FROM place AS p JOIN "
        "(SELECT session, count(*) AS n, max(cmd_in) + 1 AS cmds FROM template GROUP BY session) AS s USING (session)"
    ).fetchall()[0]
    seq, cmd = connection.execute("SELECT max(seq), max(cmd) FROM event").fetchall()[0]
    for cycle in range(cycles):
        numbers = {
            "seq": seq + cycle * rows, "cmd": cmd + cycle * commands, "session": cycle * sessions,
            "days": 84 * (cycles - 1 - cycle), "lifters": lifters, "cycle": cycle,
        }  # fmt: skip
        connection.execute(
            f"INSERT INTO event ({COLUMNS}) SELECT {_cells()} FROM template AS t JOIN place AS p USING (session) "
            "ORDER BY p.no, t.row_in",
            numbers,
        )


def _honest_chain(connection: duckdb.DuckDBPyConnection) -> None:
    """The latest session's chain as it would have been written."""
    first = connection.execute("SELECT max(cmd) FROM event WHERE kind = 'session_opened'").fetchall()[0][0]
    rows = connection.execute(f"SELECT {COLUMNS} FROM event WHERE cmd >= ? ORDER BY seq", [first]).fetchall()
    chain = connection.execute("SELECT arg_max(chain, seq) FROM event WHERE cmd < ?", [first]).fetchall()[0][0]
    for row in map(row_from, rows):
        chain = link(chain, row.seq, row.cmd, row.event)
        connection.execute("UPDATE event SET chain = ? WHERE seq = ?", [chain, row.seq])


def open_large(path: Path) -> Journal:
    """The gym open as the app has it."""
    return Journal.open(path, now=NOW, zone=ZONE, unit="kg", templates={})


if __name__ == "__main__":
    make_large(Path(sys.argv[1]), *map(int, sys.argv[2:]))
