"""What names people is written for its owner alone."""

from __future__ import annotations

from pathlib import Path

import pytest

from floor.cards import Written as Pages
from floor.cards import write_evening
from floor.ownfile import OWN, write_own
from floor.session import Session
from floor.sheets import Written as Sheets
from floor.sheets import write_sheets
from tests.scenario import demo_session


def open_to(path: Path) -> int:
    return path.stat().st_mode & 0o777


@pytest.fixture
def session(tmp_path: Path) -> Session:
    return demo_session(tmp_path)[0]


def test_the_evenings_summary_and_the_sheet_are_for_the_coachs_eyes(session: Session) -> None:
    pages, sheets = write_evening(session), write_sheets(session)
    assert isinstance(pages, Pages) and isinstance(sheets, Sheets)
    assert {open_to(path) for path in (*pages.files, sheets.text, sheets.page)} == {OWN}


def test_an_older_file_that_all_could_read_is_closed_to_them(tmp_path: Path) -> None:
    path = tmp_path / "card.txt"
    path.write_text("old")
    path.chmod(0o644)
    write_own(path, "new")
    assert (path.read_text(), open_to(path)) == ("new", OWN)
