"""The group drill: everyone together with an empty bar, one key for a fault and one for whom, no queue."""

from __future__ import annotations

from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from pathlib import Path

from textual.pilot import Pilot

from floor.clock import SetClock
from floor.core import commands as c
from floor.session import Session
from floor.tui.app import FloorApp
from floor.tui.dialogs.pick import Pick
from floor.tui.draw.bigtext import big
from floor.tui.drillboard import HIGH, board, slots
from floor.tui.screens.drill import Drill
from floor.tui.screens.floor import Floor
from tests.tui.house import EVENING, check_in, done, open_session, read


@asynccontextmanager
async def drilling(
    folder: Path, size: tuple[int, int] = (80, 24), stage: int = 4
) -> AsyncIterator[tuple[Pilot[None], Session]]:
    """Four lifters here, the app on the floor, a drill of the power clean begun when `stage` is given."""
    session = open_session(folder, SetClock(EVENING))
    check_in(session, 1, 2, 3, 4)
    if stage:
        done(session, c.StartDrill("clean", stage))
    app = FloorApp(session, ticking=False)
    async with app.run_test(size=size) as pilot:
        if not isinstance(app.screen, Drill):
            app.push_screen(Drill())
        await pilot.pause()
        await pilot.pause()
        yield pilot, session
    session.journal.close()


def on(session: Session) -> tuple[int, tuple[tuple[int, int, str], ...]]:
    drill = session.state.evening.drill
    assert drill is not None
    return drill.reps, drill.faults


async def test_lift_and_stage_are_chosen_and_the_drill_begins(tmp_path: Path) -> None:
    async with drilling(tmp_path, stage=0) as (pilot, session):
        assert isinstance(pilot.app.screen, Pick)
        clean = 1 + list(session.state.gym.lifts).index("clean")
        await pilot.press(str(clean))
        await pilot.pause()
        assert isinstance(pilot.app.screen, Pick)
        await pilot.press("2")
        await pilot.pause()
        drill = session.state.evening.drill
        assert drill is not None and (drill.lift, drill.stage) == ("clean", 2)
        assert isinstance(pilot.app.screen, Drill)
        assert "power clean · stage 2 of 11" in read(pilot.app.screen, "#board")


async def test_escape_while_choosing_goes_back_and_records_nothing(tmp_path: Path) -> None:
    for keys in (["escape"], ["1", "escape"]):
        folder = tmp_path / "-".join(keys)
        folder.mkdir()
        async with drilling(folder, stage=0) as (pilot, session):
            head = session.journal.head
            for key in keys:
                await pilot.press(key)
                await pilot.pause()
            await pilot.pause()
            assert isinstance(pilot.app.screen, Floor)
            assert session.journal.head == head


async def test_a_drill_is_refused_while_a_set_runs_and_the_floor_says_why(tmp_path: Path) -> None:
    async with drilling(tmp_path, stage=0) as (pilot, session):
        done(session, c.StartSet(1))
        await pilot.press("1")
        await pilot.pause()
        await pilot.press("1")
        await pilot.pause()
        await pilot.pause()
        assert isinstance(pilot.app.screen, Floor)
        assert "A set is running" in read(pilot.app.screen, "#message")


async def test_on_the_word_everyone_does_a_rep(tmp_path: Path) -> None:
    async with drilling(tmp_path) as (pilot, session):
        await pilot.press("space", "space")
        assert on(session) == (2, ())
        assert "reps" in read(pilot.app.screen, "#board")


async def test_one_key_for_the_fault_and_one_for_whom(tmp_path: Path) -> None:
    async with drilling(tmp_path) as (pilot, session):
        await pilot.press("space", "a")
        assert "ARMS BENT EARLY: who?" in read(pilot.app.screen, "#board")
        assert on(session) == (1, ())
        await pilot.press("2")
        assert on(session) == (1, ((1, 2, "arms-bent-early"),))
        await pilot.press("space", "a", "2", "h", "3")
        words = read(pilot.app.screen, "#board")
        assert "Bo: arms bent early · reps 1, 2" in words
        assert words.index("Cleo: hips rising first · rep 2") < words.index("Bo: arms bent early")


async def test_while_whom_is_asked_a_letter_space_and_undo_do_nothing_else(tmp_path: Path) -> None:
    async with drilling(tmp_path) as (pilot, session):
        await pilot.press("space", "a")
        head = session.journal.head
        await pilot.press("z", "space")
        assert "Nobody here has that key" in read(pilot.app.screen, "#message")
        await pilot.press("backspace")
        assert "who?" not in read(pilot.app.screen, "#board")
        await pilot.press("a", "escape")
        assert session.journal.head == head
        assert isinstance(pilot.app.screen, Drill)


async def test_a_letter_the_lift_has_no_fault_on_is_said(tmp_path: Path) -> None:
    async with drilling(tmp_path) as (pilot, session):
        await pilot.press("z")
        assert "no fault on the letter z" in read(pilot.app.screen, "#message")
        assert on(session) == (0, ())


async def test_whoever_is_held_sits_out_and_cannot_be_marked(tmp_path: Path) -> None:
    async with drilling(tmp_path) as (pilot, session):
        done(session, c.ReportPain(2))
        await pilot.press("space", "a")
        words = read(pilot.app.screen, "#board")
        assert "Sits out: Bo (held)" in words
        await pilot.press("2")
        assert on(session) == (1, ())
        await pilot.press("3")
        assert on(session) == (1, ((1, 3, "arms-bent-early"),))


async def test_a_lifters_key_stays_when_another_goes_home(tmp_path: Path) -> None:
    async with drilling(tmp_path) as (pilot, session):
        before = {slot.lifter: slot.key for slot in slots(session.state)}
        done(session, c.Leave(1))
        assert {slot.lifter: slot.key for slot in slots(session.state)} == {n: before[n] for n in (2, 3, 4)}


async def test_a_drill_is_stopped_by_the_stop_key_and_says_so(tmp_path: Path) -> None:
    async with drilling(tmp_path) as (pilot, session):
        await pilot.press("a", "exclamation_mark")
        assert session.state.evening.stopped
        assert "ALL STOPPED" in read(pilot.app.screen, "#board")
        await pilot.press("escape", "exclamation_mark")
        assert not session.state.evening.stopped


async def test_escape_ends_the_drill_and_the_floor_is_there(tmp_path: Path) -> None:
    async with drilling(tmp_path) as (pilot, session):
        await pilot.press("escape")
        await pilot.pause()
        assert session.state.evening.drill is None
        assert isinstance(pilot.app.screen, Floor)


async def test_undo_takes_back_the_mark_the_rep_and_then_the_drill(tmp_path: Path) -> None:
    async with drilling(tmp_path) as (pilot, session):
        await pilot.press("space", "a", "1", "backspace")
        assert on(session) == (1, ())
        assert "Undone" in read(pilot.app.screen, "#message")
        await pilot.press("backspace")
        assert on(session) == (0, ())
        await pilot.press("backspace")
        await pilot.pause()
        assert session.state.evening.drill is None
        assert isinstance(pilot.app.screen, Floor)


async def test_the_empty_bar_and_its_mass_are_said(tmp_path: Path) -> None:
    async with drilling(tmp_path) as (pilot, session):
        words = read(pilot.app.screen, "#board")
        assert "Everyone: an empty bar at most (20 kg)" in words
        assert "The same jump from mid-thigh" in words


async def test_on_a_large_screen_the_sentence_is_in_large_letters(tmp_path: Path) -> None:
    async with drilling(tmp_path, size=(140, 45)) as (pilot, session):
        words = read(pilot.app.screen, "#board")
        assert "jump from mid-thigh" not in words
        assert big("THE SAME JUMP", 138)[1] in words


async def test_every_stage_of_every_lift_fits_with_its_faults_and_room_for_marks(tmp_path: Path) -> None:
    session = open_session(tmp_path)
    check_in(session, 1, 2, 3, 4)
    done(session, c.ReportPain(4))
    stages = [(lift.id, stage) for lift in session.state.gym.lifts.values() for stage in lift.stages]
    for lift, stage in stages:
        done(session, c.StartDrill(lift, stage.no))
        done(session, c.DrillRep())
        fault = session.state.gym.lifts[lift].faults[0]
        done(session, c.DrillFault(1, fault.letter))
        for width, height in ((80, 22), (120, 38), (140, 43)):
            lines = [line.plain for line in board(session.state, session.names, width, height, None)]
            words = "\n".join(lines)
            assert len(lines) <= height and max(len(line) for line in lines) <= width, (lift, stage.no, width)
            assert all(f.name in words for f in session.state.gym.lifts[lift].faults), (lift, stage.no, width)
            assert f"Ada: {fault.name} · rep 1" in words, (lift, stage.no, width)
            if height < HIGH:
                assert stage.drill in " ".join(words.split()), (lift, stage.no, width)
        done(session, c.EndDrill())
    session.journal.close()
