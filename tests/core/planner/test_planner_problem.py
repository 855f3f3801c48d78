"""What is wrong with an evening that cannot be planned, in one sentence."""

from __future__ import annotations

import pytest

from floor.core.planner import Chain, Evening, Place, PlannedSet, wrong_with

A = Chain("A", (PlannedSet(40, 60, 120),))


@pytest.mark.parametrize(
    ("evening", "words"),
    [
        (Evening((A,)), ""),
        (Evening((Chain("A", (PlannedSet(0, 60, 120),)),)), "A, set 1: a set takes more than 0 seconds."),
        (Evening((Chain("A", (PlannedSet(40, 60, 50),)),)), "A, set 1: the longest sensible rest is no shorter"),
        (Evening((Chain("A", (PlannedSet(40, 60, 120, rig=3),)),)), "A, set 1: there is no rig 3."),
        (Evening((Chain("A", (PlannedSet(40, 60, 120, stations=(1,)),)),)), "A, set 1: it needs a station"),
        (Evening((A,), places=()), "There is no station."),
        (Evening((A,), change=((0, -1), (0, 0)), moved=((0, 0), (0, 0))), "The change table has a number below zero."),
        (Evening((A,), change=((0, 1),)), "The change table must have a row and a column"),
        (Evening((A,), (Place("1", told=(5,)),)), "Station 1: a lifter who was told has no set to do."),
        (Evening((A,), (Place("1", told=(0,)), Place("2", told=(0,)))), "A lifter can be told one turn only."),
        (Evening((A,), (Place("1"), Place("2", told=(0,)))), "Station 2: A was told, and cannot lift there."),
    ],
)
def test_it_says_what_is_wrong(evening: Evening, words: str) -> None:
    found = wrong_with(evening)
    assert found.startswith(words) and bool(found) == bool(words)
