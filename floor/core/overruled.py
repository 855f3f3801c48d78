"""The rules that the coach overrules: counted from the record, so that a rule can be changed rather than fought."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass

from floor.core.past import RuleCount

FEWEST = 5
"""A rule must have spoken so often before its overrulings say anything. Our choice, no source."""


@dataclass(frozen=True, slots=True)
class Review:
    """One rule: how often it spoke, how often the coach said otherwise, and (word, times) of what was said."""

    rule: str
    times: int
    overruled: int
    to: tuple[tuple[str, int], ...]

    @property
    def asks(self) -> bool:
        """Overruled more often than not, and often enough to ask whether the rule should change."""
        return self.times >= FEWEST and 2 * self.overruled > self.times

    @property
    def words(self) -> str:
        """The question for the coach."""
        said = ", ".join(f"{word} {n}" for word, n in self.to)
        return f"You overruled {self.rule} {self.overruled} times in {self.times} (to {said}): change the rule?"


def review(counts: Iterable[RuleCount]) -> tuple[Review, ...]:
    """Every rule that has spoken, the most often overruled first."""
    times: Counter[str] = Counter()
    to: dict[str, Counter[str]] = {}
    for one in counts:
        times[one.rule] += one.times
        if one.overruled is not None:
            to.setdefault(one.rule, Counter())[one.overruled] += one.times
    found = []
    for rule, n in times.items():
        words = to.get(rule, Counter())
        found.append(Review(rule, n, words.total(), tuple(sorted(words.items(), key=lambda w: (-w[1], w[0])))))
    return tuple(sorted(found, key=lambda r: (-r.overruled, -r.times, r.rule)))


def questions(counts: Iterable[RuleCount]) -> tuple[Review, ...]:
    """The rules to ask the coach about, the most often overruled first."""
    return tuple(r for r in review(counts) if r.asks)
