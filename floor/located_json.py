"""JSON with the line each value stands on, so that a bad file can be put right where it is bad."""

from __future__ import annotations

import json
import re
from dataclasses import dataclass

_SPACE = re.compile(r"[ \t\r\n]*")
_NUMBER = re.compile(r"-?(?:0|[1-9][0-9]*)(?:\.[0-9]+)?(?:[eE][-+]?[0-9]+)?")
_WORDS = (("true", True), ("false", False), ("null", None))
_DEEPEST = 20


@dataclass(frozen=True, slots=True)
class Number:
    """A number as it is written, so that 62.5 stays exactly that."""

    text: str


@dataclass(frozen=True, slots=True)
class Located:
    """One value and its line, from 1. An object's fields and a list's items are located themselves."""

    line: int
    value: str | bool | Number | None = None
    fields: dict[str, Located] | None = None
    items: list[Located] | None = None


class BadFile(Exception):
    """What is wrong with a file, and where."""

    def __init__(self, line: int, reason: str) -> None:
        super().__init__(f"line {line}: {reason}")
        self.line = line
        self.reason = reason


def parse(text: str) -> Located:
    """The whole text as one value. Raises BadFile with the first line that is wrong."""
    reader = _Reader(text)
    value, at = reader.value(reader.skip(0), 0)
    at = reader.skip(at)
    if at < len(text):
        raise BadFile(reader.line(at), "there is more after the end.")
    return value


class _Reader:
    def __init__(self, text: str) -> None:
        self.text = text

    def line(self, at: int) -> int:
        return self.text.count("\n", 0, at) + 1

    def skip(self, at: int) -> int:
        match = _SPACE.match(self.text, at)
        return match.end() if match else at

    def bad(self, at: int, wanted: str) -> BadFile:
        if at >= len(self.text):
            return BadFile(self.line(at), f"the file ends where {wanted} should be.")
        return BadFile(self.line(at), f"{self.text[at]!r} stands where {wanted} should be.")

    def value(self, at: int, depth: int) -> tuple[Located, int]:
        line = self.line(at)
        if depth > _DEEPEST:
            raise BadFile(line, "it goes too deep.")
        start = self.text[at : at + 1]
        if start == "{":
            return self.object(at, depth)
        if start == "[":
            return self.list(at, depth)
        if start == '"':
            word, at = self.string(at)
            return Located(line, word), at
        for word, meaning in _WORDS:
            if self.text.startswith(word, at):
                return Located(line, meaning), at + len(word)
        match = _NUMBER.match(self.text, at)
        if not match:
            raise self.bad(at, "a value")
        return Located(line, Number(match.group())), match.end()

    def string(self, at: int) -> tuple[str, int]:
        try:
            word, end = json.JSONDecoder().raw_decode(self.text, at)
            return str(word), end
        except json.JSONDecodeError as error:
            raise BadFile(error.lineno, f"{error.msg}.") from error

    def object(self, at: int, depth: int) -> tuple[Located, int]:
        line, fields = self.line(at), dict[str, Located]()
        at = self.skip(at + 1)
        while self.text[at : at + 1] != "}":
            if fields:
                at = self.skip(self.comma(at, "}"))
            if self.text[at : at + 1] != '"':
                raise self.bad(at, "a name in quotes")
            here = self.line(at)
            name, at = self.string(at)
            if name in fields:
                raise BadFile(here, f"{name!r} is there twice.")
            at = self.skip(at)
            if self.text[at : at + 1] != ":":
                raise self.bad(at, "a colon")
            fields[name], at = self.value(self.skip(at + 1), depth + 1)
            at = self.skip(at)
        return Located(line, fields=fields), at + 1

    def list(self, at: int, depth: int) -> tuple[Located, int]:
        line, items = self.line(at), list[Located]()
        at = self.skip(at + 1)
        while self.text[at : at + 1] != "]":
            if items:
                at = self.skip(self.comma(at, "]"))
            item, at = self.value(at, depth + 1)
            items.append(item)
            at = self.skip(at)
        return Located(line, items=items), at + 1

    def comma(self, at: int, end: str) -> int:
        if self.text[at : at + 1] != ",":
            raise self.bad(at, f"a comma or {end}")
        return at + 1
