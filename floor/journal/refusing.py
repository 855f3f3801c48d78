"""Why a question was not answered, in one sentence, and the character it is about."""

from __future__ import annotations

import json
import re
from typing import Any

TOO_MUCH = "That needs more memory than a question may use; ask for less."
FILES = "A question can't reach files, settings or other databases."
READ_ONLY = "A question can only read."
BEHIND = "A question reads the gym's own tables, not what lies behind them."
NO_TEXT = "The question has bytes that are no letters: save or paste it as UTF-8."

_WORD = re.compile(r"[A-Za-z]+")


def refusal(error: Exception, sql: str, seconds: float) -> dict[str, Any]:
    """A database error as one sentence, and the character it points at."""
    text = str(error)
    message, place = text, None
    first, last = text.find("{"), text.rfind("}")
    if 0 <= first < last:
        try:
            told = json.loads(text[first : last + 1])
            message = str(told.get("exception_message", text))
            if str(told.get("position", "")).isdigit():
                place = _characters(sql, int(told["position"]))
        except ValueError:
            message = text
    kind = type(error).__name__
    if kind == "OutOfMemoryException" or "bad allocation" in text or "Out of Memory" in text:
        return {"error": TOO_MUCH, "place": None}
    if kind == "InterruptException" or "max_execution_time" in text:
        return {"error": too_long(seconds), "place": None}
    if kind == "PermissionException" or "configuration has been locked" in text:
        return {"error": FILES, "place": place}
    if "read-only" in text or "READ ONLY" in text:
        return {"error": READ_ONLY, "place": None}
    lines = [line.strip() for line in message.split("\n\nLINE ")[0].splitlines() if line.strip()]
    sentence = re.sub(r"^[A-Z][A-Za-z ]* Error: ", "", " ".join(lines))[:400]
    if not sentence:
        sentence = "That can't be answered"
    sentence = sentence[0].upper() + sentence[1:]
    return {"error": sentence if sentence[-1] in ".!?" else sentence + ".", "place": place}


def first_word(sql: str) -> str:
    """The word a statement begins with, comments passed over; every character is looked at once."""
    at = 0
    while at < len(sql):
        if sql.startswith("--", at):
            at = _behind(sql, "\n", at)
        elif sql.startswith("/*", at):
            at = _behind(sql, "*/", at + 2)
        elif found := _WORD.match(sql, at):
            return found[0].upper()
        else:
            at += 1
    return "something else"


def _behind(sql: str, end: str, at: int) -> int:
    """The place after the next `end`; the end of the text where there is none."""
    found = sql.find(end, at)
    return len(sql) if found < 0 else found + len(end)


def _characters(sql: str, offset: int) -> int:
    """The parser counts bytes; a cursor counts characters."""
    return len(sql.encode()[:offset].decode(errors="ignore"))


def too_long(seconds: float) -> str:
    """The sentence for a question that ran out of time."""
    return f"That took longer than {seconds:g} seconds and was stopped."
