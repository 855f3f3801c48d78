"""Names of wide letters take two columns a letter: what stands after them stays in its column."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from rich.cells import cell_len

from floor.core import commands as c
from floor.core.people import PersonAdded
from floor.tui.app import FloorApp
from floor.tui.draw.spans import cell
from floor.tui.panel import resting
from floor.tui.screens.sheetentry import SheetEntry
from tests.tui.house import check_in, done, new_clock, open_session, read

WIDE = "漢字山田"


@given(text=st.text(st.sampled_from("aé漢字 ö"), max_size=30), width=st.integers(3, 20))
def test_a_cell_is_as_wide_as_its_column_and_says_where_it_is_cut(text: str, width: int) -> None:
    shown = cell(text, width)
    assert cell_len(shown) == width
    assert ("…" in shown) == (cell_len(text) >= width)


@pytest.mark.parametrize("name", [WIDE, WIDE * 3])
async def test_check_in_and_the_sheets_list_keep_their_columns(tmp_path: Path, name: str) -> None:
    session = open_session(tmp_path)
    done(session, c.JoinLifter(5), [PersonAdded(5, name, name)])
    done(session, c.PlanNext(5, "squat", 3, 5, 6000))
    app = FloorApp(session, ticking=False)
    async with app.run_test(size=(80, 24)) as pilot:
        rows = [line for line in read(app.screen, "#roll").splitlines() if "expected" in line]
        assert len(rows) == 5 and len({cell_len(row.partition("expected")[0]) for row in rows}) == 1
        check_in(session, 1, 5)
        app.push_screen(SheetEntry())
        await pilot.pause()
        rows = [line for line in read(app.screen, "#sets").splitlines() if " × " in line]
        assert any("漢" in row for row in rows) and len({cell_len(row.partition(" × ")[0]) for row in rows}) == 1
    session.journal.close()


@pytest.mark.parametrize("width", [30, 40, 60, 80])
def test_those_who_rest_are_told_within_the_width(tmp_path: Path, width: int) -> None:
    session = open_session(tmp_path, clock := new_clock())
    done(session, c.OpenSession())
    for number in range(5, 9):
        done(session, c.JoinLifter(number), [PersonAdded(number, f"{WIDE}{number}", f"{WIDE}{number}")])
        done(session, c.PlanNext(number, "squat", 3, 5, 6000))
        done(session, c.Arrive(number, 1))
        work = next(s for s in session.state.evening.here[number].sets if s.role != "ramp")
        done(session, c.RecordWhole(number, work.no, work.reps))
    clock.on(5)
    lines = resting(session.state, session.names, clock.now(), session.zone, width, 2)
    session.journal.close()
    assert "漢" in lines[0].plain and all(line.cell_length <= width for line in lines)
