"""What stands beside sets and says nothing of what was lifted, a rating or a remark in brackets: set aside, unread.

Only where it cannot change the sets: a bracket with a number in it, or with a
word such as "missed" or "per side", stays and makes the entry one that is
not understood.
"""

from __future__ import annotations

import re

_ENDS = r"(?=\s*(?:[,;+/|\n]|$))"
_NUMBER = r"[0-9]{1,2}(?:[.,]5)?"
_RATING = re.compile(rf"(?:@ ?)?\b(?:rpe|rir)\s*[:=]?\s*{_NUMBER}(?:\s*-\s*{_NUMBER})?(?![0-9]){_ENDS}", re.IGNORECASE)
_BRACKETS = re.compile(rf"[(\[][^()\[\]0-9]*[)\]]{_ENDS}")
_SIGNS = re.compile(r"[(\[]|rpe|rir", re.IGNORECASE)
_CHANGES = re.compile(
    r"fail|miss|not|no\b|only|last|less|more|minus|plus|half|without|skip|side|hand|each|per\b|kg|kilo|lb|pound|bar\b"
    r"|empty|rep|set|x\b|load|weight|plate|drop|pain|hurt",
    re.IGNORECASE,
)


def set_aside(text: str) -> tuple[str, tuple[str, ...]]:
    """The entry without its ratings and remarks, and these as they were written.

    "3x5 60 RPE 8 (easy)" is "3x5 60", with "RPE 8" and "(easy)".
    """
    if not _SIGNS.search(text):
        return text, ()
    aside: list[tuple[int, str]] = []

    def gone(match: re.Match[str]) -> str:
        if match[0][0] in "([" and _CHANGES.search(match[0]):
            return match[0]
        aside.append((match.start(), match[0]))
        return " " * len(match[0])  # the places of what follows stay as they were

    rest = text
    for pattern in (_BRACKETS, _RATING, _BRACKETS):
        rest = pattern.sub(gone, rest)
    if not aside:
        return text, ()
    kept = re.sub(r" +(?=[,;+/|\n]|$)", "", re.sub(r" {2,}", " ", rest)).strip()
    return kept, tuple(words for _, words in sorted(aside))
