"""The shorthand coaches keep in a notebook or a spreadsheet, read into sets, or a sentence saying why not.

    3x5 100      3x5@100      three sets of five at 100
    105 3x5      3x5x105      the load before or behind, where it is clearly the largest of the three
    100x5,5,4    100 x 5/5/4  three sets at 100: five, five and four reps
    5 5 4 @ 220lb             the same, reps first
    5/5/4 100    100 kg 5,5,4 the same, where no number can be taken for the other
    5x100, 3x110              five at 100 and three at 110: nobody does a hundred reps
    bar x5       3x5 bar      with the empty bar
    60x5, 80x3; 100x1         one after the other, also with a line, "+", "/" or "|" between them

Units are kg or lb behind the number, or those of the column or the file. A
comma is a decimal where that is the only way to read it. Every way an entry
can be read is worked out: when there is more than one, or none, the answer is
a sentence and never a guess. A bare number up to SETS_AT_MOST may be sets,
reps or an effort: as a load it needs its unit ("10kg x5").
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cache

SETS_AT_MOST = 12
"""More sets than this are not written in shorthand; also the largest bare number that is no load."""
REPS_AT_MOST = 30
LONGEST = 160
"""Letters in one entry."""
FORMS = "3x5 100, 100x5,5,4, 5 5 4 @ 100kg, bar x5"

_A_LOAD = r"(?P<number>[0-9]{1,4}(?:[.,][0-9]{1,2})?)\s*(?P<unit>kgs?|lbs?)?"
_LOAD = re.compile(_A_LOAD + r"(?![0-9a-z.])|(?:empty )?bar(?![a-z])")
_NUMBER = re.compile(r"[0-9]{1,3}(?![0-9.])")
_GAP = re.compile(r"\s*[,/]\s*|\s+")
_SEPARATOR = re.compile(r"\s*[;\n+/|]\s*|\s*,\s*| +")
_LOADED_ONLY = (" ", "+", "/", "|")
_TIMES = re.compile(r"\s*x\s*")
_AT = re.compile(r"\s*@\s*")
_AT_OR_GAP = re.compile(r"\s*@\s*| +")
_BLANK = re.compile(r" +")
_AFTER_AN_END = ("", ";", "\n", "+", "|")
"""What stands before a list of reps beside a bare load: "100x5/5/5 110" could be cut in two places."""
_REPS_BY_LOAD = re.compile(r"(?P<reps>[0-9]{1,2})\s*x\s*" + _A_LOAD + r"(?![0-9a-z.])")
_TWICE = 2
"""So many times the largest of sets and reps a third number is clearly the load."""
_WAYS = 8
"""So many readings are enough to know that an entry is not clear."""
_LOAD_BEFORE_X = re.compile(_A_LOAD + r"(?=\s*x)|(?:empty )?bar(?=\s*x)")


@dataclass(frozen=True, slots=True)
class Written:
    """One set as it was written: `load` in hundredths of `unit` ("" is the column's or the file's).

    `load` is None when the entry names none, and 0 with `bar`: the empty bar.
    """

    reps: int
    load: int | None = None
    unit: str = ""
    bar: bool = False


Sets = tuple[Written, ...]


def read_shorthand(text: str, load_elsewhere: bool = False) -> Sets | str:
    """The sets of one entry, in order, or a sentence saying what is wrong and what to write instead.

    With `load_elsewhere` the entry has to leave the load out: another column holds it.
    """
    entry = _plain(text)
    if not entry:
        return "The cell is empty."
    shown = text.strip() if len(text.strip()) <= 40 else text.strip()[:39] + "…"
    if len(entry) > LONGEST:
        return f'"{shown}" is too long for one entry: give each lift its own row.'
    every = tuple(dict.fromkeys((*_entry(entry), *_reps_by_load(entry))))
    found = tuple(way for way in every if (way[0].load is None) == load_elsewhere)
    if len(found) == 1:
        return found[0]
    if found:
        ways = " or ".join(write_shorthand(way) for way in found[:2])
        return f'"{shown}" can be read as {ways}: write it in one of these ways.'
    if every and load_elsewhere:
        return f'"{shown}" names a load, and so does another column: leave one of them out.'
    return _why_not(entry, shown, bool(every))


def write_shorthand(sets: Sequence[Written]) -> str:
    """The sets in the form that reads back as the same: "100kg x5,5; bar x5"."""
    parts: list[str] = []
    done = 0
    while done < len(sets):
        first = sets[done]
        same = done + 1
        while same < min(len(sets), done + SETS_AT_MOST) and _of(sets[same]) == _of(first):
            same += 1
        reps = ",".join(str(s.reps) for s in sets[done:same])
        parts.append(reps if first.load is None else f"{_load_words(first)} x{reps}")
        done = same
    return "; ".join(parts)


def _of(one: Written) -> tuple[int | None, str, bool]:
    return one.load, one.unit, one.bar


def _load_words(one: Written) -> str:
    if one.bar:
        return "bar"
    whole, part = divmod(one.load or 0, 100)
    number = f"{whole}.{part:02d}".rstrip("0").rstrip(".")
    return f"{number}{one.unit}"


def _plain(text: str) -> str:
    plain = text.strip().lower().replace("\N{MULTIPLICATION SIGN}", "x").replace("*", "x")
    plain = re.sub(r"[ \t\u00a0\u202f]+", " ", plain)
    return re.sub(r"\s*\breps?\b|(?<=[0-9])r\b", "", plain)


def _entry(text: str) -> Iterator[Sets]:
    """Every way to read the whole text as groups of sets one after another, all of them with a load or none."""

    @cache
    def after(start: int, loaded: bool) -> tuple[Sets, ...]:
        found: dict[Sets, None] = {}
        for end, group in _group(text, start):
            if (group[0].load is not None) is not loaded:
                continue
            if end == len(text):
                found[group] = None
                continue
            gap = _SEPARATOR.match(text, end)
            if gap and (loaded or (gap[0].strip(" ") or " ") not in _LOADED_ONLY):
                for rest in after(gap.end(), loaded):
                    found[group + rest] = None
        return tuple(found)[:_WAYS]

    for loaded in (True, False):
        yield from after(0, loaded)


def _group(text: str, start: int) -> Iterator[tuple[int, Sets]]:
    yield from _load_first(text, start)
    yield from _load_then_sets(text, start)
    yield from _sets_first(text, start)
    yield from _reps_first(text, start)
    if text[:start].rstrip(" ")[-1:] in _AFTER_AN_END:
        yield from _load_then_reps(text, start)
        yield from _reps_then_load(text, start)


def _load_first(text: str, start: int) -> Iterator[tuple[int, Sets]]:
    """100x5 and 100 x 5,5,4."""
    match = _LOAD_BEFORE_X.match(text, start)
    load = _load(match)
    if match is None or load is None:
        return
    times = _TIMES.match(text, match.end())
    if times:
        for end, reps in _reps(text, times.end()):
            yield end, tuple(Written(r, *load) for r in reps)


def _load_then_sets(text: str, start: int) -> Iterator[tuple[int, Sets]]:
    """105 3x5 and bar 3x5."""
    match = _LOAD.match(text, start)
    load = _load(match)
    gap = _BLANK.match(text, match.end()) if match and load else None
    found = _sets_by_reps(text, gap.end()) if gap else None
    if load and found:
        end, sets, each = found
        yield end, (Written(each, *load),) * sets


def _sets_first(text: str, start: int) -> Iterator[tuple[int, Sets]]:
    """3x5 100, 3x5@100, 3x5x100, and 3x5 where the load stands elsewhere."""
    found = _sets_by_reps(text, start)
    if found is None:
        return
    at, sets, each = found
    yield at, (Written(each),) * sets
    gap = _AT_OR_GAP.match(text, at)
    match = _LOAD.match(text, gap.end()) if gap else None
    for end, load in _loads(match):
        yield end, (Written(each, *load),) * sets
    times = _TIMES.match(text, at)
    match = _LOAD.match(text, times.end()) if times else None
    for end, load in _loads(match):
        if load[2] or load[1] or load[0] >= _TWICE * max(sets, each) * 100:
            yield end, (Written(each, *load),) * sets


def _sets_by_reps(text: str, start: int) -> tuple[int, int, int] | None:
    """Where 3x5 ends, its sets and its reps."""
    count = _NUMBER.match(text, start)
    times = _TIMES.match(text, count.end()) if count else None
    reps = _NUMBER.match(text, times.end()) if times else None
    if not count or not reps or not 1 <= int(count[0]) <= SETS_AT_MOST or not 1 <= int(reps[0]) <= REPS_AT_MOST:
        return None
    return reps.end(), int(count[0]), int(reps[0])


def _reps_first(text: str, start: int) -> Iterator[tuple[int, Sets]]:
    """5 5 4 @ 220lb, and 5,5,4 where the load stands elsewhere."""
    for end, reps in _reps(text, start):
        yield end, tuple(Written(r) for r in reps)
        sign = _AT.match(text, end)
        match = _LOAD.match(text, sign.end()) if sign else None
        for stop, load in _loads(match):
            yield stop, tuple(Written(r, *load) for r in reps)


def _load_then_reps(text: str, start: int) -> Iterator[tuple[int, Sets]]:
    """100 kg 5,5,5."""
    match = _LOAD.match(text, start)
    load = _load(match)
    gap = _BLANK.match(text, match.end()) if match else None
    if load is None or gap is None:
        return
    for end, reps in _reps(text, gap.end()):
        if len(reps) > 1 and _no_reps(load, text[gap.end() : end]):
            yield end, tuple(Written(r, *load) for r in reps)


def _reps_then_load(text: str, start: int) -> Iterator[tuple[int, Sets]]:
    """5/5/5 100."""
    for at, reps in _reps(text, start):
        gap = _BLANK.match(text, at)
        match = _LOAD.match(text, gap.end()) if gap and len(reps) > 1 else None
        for end, load in _loads(match):
            more = load[2] or load[0] > SETS_AT_MOST * 100  # "5,5 4kg" may be three sets
            if more and _listed(text[start:at]) and _no_reps(load, text[start:at]):
                yield end, tuple(Written(r, *load) for r in reps)


def _no_reps(load: tuple[int, str, bool], listed: str) -> bool:
    """Whether a load a blank away from a list of reps can be none of them: it says so, or is far past any reps."""
    number, unit, bar = load
    return bar or bool(unit) or (number > REPS_AT_MOST * 100 and _listed(listed))


def _listed(reps: str) -> bool:
    """Whether more than blanks stands between the reps."""
    return "," in reps or "/" in reps


def _reps_by_load(text: str) -> Iterator[Sets]:
    """The whole entry as 5x100, 3x110: one set each. One alone may be sets at a load and is not read."""
    sets: list[Written] = []
    place = 0
    while match := _REPS_BY_LOAD.match(text, place):
        load = _load(match)
        reps = int(match["reps"])
        if load is None or not 1 <= reps <= REPS_AT_MOST or not (load[1] or load[0] > REPS_AT_MOST * 100):
            return
        sets.append(Written(reps, *load))
        if match.end() == len(text) and len(sets) > 1:
            yield tuple(sets)
        gap = _SEPARATOR.match(text, match.end())
        if gap is None:
            return
        place = gap.end()


def _reps(text: str, start: int) -> Iterator[tuple[int, tuple[int, ...]]]:
    """Every list of reps that begins here: 5, then 5,5, then 5,5,4.

    A list has one kind of gap throughout; after a blank, more than twice the first number is no number of reps.
    """
    reps: list[int] = []
    kind = ""
    place = start
    while True:
        match = _NUMBER.match(text, place)
        if match is None or not 0 < int(match[0]) <= REPS_AT_MOST or len(reps) == SETS_AT_MOST:
            return
        if kind == " " and int(match[0]) > 2 * reps[0]:
            return
        reps.append(int(match[0]))
        yield match.end(), tuple(reps)
        gap = _GAP.match(text, match.end())
        now = (gap[0].strip() or " ") if gap else ""
        if gap is None or "\n" in gap[0] or (kind and now != kind):
            return
        kind = now
        place = gap.end()


def _loads(match: re.Match[str] | None) -> Iterator[tuple[int, tuple[int, str, bool]]]:
    """The load a match stands for, and, with a decimal comma, the whole number before the comma as well."""
    load = _load(match)
    if match is None or load is None:
        return
    yield match.end(), load
    if match["number"] and "," in match["number"]:
        whole, _, _ = match["number"].partition(",")
        if int(whole) > SETS_AT_MOST:
            yield match.start() + len(whole), (int(whole) * 100, "", False)


def _load(match: re.Match[str] | None) -> tuple[int, str, bool] | None:
    """Hundredths, unit, bar; None for what can't be a load: nothing, or a bare number that may be sets or reps."""
    if match is None:
        return None
    if match["number"] is None:
        return 0, "", True
    whole, _, part = match["number"].replace(",", ".").partition(".")
    load = int(whole) * 100 + int(part.ljust(2, "0") or "0")
    unit = (match["unit"] or "").rstrip("s")
    if load == 0 or (not unit and load <= SETS_AT_MOST * 100):
        return None
    return load, unit, False


def _why_not(entry: str, shown: str, sets_alone: bool) -> str:
    numbers = re.fullmatch(r"([0-9]+)x([0-9]+)x([0-9.,]+)", entry.replace(" ", ""))
    if numbers:
        return f'"{shown}" does not say which number is the load: write 3x5 @ 100, or 100x5,5,5.'
    small = re.search(r"(?:x ?[0-9]+ |@ ?)([0-9]{1,2})(?:[.,][0-9]+)?$", entry)
    if small and int(small[1]) <= SETS_AT_MOST:
        return f'"{shown}": {small[1]} may be reps or an effort. A load up to {SETS_AT_MOST} needs its unit: 10kg.'
    if re.search(r"[(\[]", entry):
        return f'"{shown}": what stands in brackets may change the sets. Write it out, or in a column of its own.'
    if re.search(r"\bbw\b|body", entry):
        return f'"{shown}" has no load on a bar: leave the row out.'
    if sets_alone:
        return f'"{shown}" names no load. Write it as {FORMS}.'
    return f'"{shown}" is not understood. Write it as {FORMS}.'
