"""Seven weeks out of a coach's own spreadsheet: what is read, what is asked, and how each answer is given."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pytest

from floor.cli import main
from floor.core.history import Odd, Place, grouped
from floor.exchange.preview import preview
from floor.session import Session
from tests.bringing import HEAD, asked_of, csv, opened, ready, refused, taken

DAY = "2026-11-16"
WHAT = "Date,Athlete,Exercise,What\n"
MAP = {"What": "work"}


@pytest.fixture
def session(tmp_path: Path) -> Iterator[Session]:
    one = opened(tmp_path / "gym.duckdb")
    yield one
    one.journal.close()


def seen(session: Session, path: Path, **asked: object) -> str:
    return "\n".join(preview(ready(session, path, **asked), session.state, session.names, ""))


def test_a_column_of_sets_by_another_name_is_named_with_what_to_type(session: Session, tmp_path: Path) -> None:
    path = csv(tmp_path, WHAT + f"{DAY},Oda,squat,3x5 60\n")
    assert 'say --map "What=work"' in refused(session, path)
    assert len(ready(session, path, headings=MAP).sets) == 3


def test_where_no_column_reads_as_what_is_missing_the_fields_and_columns_are_named(
    session: Session, tmp_path: Path
) -> None:
    words = refused(session, csv(tmp_path, f"Date,Athlete,Movement,Stuff\n{DAY},Oda,squat,hard day\n"))
    assert "work (sets in shorthand)" in words and "Date, Athlete, Movement, Stuff" in words and "--map" in words


def test_a_plain_translation_of_a_heading_is_known(session: Session, tmp_path: Path) -> None:
    path = csv(tmp_path, "Datum;Athlet;\u00dcbung;Gewicht;S\u00e4tze;Wdh.\n16.11.2026;Oda;squat;62,5;3;5\n")
    assert [(s.load, s.made) for s in ready(session, path).sets] == [(6250, 5)] * 3


def test_the_same_slip_in_many_rows_is_one_line(session: Session, tmp_path: Path) -> None:
    rows = f"{DAY},Oda,Front Squat,3x5 60\n{DAY},Oda,squat,3x5 60\n" * 7
    words = refused(session, csv(tmp_path, WHAT + rows), headings=MAP)
    assert words.count("\n") == 1 and 'rows 2, 4, 6, 8, 10 and 2 more, "Exercise": ' in words


def test_one_line_names_one_sheet_column_and_slip() -> None:
    odds = [Odd(Place(sheet, row, "Lift"), what) for sheet, row, what in
            (("", 3, "a."), ("", 4, "b."), ("", 5, "a."), ("Old", 5, "a."))]  # fmt: skip
    assert grouped(odds) == [
        'rows 3, 5, "Lift": a.', 'row 4, "Lift": b.', 'sheet "Old", row 5, "Lift": a.'
    ]  # fmt: skip


def test_an_abbreviation_is_read_and_said(session: Session, tmp_path: Path) -> None:
    path = csv(tmp_path, WHAT + f"{DAY},Oda,BP,3x5 40\n{DAY},Oda,OHP,3x5 30\n")
    words = seen(session, path, headings=MAP)
    assert '"BP" is read as bench press' in words and '"OHP" is read as press' in words
    assert [s.lift for s in ready(session, path, headings=MAP).sets] == ["bench"] * 3 + ["press"] * 3
    assert '"BP" is read' not in seen(session, path, headings=MAP, lifts={"BP": "bench"})


def test_rows_of_a_lift_are_left_out_as_told_and_counted(session: Session, tmp_path: Path) -> None:
    path = csv(tmp_path, WHAT + f"{DAY},Oda,Front Squat,nonsense\n,,front  squat,3x5 60\n,,squat,3x5 60\n")
    words = seen(session, path, headings=MAP, skip=("Front Squat", "Rows"), fill=True)
    assert 'left out as you said: "Front Squat", 2 rows' in words and '"Rows", 0 rows' in words
    assert [s.lift for s in ready(session, path, headings=MAP, skip=("Front Squat",), fill=True).sets] == ["squat"] * 3


def test_a_rating_and_a_remark_are_not_read_and_said(session: Session, tmp_path: Path) -> None:
    path = csv(tmp_path, WHAT + f"{DAY},Oda,squat,3x5 60 RPE 8\n{DAY},Oda,press,30x5 (easy)\n{DAY},Oda,DL,80x5 rpe 8\n")
    assert [s.load for s in ready(session, path, headings=MAP).sets] == [6000] * 3 + [3000, 8000]
    assert '"RPE 8" (rows 2, 4), "(easy)" (row 3)' in seen(session, path, headings=MAP)


def test_a_date_that_became_a_number_is_read_and_said(session: Session, tmp_path: Path) -> None:
    path = csv(tmp_path, HEAD + "46330,Oda,squat,60,5\n")
    assert ready(session, path).sets[0].day == date(2026, 11, 4)
    assert "bare numbers are the days a spreadsheet counts" in seen(session, path)
    assert "bare numbers" not in seen(session, csv(tmp_path, HEAD + f"{DAY},Oda,squat,60,5\n", "other.csv"))


def test_a_row_written_twice_is_asked_about_whatever_is_remarked(session: Session, tmp_path: Path) -> None:
    head = "Date,Athlete,Exercise,What,Notes\n"
    path = csv(tmp_path, head + f"{DAY},Ben,BP,3x5 55,\n{DAY},Ben,bench,3x5 55,good\n", "twice.csv")
    odd = [str(one) for one in ready(session, path, headings=MAP).odd]
    assert len(odd) == 1 and odd[0].startswith('row 3, "What": the same as row 2: leave one out')


def test_a_lift_twice_a_day_far_apart_is_asked_about(session: Session, tmp_path: Path) -> None:
    path = csv(tmp_path, HEAD[:-1] + f",sets\n{DAY},Ben,squat,75,5,3\n{DAY},Ben,squat,20,5,3\n{DAY},Ben,squat,70,5,1\n")
    odd = [str(one) for one in ready(session, path).odd]
    assert any(one.startswith('row 3, "load": the same lift twice that day, 20 kg here') for one in odd), odd
    assert not any(one.startswith("row 4") for one in odd)


def test_what_is_taken_though_it_is_odd_is_still_shown(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    log = str(csv(tmp_path, WHAT.replace("What", "work") + "2024-03-04,Ben,BP,3x5 55\n" * 2))
    words = ["import", "history", log, "--gym", str(tmp_path / "gym.duckdb"), "--yes"]
    assert main(words) == 1 and "--yes-odd" in capsys.readouterr().err
    assert main([*words, "--yes-odd"]) == 0
    said = capsys.readouterr().out.splitlines()
    assert any(line.startswith('  row 3, "work": the same as row 2') for line in said)


def test_at_the_end_it_says_whose_lifts_the_first_session_has_not(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    log = str(csv(tmp_path, HEAD + "2024-03-04,Ana,deadlift,110,5\n2024-03-04,Ben,squat,60,5\n"))
    gym = tmp_path / "gym.duckdb"
    assert main(["import", "history", log, "--gym", str(gym), "--yes"]) == 0
    said = capsys.readouterr().out
    assert "    deadlift, on day 2 of Beginner, three days: Ana\n" in said and "P at check-in" in said
    assert "begin at stage 1: Ana\n" in said and "three days: Ben" not in said
    session = opened(gym)
    assert session.state.lifters[1].plans["deadlift"].load == 11000
    session.journal.close()


def test_whoever_a_history_brings_in_joined_on_its_first_day(session: Session, tmp_path: Path) -> None:
    rows = "2026-10-05,Oda,squat,60,5\n2026-10-02,Oda,squat,57.5,5\n2026-10-05,Pim,squat,50,5\n"
    taken(session, csv(tmp_path, HEAD + rows))
    joined = [("Oda", date(2026, 10, 2)), ("Pim", date(2026, 10, 5))]
    assert asked_of(session, "SELECT lifter, joined FROM people") == joined


def test_a_gym_in_pounds_is_made_by_its_first_import(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    log = str(csv(tmp_path, HEAD + "2024-03-04,Ana,squat,95,5\n"))
    assert main(["import", "history", log, "--unit", "lb", "--gym", str(tmp_path / "lb.duckdb"), "--yes"]) == 0
    assert "the load, in lb" in capsys.readouterr().out
    roster = str(csv(tmp_path, "lifter,lift,sets,reps,load\nAna,squat,3,5,95\n", "roster.csv"))
    assert main(["import", roster, "--unit", "lb", "--gym", str(tmp_path / "other.duckdb"), "--yes"]) == 0
    assert "loads without a unit: read as lb" in capsys.readouterr().out
