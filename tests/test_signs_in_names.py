"""A sign that a terminal acts on never gets into a name, nor out of a file onto the screen."""

from __future__ import annotations

from pathlib import Path

import pytest

from floor.core.people import PersonAdded, PersonRenamed, check_change, name_wrong
from floor.core.roster import read_roster
from tests.bringing import HEAD, csv, opened
from tests.test_shell_people import gym, names, run

__all__ = ["gym"]

SIGNS = ["\x1b", "\x07", "\x9b", "\x00", "\u202e", "\u2066"]


@pytest.mark.parametrize("sign", SIGNS)
def test_a_name_with_a_sign_of_the_terminal_is_no_name(sign: str) -> None:
    for change in (PersonAdded(1, f"Oda{sign} Invented", "Oda"), PersonRenamed(1, "Oda Invented", f"O{sign}da")):
        with pytest.raises(ValueError, match="type the name anew"):
            check_change(change)
    assert sign not in name_wrong(f"Oda{sign}")


@pytest.mark.parametrize("name", ["Oda Invented", "Zoë O'Hara", "Łucja", "漢字 テスト", "نور", "A\u200cB"])
def test_names_of_any_script_are_names(name: str) -> None:
    check_change(PersonAdded(1, name, name))


def test_a_rosters_line_with_such_a_name_is_told(gym: Path, tmp_path: Path) -> None:
    session = opened(gym)
    roster = read_roster("lifter,lift,sets,reps,load\nBad\x1b[31m,squat,3,5,60\n", session.state.gym)
    session.journal.close()
    assert [str(bad) for bad in roster.bad] == [
        'line 2, lifter: "Bad?[31m" holds a sign that cannot be shown, where a ? stands: type the name anew.'
    ]


def test_nothing_of_a_history_acts_on_the_terminal(
    gym: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    good = "2026-10-01,Oda Invented,squat,60,5\n"
    heads = HEAD.strip() + ",no\x1btes\n"
    status, out, err = run(gym, capsys, "import", "history", str(csv(tmp_path, heads + good)))
    assert "no tes" in out and "\x1b" not in out + err
    status, out, err = run(gym, capsys, "import", "history", str(csv(tmp_path, HEAD + good.replace("Oda", "O\x1bda"))))
    assert status == 1 and "type the name anew" in err and "\x1b" not in out + err


def test_a_rename_to_such_a_name_is_refused(gym: Path, capsys: pytest.CaptureFixture[str]) -> None:
    status, out, err = run(gym, capsys, "rename", "Oda Invented", "Oda \x1b[2J")
    assert status == 1 and "type the name anew" in err and "\x1b" not in out + err
    assert names(gym)[1] == ("Oda Invented", "Oda")
