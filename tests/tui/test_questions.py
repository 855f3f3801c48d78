"""The SQL pane: a question is asked, answered, refused and stopped, and no key of the evening waits for it."""

from __future__ import annotations

import asyncio
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from pathlib import Path

import pytest
from textual.pilot import Pilot
from textual.widgets import DataTable, Static, TextArea

from floor.clock import SetClock
from floor.core import commands as c
from floor.session import Session
from floor.tui.app import FloorApp
from floor.tui.screens.questions import Questions
from floor.tui.widgets import answer
from floor.tui.widgets.answer import AnswerTable
from tests.tui.house import EVENING, check_in, done, open_session, read

ENDLESS = "SELECT count(*) FROM range(10000000000000) AS a"


@asynccontextmanager
async def asking(
    folder: Path, width: int = 80, height: int = 24, sql: str = ""
) -> AsyncIterator[tuple[Pilot[None], Questions, Session, SetClock]]:
    """The pane over the floor, with two lifters here and one set lifted with a fault."""
    clock = SetClock(EVENING)
    session = open_session(folder, clock)
    check_in(session, 1, 2)
    for command in (c.StartSet(1), c.CountRep(1, True), c.SeeFault(1, "a"), c.AllMade(1), c.EndSet(1)):
        done(session, command)
    app = FloorApp(session, ticking=False)
    async with app.run_test(size=(width, height)) as pilot:
        await pilot.press("f12")
        screen = app.screen
        assert isinstance(screen, Questions)
        if sql:
            screen.query_one("#sql", TextArea).text = sql
            screen.editor.focus()
            await pilot.pause()
        yield pilot, screen, session, clock
    session.journal.close()


async def start(pilot: Pilot[None], screen: Questions) -> None:
    """F5, up to where the child runs."""
    await pilot.press("f5")
    await pilot.app.workers.wait_for_complete()
    await pilot.pause()


async def run(pilot: Pilot[None], screen: Questions) -> None:
    """F5, up to the answer."""
    await start(pilot, screen)
    if screen.question is not None:
        await asyncio.to_thread(screen.question.wait, 30)
        screen.look()
    await pilot.pause()


def cells(screen: Questions) -> list[list[str]]:
    table = screen.query_one("#answer", DataTable)
    return [[str(cell) for cell in table.get_row_at(at)] for at in range(table.row_count)]


def headings(screen: Questions) -> list[str]:
    return [str(column.label) for column in screen.query_one("#answer", DataTable).ordered_columns]


async def test_the_question_already_typed_tells_the_faults_of_this_session_by_lift(tmp_path: Path) -> None:
    async with asking(tmp_path) as (pilot, screen, _, _):
        await run(pilot, screen)
        assert headings(screen) == ["lift", "fault", "seen"]
        assert cells(screen) == [["clean", "arms bent early", "1"]]
        assert read(screen, "#said").strip() == "faults of the latest evening: 1 row"


async def test_numbers_stand_right_and_a_load_has_its_unit_on_top(tmp_path: Path) -> None:
    async with asking(tmp_path, sql="SELECT lifter, load, made FROM sets") as (pilot, screen, _, _):
        await run(pilot, screen)
        table = screen.query_one("#answer", DataTable)
        assert headings(screen) == ["lifter", "load (kg)", "made (reps)"]
        assert [cell.justify for cell in table.get_row_at(0)] == ["left", "right", "right"]


async def test_a_refusal_stands_under_the_question_with_its_place_marked(tmp_path: Path) -> None:
    async with asking(tmp_path, sql="SELECT lifter,\n  lod FROM sets") as (pilot, screen, _, _):
        await run(pilot, screen)
        said = read(screen, "#said").splitlines()
        assert "lod" in said[0]
        assert said[-2:] == ["  lod FROM sets", "  ^"]
        assert screen.query_one("#sql", TextArea).cursor_location == (1, 2)
        assert not screen.query_one("#answer").display


async def test_a_refusal_goes_when_the_next_question_is_answered(tmp_path: Path) -> None:
    async with asking(tmp_path, sql="SELECT nothing") as (pilot, screen, _, _):
        await run(pilot, screen)
        screen.query_one("#sql", TextArea).text = "SELECT 1 AS one"
        await run(pilot, screen)
        assert read(screen, "#said").splitlines() == ["SELECT 1 AS one: 1 row"]
        assert cells(screen) == [["1"]]


async def test_a_thousand_rows_are_a_page_and_it_says_how_many_there_are(tmp_path: Path) -> None:
    async with asking(tmp_path, sql="SELECT * FROM range(5000)") as (pilot, screen, _, _):
        await run(pilot, screen)
        assert screen.query_one("#answer", DataTable).row_count == 1000
        assert read(screen, "#said").strip() == "SELECT * FROM range(5000): 5,000 rows · 1 to 1,000 here"


async def test_a_question_that_would_write_is_refused_and_the_record_stays(tmp_path: Path) -> None:
    async with asking(tmp_path, sql="DROP TABLE sets") as (pilot, screen, session, _):
        head = session.journal.head
        await run(pilot, screen)
        assert "Only a SELECT" in read(screen, "#said")
        assert session.journal.head == head


async def test_while_it_runs_the_time_is_shown_and_escape_stops_it(tmp_path: Path) -> None:
    async with asking(tmp_path, sql=ENDLESS) as (pilot, screen, _, clock):
        await start(pilot, screen)
        question = screen.question
        assert question is not None
        clock.on(3)
        screen.look()
        assert read(screen, "#said").strip() == "running 0:03 · Esc stops"
        await pilot.press("escape")
        assert question.poll() is not None and screen.question is None
        assert read(screen, "#said").strip() == "stopped"
        assert pilot.app.screen is screen
        await pilot.press("escape")
        assert pilot.app.screen is not screen


async def test_a_question_stopped_before_its_child_runs_is_never_answered(tmp_path: Path) -> None:
    async with asking(tmp_path, sql=ENDLESS) as (pilot, screen, _, _):
        screen.action_run()
        screen.action_stop_or_leave()
        await pilot.app.workers.wait_for_complete()
        await pilot.pause()
        assert screen.question is None
        assert read(screen, "#said").strip() == "stopped"


async def test_the_evening_goes_on_while_a_question_runs(tmp_path: Path) -> None:
    async with asking(tmp_path, sql=ENDLESS) as (pilot, screen, session, _):
        await start(pilot, screen)
        done(session, c.StartSet(1))
        assert screen.question is not None and screen.question.poll() is None
        await pilot.press("escape")
        screen.query_one("#sql", TextArea).text = "SELECT count(*) AS n FROM sets"
        await run(pilot, screen)
        assert cells(screen) == [["2"]]


async def test_leaving_stops_the_child_and_takes_the_copies_along(tmp_path: Path) -> None:
    async with asking(tmp_path, sql=ENDLESS) as (pilot, screen, _, _):
        await start(pilot, screen)
        question, asker = screen.question, screen.asker
        assert question is not None and asker is not None and asker.folder is not None
        folder = asker.folder
        assert folder.exists()
        await pilot.press("f12")
        assert pilot.app.screen is not screen
        assert question.poll() is not None and not folder.exists()


async def test_quitting_the_app_takes_the_copies_along(tmp_path: Path) -> None:
    async with asking(tmp_path) as (pilot, screen, _, _):
        await run(pilot, screen)
        assert screen.asker is not None and screen.asker.folder is not None
        folder = screen.asker.folder
        assert folder.exists()
    assert not folder.exists()


async def test_backspace_in_the_answer_undoes_nothing_of_the_evening(tmp_path: Path) -> None:
    async with asking(tmp_path) as (pilot, screen, session, _):
        await run(pilot, screen)
        before = session.state
        await pilot.press("tab", "tab")
        assert screen.focused is screen.query_one("#answer")
        await pilot.press("backspace")
        assert session.state is before
        assert screen.focused is screen.query_one("#sql")


async def test_typing_types_and_tab_does_not(tmp_path: Path) -> None:
    async with asking(tmp_path, sql="x") as (pilot, screen, session, _):
        before = session.state
        await pilot.press("end", "1", "space", "!", "/", "backspace")
        assert screen.query_one("#sql", TextArea).text == "x1 !"
        assert session.state is before


async def test_the_tables_stand_beside_the_question_where_there_is_room_and_by_f3_where_not(tmp_path: Path) -> None:
    async with asking(tmp_path) as (pilot, screen, _, _):
        tables = screen.query_one("#tables")
        assert not tables.display
        await pilot.press("f3")
        await pilot.pause()
        words = screen.query_one("#tables-words", Static).content
        assert tables.display and " load        kg       what was on the bar" in getattr(words, "plain", "")
        assert screen.focused is tables, "the arrows move it"
        await pilot.press("f3")
        assert not tables.display
        await pilot.resize_terminal(110, 30)
        await pilot.pause()
        assert tables.display


async def test_markup_in_an_answer_is_only_text(tmp_path: Path) -> None:
    async with asking(tmp_path, sql="SELECT '[bold]x[/]' AS \"[red]a\"") as (pilot, screen, _, _):
        await run(pilot, screen)
        assert headings(screen) == ["[red]a"] and cells(screen) == [["[bold]x[/]"]]


async def test_the_questions_lead_in_plain_words_and_enter_asks_the_one_in_hand(tmp_path: Path) -> None:
    async with asking(tmp_path) as (pilot, screen, _, _):
        assert screen.focused is screen.choices
        listed = read(screen, "#choices").splitlines()
        assert listed[0].startswith("▶ faults of the latest evening") and "Sets with a missed rep" in listed[1]
        await pilot.press("down", "down")
        assert "What was seen, by lift and stage" in screen.editor.text, "its SQL stands beneath"
        await pilot.press("enter")
        await pilot.app.workers.wait_for_complete()
        assert screen.question is not None
        await asyncio.to_thread(screen.question.wait, 30)
        screen.look()
        await pilot.pause()
        assert [row[0] for row in cells(screen)] == ["clean"]
        marked = next(line for line in read(screen, "#choices").splitlines() if line.startswith("▶"))
        assert "= 1 row: clean" in marked and "arms bent" in marked


async def test_tab_goes_into_the_sql_and_what_was_typed_there_is_an_arrow_up_from_the_next(tmp_path: Path) -> None:
    async with asking(tmp_path) as (pilot, screen, session, _):
        before = session.state
        await pilot.press("tab")
        assert screen.focused is screen.editor
        screen.editor.put("SELECT 7 AS mine")
        screen.choices.focus()
        await pilot.press("down", "backspace")
        assert session.state is before and screen.focused is screen.editor
        assert "Sets with a missed rep" in screen.editor.text
        await pilot.press("up")
        await pilot.pause()
        assert screen.editor.text == "SELECT 7 AS mine"


@pytest.mark.parametrize("size", [(80, 24), (140, 45)])
async def test_list_sql_and_answer_stand_together_on_the_screen(tmp_path: Path, size: tuple[int, int]) -> None:
    async with asking(tmp_path, *size) as (pilot, screen, _, _):
        await pilot.press("f5")
        await pilot.app.workers.wait_for_complete()
        assert screen.question is not None
        await asyncio.to_thread(screen.question.wait, 30)
        screen.look()
        await pilot.pause()
        rows = [screen.query_one(f"#{name}").size.height for name in ("choices", "sql", "said", "answer", "keys")]
        assert min(rows) >= 1 and rows[0] >= 4 and rows[1] >= 4 and rows[3] >= 10


NARROW = "SELECT lifter, lift, made, missed FROM sets"
WIDE_ROW = "SELECT " + ", ".join(f"lift AS column_number_{n}" for n in range(6)) + " FROM sets"


async def test_the_list_of_tables_gives_way_to_an_answer_and_comes_back(tmp_path: Path) -> None:
    async with asking(tmp_path, 120, 40, NARROW) as (pilot, screen, _, _):
        tables, answer = screen.query_one("#tables"), screen.query_one(AnswerTable)
        assert tables.display and tables.size.width > 50
        await run(pilot, screen)
        assert tables.display and answer.size.width >= answer.needed
        screen.query_one("#sql", TextArea).text = WIDE_ROW
        await run(pilot, screen)
        assert not tables.display and answer.size.width >= answer.needed > 100
        await pilot.press("f3")
        assert tables.display, "F3 brings it all the same"
        screen.query_one("#sql", TextArea).text = "SELECT nothing FROM sets"
        await run(pilot, screen)
        assert tables.display and tables.size.width > 50


async def test_long_words_give_way_before_a_column_is_off_the_screen(tmp_path: Path) -> None:
    long = "SELECT repeat('word ', 10) AS a, repeat('more ', 10) AS b, made, missed FROM sets"
    async with asking(tmp_path, 80, 24, long) as (pilot, screen, _, _):
        await run(pilot, screen)
        answer = screen.query_one(AnswerTable)
        assert answer.needed <= answer.size.width
        assert cells(screen)[0][0].endswith("…") and len(cells(screen)[0][0]) <= 28


async def test_words_are_whole_where_there_is_room(tmp_path: Path) -> None:
    async with asking(tmp_path, 80, 24, "SELECT repeat('word ', 10) AS a, made FROM sets") as (pilot, screen, _, _):
        await run(pilot, screen)
        assert cells(screen)[0][0].split() == ["word"] * 10


async def test_rows_are_named_by_the_question_they_answer_and_not_taken_for_those_of_another(tmp_path: Path) -> None:
    async with asking(tmp_path) as (pilot, screen, _, _):
        await run(pilot, screen)
        assert read(screen, "#said").startswith("faults of the latest evening: 1 row")
        screen.choices.focus()
        await pilot.press("down")
        await pilot.pause()
        assert read(screen, "#said").startswith("of the question before, faults of the latest evening: 1 row")
        await pilot.press("up")
        await pilot.pause()
        assert read(screen, "#said").startswith("faults of the latest evening: 1 row")
        await pilot.press("f2", "down", "enter")
        await pilot.pause()
        assert read(screen, "#said").strip().endswith("F5 runs it"), "no rows stand there now"
        await run(pilot, screen)
        screen.editor.put(ENDLESS)
        await start(pilot, screen)
        assert "the rows are of the question before" in read(screen, "#said")


async def test_a_second_question_while_one_runs_is_told_how_to_stop_that(tmp_path: Path) -> None:
    async with asking(tmp_path, sql=ENDLESS) as (pilot, screen, _, _):
        await start(pilot, screen)
        for key in ("f5", "enter"):
            screen.house.say("")
            if key == "enter":
                screen.choices.focus()
            question = screen.question
            await pilot.press(key)
            await pilot.pause()
            assert read(screen, "#message").strip() == "A question is running: Esc stops it."
            assert screen.question is question


async def test_an_escape_in_the_sql_does_not_reach_the_terminal_and_stays_in_the_text(tmp_path: Path) -> None:
    async with asking(tmp_path, sql="SELECT '\x1b[31m' AS a") as (_, screen, _, _):
        drawn = "".join(part.text for y in range(screen.editor.size.height) for part in screen.editor.render_line(y))
        assert "SELECT ' [31m'" in drawn and "\x1b" not in drawn
        assert "\x1b" in screen.editor.text


async def test_of_a_long_cell_only_the_letters_that_can_be_shown_are_measured(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    async with asking(tmp_path, sql="SELECT repeat('語', 3900) AS x FROM range(500)") as (pilot, screen, _, _):
        measured = []

        def measure(words: str) -> int:
            measured.append(len(words))
            return 2 * len(words)

        monkeypatch.setattr(answer, "cell_len", measure)
        await run(pilot, screen)
        assert len(measured) > 500 and max(measured) <= 200
        assert cells(screen)[0][0].endswith("…")
