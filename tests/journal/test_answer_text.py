"""A value of an answer in words: what DuckDB's own cast to text gives is what is written."""

from __future__ import annotations

from datetime import timedelta

import duckdb
import pytest
from hypothesis import given
from hypothesis import strategies as st

from floor.journal.answertext import words_for

SAME = [
    "true", "[true, false]", "0::DECIMAL(18, 8)", "[0::DECIMAL(18, 8)]", "12.50::DECIMAL(9, 2)", "1234567.8::DOUBLE",
    "1e16::DOUBLE", "1e-5::DOUBLE", "'inf'::DOUBLE", "'nan'::DOUBLE", "0.1::FLOAT", "[0.1::FLOAT]", "12345.678::FLOAT",
    "3.4e38::FLOAT", "[1.0, NULL]", "[[1], [2]]", "array_value(1, 2)", "{'a': 1, 'b': 'x y', 'c d': NULL}",
    "[{'k': 'a=b'}]", "{'it''s': ['x:y']}", "MAP{'k': [1], 'x=y': NULL}", "MAP{{'a': 1}: 'x'}", "(1, NULL)", "row('a')",
    "row(TIME '10:00:00')", "'\\x00\\xFFab '::BLOB", "['\\x00'::BLOB]", "DATE '2026-01-01'", "'infinity'::DATE",
    "'-infinity'::DATE", "DATE '12000-01-01'", "DATE '0044-03-15 (BC)'", "'infinity'::TIMESTAMP",
    "'-infinity'::TIMESTAMPTZ", "TIMESTAMP '2026-01-01 10:00:00.5'", "[TIMESTAMP '2026-01-01 10:00:00']",
    "TIMESTAMPTZ '2026-01-01 10:00:00+02'", "TIME '10:00:01.5'", "TIMETZ '10:00:00-02'", "TIMETZ '10:00:00+02:30'",
    "INTERVAL 3 DAY", "INTERVAL 90 MINUTE", "INTERVAL (-90) SECOND", "INTERVAL '0.5 seconds'", "INTERVAL '0 seconds'",
    "INTERVAL '-1 day'", "[INTERVAL 90 MINUTE]", "['{\"a\":1}'::JSON]", "'a'::ENUM('a', 'b,c')",
    "[union_value(num := 'a,b')]", "170141183460469231731687303715884105727::HUGEINT",
]  # fmt: skip


@pytest.fixture(scope="module")
def connection() -> duckdb.DuckDBPyConnection:
    found = duckdb.connect()
    found.execute("SET TimeZone = 'UTC'")
    return found


@pytest.mark.parametrize("value", SAME)
def test_a_value_is_written_as_duckdb_writes_it(connection: duckdb.DuckDBPyConnection, value: str) -> None:
    cursor = connection.execute(f"SELECT {value}, ({value})::VARCHAR")
    kind = str((cursor.description or ())[0][1])
    found, told = cursor.fetchall()[0]
    assert words_for(kind)(found) == told


@given(st.lists(st.none() | st.text(alphabet="ab ,'\"[]{}()=:\\\n\tNULnulé", max_size=6), max_size=4))
def test_text_in_a_list_is_quoted_as_duckdb_quotes_it(words: list[str | None]) -> None:
    told = duckdb.execute("SELECT $1::VARCHAR[]::VARCHAR", [words]).fetchall()[0][0]
    assert words_for("VARCHAR[]")(words) == told


@given(st.floats(width=32, allow_nan=False, allow_subnormal=False))
def test_a_number_of_four_bytes_has_no_more_figures_than_it_needs(number: float) -> None:
    """Under 1.2e-38 a number has fewer than seven figures, and the two tell it differently."""
    told = duckdb.execute("SELECT $1::FLOAT::VARCHAR", [number]).fetchall()[0][0]
    assert words_for("FLOAT")(number) == told


@given(st.timedeltas(min_value=timedelta(days=-999), max_value=timedelta(days=999)))
def test_a_length_of_time_in_words_is_read_back_as_the_same(length: timedelta) -> None:
    told = words_for("INTERVAL")(length)
    assert duckdb.execute("SELECT $1::INTERVAL", [told]).fetchall()[0][0] == length


def test_no_value_is_empty_and_a_value_in_another_shape_is_still_words() -> None:
    assert words_for("INTEGER")(None) == ""
    assert words_for("STRUCT(a INTEGER)")(3) == "3"
