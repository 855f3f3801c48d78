"""`floor import`: a roster comes in whole, or not at all with every bad line named."""

from __future__ import annotations

from pathlib import Path

from tests.terminal.evening_keys import run_floor
from tests.terminal.terminal import Terminal, python_floor

GOOD = "\ufefflifter;lift;sets;reps;load;unit\nOda Invented;squat;3;5;62,5;kg\nPim Made-Up;bench press;3;5;95;lb\n"
BAD = """lifter,lift,sets,reps,load,unit
Oda Invented,squat,3,5,62.5,kg
Pim Made-Up,juggling,3,5,40,kg
Pim,squat,3,0,x,kg
"""


def test_a_good_roster_is_taken_and_stands_on_the_check_in_list(tmp_path: Path) -> None:
    gym, roster = tmp_path / "gym.duckdb", tmp_path / "roster.csv"
    roster.write_text(GOOD, encoding="utf-8")
    asked = run_floor("import", roster, "--gym", gym)
    assert asked.returncode == 1 and "Say --yes to take it." in asked.stderr
    taken = run_floor("import", roster, "--gym", gym, "--yes")
    assert taken.returncode == 0, taken.stderr
    assert "2 lifts for 2 lifters taken, 2 of them new." in taken.stdout
    with Terminal(python_floor("--gym", gym), 120, 40) as term:
        term.wait_for("Oda")
        assert "squat 62.5 kg 3×5" in term.line_with("Oda")
        assert "bench press" in term.line_with("Pim")


def test_of_a_bad_roster_nothing_is_taken_and_every_bad_line_is_named(tmp_path: Path) -> None:
    gym, roster = tmp_path / "gym.duckdb", tmp_path / "roster.csv"
    roster.write_text(BAD, encoding="utf-8")
    refused = run_floor("import", roster, "--gym", gym)
    assert refused.returncode == 1 and refused.stdout == ""
    assert "Nothing was taken" in refused.stderr
    for place in ("line 3, lift:", "line 4, reps:", "line 4, load:"):
        assert place in refused.stderr, refused.stderr
    assert not gym.exists()


def test_a_roster_that_is_not_there_is_told_in_one_sentence(tmp_path: Path) -> None:
    refused = run_floor("import", tmp_path / "none.csv", "--gym", tmp_path / "gym.duckdb")
    assert refused.returncode == 1
    assert len(refused.stderr.strip().splitlines()) == 1 and "can't be read" in refused.stderr
