"""The files a history comes in: units, dates, blanks, sheets, and everything that is no history."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pytest
from openpyxl import Workbook

from floor.cli import main
from floor.core import commands as c
from floor.core.people import PersonAdded
from floor.exchange.preview import preview
from floor.session import Done, Session
from tests.bringing import HEAD, csv, messy, opened, ready, refused


@pytest.fixture
def session(tmp_path: Path) -> Iterator[Session]:
    one = opened(tmp_path / "gym.duckdb")
    yield one
    one.journal.close()


def test_the_unit_is_the_rows_the_columns_or_the_files(session: Session, tmp_path: Path) -> None:
    # 1 lb = 0.45359237 kg, international agreement of 1959 (from memory): 100 lb = 45.36 kg
    row = ready(session, csv(tmp_path, "date,name,lift,load,unit,reps\n2026-11-16,Oda,squat,100,lb,5\n"))
    column = ready(session, csv(tmp_path, "date,name,lift,load lb,reps\n2026-11-16,Oda,squat,100,5\n"))
    file = ready(session, csv(tmp_path, HEAD + "2026-11-16,Oda,squat,100,5\n"), unit="lb")
    short = ready(session, csv(tmp_path, "date,name,lift,work\n2026-11-16,Oda,squat,100x5; 60kg x5\n"), unit="lb")
    assert [x.sets[0].load for x in (row, column, file, short)] == [4536] * 4 and short.sets[1].load == 6000


def test_a_date_that_can_be_two_days_is_asked_about(session: Session, tmp_path: Path) -> None:
    path = csv(tmp_path, HEAD + "3/4/2026,Oda,squat,60,5\n")
    assert "--dates dmy or mdy" in refused(session, path)
    assert ready(session, path, dates="dmy").sets[0].day == date(2026, 4, 3)
    decided = csv(tmp_path, HEAD + "3/4/2026,Oda,squat,60,5\n3/31/2026,Oda,squat,60,5\n")
    assert ready(session, decided).sets[0].day == date(2026, 3, 4)


def test_blank_cells_are_the_ones_above_only_when_the_coach_says_so(session: Session, tmp_path: Path) -> None:
    path = csv(tmp_path, HEAD + "2026-11-16,Oda,squat,60,5\n,,,62.5,5\n")
    assert refused(session, path).count("--fill") == 3
    assert [(s.lifter, s.lift, s.load) for s in ready(session, path, fill=True).sets][1] == ("Oda", "squat", 6250)


def test_a_sheet_for_each_lifter_says_whose_it_is(session: Session, tmp_path: Path) -> None:
    book = Workbook()
    for sheet in (book.active, book.create_sheet()):
        sheet.append(["date", "lift", "work"])
        sheet.append(["2026-11-16", "squat", "3x5 60"])
    book.worksheets[0].title, book.worksheets[1].title = "Oda Invented", "Pim Made-Up"
    path = tmp_path / "lifters.xlsx"
    book.save(path)
    assert "lifter" in refused(session, path)
    found = ready(session, path, sheet_is="lifter")
    assert [s.lifter for s in found.sets] == ["Oda Invented"] * 3 + ["Pim Made-Up"] * 3


def test_a_load_that_a_formula_worked_out_is_taken_to_the_hundredth(session: Session, tmp_path: Path) -> None:
    book = Workbook()
    book.active.append(["date", "lifter", "lift", "load", "reps"])
    book.active.append([date(2026, 11, 16), "Oda", "squat", 100 * 0.45359237, 5.0])
    book.active.append([date(2026, 11, 16), "Oda", "squat", 45, 5.5])
    path = tmp_path / "worked.xlsx"
    book.save(path)
    assert 'row 3, "reps": "5.5"' in refused(session, path)
    book.active.delete_rows(3)
    book.save(path)
    assert [s.load for s in ready(session, path).sets] == [4536]


def test_reps_that_a_spreadsheet_made_a_date_of_are_named(session: Session, tmp_path: Path) -> None:
    book = Workbook()
    book.active.append(["date", "lifter", "lift", "load", "reps"])
    book.active.append([date(2026, 11, 16), "Oda", "squat", 60, date(2026, 5, 5)])
    path = tmp_path / "dates.xlsx"
    book.save(path)
    assert "has made a date (2026-05-05)" in refused(session, path)


def test_a_name_on_the_board_is_its_lifter_and_a_near_name_is_shown(session: Session, tmp_path: Path) -> None:
    assert isinstance(session.do(c.JoinLifter(1), [PersonAdded(1, "Oda Invented", "Oda")]), Done)
    found = ready(session, csv(tmp_path, HEAD + "2026-11-16,ODA,squat,60,5\n2026-11-16,Oda Inventet,squat,60,5\n"))
    words = "\n".join(preview(found, session.state, session.names, ""))
    assert '"ODA" is taken for Oda Invented' in words and "new: Oda Inventet   (is it Oda Invented?" in words
    assert [p.name for p in found.people] == ["Oda Inventet"]


def test_a_headline_the_coach_names_goes_before_a_guess(session: Session, tmp_path: Path) -> None:
    path = csv(tmp_path, "Tag;Wer;Übung;Gewicht;Wdh\n16.11.2026;Oda;Kniebeuge;62,5;5\n")
    assert "no row at the top names" in refused(session, path)
    headings = {"Tag": "date", "Wer": "lifter", "Übung": "lift", "Gewicht": "load", "Wdh": "reps"}
    found = ready(session, path, headings=headings, lifts={"kniebeuge": "squat"})
    assert [(s.lift, s.load) for s in found.sets] == [("squat", 6250)]


def test_a_heading_written_wrong_is_named_with_those_there_are(session: Session, tmp_path: Path) -> None:
    path = csv(tmp_path, HEAD + "2026-11-16,Oda,squat,60,5\n")
    there = 'no column called "Lfit". It has: date, lifter, lift, load, reps.'
    assert there in refused(session, path, headings={"Lfit": "lift"})
    strange = csv(tmp_path, "Autumn log\nTag;Wer;Übung;Gewicht;Wdh\n16.11.2026;Oda;squat;62,5;5\n")
    assert 'no column called "Uebung". It has: Tag, Wer' in refused(session, strange, headings={"Uebung": "lift"})


BAD: dict[str, tuple[bytes, str]] = {
    "none.csv": (b"", "is empty"),
    "blank.csv": (b" \n\n", "is empty"),
    "locked.xlsx": (b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + b"\0" * 600, "password"),
    "half.xlsx": (b"PK\x03\x04" + b"\x07" * 300, "damaged"),
    "really.xlsx": (b"date,lifter\n", "no XLSX file"),
    "photo.csv": (b"\x89PNG\r\n\0\0\0", "no CSV file"),
    "wide.csv": ("date,lifter\n2026-11-16,Oda\n".encode("utf-16"), "save it as CSV (UTF-8)"),
    "latin.csv": ("date,lifter\n2026-11-16,J\u00f8rn\n".encode("latin-1"), "UTF-8"),
    "letter.docx": (b"PK\x03\x04", "neither CSV nor XLSX"),
    "heading.csv": (HEAD.encode(), "no sets"),
}


@pytest.mark.parametrize("name", BAD)
def test_a_file_that_is_no_history_gets_one_sentence(session: Session, tmp_path: Path, name: str) -> None:
    (tmp_path / name).write_bytes(BAD[name][0])
    words = refused(session, tmp_path / name)
    assert BAD[name][1] in words and "\n" not in words and name in words


def test_a_workbook_cut_short_is_damaged_and_a_missing_file_is_missing(session: Session, tmp_path: Path) -> None:
    whole = messy(tmp_path)
    for cut in (200, 2000, whole.stat().st_size - 30):
        (tmp_path / "cut.xlsx").write_bytes(whole.read_bytes()[:cut])
        assert "damaged" in refused(session, tmp_path / "cut.xlsx")
    assert "can't be read: No such file" in refused(session, tmp_path / "gone.csv")
    assert "is a folder" in refused(session, tmp_path)


def test_the_shell_shows_first_and_takes_nothing_without_a_yes(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    log = str(csv(tmp_path, HEAD + "2024-03-04,Oda,squat,60,5\n"))
    gym = str(tmp_path / "gym.duckdb")
    assert main(["import", "history", log, "--gym", gym]) == 1
    said = capsys.readouterr()
    assert "1 set on 1 day" in said.out and "--yes" in said.err and "Nothing was taken." in said.err
    assert main(["import", "history", log, "--gym", gym, "--yes"]) == 0
    assert "1 set on 1 day brought in" in capsys.readouterr().out
    assert main(["import", "history", log, "--gym", gym, "--yes"]) == 0
    assert "nothing was changed" in capsys.readouterr().out
    odd = str(csv(tmp_path, HEAD + "2024-03-06,Oda,squat,600,5\n"))
    assert main(["import", "history", odd, "--gym", gym, "--yes"]) == 1
    assert "These look odd" in capsys.readouterr().err
    assert main(["import", "history", odd, "--gym", gym, "--yes", "--yes-odd"]) == 0


@pytest.mark.parametrize(
    ("words", "why"),
    [
        (["history", "log.csv", "out"], "out is a folder: an export is brought in on its own"),
        (["log.xlsx"], "floor import history"),
        (["history", "log.csv", "--map", "Weight"], "is not HEADING=FIELD"),
        (["history", "log.csv", "--lift", "back squat"], "--lift is WRITTEN=LIFT"),
        (["dated.csv"], "If it is a history: floor import history"),
    ],
)
def test_the_shell_says_how_it_is_asked(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], words: list[str], why: str
) -> None:
    monkeypatch.chdir(tmp_path)
    csv(tmp_path, HEAD + "2024-03-04,Oda,squat,60,5\n", "dated.csv")
    (tmp_path / "out").mkdir()
    assert main(["import", *words, "--gym", "gym.duckdb"]) == 1
    assert why in capsys.readouterr().err
