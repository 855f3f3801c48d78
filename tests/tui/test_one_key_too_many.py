"""One key too many, or the wrong one, on the floor: what is then on the screen, and what is not done."""

from __future__ import annotations

from datetime import timedelta
from pathlib import Path

import pytest

from floor.core import commands as c
from floor.core.gym import Grade
from floor.core.people import NoteAdded
from floor.core.state import PLANNED
from floor.tui.dialogs.confirm import Confirm
from floor.tui.dialogs.keypick import KeyPick
from floor.tui.dialogs.pick import Pick
from floor.tui.draw.bigtext import Size, big
from tests.tui.house import read
from tests.tui.test_floor import Evening, evening, lifted

SIZES = [(80, 24), (140, 45)]
BIG: tuple[Size, ...] = ("small", "tall")


def up(floor: Evening) -> int:
    """The lifter who is up at the first station."""
    lifter = floor.session.state.evening.stations[1].up
    assert lifter is not None
    return lifter


def key_of(floor: Evening, lifter: int) -> str:
    return str(list(floor.session.state.evening.here).index(lifter) + 1)


# --- a dangerous fault


@pytest.mark.parametrize("size", SIZES)
async def test_a_dangerous_fault_says_at_once_what_to_do_and_enter_does_it(
    tmp_path: Path, size: tuple[int, int]
) -> None:
    async with evening(tmp_path, size) as floor:
        lifter = up(floor)
        await floor.press("enter", "space", "x")
        assert "dangerous: the set ends here. Enter ends it" in floor.words("#panel")
        assert "end the set" in floor.words("#keys") and "all made" not in floor.words("#keys")
        await floor.press("enter")
        assert lifted(floor.session, lifter) == [("clean", 1, 0, Grade.BROKEN)]
        assert "STOP the power clean for today" in floor.words("#panel")


async def test_a_rep_after_a_dangerous_fault_is_asked_about_and_enter_is_no(tmp_path: Path) -> None:
    async with evening(tmp_path) as floor:
        await floor.press("enter", "space", "x", "space")
        assert isinstance(floor.app.screen, Confirm)
        assert "Was one rep more done all the same?" in " ".join(read(floor.app.screen).split())
        await floor.press("enter")
        assert "rep 1 of 3" in floor.words("#panel")
        await floor.press("space", "y")
        assert "rep 2 of 3" in floor.words("#panel")


# --- a grade with reps left over


async def test_a_grade_with_reps_not_counted_asks_made_or_not_done(tmp_path: Path) -> None:
    for answer, made in (("enter", 3), ("full_stop", 1)):
        (folder := tmp_path / answer).mkdir()
        async with evening(folder) as floor:
            lifter = up(floor)
            await floor.press("enter", "space", "1")
            asked = read(floor.app.screen)
            assert isinstance(floor.app.screen, KeyPick) and ": 2 reps not counted." in asked
            assert "Enter: all made" in asked and ".: not done" in asked
            await floor.press(answer)
            assert lifted(floor.session, lifter) == [("clean", made, 0, Grade.SHARP)]


async def test_escape_there_leaves_the_set_running(tmp_path: Path) -> None:
    async with evening(tmp_path) as floor:
        await floor.press("enter", "space", "1", "escape")
        assert "rep 1 of 3" in floor.words("#panel")


async def test_a_set_that_a_miss_ended_is_graded_without_a_question(tmp_path: Path) -> None:
    async with evening(tmp_path) as floor:
        lifter = up(floor)
        await floor.press("enter", "space", "full_stop", "3")
        assert lifted(floor.session, lifter) == [("clean", 1, 1, Grade.ROUGH)]


# --- everything stopped


@pytest.mark.parametrize("size", SIZES)
async def test_while_everything_is_stopped_every_card_says_stop_large(tmp_path: Path, size: tuple[int, int]) -> None:
    async with evening(tmp_path, size) as floor:
        name = floor.session.names[up(floor)]
        await floor.press("exclamation_mark")
        for station in floor.session.state.evening.stations:
            view = floor.view(station)
            assert (view.name, str(view.status)) == ("STOP", "STOP")  # type: ignore[attr-defined]
            large = [big("STOP", 40, letters)[0].strip() for letters in BIG]
            assert any(row in floor.card(station) for row in large), "in large letters, without colour"
        assert name in floor.card(1), "who was up stands with the lift"
        await floor.press("exclamation_mark")
        assert floor.view(1).name == name  # type: ignore[attr-defined]


# --- pain


async def test_pain_during_a_set_says_held_and_the_keys_and_offers_no_load(tmp_path: Path) -> None:
    async with evening(tmp_path, (140, 45)) as floor:
        lifter = up(floor)
        name, key = floor.session.names[lifter], key_of(floor, lifter)
        floor.session.do(c.AddNote(lifter), [NoteAdded(lifter, "caution", "spray in the bag")])
        await floor.press("enter", "space", "f9", "enter", *"left", "space", *"knee", "enter")
        said = floor.words("#message")
        assert f"{name}: pain reported, held. No load until the clearance is recorded (F9 {key})." in said
        assert "knee" not in said, "where it hurts is nobody's business but the coach's"
        assert "the power clean set stands as it was: 1 made" in said
        panel = floor.words("#panel")
        assert "1 of 3 made, unseen.  HELD: pain reported" in panel
        assert f"No load until the clearance is recorded: F9 {key}. Caution noted: / n {key}." in panel
        assert "heavier" not in panel + floor.words("#keys") and "LIGHTER" not in panel
        assert "spray" not in said + panel + floor.card(1)
        before = floor.session.state
        await floor.press("equals_sign")
        assert floor.session.state == before and "no proposal here" in floor.words("#message"), "cut short, not missed"


async def test_a_stop_is_not_overruled_for_somebody_held(tmp_path: Path) -> None:
    async with evening(tmp_path) as floor:
        await floor.press("enter", "space", "x", "f9", "enter", "enter")
        before = floor.session.state
        await floor.press("plus")
        assert not isinstance(floor.app.screen, Confirm)
        assert floor.session.state == before and "Record the clearance first" in floor.words("#message")


async def test_the_keys_named_after_pain_open_the_clearance_and_the_note(tmp_path: Path) -> None:
    async with evening(tmp_path) as floor:
        lifter = up(floor)
        key = key_of(floor, lifter)
        floor.session.do(c.AddNote(lifter), [NoteAdded(lifter, "caution", "spray in the bag")])
        await floor.press("f9", key, *"knee", "enter")
        said = floor.words("#message")
        assert "knee" not in said and "pain reported, held. No load until" in said and f"/ n {key}" in said
        await floor.press("slash", "n", key)
        assert "spray in the bag" in read(floor.app.screen)
        await floor.press("escape", "f9", key)
        assert "who cleared it, and when?" in read(floor.app.screen)


async def test_a_late_set_of_somebody_held_is_asked_about_with_the_time(tmp_path: Path) -> None:
    async with evening(tmp_path) as floor:
        lifter = up(floor)
        name = floor.session.names[lifter]
        await floor.press("f9", "enter", "enter")
        since = floor.session.state.lifters[lifter].held_since
        assert since is not None
        before = floor.session.state
        floor.clock.on(300)
        await floor.press("f2", "down", "down", "down")
        while f"▶ {name}" not in read(floor.app.screen):
            await floor.press("down")
        await floor.press("enter")
        asked = " ".join(read(floor.app.screen).split())
        clock = f"{since + timedelta(hours=1):%H:%M}"  # the gym's zone is an hour ahead
        assert f"{name} is held for pain since {clock}. Was this set done before?" in asked
        await floor.press("enter")
        assert floor.session.state == before
        await floor.press("f2")
        while f"▶ {name}" not in read(floor.app.screen):
            await floor.press("down")
        await floor.press("enter", "y")
        assert lifted(floor.session, lifter) == [("clean", 3, 0, Grade.UNSEEN)]


# --- leaving, and whom a list begins with


async def test_leaving_in_a_set_with_no_rep_counted_says_so_and_the_set_is_not_done(tmp_path: Path) -> None:
    async with evening(tmp_path) as floor:
        lifter = up(floor)
        name = floor.session.names[lifter]
        await floor.press("enter", "f8", "l", "enter")
        assert f"{name} left · the power clean set is not done" in floor.words("#message")
        assert lifted(floor.session, lifter) == []
        sets = floor.session.state.evening.here[lifter].sets
        assert all(s.status == PLANNED for s in sets if s.role != "ramp")
        await floor.press("backspace")
        assert floor.session.state.evening.here[lifter].running() is not None


@pytest.mark.parametrize("keys", [("f9",), ("f8", "l"), ("enter", "f9"), ("enter", "f8", "l")])
async def test_the_lists_of_pain_and_leaving_begin_at_the_lifter_in_hand(
    tmp_path: Path, keys: tuple[str, ...]
) -> None:
    async with evening(tmp_path) as floor:
        if up(floor) == 1:
            await floor.press("f5")  # the first to check in would stand first anyhow
        lifter = up(floor)
        assert lifter != 1
        await floor.press(*keys)
        assert isinstance(floor.app.screen, Pick)
        assert f"▶ {key_of(floor, lifter)}  {floor.session.names[lifter]}" in read(floor.app.screen)
