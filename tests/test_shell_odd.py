"""What goes wrong around a command ends it with a sentence: a key that stops it, a path that can't be, no gym there."""

from __future__ import annotations

import shutil
import sys
from pathlib import Path

import pytest

from floor.cli import main
from floor.core.pace import NO_PACE
from tests.bringing import HEAD, csv
from tests.test_shell_people import gym, names, run
from tests.tui.house import open_session

__all__ = ["gym"]


def stopped(question: str) -> str:
    print(question, end="")
    raise KeyboardInterrupt


def test_ctrl_c_at_a_question_is_a_no(
    gym: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(sys.stdin, "isatty", lambda: True)
    monkeypatch.setattr("builtins.input", stopped)
    status, out, err = run(gym, capsys, "forget", "Oda Invented")
    assert status == 1 and "Type yes: \n" in out and err == "Nothing was erased.\n"
    assert names(gym)[1] == ("Oda Invented", "Oda")


def test_ctrl_c_anywhere_else_is_one_word(
    gym: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("floor.shell_people.whom", lambda *_, **__: stopped(""))
    status, _, err = run(gym, capsys, "forget", "Oda Invented")
    assert status == 130 and err == "\nStopped.\n"


@pytest.mark.parametrize("words", [("show", "lifts"), ("import", "history", "log.csv"), ("ask", "SELECT 1")])
def test_a_path_longer_than_a_system_takes_is_one_sentence(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], words: tuple[str, ...]
) -> None:
    assert main([*words, "--gym", str(tmp_path / ("g" * 300))]) == 1
    said = capsys.readouterr().err
    assert "too long" in said and len(said.splitlines()) == 1


def test_showing_makes_no_gym_where_there_is_none(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["show", "lifts", "--gym", str(tmp_path / "none.duckdb")]) == 1
    assert "no gym file" in capsys.readouterr().err and list(tmp_path.iterdir()) == []


def test_a_lift_said_twice_alike_is_said_once(gym: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = csv(tmp_path, HEAD + "2026-10-01,Oda Invented,kneebend,60,5\n")
    twice = ["--lift", "kneebend=squat"] * 2
    status, out, err = run(gym, capsys, "import", "history", str(file), *twice, "--yes")
    assert status == 0 and "1 set on 1 day" in out, err
    assert run(gym, capsys, "import", "history", str(file), "--lift", "kneebend")[0] == 1


def test_a_record_that_is_gone_teaches_no_pace(tmp_path: Path) -> None:
    session = open_session(tmp_path)
    session.journal.close()
    shutil.move(tmp_path / "gym.duckdb", tmp_path / "moved.duckdb")
    assert session.pace_reader()() == NO_PACE
