"""What a coach's own spreadsheet holds besides sets: notes, names written twice, several groups in one cell."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from floor.cli import main
from floor.exchange.preview import preview
from floor.session import Session
from tests.bringing import HEAD, asked_of, csv, opened, ready, refused, taken, work

DAY = "2026-11-16"


@pytest.fixture
def session(tmp_path: Path) -> Iterator[Session]:
    one = opened(tmp_path / "gym.duckdb")
    yield one
    one.journal.close()


def test_two_names_a_letter_apart_are_asked_about_with_their_rows(session: Session, tmp_path: Path) -> None:
    text = HEAD + "".join(f"{DAY},{name},squat,60,5\n" for name in ("Ana", "Anna", "Ana", "Pim", "Ana"))
    path = csv(tmp_path, text)
    odd = [str(one) for one in ready(session, path).odd]
    assert len(odd) == 1
    assert odd[0].startswith('row 3, "lifter": "Anna" (row 3) and "Ana" (rows 2, 4, 6) differ by a letter.')
    assert "--yes-odd" in odd[0]
    taken(session, path)
    assert len(session.people) == 3
    more = csv(tmp_path, text + f"{DAY},Anna,press,30,5\n", "more.csv")
    assert ready(session, more).odd == ()  # both are lifters of the gym by now


def test_many_rows_of_a_doubtful_name_are_told_by_the_first_five(session: Session, tmp_path: Path) -> None:
    odd = ready(session, csv(tmp_path, HEAD + f"{DAY},Ana,squat,60,5\n" * 7 + f"{DAY},Anna,squat,60,5\n")).odd
    assert "(rows 2, 3, 4, 5, 6 and 2 more)" in str(odd[0])


def test_a_new_name_a_letter_from_a_lifter_of_the_gym_in_the_same_file_is_asked_about(
    session: Session, tmp_path: Path
) -> None:
    taken(session, csv(tmp_path, HEAD + f"{DAY},Ana,squat,60,5\n"))
    again = csv(tmp_path, HEAD + f"{DAY},Ana,squat,60,5\n{DAY},Anna,press,30,5\n", "more.csv")
    assert [one.place.row for one in ready(session, again).odd] == [3]


@pytest.mark.parametrize("note", [f"{DAY},,,,,", ",,,,,gym closed", f"{DAY},gym closed,,,,", f"{DAY},Ana,,-,,ill"])
def test_a_note_without_lift_and_load_is_left_out_and_said(session: Session, tmp_path: Path, note: str) -> None:
    head = "date,lifter,lift,load,reps,notes\n"
    found = ready(session, csv(tmp_path, head + f"{DAY},Ana,squat,60,5,\n{note}\n{DAY},Ana,squat,62.5,5,\n"))
    assert [(one.place.row, "no lift and no load" in one.what) for one in found.odd] == [(3, True)]
    words = "\n".join(preview(found, session.state, session.names, ""))
    assert "Left out:" in words and "row 3" in words
    taken(session, found.path)
    assert [load for *_, load, _ in work(session)] == [60.0, 62.5]


@pytest.mark.parametrize("row", ["Ana,,60,5", "Ana,squat,,", "Ana,squat,,5", "Ana,,,5", "Ana,gym closed,,"])
def test_a_row_that_lacks_only_one_of_lift_and_load_still_stops_the_file(
    session: Session, tmp_path: Path, row: str
) -> None:
    assert "row 3" in refused(session, csv(tmp_path, HEAD + f"{DAY},Ana,squat,60,5\n{DAY},{row}\n"))


def test_a_note_in_a_column_of_shorthand_is_a_note_too(session: Session, tmp_path: Path) -> None:
    found = ready(session, csv(tmp_path, f"date,lifter,lift,work\n{DAY},,,gym closed\n{DAY},Ana,squat,bar x5\n"))
    assert [one.place.row for one in found.left] == [2] and len(found.sets) == 1


def test_a_row_that_only_names_the_day_still_fills_those_below_it(session: Session, tmp_path: Path) -> None:
    found = ready(session, csv(tmp_path, HEAD + f"{DAY},,,,\n,Ana,squat,60,5\n"), fill=True)
    assert [str(one.day) for one in found.sets] == [DAY] and len(found.left) == 1


@pytest.mark.parametrize(
    ("head", "cells"),
    [
        ("work", '"bar x5, 40x5"'),
        ("sets", '"bar x5, 40x5"'),
        ("load,reps", '"bar x5, 40x5",'),
        ("load,reps", ',"bar x5, 40x5"'),
        ("load", "bar x5 / 40x5"),
        ("load,sets,reps", "bar x5 + 40x5,,"),
    ],
)
def test_several_groups_in_one_cell_are_read_whatever_its_column_is(
    session: Session, tmp_path: Path, head: str, cells: str
) -> None:
    taken(session, csv(tmp_path, f"date,lifter,lift,{head}\n{DAY},Ana,squat,{cells}\n"))
    assert work(session) == [("Ana", "squat", 20.0, 5), ("Ana", "squat", 40.0, 5)]


def test_groups_beside_a_number_of_reps_are_two_answers_and_refused(session: Session, tmp_path: Path) -> None:
    both = csv(tmp_path, HEAD + f'{DAY},Ana,squat,"bar x5, 40x5",5\n')
    assert 'row 2, "load"' in refused(session, both)


def test_a_comma_without_quotes_loses_no_set_unsaid(session: Session, tmp_path: Path) -> None:
    found = ready(session, csv(tmp_path, f"date,lifter,lift,work\n{DAY},Ana,squat,bar x5, 40x5\n"))
    assert len(found.odd) == 1 and '"40x5"' in str(found.odd[0]) and "in quotes" in str(found.odd[0])


@pytest.mark.parametrize(
    "words",
    [
        ["history", "--dates", "dmy", "FILE"],
        ["--dates", "dmy", "history", "FILE"],
        ["history", "FILE", "--dates", "dmy"],
        ["history", "--yes-odd", "FILE", "--dates=dmy"],
    ],
)
def test_options_stand_before_the_file_and_after_it(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], words: list[str]
) -> None:
    log = csv(tmp_path, HEAD + "3/4/2024,Ana,squat,60,5\n")
    gym = tmp_path / "gym.duckdb"
    told = [str(log) if word == "FILE" else word for word in words]
    assert main(["import", *told, "--yes", "--gym", str(gym)]) == 0
    assert "2024-04-03" in capsys.readouterr().out


@pytest.mark.parametrize("words", [["import", "history", "--dtes", "x.csv"], ["stack", "60", "70"], ["ramps", "x"]])
def test_what_no_command_takes_is_still_refused(capsys: pytest.CaptureFixture[str], words: list[str]) -> None:
    with pytest.raises(SystemExit) as ended:
        main(words)
    assert ended.value.code == 2 and "unrecognized arguments" in capsys.readouterr().err


def test_the_shell_says_that_ungraded_sets_count_for_loads_and_maxima_and_not_for_form(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    gym = str(tmp_path / "gym.duckdb")
    head = "date,lifter,lift,load,reps,grade\n"
    rows = (f"{DAY},Ana,squat,60,5,\n", f"{DAY},Ana,press,30,5,sound\n", f"{DAY},Ana,bench,40,5,sound\n")
    said = []
    for number, text in enumerate((rows[0], rows[0] + rows[1] + rows[0], rows[2])):
        log = str(csv(tmp_path, head + text, f"{number}.csv"))
        assert main(["import", "history", log, "--gym", gym, "--yes", "--yes-odd"]) == 0
        said.append(capsys.readouterr().out)
    assert "Loads and reps came in without grades: they count for loads and estimated maxima, not for form." in said[0]
    assert "A grade column (sharp, sound, rough, broken) would count." in said[0]
    assert "Loads and reps of 1 set came in without grades" in said[1]
    assert "without grades" not in said[2]


def test_without_a_grade_a_set_was_not_seen_and_with_one_it_was(session: Session, tmp_path: Path) -> None:
    head = "date,lifter,lift,load,reps,grade\n"
    taken(session, csv(tmp_path, head + f"{DAY},Ana,squat,60,5,\n{DAY},Pim,squat,60,5,sound\n"))
    assert asked_of(session, "SELECT lifter, seen FROM sets ORDER BY lifter") == [("Ana", False), ("Pim", True)]
