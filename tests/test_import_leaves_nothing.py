"""Where nothing was taken, no gym file is left that was not there; what was there stays as it was."""

from __future__ import annotations

import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from floor.cli import main
from tests.bringing import HEAD, csv, opened

ROSTER = "lifter,lift,sets,reps,load\nOda Invented,squat,3,5,60\n"
HISTORY = HEAD + "2026-11-16,Oda Invented,squat,60,5\n"
BAD = "date,lifter,lift,load,reps\n2026-11-16,Oda Invented,juggling,60,5\n"


def gym_in(folder: Path) -> Path:
    return folder / "data" / "gyms" / "gym.duckdb"


def left_in(folder: Path) -> set[str]:
    return {str(one.relative_to(folder)) for one in folder.rglob("*")}


@pytest.mark.parametrize(
    ("words", "text"),
    [
        (["import"], ROSTER.replace("squat", "juggling")),
        (["import"], ROSTER),
        (["import"], ROSTER.replace(",60", ",6000")),
        (["import", "history"], BAD),
        (["import", "history"], HISTORY),
        (["import", "history"], HISTORY.replace("Oda Invented", "")),
        (["adopt", "settings"], "nonsense = [\n"),
    ],
    ids=["bad roster", "roster, not asked", "odd roster", "bad history", "history, not asked", "no name", "document"],
)
def test_a_file_that_is_not_taken_leaves_no_gym_and_no_folder(tmp_path: Path, words: list[str], text: str) -> None:
    path = csv(tmp_path, text)
    assert main([*words, str(path), "--gym", str(gym_in(tmp_path))]) == 1
    assert left_in(tmp_path) == {"log.csv"}


@pytest.mark.parametrize("answer", ["no", "", "interrupted"])
@pytest.mark.parametrize(("words", "text"), [(["import"], ROSTER), (["import", "history"], HISTORY)])
def test_who_says_no_is_left_with_nothing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, words: list[str], text: str, answer: str
) -> None:
    def asked(question: str) -> str:
        assert gym_in(tmp_path).exists()
        if answer == "interrupted":
            raise KeyboardInterrupt
        return answer

    monkeypatch.setattr(sys.stdin, "isatty", lambda: True)
    monkeypatch.setattr("builtins.input", asked)
    path = str(csv(tmp_path, text))
    try:
        assert main([*words, path, "--gym", str(gym_in(tmp_path))]) != 0
    except KeyboardInterrupt:
        assert answer == "interrupted"
    assert left_in(tmp_path) == {"log.csv"}


def test_of_two_files_the_first_stays_as_it_was_taken(tmp_path: Path) -> None:
    good, bad = csv(tmp_path, ROSTER, "a.csv"), csv(tmp_path, ROSTER.replace("squat", "juggling"), "b.csv")
    assert main(["import", str(good), str(bad), "--yes", "--gym", str(gym_in(tmp_path))]) == 1
    session = opened(gym_in(tmp_path))
    assert [person.name for person in session.people.values()] == ["Oda Invented"]
    session.journal.close()


def test_an_empty_gym_that_was_there_before_stays(tmp_path: Path) -> None:
    gym = tmp_path / "gym.duckdb"
    opened(gym).journal.close()
    assert main(["import", "history", str(csv(tmp_path, BAD)), "--gym", str(gym)]) == 1
    session = opened(gym)
    assert session.journal.head.cmd == 1
    session.journal.close()


def test_a_tail_and_a_folder_that_were_there_before_stay(tmp_path: Path) -> None:
    gym = tmp_path / "gym.duckdb"
    tail = gym.with_name(gym.name + ".tail")
    tail.write_text("")
    assert main(["import", str(csv(tmp_path, ROSTER)), "--gym", str(gym)]) == 1
    assert left_in(tmp_path) == {"log.csv", tail.name}


def test_another_file_that_came_into_the_folder_meanwhile_stays(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    other = gym_in(tmp_path).with_name("notes.txt")
    _say_no_after(monkeypatch, lambda: other.write_text("mine"))
    assert main(["import", str(csv(tmp_path, ROSTER)), "--gym", str(gym_in(tmp_path))]) == 1
    assert not gym_in(tmp_path).exists() and other.read_text() == "mine"


def _say_no_after(monkeypatch: pytest.MonkeyPatch, first: Callable[[], object]) -> None:
    def agreed(question: str, do: str) -> bool:
        first()
        return False

    monkeypatch.setattr("floor.shell_import.agreed", agreed)


def test_showing_a_document_makes_no_gym(tmp_path: Path) -> None:
    gym = tmp_path / "gym.duckdb"
    assert main(["show", "equipment", "--gym", str(gym)]) == 1
    assert not gym.exists()
