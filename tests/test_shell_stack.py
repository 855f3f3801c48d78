"""`floor stack`: the finished bar first, the change second, one sentence for what can't be."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path

import pytest

from floor import cli
from floor.core.definitions import parse_gym
from floor.core.gym import Gym
from floor.shell_stack import RIGHT, Finished, finish, lines
from floor.templates import templates


def gym_in(unit: str) -> Gym:
    parsed = parse_gym(templates(unit=unit), {}, unit)
    assert isinstance(parsed, Gym)
    return parsed


GYM = gym_in("kg")


def finished(load: str, **asked: str) -> Finished:
    answer = finish(asked.pop("gym", GYM), load, **asked)  # type: ignore[arg-type]
    assert isinstance(answer, Finished), answer
    return answer


def test_the_finished_bar_comes_before_the_change() -> None:
    told = lines(finished("102.5", now="25 10 5"))
    assert told[0] == "102.5 kg"
    assert told[1].split() == ["bar", "20", "kg", "bar"]
    assert told[2].split()[:5] == ["each", "side", "25", "15", "1.25"]
    assert told[3].split()[:3] == ["per", "side", "41.25"]
    assert "spring clips" in told[4]
    assert told[-1].split(maxsplit=1) == ["change", "off 5 and 10; on 15 and 1.25, each side"]


def test_without_a_bar_to_start_from_no_change_is_made_up() -> None:
    assert not any("change" in line for line in lines(finished("102.5")))
    assert finished("102.5", now="").change is not None


def test_what_cant_be_built_is_the_nearest_below_and_says_so() -> None:
    answer = finished("101.75")
    assert lines(answer)[0] == "101.75 wanted, 101.5 kg on the bar"
    assert lines(answer)[1] == "101.75 kg cannot be shared equally between two sleeves."
    assert answer.load == 10_150


def test_a_pull_says_whether_it_starts_right() -> None:
    assert finished("60", lift="clean").start == RIGHT
    assert finished("25", lift="deadlift").start == "Blocks or hang. No full-size plate on."
    assert finished("60", lift="squat").start == ""
    assert finished("30", lift="power clean").stack == ("5T",)
    assert finished("30", lift="squat").stack == ("5",)


def test_the_bar_is_the_one_that_stands_there_or_a_lighter_one() -> None:
    assert finished("60").bar.id == "20"
    assert finished("17.5").bar.id == "15"
    assert finished("60", bar="15 KG bar").stack != finished("60").stack


def test_collars_are_in_the_load_and_named() -> None:
    heavy = replace(GYM, collar=250)
    answer = finish(heavy, "60")
    assert isinstance(answer, Finished)
    assert (answer.side, answer.stack) == (1750, ("15", "2.5"))
    assert "2.5 kg each" in lines(answer)[4]


@pytest.mark.parametrize(
    ("load", "asked", "sentence"),
    [
        ("-5", {}, "A load cannot be negative."),
        ("0", {}, "A load must be more than zero."),
        ("99999999", {}, "More than 1000 kg is not a load for a bar."),
        ("heavy", {}, '"heavy" is not a number.'),
        ("nan", {}, '"nan" is not a number.'),
        ("135 lb", {}, "Loads here are in kg, not lb."),
        ("15", {"bar": "20"}, "15 kg is less than the 20 kg bar alone, 20 kg."),
        ("5", {}, "5 kg is less than the 10 kg bar alone, 10 kg."),
        ("60", {"bar": "7"}, 'The gym has no bar "7". It has 20, 15, 10.'),
        ("60", {"lift": "jerk"}, 'The gym has no lift "jerk". It has squat, press, bench, deadlift, clean.'),
        ("60", {"now": "7"}, 'The gym has no plate "7". It has 25, 20, 15, 10, 5T, 5, 2.5, 1.25, 1, 0.5.'),
        ("60", {"now": "25 25 25"}, "The gym has 2 pairs of the 25, and 3 a side are said to be on."),
        ("60", {"bar": "10", "now": "25 25 20 20 20"}, "25 25 20 20 20 does not fit on the sleeve of the 10 kg bar."),
    ],
)
def test_a_question_that_cant_stand_gets_one_sentence(load: str, asked: dict[str, str], sentence: str) -> None:
    assert finish(GYM, load, **asked) == sentence  # type: ignore[arg-type]


def test_an_empty_stock_gives_the_empty_bar_and_says_why() -> None:
    answer = finish(replace(GYM, plates=()), "60")
    assert isinstance(answer, Finished)
    assert lines(answer)[:2] == ["60 wanted, 20 kg on the bar", "The gym has no plates."]


@pytest.fixture
def pounds(tmp_path: Path) -> Path:
    path = tmp_path / "gym.duckdb"
    cli.open_session(path, "lb").journal.close()
    return path


def test_the_shell_answers_in_json_in_the_gyms_unit(pounds: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert cli.main(["stack", "165", "--from", "45 10", "--json", "--gym", str(pounds)]) == 0
    assert json.loads(capsys.readouterr().out) == {
        "wanted": 165, "load": 165, "unit": "lb", "bar": "45", "bar_mass": 45, "collar": 0, "side": 60,
        "stack": ["35", "25"], "change": {"off": ["10", "45"], "on": ["35", "25"]}, "lift": None, "start": "",
        "why": "",
    }  # fmt: skip


def test_the_shell_refuses_with_one_line_and_a_status(pounds: Path, capsys: pytest.CaptureFixture[str]) -> None:
    for load in ("-5", "0", "abc", "1e9"):
        assert cli.main(["stack", load, "--gym", str(pounds)]) == 1
        out, err = capsys.readouterr()
        assert out == "" and err.count("\n") == 1
    missing = pounds.with_name("none.duckdb")
    assert cli.main(["stack", "60", "--gym", str(missing)]) == 1
    assert "no gym file" in capsys.readouterr().err and not missing.exists()


@pytest.mark.parametrize(("unit", "said"), [("kg", "102.5 kg"), ("lb", "105 lb")])
def test_before_there_is_a_gym_the_plates_are_those_a_new_gym_begins_with(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], unit: str, said: str
) -> None:
    path = tmp_path / "own" / "gym.duckdb"
    monkeypatch.setattr("floor.shell_gym.default_gym", lambda: path)
    load = said.split()[0]
    assert cli.main(["--unit", unit, "stack", load]) == 0
    first = capsys.readouterr()
    assert first.err == "no gym file yet: with the plates a new gym begins with\n"
    assert first.out.startswith(said) and not path.parent.exists()
    assert cli.main(["ramps"]) == 1 and "no gym file" in capsys.readouterr().err
    path.parent.mkdir()
    cli.open_session(path, unit).journal.close()
    assert cli.main(["stack", load]) == 0
    made = capsys.readouterr()
    assert made.out == first.out and made.err == ""


def test_a_gym_keeps_the_unit_it_was_made_in(pounds: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert cli.main(["--unit", "kg", "stack", "60", "--gym", str(pounds)]) == 1
    assert "is in lb, and stays so" in capsys.readouterr().err
    assert cli.main(["--unit", "lb", "show", "equipment", "--gym", str(pounds)]) == 0
    assert 'unit = "lb"' in capsys.readouterr().out
    assert cli.main(["--unit", "lb", "demo", "--make-only"]) == 1
    assert "in kg" in capsys.readouterr().err
