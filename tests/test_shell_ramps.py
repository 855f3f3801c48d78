"""`floor ramps`: the ramp a lift has, beside one that moves fewer plates."""

from __future__ import annotations

from pathlib import Path

import pytest

from floor.cli import main
from floor.core.ladder import Rungs
from floor.shell_ramps import ramp_lines
from tests.core.test_ladder import GYM
from tests.scenario import demo_session


def test_both_ramps_are_shown_with_the_plates_moved() -> None:
    lines = ramp_lines(GYM, [Rungs("squat", (2000, 5000), 12, (2000, 6250), 9)])
    assert lines[0] == "squat, kg"
    assert lines[1:3] == ["  now [20, 50]  12 plates moved a side", "  or  [20, 62.5]  9 plates moved a side"]


def test_where_nothing_is_better_it_says_so() -> None:
    assert ramp_lines(GYM, []) == ["No ramp was found that moves fewer plates than the ones the lifts have."]


def test_the_demo_gym_is_asked_from_the_shell(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    session, _ = demo_session(tmp_path)
    session.journal.close()
    assert main(["ramps", "--gym", str(tmp_path / "demo.duckdb")]) == 0
    said = capsys.readouterr().out
    assert "squat, kg\n  now [20, 40, 60" in said and "floor adopt lifts" in said


def test_a_gym_that_is_not_there_is_said(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["ramps", "--gym", str(tmp_path / "none.duckdb")]) == 1
    assert "There is no gym file" in capsys.readouterr().err
