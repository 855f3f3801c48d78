"""A CSV or XLSX file as sheets of text cells, or one sentence saying why it can't be read."""

from __future__ import annotations

import csv
import io
import warnings
import zipfile
from codecs import BOM_UTF16_BE, BOM_UTF16_LE
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime, time
from pathlib import Path
from xml.etree.ElementTree import ParseError

from floor.core.history import Row

MOST_BYTES = 20_000_000
MOST_UNPACKED = 400_000_000
MOST_ROWS = 200_000
MOST_CELLS = 60
"""The size of a file, packed and unpacked, the rows of all sheets and the columns that are read."""

_OLD_OR_LOCKED = b"\xd0\xcf\x11\xe0"
_ENDINGS = (".csv", ".tsv", ".txt", ".xlsx", ".xlsm")


@dataclass(frozen=True, slots=True)
class Sheet:
    """One sheet: its name ("" for a CSV) and its rows that are not empty, numbered as the spreadsheet does."""

    name: str
    rows: tuple[Row, ...]


@dataclass(frozen=True, slots=True)
class Unreadable:
    """Why the file can't be read, in one sentence."""

    words: str


def read_spreadsheet(path: Path) -> tuple[Sheet, ...] | Unreadable:
    """The sheets of the file; hidden sheets of an XLSX are left out."""
    try:
        if path.is_dir():
            return Unreadable(f"{path} is a folder, not a spreadsheet.")
        if path.stat().st_size > MOST_BYTES:
            return Unreadable(f"{path} is larger than {MOST_BYTES // 1_000_000} MB: split it.")
        data = path.read_bytes()
    except OSError as error:
        return Unreadable(f"{path} can't be read: {error.strerror or error}.")
    if not data.strip():
        return Unreadable(f"{path} is empty.")
    if path.suffix.lower() not in _ENDINGS:
        return Unreadable(f"{path} is neither CSV nor XLSX: save it as one of them.")
    if data.startswith(_OLD_OR_LOCKED):
        return Unreadable(f"{path} has a password or is of the old .xls kind: save it as .xlsx without a password.")
    sheets = _xlsx(path, data) if data.startswith(b"PK") else _csv(path, data)
    if isinstance(sheets, Unreadable):
        return sheets
    if sum(len(sheet.rows) for sheet in sheets) > MOST_ROWS:
        return Unreadable(f"{path} has more than {MOST_ROWS:,} rows: split it.")
    return sheets


def _csv(path: Path, data: bytes) -> tuple[Sheet, ...] | Unreadable:
    named = path.suffix.lower() not in (".xlsx", ".xlsm")
    if named and data.startswith((BOM_UTF16_LE, BOM_UTF16_BE)):
        return _not_utf8(path)
    if not named or b"\0" in data:
        return Unreadable(f"{path} is not what its name says: it is no {path.suffix[1:].upper()} file, or damaged.")
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError:
        return _not_utf8(path)
    marks = ";\t,"
    first = next((line for line in text.splitlines() if not set(marks).isdisjoint(line)), "")  # a title has none
    mark = max(marks, key=lambda m: (first.count(m), m == ","))
    try:
        rows = list(csv.reader(io.StringIO(text, newline=""), delimiter=mark, skipinitialspace=True))
    except csv.Error as error:
        return Unreadable(f"{path} is no CSV: {error}.")
    return (Sheet("", _rows(rows)),)


def _not_utf8(path: Path) -> Unreadable:
    return Unreadable(f"{path} is not UTF-8 text: save it as CSV (UTF-8) and try again.")


def _xlsx(path: Path, data: bytes) -> tuple[Sheet, ...] | Unreadable:
    from openpyxl import load_workbook  # 150 ms; only a spreadsheet needs it
    from openpyxl.utils.exceptions import InvalidFileException

    damaged = Unreadable(f"{path} is damaged, or no XLSX file: open it in the spreadsheet and save it again.")
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as packed:
            if sum(part.file_size for part in packed.infolist()) > MOST_UNPACKED:
                return Unreadable(f"{path} unpacks to more than {MOST_UNPACKED // 1_000_000} MB: split it.")
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # about styles and extensions, which are not read
            book = load_workbook(io.BytesIO(data), read_only=True, data_only=True)
            try:
                return tuple(
                    Sheet(sheet.title, _rows([_text(c) for c in row[:MOST_CELLS]] for row in sheet.values))
                    for sheet in book.worksheets
                    if sheet.sheet_state == "visible"
                )
            finally:
                book.close()
    except (zipfile.BadZipFile, InvalidFileException, ParseError, KeyError, ValueError, OSError, EOFError, TypeError,
            AttributeError, IndexError, NotImplementedError, RuntimeError):  # fmt: skip
        return damaged  # what the reader raises for a file that is not whole


def _rows(rows: Iterable[list[str]]) -> tuple[Row, ...]:
    return tuple(
        Row(number, tuple(cells[:MOST_CELLS])) for number, cells in enumerate(rows, 1) if any(c.strip() for c in cells)
    )


def _text(value: object) -> str:
    """A cell as it would be typed: numbers to the hundredth that a load has, dates as 2026-03-31."""
    if value is None:
        return ""
    if isinstance(value, datetime):
        return value.date().isoformat()
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, time):
        return value.isoformat("minutes")
    if isinstance(value, float):
        return f"{value:.2f}".rstrip("0").rstrip(".")
    return str(value)
