"""Faults by name in the tables a question may use: a column put into the copy when it is made.

The views in the gym file know ids alone: names stand in the lifts document,
which is text. The copy is made anew after every adoption, so its names are
those of now.
"""

from __future__ import annotations

from collections.abc import Mapping

import duckdb

from floor.core.faultnames import fault_names
from floor.journal.quoting import literal

Names = Mapping[tuple[str, str], str]
"""(lift id, fault id) -> name."""

NAMED: dict[str, str] = {"reps": "fault_names", "faults": "fault_name", "cues": "fault_name"}
"""The views with a column of names more than the gym file's, and that column, which is their last."""


def read_names(cursor: duckdb.DuckDBPyConnection) -> dict[tuple[str, str], str]:
    """The names of all faults the gym has ever taught."""
    rows = cursor.execute("SELECT text FROM definition WHERE id = 'lifts' ORDER BY version").fetchall()
    return fault_names(text for (text,) in rows)


def with_names(view: str, query: str, names: Names) -> str:
    """The query of a view with its column of names, if it has one. A fault without a name goes by its id."""
    if view not in NAMED:
        return query
    one = "fault"
    if view == "reps":
        called = _called(one, names)
        words = f"array_to_string(list_transform(string_split(v.faults, ', '), lambda {one}: {called}), ', ')"
    else:
        words = _called("v.fault", names)
    return f"SELECT v.*, {words} AS {NAMED[view]} FROM ({query}) AS v"


def _called(fault: str, names: Names) -> str:
    if not names:
        return fault
    entries = ", ".join(f"{literal(f'{lift}/{of}')}: {literal(name)}" for (lift, of), name in names.items())
    return f"coalesce(map_extract_value(MAP {{{entries}}}, v.lift || '/' || {fault}), {fault})"
