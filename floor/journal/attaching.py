"""Other databases beside the gym's in one connection: quoted rightly, and let go of whatever happens."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import duckdb

from floor.journal.quoting import identifier, literal

Connection = duckdb.DuckDBPyConnection


def alias(words: str) -> str:
    """A name, as SQL writes it, for a database to be attached: one no gym has, as a gym goes by its file's name."""
    return identifier(f"{words}/")


@contextmanager
def attached(connection: Connection, file: Path | str, name: str, read_only: bool = False) -> Iterator[None]:
    """The database in `file`, or ":memory:", as `name`, which is written as SQL writes it. Raises duckdb.Error."""
    connection.execute(f"ATTACH {literal(str(file))} AS {name}{' (READ_ONLY)' if read_only else ''}")
    try:
        yield
    finally:
        connection.execute(f"DETACH {name}")


@contextmanager
def looked_in_first(connection: Connection, name: str) -> Iterator[None]:
    """Names without a database are looked for in the one called `name`, as SQL writes it, then in the gym."""
    gym = identifier(connection.execute("SELECT current_database()").fetchall()[0][0])
    try:
        connection.execute(f"SET search_path = {literal(f'{name},{gym}')}")
        yield
    finally:
        connection.execute(f"SET search_path = {literal(gym)}")
