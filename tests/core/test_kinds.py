"""The tables agree with each other: kinds, commands, rules."""

from __future__ import annotations

import pytest

from floor.core import commands
from floor.core.apply import kinds
from floor.core.commands import Command
from floor.core.decide import understood
from floor.core.events import CARRIED, FIELDS, NEEDS, Event, check
from floor.core.nexttime import EXTRA, NEXT, next_reason
from floor.core.proposals import TONIGHT, reason
from tests.core.scenes import SIX

MOVES = {"add", "repeat", "hold", "ease", "stay"}
ACTIONS = {"add", "keep", "lighten", "rest", "step_down", "step_up", "stop"}


def test_every_kind_but_undone_can_be_applied_and_no_other() -> None:
    assert kinds() == set(NEEDS) - {"undone"}


def test_every_kind_that_is_carried_is_a_kind_and_every_need_is_a_field() -> None:
    assert set(CARRIED) <= set(NEEDS)
    assert {name for needs in NEEDS.values() for name in needs} <= set(FIELDS)


def test_every_command_is_answered() -> None:
    known = {c for c in vars(commands).values() if isinstance(c, type) and issubclass(c, Command)} - {Command}
    assert understood() == known


def test_no_two_rules_share_an_id() -> None:
    ids = [rule.id for rule in (*TONIGHT, *NEXT)] + list(EXTRA)
    assert len(ids) == len(set(ids))


def test_every_rule_has_a_short_sentence_and_says_where_it_comes_from() -> None:
    for rule in (*TONIGHT, *NEXT):
        assert 0 < len(rule.sentence) <= 70, rule.id
        assert rule.origin.strip(), rule.id
    assert all(0 < len(sentence) <= 70 for sentence in EXTRA.values())
    assert {rule.action for rule in TONIGHT} <= ACTIONS
    assert {rule.move for rule in NEXT} <= MOVES


def test_the_sentence_of_every_rule_is_found_by_its_id() -> None:
    assert all(reason(rule.id) == rule.sentence for rule in TONIGHT)
    assert all(next_reason(rule.id) == rule.sentence for rule in NEXT)
    assert next_reason("lay-off") == EXTRA["lay-off"]


@pytest.mark.parametrize("kind", sorted(k for k, needs in NEEDS.items() if needs))
def test_an_event_that_lacks_what_its_kind_needs_is_refused(kind: str) -> None:
    with pytest.raises(ValueError, match=f"^{kind} lacks {', '.join(NEEDS[kind])}$"):
        check(Event(kind=kind, happened=SIX))


def test_an_event_without_a_zone_or_of_no_known_kind_is_refused() -> None:
    with pytest.raises(ValueError, match="the time has no zone"):
        check(Event(kind="all_stopped", happened=SIX.replace(tzinfo=None), session=1))
    with pytest.raises(ValueError, match="unknown kind"):
        check(Event(kind="slept", happened=SIX))
