"""The rest of a word that is being typed in a question, and the name a wrong one was meant to be. Pure."""

from __future__ import annotations

import difflib
import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field

from floor.core.gym import Grade, Gym
from floor.journal.quoting import inside, literal, outside
from floor.plainwords import TAIL, in_plain_words
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

_LOAD, _LIFTER, _EVENING = ("load", "top", "best_load"), ("lifter",), ("evening", "last_came")
EVERYDAY: dict[str, tuple[str, ...]] = {
    "weight": _LOAD, "kg": _LOAD, "kilos": _LOAD, "lb": _LOAD, "pounds": _LOAD,
    "exercise": ("lift",), "movement": ("lift",),
    "athlete": _LIFTER, "name": _LIFTER,
    "date": _EVENING, "day": _EVENING,
    "reps": ("made",),
}  # fmt: skip
"""Everyday words, and the columns that may be meant by them: the first that the tables in use have."""

NEAR = 0.75
"""How like a word must be to one that is meant less often than a column: one slip in four letters."""

COMPARED = 20
"""Quoted words of one question that are compared with the gym's names: more would hold up the keys."""

SURE = 0.85
"""How like a word of SQL it must be where a column stands."""

_WORDS = tuple(dict.fromkeys(word.lower() for words in KEYWORDS for word in words.split() if word.isalpha()))
_CALLED = tuple(dict.fromkeys(re.split(r"\W", function)[0] for function in FUNCTIONS))
_TABLE_WORDS = re.compile(r"\b(?:from|join)\s+\w*$", re.IGNORECASE)
_NO_COLUMN = re.compile(r'Referenced column "(.+?)" not found in FROM clause\.')
_NO_TABLE = re.compile(r"Table with name (\S+) does not exist\.")
_COLUMNS = {view.name: tuple(m.name for m in view.meanings) for view in VIEWS}


@dataclass(frozen=True, slots=True)
class Names:
    """What stands between quotes in a question about this gym: board names, ids of lifts and faults, grades.

    `called` has the ids of lifts and faults by what they are called on the screens.
    """

    values: tuple[str, ...] = ()
    called: Mapping[str, str] = field(default_factory=dict)


def gym_names(gym: Gym, people: Iterable[str]) -> Names:
    """What can stand between quotes in a question: board names, lifts, faults, grades, roles, actions."""
    faults = sorted({fault.id for lift in gym.lifts.values() for fault in lift.faults})
    grades = [str(grade) for grade in Grade]
    words = ("ramp", "work", "build", "backoff", "add", "keep", "lighten")
    called = {f.name.casefold(): f.id for lift in gym.lifts.values() for f in lift.faults}
    called |= {lift.name.casefold(): lift.id for lift in gym.lifts.values()}
    return Names(tuple(dict.fromkeys((*sorted(people), *gym.lifts, *faults, *grades, *words))), called)


def rest_of_word(before: str, after: str, names: Names) -> str:
    """What would complete the word before the cursor; "" when nothing does, or in the middle of a word."""
    if re.match(r"\w", after):
        return ""
    line = before.rpartition("\n")[2]
    if line.lstrip().startswith("--"):
        return ""
    quoted = _open_quote(before)
    if quoted is not None:
        found = inside(_first(outside(quoted), names.values, least=1))
        return found + "'" if found and not after.startswith("'") else found
    word = re.search(r"(?:(\w+)\.)?(\w*)$", line[-TAIL:])
    owner, typed = (word[1], word[2]) if word else ("", "")
    if owner:
        return _first(typed, _columns_of(owner, before + after), least=0)
    if _TABLE_WORDS.search(before):
        return _first(typed, tuple(_COLUMNS), least=1)
    used = _used(before + after)
    columns = [c for table in (used or _COLUMNS) for c in _COLUMNS[table]]
    return _first(typed, columns, least=2) or _first(typed, (*KEYWORDS, *FUNCTIONS, *_COLUMNS), least=2, cased=True)


def refusal_words(sentence: str, sql: str, place: int | None, names: Names) -> str:
    """The sentence of a refusal with what was meant at `place` in place of a long list.

    A name of the gym that stands bare or in double quotes wants single ones; after FROM only a table is meant,
    elsewhere a column of the tables in use, a table, a name or a function. A word of SQL is meant where it is
    written all but right, and a bracket that is not closed is named.
    """
    if told := in_plain_words(sentence, sql, place):
        return told
    plain = re.split(r"[ .!](?:Candidate (?:bindings|functions)|Did you mean)", sentence)[0].rstrip("!. ") + "."
    plain = _NO_COLUMN.sub(r'There is no column "\1" here.', plain)
    plain = _NO_TABLE.sub(r'There is no table "\1".', plain)
    found = re.match(r'"([^"]+)"|"?(\w[\w.]*)', sql[place:]) if place is not None else None
    if plain.startswith("Syntax error"):
        more = _open_bracket(sql) or _mistyped(sql, place or 0)
    elif found is None or place is None:
        more = ""
    elif _TABLE_WORDS.search(sql[: place + len(found[0])]):
        like = _like(_named(found), _COLUMNS)
        more = f"Did you mean {like}?" if like else f"The tables are {', '.join(_COLUMNS)}."
    else:
        call = sql[place + len(found[0]) :].lstrip().startswith("(")
        more = _meant(_named(found), call, _used(sql), names)
    return f"{plain} {more}".rstrip()


def _named(found: re.Match[str]) -> str:
    """The word that was found, without its quotes."""
    return (found[1] or found[2]).casefold()


def _meant(word: str, call: bool, used: Sequence[str], names: Names) -> str:
    """What a word that is no column here was meant to be, in a sentence; `call` where a bracket follows it."""
    known = {value.casefold(): value for value in names.values}
    if word in known:
        return f"Text stands in single quotes: {literal(known[word])}."
    columns = tuple(dict.fromkeys(c for table in (used or _COLUMNS) for c in _COLUMNS[table]))
    if call and (like := _like(word, _CALLED)):
        return f"Did you mean {like}?"
    everyday = EVERYDAY.get(word) or EVERYDAY.get(_like(word, EVERYDAY, NEAR), ())
    if like := next((c for c in everyday if c in columns), "") or _like(word, columns):
        return f"Did you mean {like}?"
    if table := word if word in _COLUMNS else _like(word, _COLUMNS, NEAR):
        return f"{table} is a table: it stands after FROM."
    if like := _like(word, known, NEAR):
        return f"Did you mean {literal(known[like])}? Text stands in single quotes."
    if like := _like(word, _WORDS, SURE):
        return f"Did you mean {like}?"
    if word in (*columns, *_CALLED, *_WORDS) or len(used) > 2:
        return ""
    return " ".join(f"{table} has {', '.join(_COLUMNS[table])}." for table in used)


def _mistyped(sql: str, place: int) -> str:
    """The word of SQL that is all but written where a sentence breaks off, or just before."""
    here = re.match(r"\w*", sql[place:])
    before = re.search(r"(\w+)\s+$", sql[max(0, place - TAIL) : place])
    for word in (here[0] if here else "", before[1] if before else ""):
        like = _like(word.casefold(), _WORDS, NEAR)
        if like and abs(len(like) - len(word)) <= 1:
            return f"Did you mean {like}?"
    return ""


def _open_bracket(sql: str) -> str:
    """That a bracket is not closed, or closes nothing; text in quotes and comments are passed over."""
    code = re.sub(r"'(?:[^']|'')*'|\"[^\"]*\"|--[^\n]*", "", sql)
    opened: list[int] = []
    for at, sign in enumerate(code):
        if sign == "(":
            opened.append(at)
        elif sign == ")" and not opened:
            return "A ) has no ( before it."
        elif sign == ")":
            opened.pop()
    if not opened:
        return ""
    call = re.search(r"\w+$", code[max(0, opened[-1] - TAIL) : opened[-1]])
    return "A ( is not closed" + (f": {call[0]}( …" if call else ".")


def misspelt(sql: str, names: Names) -> str:
    """For a question without rows: a quoted word the gym does not have, and the one it has; "" when there is none."""
    known = {value.casefold(): value for value in names.values}
    quoted = dict.fromkeys(outside(text) for text in re.findall(r"'((?:[^']|'')*)'", sql))
    for word in [q for q in quoted if q and known.get(q.casefold()) != q][:COMPARED]:
        if there := known.get(word.casefold()) or names.called.get(word.casefold()):
            return f"{literal(word)} is written {literal(there)} here"
        if like := _like(word.casefold(), known):
            return f"{literal(word)} is nobody and nothing here; there is {literal(known[like])}"
    return ""


def _like(word: str, known: Iterable[str], least: float = 0.6) -> str:
    """The one most like the word, or of the same letters; "" when none is that like it, or the word is one of them."""
    if len(word) > TAIL:
        return ""
    close = difflib.get_close_matches(word, known := list(known), 3, least)
    close = close or [k for k in known if len(word) > 2 and sorted(k) == sorted(word)]
    if not close or word in known:
        return ""
    best = max(difflib.SequenceMatcher(None, k, word).ratio() for k in close)
    return next(k for k in known if k in close and difflib.SequenceMatcher(None, k, word).ratio() == best)


def _open_quote(before: str) -> str | None:
    """What stands after a quote that is still open, or None."""
    found = [m for m in re.finditer(r"--[^\n]*|'((?:[^']|'')*)('|$)", before) if m[1] is not None]
    return found[-1][1] if found and not found[-1][2] else None


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
