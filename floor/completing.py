"""The rest of a word that is being typed in a question, and the name a wrong one was meant to be. Pure."""

from __future__ import annotations

import difflib
import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from floor.core.gym import Grade, Gym
from floor.tables import VIEWS

KEYWORDS: tuple[str, ...] = (
    "SELECT", "FROM", "WHERE", "GROUP BY", "ORDER BY", "HAVING", "LIMIT", "JOIN", "LEFT JOIN", "USING", "ON", "AS",
    "AND", "OR", "NOT", "IN", "IS NULL", "IS NOT NULL", "BETWEEN", "LIKE", "DISTINCT", "DESC", "ASC", "WITH", "CASE",
    "WHEN", "THEN", "ELSE", "END", "FILTER (", "OVER (", "PARTITION BY", "UNION ALL", "NULLS FIRST", "INTERVAL", "DATE",
)  # fmt: skip
"""The words of SQL that are completed."""

FUNCTIONS: tuple[str, ...] = (
    "count(*)", "count(DISTINCT ", "sum(", "avg(", "min(", "max(", "median(", "round(", "arg_max(", "arg_min(",
    "coalesce(", "date_trunc(", "date_diff(", "floor(", "string_agg(",
)  # fmt: skip

_TABLE_WORDS = re.compile(r"\b(?:from|join)\s+\w*$", re.IGNORECASE)
_NO_COLUMN = re.compile(r'Referenced column "(.+?)" not found in FROM clause\.')
_NO_TABLE = re.compile(r"Table with name (\S+) does not exist\.")
_COLUMNS = {view.name: tuple(m.name for m in view.meanings) for view in VIEWS}


@dataclass(frozen=True, slots=True)
class Names:
    """What stands between quotes in a question about this gym: board names, ids of lifts and faults, grades."""

    values: tuple[str, ...] = ()


def gym_names(gym: Gym, people: Iterable[str]) -> Names:
    """What can stand between quotes in a question: board names, lifts, faults, grades, roles, actions."""
    faults = sorted({fault.id for lift in gym.lifts.values() for fault in lift.faults})
    grades = [str(grade) for grade in Grade]
    words = ("ramp", "work", "build", "backoff", "add", "keep", "lighten")
    return Names(tuple(dict.fromkeys((*sorted(people), *gym.lifts, *faults, *grades, *words))))


def rest_of_word(before: str, after: str, names: Names) -> str:
    """What would complete the word before the cursor; "" when nothing does, or in the middle of a word."""
    if re.match(r"\w", after):
        return ""
    quoted = _open_quote(before)
    if quoted is not None:
        found = _first(quoted, names.values, least=1)
        return found + "'" if found and not after.startswith("'") else found
    word = re.search(r"(?:(\w+)\.)?(\w*)$", before)
    if word is None or before.rsplit("\n", 1)[-1].lstrip().startswith("--"):
        return ""
    owner, typed = word[1], word[2]
    if owner:
        return _first(typed, _columns_of(owner, before + after), least=0)
    if _TABLE_WORDS.search(before):
        return _first(typed, tuple(_COLUMNS), least=1)
    used = _used(before + after)
    columns = [c for table in (used or _COLUMNS) for c in _COLUMNS[table]]
    return _first(typed, columns, least=2) or _first(typed, (*KEYWORDS, *FUNCTIONS, *_COLUMNS), least=2, cased=True)


def refusal_words(sentence: str, sql: str, place: int | None, names: Names) -> str:
    """The sentence of a refusal with what was meant at `place` in place of a long list.

    A name of the gym that stands bare or in double quotes wants single ones; after FROM
    only a table is meant, elsewhere a column of the tables in use, a function or a word.
    """
    plain = re.split(r"[ .!](?:Candidate (?:bindings|functions)|Did you mean)", sentence)[0].rstrip("!. ") + "."
    plain = _NO_COLUMN.sub(r'There is no column "\1" here.', plain)
    plain = _NO_TABLE.sub(r'There is no table "\1".', plain)
    found = re.match(r'"?(\w[\w.]*)', sql[place:]) if place is not None else None
    if found is None or place is None:
        return plain
    word = found[1].casefold()
    value = next((v for v in names.values if v.casefold() == word), None)
    if value is not None:
        return f"{plain} Text stands in single quotes: '{value}'."
    if _TABLE_WORDS.search(sql[: place + len(found[0])]):
        like = _like(word, _COLUMNS)
        return f"{plain} " + (f"Did you mean {like}?" if like else f"The tables are {', '.join(_COLUMNS)}.")
    used = _used(sql) or tuple(_COLUMNS)
    columns = [c for table in used for c in _COLUMNS[table]]
    words = [w.lower() for w in KEYWORDS if w.isalpha()] + [f.rstrip("(*) ").lower() for f in FUNCTIONS]
    if like := _like(word, dict.fromkeys((*columns, *words))):
        return f"{plain} Did you mean {like}?"
    if word in words or len(used) > 2:
        return plain
    return f"{plain} " + " ".join(f"{table} has {', '.join(_COLUMNS[table])}." for table in used)


def misspelt(sql: str, names: Names) -> str:
    """For a question without rows: a quoted word the gym does not have, and the one it has; "" when there is none."""
    known = {value.casefold(): value for value in names.values}
    for quoted in re.findall(r"'((?:[^']|'')*)'", sql):
        if quoted and quoted.casefold() not in known:
            like = _like(quoted.casefold(), known)
            if like:
                return f"{quoted!r} is nobody and nothing here; there is {known[like]!r}"
        elif quoted and known[quoted.casefold()] != quoted:
            return f"{quoted!r} is written {known[quoted.casefold()]!r} here"
    return ""


def _like(word: str, known: Iterable[str]) -> str:
    """The one most like the word, the first of several; "" when none is, or the word is one of them."""
    close = difflib.get_close_matches(word, known := list(known), 3, 0.6)
    if not close or word in known:
        return ""
    best = max(difflib.SequenceMatcher(None, k, word).ratio() for k in close)
    return next(k for k in known if k in close and difflib.SequenceMatcher(None, k, word).ratio() == best)


def _open_quote(before: str) -> str | None:
    """What stands after a quote that is still open, or None."""
    code = re.sub(r"--[^\n]*\n", "\n", before)
    return code.rpartition("'")[2] if code.count("'") % 2 else None


def _first(typed: str, words: Sequence[str], least: int, cased: bool = False) -> str:
    """What is missing of the first word that begins as typed; in small letters where these are typed."""
    if len(typed) < least:
        return ""
    for word in words:
        if word.casefold().startswith(typed.casefold()) and len(word) > len(typed):
            rest = word[len(typed) :]
            return rest.lower() if cased and typed and typed.islower() else rest
        if word.casefold() == typed.casefold():
            return ""
    return ""


def _used(sql: str) -> tuple[str, ...]:
    """The tables a question names after FROM or JOIN, in order."""
    return tuple(t.lower() for t in re.findall(r"\b(?:from|join)\s+(\w+)", sql, re.IGNORECASE) if t.lower() in _COLUMNS)


def _columns_of(owner: str, sql: str) -> tuple[str, ...]:
    """The columns of a table, or of the table that `owner` stands for."""
    if owner.lower() in _COLUMNS:
        return _COLUMNS[owner.lower()]
    found = re.search(rf"\b(?:from|join)\s+(\w+)\s+(?:as\s+)?{re.escape(owner)}\b", sql, re.IGNORECASE)
    return _COLUMNS.get(found[1].lower(), ()) if found else ()
