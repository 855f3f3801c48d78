"""A value of an answer in the words DuckDB itself has for it, so that a saved text is what its own cast would give.

Two things the library does not say are lost: an interval's months come as
thirty days each, and the days before the year 1 and after 9999 come as text
already. Infinite days and times come as the last and the first there are.
"""

from __future__ import annotations

import re
import struct
from collections.abc import Callable, Iterator
from datetime import date, datetime, time, timedelta
from decimal import Decimal
from functools import lru_cache, partial
from typing import Any

Words = Callable[[Any], str]

_WITHIN_QUOTES = re.compile(r"^$|^\s|\s$|[,'\"\[\]{}()=:\\]|^null$", re.IGNORECASE)
_NESTED = ("STRUCT(", "MAP(", "TUPLE(")


@lru_cache(maxsize=512)
def words_for(kind: str) -> Words:
    """What puts a value of DuckDB's type `kind` into words; no value is "" there, and NULL within another."""
    return partial(_or_nothing, _whole(kind))


def is_infinite(value: Any) -> bool:
    """Whether a day or a time is the one that stands for infinity."""
    if isinstance(value, datetime):
        return value.replace(tzinfo=None) in (datetime.max, datetime.min)
    return isinstance(value, date) and value in (date.max, date.min)


def _or_nothing(whole: Words, value: Any) -> str:
    if value is None:
        return ""
    try:
        return whole(value)
    except (ValueError, TypeError, AttributeError, KeyError):  # a type that comes in another shape than it says
        return str(value)


def _whole(kind: str) -> Words:
    """The words for a value that is not missing."""
    if found := re.fullmatch(r"(.+)\[\d*\]", kind, re.DOTALL):
        return partial(_list, _within(found[1]))
    name, _, inner = kind.partition("(")
    parts = list(_split(inner[:-1])) if inner.endswith(")") else []
    if name == "STRUCT":
        return partial(_struct, tuple(_within(_kind_of_field(part)) for part in parts))
    if name == "TUPLE":
        return partial(_tuple, tuple(_within(part) for part in parts))
    if name == "MAP" and len(parts) == 2:
        return partial(_map, _within(parts[0]), _within(parts[1]), is_nested(parts[0]))
    return _single if kind == "FLOAT" else text


def is_nested(kind: str) -> bool:
    """Whether a value of this type holds others."""
    return kind.endswith("]") or kind.startswith(_NESTED)


def _within(kind: str) -> Words:
    """The words for a value inside another: NULL for none, in quotes where they could be read as something else."""
    whole = _whole(kind)
    return partial(_inside, whole, is_nested(kind) or kind == "JSON")


def _inside(whole: Words, bare: bool, value: Any) -> str:
    if value is None:
        return "NULL"
    words = whole(value)
    return words if bare else _quoted(words)


def _quoted(words: str) -> str:
    return _named(words) if _WITHIN_QUOTES.search(words) else words


def _list(inside: Words, value: Any) -> str:
    return f"[{', '.join(map(inside, value))}]"


def _tuple(inside: tuple[Words, ...], value: Any) -> str:
    cells = [words(cell) for words, cell in zip(inside, value, strict=True)]
    return f"({', '.join(cells)}{',' if len(cells) == 1 else ''})"


def _struct(inside: tuple[Words, ...], value: Any) -> str:
    cells = zip(inside, value.items(), strict=True)
    return "{" + ", ".join(f"{_named(name)}: {words(cell)}" for words, (name, cell) in cells) + "}"


def _named(name: str) -> str:
    return "'" + name.replace("\\", "\\\\").replace("'", "\\'") + "'"


def _map(key: Words, inside: Words, nested: bool, value: Any) -> str:
    pairs = zip(value["key"], value["value"], strict=True) if nested else value.items()
    return "{" + ", ".join(f"{key(k)}={inside(v)}" for k, v in pairs) + "}"


def text(value: Any) -> str:
    """A value that holds no other."""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, date):
        return _day(value)
    if isinstance(value, time):
        return _clock(value)
    if isinstance(value, timedelta):
        return _interval(value)
    if isinstance(value, Decimal):
        return format(value, "f")
    if isinstance(value, bytes):
        return "".join(chr(b) if 32 <= b < 127 and b not in b"\\'\"" else f"\\x{b:02X}" for b in value)
    return str(value)


def _day(value: date) -> str:
    if is_infinite(value):
        return "infinity" if value.year == date.max.year else "-infinity"
    return f"{value:%Y-%m-%d} {_clock(value.timetz())}" if isinstance(value, datetime) else value.isoformat()


def _clock(value: time) -> str:
    """Hours to as many decimals of a second as there are; whole hours of a zone without their minutes."""
    told = value.replace(tzinfo=None).isoformat()
    if value.microsecond:
        told = told.rstrip("0")
    offset = value.isoformat("seconds")[8:]
    return told + (offset.removesuffix(":00") if offset else "")


def _interval(value: timedelta) -> str:
    """Days, and hours to seconds where there are any or no days."""
    sign = "-" if value < timedelta() else ""
    days, rest = divmod(abs(value), timedelta(days=1))
    hours = _clock((datetime.min + rest).time())
    told = [f"{sign}{days} day{'s' if days != 1 else ''}"] if days else []
    return " ".join(told + ([f"{sign}{hours}"] if rest or not days else []))


def _single(value: float) -> str:
    """The shortest figures that are this number in four bytes."""
    packed = struct.pack("f", value)
    told = (float(f"{value:.{digits}g}") for digits in range(6, 10))
    return str(next((n for n in told if struct.pack("f", n) == packed), value))


def _split(parts: str) -> Iterator[str]:
    """The types between commas, those inside brackets and quotes left whole."""
    depth, quoted, start = 0, False, 0
    for at, sign in enumerate(parts):
        if sign == '"':
            quoted = not quoted
        elif not quoted and sign in "([":
            depth += 1
        elif not quoted and sign in ")]":
            depth -= 1
        elif not quoted and not depth and sign == ",":
            yield parts[start:at].strip()
            start = at + 1
    if parts[start:].strip():
        yield parts[start:].strip()


def _kind_of_field(field: str) -> str:
    """The type behind a field's name."""
    found = re.match(r'"(?:[^"]|"")*"\s+|\S+\s+', field)
    return field[found.end() :] if found else field
