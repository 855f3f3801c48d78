"""A roster is shown as it is read and asked about; what stands already stays as it is; undo takes all of it back."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest

from floor.cli import main
from floor.core import commands as c
from floor.core.equipment_text import equipment_text
from floor.core.people import PersonAdded
from floor.roster import bring_roster, prepare_roster, roster_lines
from floor.session import Done, Refused, Session
from tests.bringing import csv, opened

HEAD = "lifter,lift,sets,reps,load\n"
ROSTER = HEAD + "Oda Invented,squat,3,5,60\nOda Invented,press,3,5,30\nPim Made-Up,bench,3,5,40\n"


@pytest.fixture
def session(tmp_path: Path) -> Iterator[Session]:
    one = opened(tmp_path / "gym.duckdb")
    yield one
    one.journal.close()


def shown(session: Session, path: Path) -> str:
    prepared = prepare_roster(session, path)
    assert not isinstance(prepared, Refused), prepared.words
    return "\n".join(roster_lines(prepared, session))


def test_every_line_is_shown_and_who_is_new(session: Session, tmp_path: Path) -> None:
    words = shown(session, csv(tmp_path, ROSTER))
    assert "Oda Invented: squat 3x5 60 kg; press 3x5 30 kg" in words
    assert "new: Pim Made-Up" in words and session.people == {}


def test_loads_without_a_unit_are_said_to_be_the_gyms(session: Session, tmp_path: Path) -> None:
    said = "loads without a unit: read as kg"
    assert said in shown(session, csv(tmp_path, ROSTER))
    for line in ("Oda Invented,squat,3,5,60kg,", "Oda Invented,squat,3,5,60,lb", "Oda Invented,squat,3,5,bar,"):
        assert said not in shown(session, csv(tmp_path, HEAD[:-1] + f",unit\n{line}\n"))


def test_a_plan_that_changes_is_shown_from_what_to_what(session: Session, tmp_path: Path) -> None:
    assert isinstance(bring_roster(session, csv(tmp_path, ROSTER)), Done)
    words = shown(session, csv(tmp_path, ROSTER.replace("3,5,60", "5,5,62.5")))
    assert "squat 3x5 60 kg -> 5x5 62.5 kg; press 3x5 30 kg (as it stands)" in words


def test_a_line_that_stands_already_is_left_alone_as_it_was_made(session: Session, tmp_path: Path) -> None:
    assert isinstance(bring_roster(session, csv(tmp_path, ROSTER)), Done)
    assert isinstance(session.do(c.PlanNext(1, "squat", 3, 5, 6250)), Done)
    stands = session.state.lifters[1].plans["squat"]
    changed = ROSTER.replace("3,5,60", "3,5,62.5").replace("3,5,40", "3,5,42.5")
    outcome = bring_roster(session, csv(tmp_path, changed))
    assert isinstance(outcome, Done) and [e.lifter for e in outcome.events] == [2]
    assert session.state.lifters[1].plans["squat"] == stands and stands.rule == "by-hand"
    assert session.state.lifters[2].plans["bench"].load == 4250


def test_the_same_roster_again_changes_nothing(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    gym, path = str(tmp_path / "gym.duckdb"), str(csv(tmp_path, ROSTER, "roster.csv"))
    assert main(["import", path, "--gym", gym]) == 1
    said = capsys.readouterr()
    assert "as it will be read" in said.out and "Nothing was taken." in said.err
    assert main(["import", path, "--gym", gym, "--yes"]) == 0
    assert "3 lifts for 2 lifters taken, 2 of them new." in capsys.readouterr().out
    session = opened(Path(gym))
    head = session.journal.head
    session.journal.close()
    assert main(["import", path, "--gym", gym]) == 0
    assert "nothing to change" in capsys.readouterr().out
    session = opened(Path(gym))
    assert session.journal.head == head
    session.journal.close()


def test_two_rosters_come_in_one_after_the_other(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    gym = str(tmp_path / "gym.duckdb")
    first, second = csv(tmp_path, ROSTER, "a.csv"), csv(tmp_path, HEAD + "Oda Invented,squat,3,5,70\n", "b.csv")
    bad = csv(tmp_path, HEAD + "Oda Invented,juggling,3,5,70\n", "bad.csv")
    assert main(["import", str(first), str(second), str(bad), "--gym", gym, "--yes"]) == 1
    said = capsys.readouterr()
    assert "squat 3x5 60 kg -> 3x5 70 kg" in said.out and "Nothing was taken from" in said.err
    assert "The 2 files before bad.csv stay as they were taken." in said.err


@pytest.mark.parametrize("reopen", [False, True], ids=["at once", "after reopening"])
def test_undo_takes_back_the_whole_roster_and_says_so(session: Session, tmp_path: Path, reopen: bool) -> None:
    assert isinstance(bring_roster(session, csv(tmp_path, ROSTER)), Done)
    if reopen:
        session.journal.close()
        session = opened(session.journal.path)
    outcome = session.undo()
    assert isinstance(outcome, Done) and outcome.words == "Undone: the roster, 3 lifts of 2 lifters."
    assert session.people == {} and session.state.lifters == {}
    session.journal.close()


@pytest.mark.parametrize("reopen", [False, True], ids=["at once", "after reopening"])
def test_undo_stops_at_a_document_adopted_after_it_and_says_so(
    session: Session, tmp_path: Path, reopen: bool
) -> None:
    assert isinstance(bring_roster(session, csv(tmp_path, ROSTER)), Done)
    more = tuple(replace(plate, pairs=plate.pairs + 1) for plate in session.state.gym.plates)
    assert isinstance(session.adopt("equipment", equipment_text(replace(session.state.gym, plates=more))), Done)
    if reopen:
        session.journal.close()
        session = opened(session.journal.path)
    assert session.undo() == Refused("Undo stops where the equipment was changed.")
    assert set(session.state.lifters) == {1, 2}
    session.journal.close()


def test_the_import_promises_undo_only_as_far_as_it_goes(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    main(["import", str(csv(tmp_path, ROSTER)), "--gym", str(tmp_path / "gym.duckdb"), "--yes"])
    assert "unless a session or a changed document came after it" in capsys.readouterr().out


def test_a_roster_brought_in_while_its_lifter_is_here_counts_from_next_time_and_the_session_closes(
    session: Session, tmp_path: Path
) -> None:
    for command in (c.JoinLifter(1), c.OpenSession(), c.Arrive(1, 1)):
        done = session.do(command, [PersonAdded(1, "Ada Example", "Ada")] if isinstance(command, c.JoinLifter) else [])
        assert isinstance(done, Done), done
    first = session.state.evening.here[1].sets[0]
    path = csv(tmp_path, HEAD + f"Ada Example,{first.lift},3,5,40\n")
    assert isinstance(bring_roster(session, path), Done)
    assert session.state.evening.here[1].sets[0] == first, "tonight stays as it was planned"
    assert isinstance(session.do(c.CloseSession()), Done)
    plan = session.state.lifters[1].plans[first.lift]
    assert (plan.sets, plan.reps, plan.load) == (3, 5, 4000)
