"""An answer as the child process holds it: paged, sorted, and written out as a file's bytes.

Rows stay as DuckDB gave them, so that what is saved is exact and typed; a page
is words a screen can show.
"""

from __future__ import annotations

import csv
import io
import json
import math
import re
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from decimal import Decimal
from typing import Any

from floor.journal.answertext import is_infinite, words_for

CELL = 4_000
"""Characters of one value that are shown."""

ANSWER = 4_000_000
"""Characters of one page, beyond which rows are left for the next."""

COLUMNS = 200
"""Columns of an answer that are shown; all of them are saved."""

CELLS_SHOWN = 20_000
"""Cells of one page: more would hold up the screen that shows them."""

Write = Callable[[bytes], Any]


@dataclass
class Held:
    """The columns (name and DuckDB's type), the rows, and whether rows were left off."""

    columns: list[dict[str, str]]
    rows: list[tuple[Any, ...]]
    more: bool = False
    _order: dict[tuple[int, bool], list[int]] = field(default_factory=dict)

    def order(self, sort: int | None, descending: bool) -> Sequence[int]:
        """The numbers of the rows by one column, missing values last; as they came when `sort` is None."""
        if sort is None or not 0 <= sort < len(self.columns):
            return range(len(self.rows))
        if (sort, descending) not in self._order:
            there = [n for n, row in enumerate(self.rows) if not _missing(row[sort])]
            gone = [n for n, row in enumerate(self.rows) if _missing(row[sort])]
            try:
                there.sort(key=self._rank(sort), reverse=descending)
            except TypeError:  # values that have no order of their own
                there.sort(key=lambda n: self.words(n, sort), reverse=descending)
            self._order = {(sort, descending): there + gone}
        return self._order[sort, descending]

    def _rank(self, column: int) -> Callable[[int], Any]:
        """What a row is sorted by; days and times by their words where one is too far off to be anything else."""
        days = self.columns[column]["type"].startswith(("DATE", "TIMESTAMP"))
        if days and any(isinstance(row[column], str) for row in self.rows):
            return lambda n: by_year(self.words(n, column))
        return lambda n: rank(self.rows[n][column])

    def words(self, row: int, column: int) -> str:
        """A value in DuckDB's own words; "" for none."""
        return words_for(self.columns[column]["type"])(self.rows[row][column])

    def page(self, first: int, count: int, sort: int | None = None, descending: bool = False) -> dict[str, Any]:
        """Up to `count` rows from number `first` on, as they go over the pipe."""
        count = min(count, max(1, CELLS_SHOWN // max(1, min(len(self.columns), COLUMNS))))
        rows: list[list[Any]] = []
        size = 0
        for n in self.order(sort, descending)[max(0, first) : max(0, first) + count]:
            cells = [cell(v, c["type"]) for v, c in zip(self.rows[n][:COLUMNS], self.columns[:COLUMNS], strict=True)]
            size += sum(len(c) if isinstance(c, str) else 8 for c in cells)
            if rows and size > ANSWER:
                break
            rows.append(cells)
        columns = [{"name": c["name"][:CELL], "type": c["type"][:CELL]} for c in self.columns[:COLUMNS]]
        return {
            "columns": columns, "rows": rows, "more": self.more, "first": max(0, first), "total": len(self.rows),
            "wide": len(self.columns),
        }  # fmt: skip

    def save(
        self, kind: str, write: Write, sort: int | None = None, descending: bool = False
    ) -> tuple[int, str]:
        """Write every row as "csv", "json", "parquet" or "arrow"; returns how many, and what had to be told of them.

        Text goes out as it is, whatever it begins with: a file says what the answer
        says, and a spreadsheet that takes "=1+1" for a sum has to be told that it is text.
        ValueError for another kind.
        """
        order, told = self.order(sort, descending), ""
        if kind == "csv":
            self._csv(order, write)
        elif kind == "json":
            self._json(order, write)
        elif kind in ("parquet", "arrow"):
            told = self._arrow(kind, order, write)
        else:
            raise ValueError(f"{kind!r} is no kind of file an answer is saved as")
        return len(order), told

    def _names(self) -> list[str]:
        """The columns' names, a number behind one that came before."""
        names: list[str] = []
        for column in self.columns:
            name, n = column["name"], 1
            while name in names:
                n += 1
                name = f"{column['name']}_{n}"
            names.append(name)
        return names

    def _csv(self, order: Sequence[int], write: Write) -> None:
        for rows in _some([None, *order], 1000):
            text = io.StringIO()
            out = csv.writer(text)
            for n in rows:
                out.writerow([c["name"] for c in self.columns] if n is None else self._cells(n))
            write(text.getvalue().encode(errors="replace"))

    def _cells(self, n: int) -> list[str]:
        return [self.words(n, at) for at in range(len(self.columns))]

    def _json(self, order: Sequence[int], write: Write) -> None:
        names = self._names()
        write(b"[")
        before = ""
        for rows in _some(list(order), 1000):
            lines = []
            for n in rows:
                cells = zip(names, self.rows[n], self.columns, strict=True)
                entry = {name: plain(value, column["type"]) for name, value, column in cells}
                lines.append(f"{before}\n{json.dumps(entry, ensure_ascii=False)}")
                before = ","
            write("".join(lines).encode(errors="replace"))
        write(b"\n]\n")

    def _arrow(self, kind: str, order: Sequence[int], write: Write) -> str:
        """Write the file; a sentence about the columns of days that had to go into it as text."""
        import pyarrow as pa  # 50 ms and much address space; only a file needs it
        import pyarrow.parquet as pq

        arrays, far = [], []
        for at, column in enumerate(self.columns):
            values: list[Any] = [self.rows[n][at] for n in order]
            type_ = arrow_type(column["type"])
            beyond = type_ is not None and pa.types.is_temporal(type_) and any(map(_beyond, values))
            if beyond:
                far.append(column["name"])
            if type_ is None or beyond or (
                pa.types.is_decimal(type_) and any(_too_long(v, type_.precision) for v in values)
            ):
                type_, values = pa.string(), [None if self.rows[n][at] is None else self.words(n, at) for n in order]
            elif pa.types.is_decimal(type_):
                values = [None if v is None else Decimal(v) for v in values]
            arrays.append(pa.array(values, type_))
        table = pa.table(arrays, names=self._names())
        sink = pa.PythonFile(_Sink(write), mode="w")
        if kind == "parquet":
            pq.write_table(table, sink)
        else:
            with pa.ipc.new_file(sink, table.schema) as out:
                out.write_table(table)
        return f"As text, with days no file of this kind can hold: {', '.join(far)}." if far else ""


class _Sink:
    """What pyarrow takes for a file: every write goes on at once."""

    closed = False

    def __init__(self, write: Write) -> None:
        self._write = write
        self._at = 0

    def write(self, data: Any) -> int:
        piece = bytes(data)
        for start in range(0, len(piece), 1 << 20):
            self._write(piece[start : start + (1 << 20)])
        self._at += len(piece)
        return len(piece)

    def tell(self) -> int:
        return self._at

    def flush(self) -> None:
        """Nothing is kept back."""

    def close(self) -> None:
        """The pipe stays open."""


def arrow_type(kind: str) -> Any:
    """Arrow's type for one of DuckDB's; None for one that is saved as words."""
    import pyarrow as pa

    simple = {
        "TINYINT": pa.int8(), "SMALLINT": pa.int16(), "INTEGER": pa.int32(), "BIGINT": pa.int64(),
        "UTINYINT": pa.uint8(), "USMALLINT": pa.uint16(), "UINTEGER": pa.uint32(), "UBIGINT": pa.uint64(),
        "HUGEINT": pa.decimal128(38, 0), "UHUGEINT": pa.decimal128(38, 0), "FLOAT": pa.float32(),
        "DOUBLE": pa.float64(), "BOOLEAN": pa.bool_(), "VARCHAR": pa.string(), "DATE": pa.date32(),
        "TIMESTAMP": pa.timestamp("us"), "TIMESTAMP WITH TIME ZONE": pa.timestamp("us", tz="UTC"),
        "TIME": pa.time64("us"), "BLOB": pa.binary(),
    }  # fmt: skip
    found = re.fullmatch(r"DECIMAL\((\d+),\s*(\d+)\)", kind)
    return pa.decimal128(int(found[1]), int(found[2])) if found else simple.get(kind)


def cell(value: Any, kind: str) -> Any:
    """A value JSON has, or its words, cut where it is very long."""
    if value is None or isinstance(value, bool):
        return value
    if isinstance(value, int) and abs(value) < 1 << 53:
        return value
    if isinstance(value, float) and math.isfinite(value):
        return value
    text = words_for(kind)(value)
    return text if len(text) <= CELL else text[:CELL] + "…"


def plain(value: Any, kind: str) -> Any:
    """A value as JSON has it: whole numbers and exact decimals as numbers where that loses nothing, else words."""
    if isinstance(value, Decimal) and value.is_finite() and Decimal(repr(float(value))) == value:
        return float(value)
    if value is None or isinstance(value, bool | str):
        return value
    if isinstance(value, int) and abs(value) < 1 << 53:
        return value
    if isinstance(value, float) and math.isfinite(value):
        return value
    return words_for(kind)(value)


def rank(value: Any) -> Any:
    """What a value is sorted by: a list or a struct by its parts in their order, missing parts after all others."""
    if isinstance(value, dict):
        return rank([part for pair in value.items() for part in pair])
    if isinstance(value, list | tuple):
        return [(1, 0) if _missing(part) else (0, rank(part)) for part in value]
    return value


def by_year(words: str) -> tuple[float, str]:
    """What a day or a time in words is sorted by: its year, those before the year 1 below 0, then the rest."""
    found = re.match(r"(\d+)(.*?)( \(BC\))?$", words)
    if found is None:
        return (-math.inf if words.startswith("-") else math.inf), ""
    return (-float(found[1]) if found[3] else float(found[1])), found[2]


def _missing(value: Any) -> bool:
    return value is None or (isinstance(value, float) and math.isnan(value))


def _beyond(value: Any) -> bool:
    """Whether a day or a time is one that a file's own types do not have: text already, or infinite."""
    return isinstance(value, str) or is_infinite(value)


def _too_long(value: Any, digits: int) -> bool:
    return value is not None and len(Decimal(value).as_tuple().digits) > digits


def _some(items: Sequence[Any], count: int) -> Iterator[Sequence[Any]]:
    for start in range(0, len(items), count):
        yield items[start : start + count]
