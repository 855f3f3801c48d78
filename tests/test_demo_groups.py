"""The demo gym's groups: an evening checked in as proposed wants nobody moved afterwards."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from floor.clock import SetClock
from floor.core import commands as c
from floor.core.groups import place_for
from floor.core.outlooking import tonight_evening
from floor.core.outlooking.floor_order import play
from floor.core.outlooking.trimming import to_place
from floor.session import Session
from tests.scenario import demo_session, everyone_in, must

FEW = 5 * 60
"""What a move may save of an evening shared out well, in seconds."""


@pytest.fixture
def demo(tmp_path: Path) -> Iterator[tuple[Session, SetClock]]:
    session, clock = demo_session(tmp_path)
    yield session, clock
    session.journal.close()


def most_saved(session: Session, clock: SetClock) -> int:
    """The seconds by which the evening ends earlier with the best move of one lifter, by the planner's own measure.

    Whoever is late comes to the station check-in proposes.
    """
    _, tonight, played = tonight_evening(session.state, clock.now())
    for lifter in session.state.evening.late:
        proposed = place_for(session.state, session.state.lifters[lifter], clock.now()).station
        i = next(i for i, one in enumerate(tonight.lifters) if one.lifter == lifter)
        tonight = to_place(tonight, i, next(n for n, spot in enumerate(tonight.spots) if spot.station == proposed.id))
        played = play(tonight)
    moved = [
        play(to_place(tonight, i, place)).finish
        for i, one in enumerate(tonight.lifters)
        for place in one.sets[0].places
        if place != one.place
    ]
    return played.finish - min(moved)


def test_with_the_groups_accepted_no_one_lifter_move_saves_more_than_a_few_minutes(
    demo: tuple[Session, SetClock],
) -> None:
    session, clock = demo
    must(session, c.OpenSession())
    for lifter in sorted(session.state.lifters, key=lambda i: session.names[i]):
        station = place_for(session.state, session.state.lifters[lifter], clock.on(20)).station
        assert station is not None
        must(session, c.Arrive(lifter, station.id))
    assert most_saved(session, clock) <= FEW


def test_nor_does_one_when_somebody_is_late(demo: tuple[Session, SetClock]) -> None:
    everyone_in(*demo)
    assert most_saved(*demo) <= FEW


def test_where_everybody_stands_at_one_station_a_move_saves_more(demo: tuple[Session, SetClock]) -> None:
    session, clock = demo
    must(session, c.OpenSession())
    for lifter in session.state.lifters:
        must(session, c.Arrive(lifter, 1))
    assert most_saved(session, clock) > FEW
