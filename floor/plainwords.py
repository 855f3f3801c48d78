"""What the database says of a question that is not right, in a coach's words. Pure."""

from __future__ import annotations

import re

TAIL = 200
"""Letters before a place that are looked at: enough for two words and the blanks between."""

_UNGROUPED = re.compile(r'[Cc]olumn "(.+?)" must appear in the GROUP BY clause')
_AMBIGUOUS = re.compile(r'Ambiguous reference to column name "(.+?)"')
_WAYS = re.compile(r"['\"](\w[\w ]*\.\w[\w ]*)['\"]")
_BY = re.compile(r"\b(GROUP|ORDER|PARTITION)\s+$", re.IGNORECASE)
_NO_BY = re.compile(r"(GROUP|ORDER|PARTITION)\b(?!\s+BY\b)", re.IGNORECASE)
_NUMBER = re.compile(r"(?<![\w.])(\d+(?:\.\d+)?)(\s*)$")
_UNITS = {
    "kg", "kgs", "kilo", "kilos", "lb", "lbs", "pound", "pounds", "rep", "reps", "s", "sec", "min", "minutes",
}  # fmt: skip


def in_plain_words(sentence: str, sql: str, place: int | None) -> str:
    """The sentence for a refusal that is told better without the database's own words; "" for any other."""
    if found := _UNGROUPED.search(sentence):
        name = found[1]
        return f'Rows are put together here: put "{name}" after GROUP BY too, or ask for one of it, as in max({name}).'
    if found := _AMBIGUOUS.search(sentence):
        ways = " or ".join(_WAYS.findall(sentence))
        return f'"{found[1]}" is in more than one of these tables' + (f": write {ways}." if ways else ".")
    return _broken_off(sql, place) if place is not None and sentence.startswith("Syntax error") else ""


def _broken_off(sql: str, place: int) -> str:
    """Why a sentence breaks off at `place`: a word without its BY, a number with a unit."""
    before, here = sql[max(0, place - TAIL) : place], sql[place : place + TAIL]
    word = re.match(r"\w*", here)
    if (by := _BY.search(before)) and word and word[0]:
        return f"{by[1].upper()} wants BY after it: {by[1].upper()} BY {word[0]}."
    if by := _NO_BY.match(here):
        return f"{by[1].upper()} wants BY after it, and a column."
    number = _NUMBER.search(before)
    if number and word and word[0] and (not number[2] or word[0].casefold() in _UNITS):
        return f"A number stands without a unit: {number[1]}."
    return ""
