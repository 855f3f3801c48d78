"""Names in one file that differ by a letter: more likely one person written twice than two. Pure."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable


def near_names(names: Iterable[str]) -> tuple[tuple[str, str], ...]:
    """Every pair of names with one letter put in, left out, changed, or two neighbours swapped.

    Capitals make no difference. Numbers and initials that tell people apart on
    purpose are no such pair: "Ana B" and "Ana C", "Lifter 1" and "Lifter 2".
    """
    alike: dict[str, list[str]] = defaultdict(list)
    for name in dict.fromkeys(names):
        plain = name.casefold()
        for short in {plain, *(plain[:i] + plain[i + 1 :] for i in range(len(plain)))}:
            alike[short].append(name)
    pairs: dict[tuple[str, str], None] = {}
    for group in alike.values():
        for at, one in enumerate(group):
            for other in group[at + 1 :]:
                if _a_letter_apart(one.casefold(), other.casefold()) and not _on_purpose(one, other):
                    pairs[one, other] = None
    return tuple(pairs)


def _a_letter_apart(one: str, other: str) -> bool:
    if one == other or abs(len(one) - len(other)) > 1:
        return False
    at = next((i for i, (a, b) in enumerate(zip(one, other, strict=False)) if a != b), min(len(one), len(other)))
    a, b = one[at:], other[at:]
    return a[1:] == b[1:] or a[1:] == b or a == b[1:] or (a[2:] == b[2:] and a[:2] == b[1::-1])


def _on_purpose(one: str, other: str) -> bool:
    """Whether a number or an initial is what differs."""
    mine, theirs = one.casefold().split(), other.casefold().split()
    if len(mine) != len(theirs):
        return False  # a blank left out
    pairs = [(a.strip("."), b.strip(".")) for a, b in zip(mine, theirs, strict=True) if a != b]
    return all(len(a) <= 1 and len(b) <= 1 for a, b in pairs) or any(c.isdigit() for a, b in pairs for c in a + b)
