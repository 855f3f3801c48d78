"""`floor plan`: the described evening, planned and printed beside what people do without a plan."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from floor.cli import main
from floor.core.planner import least_finish
from floor.plan_file import read_evening
from tests.test_plan_file import GOOD


@pytest.fixture
def file(tmp_path: Path) -> Path:
    path = tmp_path / "evening.json"
    path.write_text(GOOD, encoding="utf-8")
    return path


def test_the_plan_is_printed_station_by_station_beside_its_peers(
    file: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["plan", str(file)]) == 0
    out = capsys.readouterr().out
    assert out.index("Station left") < out.index("Bo, set 1 of 1, 40 s") < out.index("Station right")
    for words in ("Ada, set 4 of 4, 45 s", "rising bar", "strict rotation", "Nothing can finish before", "closing at"):
        assert words in out


def test_as_json_every_set_has_its_station_and_its_seconds(file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["plan", str(file), "--json"]) == 0
    made = json.loads(capsys.readouterr().out)
    assert len(made["turns"]) == 5
    assert made["plan"]["finish"] == max(turn["end"] for turn in made["turns"])
    assert least_finish(read_evening(GOOD)) <= made["least_finish"] <= made["plan"]["finish"]
    assert list(made["peers"]) == ["rising bar", "rising bar, who is not rested passes", "strict rotation"]


def test_a_bad_file_is_named_with_its_line(file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file.write_text(GOOD.replace('"walk": 10', '"wlk": 10'), encoding="utf-8")
    assert main(["plan", str(file)]) == 1
    assert f"{file}, line 2: 'wlk' is not known here" in capsys.readouterr().err


def test_a_file_that_is_not_there_is_said(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["plan", str(tmp_path / "none.json")]) == 1
    assert "can't be read" in capsys.readouterr().err
