"""The gym's equipment changed while the file is in use: what is kept, what is refused, what a restart reads."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from floor.core import commands as c
from floor.core.equipment_text import equipment_text
from floor.core.gym import Gym
from floor.journal.log import Journal
from floor.session import Done, Refused, Session
from floor.templates import templates
from tests.tui.house import ZONE, check_in, done, new_clock, open_session


def again(session: Session) -> Session:
    """The same gym file after a restart."""
    path, clock = session.journal.path, session.clock
    session.journal.close()
    return Session(Journal.open(path, now=clock.now(), zone=ZONE, unit="kg", templates=templates()), clock)


def pairs(gym: Gym, plate_id: str, number: int) -> str:
    plates = tuple(replace(p, pairs=number) if p.id == plate_id else p for p in gym.plates)
    return equipment_text(replace(gym, plates=plates))


def test_pairs_that_came_during_the_evening_are_there_and_the_evening_is_whole(tmp_path: Path) -> None:
    session = open_session(tmp_path)
    check_in(session, 1, 2)
    done(session, c.BarFound(1, 7000))
    before = session.tonight
    outcome = session.adopt("equipment", pairs(session.state.gym, "25", 9))
    assert isinstance(outcome, Done)
    assert session.state.gym.plate("25").pairs == 9
    assert session.tonight == (*before, *outcome.events)
    state = session.state
    session = again(session)
    assert session.state == state
    session.journal.close()


def test_undo_takes_back_what_came_after_and_stops_at_the_change(tmp_path: Path) -> None:
    session = open_session(tmp_path)
    check_in(session, 1)
    done(session, c.BarFound(1, 7000))
    done(session, c.BarFound(1, 2000))
    # The 25s leave: going back to a bar that holds them would be a bar nobody can load.
    assert isinstance(session.adopt("equipment", pairs(session.state.gym, "25", 0)), Done)
    done(session, c.BarFound(1, 4000))
    for live in (True, False):
        if live:
            assert isinstance(session.undo(), Done)
        assert session.undo() == Refused("Undo stops where the equipment was changed.")
        assert session.state.evening.stations[1].stack == ()
        session = again(session) if live else session
    session.journal.close()


def test_other_documents_and_a_running_set_wait(tmp_path: Path) -> None:
    session = open_session(tmp_path)
    check_in(session, 1)
    text = pairs(session.state.gym, "25", 9)
    refused = session.adopt("settings", session.journal.document("settings"))
    assert isinstance(refused, Refused) and "close it" in refused.words
    done(session, c.StartSet(1))
    refused = session.adopt("equipment", text)
    assert isinstance(refused, Refused) and "running" in refused.words
    assert session.state.gym.versions["equipment"] == 1
    session.journal.close()


def test_a_station_taken_away_after_the_close_leaves_a_file_that_opens(tmp_path: Path) -> None:
    session = open_session(tmp_path, new_clock())
    check_in(session, 1, station=3)
    check_in(session, 2, 4, station=3)
    done(session, c.Pass(3))
    done(session, c.BarFound(3, 7000))
    done(session, c.CloseSession())
    fewer = replace(session.state.gym, stations=session.state.gym.stations[:2])
    assert isinstance(session.adopt("equipment", equipment_text(fewer)), Done)
    session = again(session)
    assert [s.id for s in session.state.gym.stations] == [1, 2]
    check_in(session, 1)
    assert set(session.state.evening.stations) == {1, 2}
    session.journal.close()
