"""`floor card` from the shell: whose card, in which form, where to; and a sentence when it can't be."""

from __future__ import annotations

from pathlib import Path

import pytest

from floor.cli import main
from floor.core import commands as c
from floor.core.people import PersonAdded
from floor.session import Session
from floor.shell_card import found
from tests.tui.house import done, new_clock, open_session
from tests.tui.test_week_screen import an_evening


@pytest.fixture
def gym(tmp_path: Path) -> str:
    an_evening(tmp_path).journal.close()
    return str(tmp_path / "gym.duckdb")


@pytest.mark.parametrize("who", ["Ada", "ada", "Ada Example", "1"])
def test_a_board_name_a_full_name_or_a_number(gym: str, who: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["card", who, "--gym", gym]) == 0
    assert capsys.readouterr().out.startswith("Ada: next session\n")


@pytest.mark.parametrize(("form", "begins"), [("markdown", "# Ada"), ("html", "<!doctype html>"), ("text", "Ada")])
def test_three_forms(gym: str, form: str, begins: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["card", "Ada", f"--{form}", "--gym", gym]) == 0
    assert capsys.readouterr().out.startswith(begins)


def test_to_a_file_and_a_folder_that_is_not_there(gym: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    out = tmp_path / "ada.html"
    assert main(["card", "Ada", "--html", "--out", str(out), "--gym", gym]) == 0
    assert out.read_text(encoding="utf-8").startswith("<!doctype html>") and capsys.readouterr().out == ""
    assert main(["card", "Ada", "--out", str(tmp_path / "no" / "ada.txt"), "--gym", gym]) == 1
    assert "can't be written" in capsys.readouterr().err


def test_without_a_name_it_is_the_evenings_summary(gym: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["card", "--gym", gym]) == 0
    assert "For the coach, not for the board" in capsys.readouterr().out


def test_nobody_of_that_name_lists_the_board_names(gym: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["card", "Zoe", "--gym", gym]) == 1
    assert "No lifter is called 'Zoe'. The board names are: Ada, Bo, Cleo, Dov." in capsys.readouterr().err


def test_no_gym_file_makes_none(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "none.duckdb"
    assert main(["card", "Ada", "--gym", str(path)]) == 1
    assert "no gym file" in capsys.readouterr().err and not path.exists()


def test_two_of_one_name_ask_for_the_number(tmp_path: Path) -> None:
    session: Session = open_session(tmp_path, new_clock())
    done(session, c.JoinLifter(9), [PersonAdded(9, "Ada Example", "Ada 2")])
    assert found(session, "Ada") == 1
    assert found(session, "Ada Example") == "2 lifters are called 'Ada Example': give the number, one of 1, 9."
    session.journal.close()
