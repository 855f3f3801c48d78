"""What is to be read can be read to its end, whatever the room; nothing typed twice closes what is underneath."""

from __future__ import annotations

from pathlib import Path

import pytest
from textual import events

from floor.core import commands as c
from floor.core.people import NoteAdded
from floor.tui.app import FloorApp
from floor.tui.dialogs.notes import Notes
from floor.tui.dialogs.reading import Reading
from floor.tui.draw.spans import whole
from floor.tui.screens.checkin import CheckIn
from floor.tui.screens.floor import Floor
from tests.tui.dialog_bench import DialogBench
from tests.tui.house import check_in, done, open_session, read

FOUND = (
    "The log of the gym file was damaged and is kept as gym.duckdb.before-crash-1.wal. 12 entries from 18:02 on "
    "25 November were missing from the gym file (session opened, lifter arrived, set planned, told next, set "
    "started, rep made, set ended) and have been put back from the second copy. A name or note written then is "
    "lost for lifter number 3, 4."
)


async def test_what_opening_found_is_said_to_its_last_word(tmp_path: Path) -> None:
    app = FloorApp(session := open_session(tmp_path), FOUND, ticking=False)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        assert isinstance(app.screen, Reading)
        shown = " ".join(read(app.screen).split())
        assert FOUND in shown and "Enter or Esc leave" in shown and "no" not in shown.split()[-2:]
        await pilot.press("enter")
        assert isinstance(app.screen, CheckIn)
    session.journal.close()


@pytest.mark.parametrize("keys", ["down", "pagedown"])
async def test_lines_that_do_not_fit_come_with_the_arrows(keys: str) -> None:
    lines = [f"line number {n}." for n in range(1, 33)]
    app = DialogBench(lambda: Reading("Lines", "", lines))
    async with app.run_test(size=(80, 24)) as pilot:
        seen = set[str]()
        for _ in range(32):
            seen |= {line for line in lines if line in app.words}
            await pilot.press(keys)
        assert seen == set(lines) and "↑" in app.words and "↓" not in app.words
        for _ in range(32):
            await pilot.press("up")
        assert lines[0] in app.words and "↑" not in app.words and "lines more" in app.words


def test_a_word_longer_than_the_line_is_broken_and_not_cut() -> None:
    path = "/home/coach/" + "gyms/" * 30 + "gym.duckdb"
    lines = whole(f"It is kept as {path} now.", 40)
    assert all(len(line) <= 40 for line in lines)
    assert "".join(lines).replace(" ", "") == f"Itiskeptas{path}now."


async def test_enter_twice_on_a_note_adds_it_once_and_leaves_check_in_where_it_is(tmp_path: Path) -> None:
    app = FloorApp(session := open_session(tmp_path), ticking=False)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("n", "k", "n", "e", "e")
        for _ in range(2):
            app.post_message(events.Key("enter", None))
        for _ in range(3):
            await pilot.pause()
        assert isinstance(app.screen, CheckIn)
        assert [note.text for note in session.people[1].notes] == ["knee"]
    session.journal.close()


async def test_the_floors_notes_are_whole_newest_first_and_take_one_more(tmp_path: Path) -> None:
    session = open_session(tmp_path)
    check_in(session, 1, 2)
    told = ["stiff shoulder in spring", "rushes the first rep", "brings own belt", "tell parents", "ALLERGIC to latex"]
    for text in told:
        done(session, c.AddNote(1), [NoteAdded(1, "caution", text)])  # type: ignore[list-item]
    app = FloorApp(session, ticking=False)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("slash", "n", "1")
        await pilot.pause()
        assert isinstance(app.screen, Notes)
        shown = read(app.screen)
        assert [shown.index(text) for text in told] == sorted((shown.index(text) for text in told), reverse=True)
        await pilot.press(*"cold", "enter")
        assert isinstance(app.screen, Floor)
        assert session.people[1].notes[-1].text == "cold"
    session.journal.close()
