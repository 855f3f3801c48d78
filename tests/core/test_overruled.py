"""Rules the coach overrules more often than not are asked about, and no others."""

from __future__ import annotations

from floor.core.overruled import questions, review
from floor.core.past import RuleCount


def test_a_rule_overruled_nine_times_in_eleven_is_asked_about() -> None:
    answers = ((None, 2), ("add", 8), ("lighten", 1))
    counts = [RuleCount("rough-keeps", word, times) for word, times in answers]
    (found,) = questions(counts)
    assert found.words == "You overruled rough-keeps 9 times in 11 (to add 8, lighten 1): change the rule?"


def test_half_the_time_is_not_more_often_than_not() -> None:
    assert questions([RuleCount("fix-first", None, 5), RuleCount("fix-first", "add", 5)]) == ()
    assert questions([RuleCount("fix-first", None, 5), RuleCount("fix-first", "add", 6)])


def test_a_rule_that_has_spoken_four_times_says_nothing_yet() -> None:
    assert questions([RuleCount("fix-first", "add", 4)]) == ()
    assert questions([RuleCount("fix-first", "add", 5)])


def test_every_rule_is_counted_the_most_overruled_first() -> None:
    counts = [RuleCount("as-planned", None, 90), RuleCount("fix-first", "add", 2), RuleCount("unseen-keeps", "add", 7)]
    found = review(counts)
    assert [(r.rule, r.times, r.overruled, r.to) for r in found] == [
        ("unseen-keeps", 7, 7, (("add", 7),)), ("fix-first", 2, 2, (("add", 2),)), ("as-planned", 90, 0, ()),
    ]  # fmt: skip
