"""A kept question on the week screen: put there with a key, answered beside the keys, gone with the same key."""

from __future__ import annotations

from pathlib import Path

import pytest

from floor.background import Column, Refused, Table
from floor.core.questions import ON_WEEK, Kept, parse_questions, with_kept, with_week, write_questions
from floor.session import Done
from floor.session import Refused as No
from floor.tui.app import FloorApp
from floor.tui.present_asked import asked_lines
from floor.tui.screens.questions import Questions
from floor.tui.screens.week import Week
from floor.tui.widgets.choices import asks
from tests.tui.house import read
from tests.tui.test_week_screen import SMALL, an_evening, settled

SETS = "SELECT count(*) AS sets FROM sets WHERE grade = 'sharp'"


def table(columns: str, *rows: tuple[object, ...]) -> Table:
    kinds = tuple(Column(name, "INTEGER" if name.islower() else "VARCHAR") for name in columns.split())
    return Table(kinds, rows, False, 0, len(rows), len(kinds))  # type: ignore[arg-type]


def words(answers: list[tuple[str, object]], rows: int = 8) -> list[str]:
    return [line.plain for line in asked_lines(answers, "kg", 80, rows)]  # type: ignore[arg-type]


def test_one_number_stands_beside_the_name() -> None:
    assert words([("misses this week", table("n", (4,)))]) == [" ? misses this week: 4"]


def test_of_many_rows_the_first_stand_below_while_there_is_room_and_how_many_is_said() -> None:
    answer = table("Who missed", ("Ada", 3), ("Bo", 2), ("Cy", 1), ("Di", 1))
    assert words([("who", answer)]) == [
        " ? who: 4 rows, 3 here, all in F12", "     Ada · missed 3", "     Bo · missed 2", "     Cy · missed 1",
    ]  # fmt: skip
    both = [("who", answer), ("then", answer)]
    assert words(both, rows=3) == [
        " ? who: 4 rows, 1 here, all in F12", "     Ada · missed 3", " ? then: 4 rows, all in F12",
    ]  # fmt: skip
    few = table("Who missed", ("Ada", 3), ("Bo", 2))
    assert words([("who", few)]) == [" ? who: 2 rows", "     Ada · missed 3", "     Bo · missed 2"]


def test_the_first_row_stands_whole_however_long_it_is() -> None:
    long = tuple(f"{word} and so on" for word in ("one", "two", "three", "four", "five", "six", "seven"))
    answer = table("A B C D E F G", long, long)
    head, *rows = words([("long", answer)], rows=3)
    assert head == " ? long: 2 rows, 1 here, all in F12"
    assert " ".join(" ".join(rows).split()) == " · ".join(long) and len(rows) == 2


def test_what_has_not_come_is_empty_or_refused_says_so() -> None:
    answers = [("a", None), ("b", table("n")), ("c", Refused("No such table."))]
    assert words(answers) == [" ? a: …", " ? b: none", " ? c: No such table."]


def test_no_escape_of_a_kept_question_reaches_the_terminal() -> None:
    answer = Table((Column("x\x1b[31m", "INTEGER"), Column("n", "INTEGER")), ((1, 2),), False, total=1)
    told = words([("a", answer), ("b", Refused("No column \x1b[31m."))])
    assert "x [31m 1" in told[0] and "No column  [31m." in told[1] and "\x1b" not in "".join(told)
    assert asks("-- mine \x1b[31m") == "mine  [31m"


def test_an_older_document_has_nothing_on_the_week() -> None:
    assert parse_questions('[[question]]\nname = "a"\nsql = "SELECT 1"\n') == (Kept("a", "SELECT 1"),)


def test_a_question_stays_on_the_week_when_it_is_kept_again_and_reads_back() -> None:
    kept = with_week((), Kept("a", "SELECT 1"), True)
    kept = with_kept(kept, Kept("a", "SELECT 2"))
    assert kept == (Kept("a", "SELECT 2", week=True),)
    assert parse_questions(write_questions(kept)) == kept
    assert with_week(kept, kept[0], False) == (Kept("a", "SELECT 2"),)


def test_no_more_than_three_stand_there() -> None:
    kept: tuple[Kept, ...] = ()
    for n in range(ON_WEEK):
        kept = with_week(kept, Kept(f"q{n}", "SELECT 1"), True)
    with pytest.raises(ValueError, match="take one off first"):
        with_week(kept, Kept("one more", "SELECT 1"), True)


def test_the_session_keeps_it_and_says_what_was_done(tmp_path: Path) -> None:
    session = an_evening(tmp_path)
    on = session.show_on_week(Kept("sharp", SETS), True)
    assert isinstance(on, Done) and on.words == "'sharp' is on the week screen now"
    for n in range(2):
        session.show_on_week(Kept(f"q{n}", SETS), True)
    assert isinstance(session.show_on_week(Kept("q3", SETS), True), No)
    session.journal.close()


async def test_the_answer_comes_to_the_week_screen_and_follows_the_record(tmp_path: Path) -> None:
    session = an_evening(tmp_path)
    session.show_on_week(Kept("sharp sets", SETS), True)
    app = FloorApp(session, ticking=False)
    async with app.run_test(size=SMALL) as pilot:
        app.push_screen(Week())
        await pilot.pause()
        await settled(app, pilot)
        await settled(app, pilot)
        assert " ? sharp sets: 3" in read(app.screen, "#asked")
        session.show_on_week(Kept("sharp sets", SETS), False)
        app.tick()
        await settled(app, pilot)
        assert read(app.screen, "#asked").strip() == ""
    session.journal.close()


async def test_w_in_the_list_of_questions_puts_one_on_the_week_and_takes_it_off(tmp_path: Path) -> None:
    session = an_evening(tmp_path)
    session.keep_question("mine", SETS)
    app = FloorApp(session, ticking=False)
    async with app.run_test(size=SMALL) as pilot:
        app.push_screen(Questions())
        await pilot.pause()
        await pilot.press("f2")
        await pilot.pause()
        assert "W on the week screen" in read(app.screen, "#body")
        await pilot.press("W")
        await pilot.pause()
        assert session.kept_questions() == (Kept("mine", SETS, week=True),)
        assert "'mine' is on the week screen now" in read(app.screen, "#message")
        await pilot.press("f2")
        await pilot.pause()
        assert "W off the week screen" in read(app.screen, "#body")
        await pilot.press("w")
        await pilot.pause()
        assert session.kept_questions() == (Kept("mine", SETS),)
    session.journal.close()
