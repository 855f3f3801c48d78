"""What a question may name: the coach's tables, not what they are put together from nor where the files lie.

A large gym's tables are views over two databases, `kept` and `fresh`, which a
question must be able to reach through them and should not see by itself.
"""

from __future__ import annotations

import re

import duckdb

_NAMED = re.compile(
    r'"path":\["(?:kept|fresh)",'
    r'|"(?:table_name|function_name)":"(?:duckdb|pragma)_'
    r'|"function_name":"(?:query|query_table|json_execute_serialized_sql)"',
    re.IGNORECASE,
)
"""In a statement as JSON, where a quotation mark inside a text has a backslash before it."""

_TYPED = re.compile(r"\b(?:kept|fresh|query|query_table|duckdb_\w+|pragma_\w+)\b", re.IGNORECASE)
"""In a statement the library can't tell as JSON."""


def reaches_behind(cursor: duckdb.DuckDBPyConnection, sql: str) -> bool:
    """Whether one SELECT names what lies behind the coach's tables. Raises duckdb.Error and MemoryError."""
    told = str(cursor.execute("SELECT json_serialize_sql($1)", [sql]).fetchall()[0][0])
    return bool(_TYPED.search(sql) if told.startswith('{"error":true') else _NAMED.search(told))
