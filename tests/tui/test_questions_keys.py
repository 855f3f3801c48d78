"""The SQL pane's other keys: questions by name, history, completion, pages, sorting, files, charts."""

from __future__ import annotations

import asyncio
import time
from pathlib import Path

import pyarrow.parquet as pq
import pytest
from textual.pilot import Pilot
from textual.widgets import DataTable, Input

from floor.core import commands as c
from floor.session import Done
from floor.tui.screens.questions import Questions
from tests.tui.house import done, read
from tests.tui.test_questions import asking, cells, headings, run


async def settled(pilot: Pilot[None]) -> None:
    """Whatever runs beside the keys has come back."""
    await pilot.app.workers.wait_for_complete()
    await pilot.pause()


async def typed(pilot: Pilot[None], text: str) -> None:
    for sign in text:
        await pilot.press({" ": "space", "'": "apostrophe", ".": "full_stop", "/": "slash"}.get(sign, sign))


def sql(screen: Questions) -> str:
    return screen.editor.text


async def test_f2_puts_a_ready_question_into_the_editor_whole_and_it_runs(tmp_path: Path) -> None:
    async with asking(tmp_path) as (pilot, screen, _, _):
        await pilot.press("f2")
        assert "who missed reps" in read(pilot.app.screen, "#body")
        await pilot.press("down", "enter")
        assert sql(screen).startswith("-- What was seen, by lift and stage")
        assert screen.editor.size.height >= 18, "one screen of SQL is seen at 80x24"
        await run(pilot, screen)
        assert [[row[0], *row[2:]] for row in cells(screen)] == [["clean", "arms bent early", "1", "1"]]


async def test_a_question_is_kept_under_a_name_in_the_gym_file_and_listed_first(tmp_path: Path) -> None:
    async with asking(tmp_path, sql="SELECT 1 AS one") as (pilot, screen, session, _):
        await pilot.press("f6")
        await typed(pilot, "mine")
        await pilot.press("enter")
        await pilot.pause()
        assert "kept as 'mine'" in read(screen, "#message")
        assert [q.sql for q in session.kept_questions()] == ["SELECT 1 AS one"]
        await pilot.press("f2")
        assert read(pilot.app.screen, "#body").lstrip().startswith("▶ mine")
        await pilot.press("delete")
        await pilot.pause()
        assert session.kept_questions() == ()


async def test_a_ready_question_is_kept_under_a_name_of_its_own_and_f6_says_which(tmp_path: Path) -> None:
    async with asking(tmp_path) as (pilot, screen, session, _):
        await pilot.press("f2", "down", "enter", "f6")
        assert "It begins: What was seen, by lift and stage" in read(pilot.app.screen, "#head")
        await typed(pilot, "tags")
        await pilot.press("enter")
        await pilot.pause()
        assert [kept.name for kept in session.kept_questions()] == ["tags"]


async def test_keeping_a_question_is_no_step_that_undo_takes_back(tmp_path: Path) -> None:
    async with asking(tmp_path) as (_, _, session, _):
        assert isinstance(session.keep_question("mine", "SELECT 1"), Done)
        undone = session.undo()
        assert isinstance(undone, Done)
        assert "question" not in undone.words
        assert [kept.name for kept in session.kept_questions()] == ["mine"]


async def test_up_on_the_first_line_brings_the_questions_asked_before(tmp_path: Path) -> None:
    async with asking(tmp_path, sql="SELECT 1 AS a") as (pilot, screen, _, _):
        await run(pilot, screen)
        screen.editor.put("SELECT 2 AS b")
        await run(pilot, screen)
        screen.editor.put("SELECT 3")
        seen = []
        for key in ("up", "up", "up", "down", "down"):
            await pilot.press(key)
            await pilot.pause()
            seen.append(sql(screen))
        assert seen == ["SELECT 2 AS b", "SELECT 1 AS a", "SELECT 1 AS a", "SELECT 2 AS b", "SELECT 3"]


async def test_questions_asked_are_still_there_when_the_pane_is_opened_again(tmp_path: Path) -> None:
    async with asking(tmp_path, sql="SELECT 1 AS a") as (pilot, screen, _, _):
        await run(pilot, screen)
        await pilot.press("f12", "f12")
        again = pilot.app.screen
        assert isinstance(again, Questions) and again is not screen
        await pilot.press("tab", "up")
        await pilot.pause()
        assert sql(again) == "SELECT 1 AS a"


@pytest.mark.parametrize(
    ("before", "keys", "after"),
    [
        ("SELECT * FROM fa", "u", "SELECT * FROM faults"),
        ("SELECT * FROM sets WHERE lifter = 'A", "d", "SELECT * FROM sets WHERE lifter = 'Ada'"),
        ("SELECT * FROM sets WHERE lift = 'squ", "a", "SELECT * FROM sets WHERE lift = 'squat'"),
    ],
)
async def test_the_grey_end_of_a_word_is_taken_with_the_right_arrow(
    tmp_path: Path, before: str, keys: str, after: str
) -> None:
    async with asking(tmp_path) as (pilot, screen, _, _):
        screen.editor.put(before)
        screen.editor.focus()
        await typed(pilot, keys)
        assert screen.editor.suggestion
        await pilot.press("right")
        assert sql(screen) == after


async def test_the_nearest_name_stands_with_the_refusal(tmp_path: Path) -> None:
    async with asking(tmp_path, sql="SELECT lifer FROM sets") as (pilot, screen, _, _):
        await run(pilot, screen)
        assert "Did you mean lifter?" in read(screen, "#said")


async def test_a_name_nobody_has_is_told_when_there_are_no_rows(tmp_path: Path) -> None:
    async with asking(tmp_path, sql="SELECT * FROM sets WHERE lifter = 'Adda'") as (pilot, screen, _, _):
        await run(pilot, screen)
        said = " ".join(read(screen, "#said").split())
        assert said.endswith(": no rows · 'Adda' is nobody and nothing here; there is 'Ada'")


async def test_pages_turn_at_the_ends_of_the_table(tmp_path: Path) -> None:
    async with asking(tmp_path, sql="SELECT range AS n FROM range(2500)") as (pilot, screen, _, _):
        await run(pilot, screen)
        table = screen.query_one("#answer", DataTable)
        table.focus()
        table.move_cursor(row=999)
        await pilot.press("pagedown")
        await settled(pilot)
        assert cells(screen)[0] == ["1000"] and "1,001 to 2,000 here" in read(screen, "#said")
        table.move_cursor(row=999)
        await pilot.press("pagedown")
        await settled(pilot)
        assert len(cells(screen)) == 500
        table.move_cursor(row=499)
        await pilot.press("pagedown")
        await settled(pilot)
        assert cells(screen)[0] == ["2000"], "there is no page after the last"
        table.move_cursor(row=0)
        await pilot.press("pageup")
        await settled(pilot)
        assert cells(screen)[0] == ["1000"]


async def test_s_sorts_all_rows_by_the_column_in_hand_and_again_turns_it(tmp_path: Path) -> None:
    async with asking(tmp_path, sql="SELECT (range * 7919) % 3000 AS n FROM range(3000)") as (pilot, screen, _, _):
        await run(pilot, screen)
        screen.query_one("#answer").focus()
        seen = []
        for _ in range(3):
            await pilot.press("s")
            await settled(pilot)
            seen.append((headings(screen)[0], cells(screen)[0][0]))
        assert seen == [("n ▲", "0"), ("n ▼", "2999"), ("n", "0")]


async def test_an_s_typed_in_the_question_is_a_letter(tmp_path: Path) -> None:
    async with asking(tmp_path, sql="") as (pilot, screen, _, _):
        screen.editor.put("")
        screen.editor.focus()
        await pilot.press("s")
        assert sql(screen) == "s"


async def save_as(pilot: Pilot[None], name: str) -> None:
    """F7, and the name in place of the one proposed."""
    await pilot.press("f7")
    await pilot.pause()
    await name_is(pilot, name)


async def name_is(pilot: Pilot[None], name: str) -> None:
    """The name in the open dialog, and Enter."""
    pilot.app.screen.query_one(Input).value = name
    await pilot.press("enter")
    await settled(pilot)


async def test_f7_saves_every_row_and_never_over_another_file(tmp_path: Path) -> None:
    async with asking(tmp_path, sql="SELECT range AS n FROM range(2500)") as (pilot, screen, _, _):
        await run(pilot, screen)
        file = tmp_path / "a.parquet"
        await save_as(pilot, str(file))
        assert pilot.app.screen is screen and "2,500 rows saved in" in pilot.app.message  # type: ignore[attr-defined]
        await save_as(pilot, str(file))
        assert "is there already" in " ".join(read(pilot.app.screen).split())
        assert pq.read_table(file).num_rows == 2500


async def test_f7_types_a_name_and_its_ending_says_the_kind(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    async with asking(tmp_path, sql="SELECT 1 AS one") as (pilot, screen, _, _):
        await run(pilot, screen)
        await pilot.press("f7", "enter")
        await settled(pilot)
        assert (tmp_path / "answer.csv").read_text() == "one\n1\n"
        await pilot.press("f7", "enter")
        await settled(pilot)
        assert (tmp_path / "answer-2.csv").read_text() == "one\n1\n", "a name that is free is offered"
        await pilot.press("f7")
        await pilot.pause()
        await typed(pilot, "tom.csv")
        await pilot.press("enter")
        await settled(pilot)
        assert (tmp_path / "tom.csv").exists(), "what is typed stands in place of the name offered"


async def test_a_file_that_cannot_be_written_leaves_the_name_to_be_changed(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    async with asking(tmp_path, sql="SELECT 1 AS one") as (pilot, screen, _, _):
        await run(pilot, screen)
        await save_as(pilot, "out/tom.parquet")
        for name, why in (
            ("out/tom.parquet", "There is no folder out"), ("tom.doc", "needs an ending"), ("sub.csv", "already"),
        ):  # fmt: skip
            (tmp_path / "sub.csv").touch()
            await name_is(pilot, name)
            asking_name = pilot.app.screen
            assert why in " ".join(read(asking_name).split()) and asking_name.query_one(Input).value == name
        await name_is(pilot, "tom.parquet")
        assert pilot.app.screen is screen and pq.read_table(tmp_path / "tom.parquet").num_rows == 1


async def test_a_question_that_cannot_be_kept_leaves_the_name_to_be_changed(tmp_path: Path) -> None:
    async with asking(tmp_path, sql="SELECT 1 AS one") as (pilot, screen, session, _):
        await pilot.press("f6")
        await pilot.pause()
        await name_is(pilot, "x" * 200)
        assert pilot.app.screen is not screen and session.kept_questions() == ()
        assert pilot.app.screen.query_one(Input).value == "x" * 200
        await name_is(pilot, "mine")
        assert pilot.app.screen is screen and [q.name for q in session.kept_questions()] == ["mine"]


async def test_escape_closes_the_list_of_tables_before_it_leaves(tmp_path: Path) -> None:
    async with asking(tmp_path, sql="SELECT 1 AS one") as (pilot, screen, _, _):
        await pilot.press("f3", "escape")
        await pilot.pause()
        assert pilot.app.screen is screen and not screen.query_one("#tables").display
        await pilot.press("escape")
        await pilot.pause()
        assert pilot.app.screen is not screen


async def test_on_a_wide_screen_escape_leaves_the_list_that_always_stands_there(tmp_path: Path) -> None:
    async with asking(tmp_path, 140, 45, sql="SELECT 1 AS one") as (pilot, screen, _, _):
        assert screen.query_one("#tables").display
        await pilot.press("escape")
        await pilot.pause()
        assert pilot.app.screen is not screen


async def test_f8_draws_the_answer_and_goes_back_to_its_table(tmp_path: Path) -> None:
    question = "SELECT 'Ada' AS lifter, 60 AS load UNION ALL SELECT 'Bo', 80"
    async with asking(tmp_path, sql=question) as (pilot, screen, _, _):
        await run(pilot, screen)
        await pilot.press("f8")
        await pilot.pause()
        drawn = str(screen.query_one("#chart").render())
        assert "Ada: 60" in drawn and "Bo: 80" in drawn
        assert not screen.query_one("#answer").display
        await pilot.press("f8")
        await pilot.pause()
        assert screen.query_one("#answer").display and not screen.query("#chart")


async def test_days_without_end_and_of_many_years_are_drawn_with_their_year(tmp_path: Path) -> None:
    days = "TIMESTAMP 'infinity', TIMESTAMP '9999-12-31 23:59:59.999999', DATE '2024-03-02', DATE '2026-03-02'"
    async with asking(tmp_path, sql=f"SELECT unnest([{days}]) AS day, 1e-320 AS n") as (pilot, screen, _, _):
        await run(pilot, screen)
        await pilot.press("f8")
        await pilot.pause()
        assert " 2024" in str(screen.query_one("#chart").render())


async def test_what_cannot_be_drawn_is_said(tmp_path: Path) -> None:
    async with asking(tmp_path, sql="SELECT 'a' AS a") as (pilot, screen, _, _):
        await run(pilot, screen)
        await pilot.press("f8")
        assert "needs a column of numbers" in read(screen, "#message")


async def test_the_copy_is_fresh_before_a_question_is_asked_and_after_a_set_is_recorded(tmp_path: Path) -> None:
    async with asking(tmp_path) as (pilot, screen, session, _):
        await settled(pilot)
        asker = screen.asker
        assert asker is not None and asker.fresh
        done(session, c.StartSet(1))
        assert not asker.fresh
        screen.look()
        await settled(pilot)
        assert asker.fresh


async def test_twenty_thousand_cells_are_shown_without_holding_up_the_keys_for_long(tmp_path: Path) -> None:
    wide = "SELECT " + ", ".join(f"range + {n} AS c{n}" for n in range(200)) + " FROM range(100000)"
    async with asking(tmp_path, sql=wide) as (pilot, screen, _, _):
        await pilot.press("f5")
        await settled(pilot)
        assert screen.question is not None
        await asyncio.to_thread(screen.question.wait, 60)
        before = time.perf_counter()
        screen.look()
        assert time.perf_counter() - before < 1
        assert screen.query_one("#answer", DataTable).row_count == 100
