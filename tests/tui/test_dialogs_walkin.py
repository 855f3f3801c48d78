"""Somebody who walked in: the name, Enter, done."""

from __future__ import annotations

import pytest

from floor.core.people import Person, board_name
from floor.tui.dialogs.pick import Option
from floor.tui.dialogs.walkin import WalkIn, WalkInAnswer
from tests.tui.dialog_bench import UNANSWERED, ask, flat

STATIONS = [Option(1, "platform 1", "4 here"), Option(2, "platform 2", "5 here"), Option(3, "platform 3", "5 here")]
PEOPLE = [Person(1, "Ben Carver", "Ben"), Person(2, "Alma Quill", "Alma")]


def walk_in() -> WalkIn:
    return WalkIn(STATIONS, PEOPLE)


async def test_a_name_and_enter_is_enough() -> None:
    bench = await ask(walk_in, *"Zoe", "enter")
    assert bench.answer == WalkInAnswer("Zoe", "Zoe", youth=False, station=1)


async def test_the_first_word_goes_on_the_board_and_is_shown_while_typing() -> None:
    bench = await ask(walk_in, *"Zoe", "space", *"Winter")
    assert "on the board: Zoe" in bench.last_words
    bench = await ask(walk_in, *"Zoe", "space", *"Winter", "enter")
    assert bench.answer == WalkInAnswer("Zoe Winter", "Zoe", youth=False, station=1)


async def test_a_name_that_is_taken_gets_an_initial() -> None:
    bench = await ask(walk_in, *"Ben", "space", *"Kettle")
    assert "on the board: Ben K" in bench.last_words


async def test_somebody_of_the_gym_is_never_taken_for_new() -> None:
    bench = await ask(walk_in, *"ben", "space", *"CARVER", "enter", "enter")
    assert bench.answer == UNANSWERED
    assert "Ben Carver belongs to this gym: Esc, and check in from the list." in flat(bench.last_words)


@pytest.mark.parametrize(
    ("typed", "who"), [("Alma", "Alma Quill"), ("Alma Quil", "Alma Quill"), ("Benn Carver", "Ben Carver")]
)
async def test_a_name_like_one_of_the_gyms_is_asked_about_once(typed: str, who: str) -> None:
    keys = ["space" if letter == " " else letter for letter in typed]
    bench = await ask(walk_in, *keys, "enter")
    assert bench.answer == UNANSWERED and f"Is it {who}?" in flat(bench.last_words)
    assert (await ask(walk_in, *keys, "enter", "enter")).answer.name == typed


def test_board_names_are_never_the_same() -> None:
    assert board_name("Ben", {"Alma"}) == "Ben"
    assert board_name("ben", {"BEN"}) == "Ben 2"
    assert board_name("Ben", {"Ben", "ben 2"}) == "Ben 3"
    assert board_name("Ben Kettle", {"Ben", "Ben K"}) == "Ben 2"
    assert board_name("  ", {"Ben"}) == ""


async def test_young_is_one_key_and_is_told_in_words() -> None:
    assert "young lifter: no" in (await ask(walk_in)).last_words
    bench = await ask(walk_in, "f2", *"Zoe")
    assert "young lifter: yes" in bench.last_words
    assert bench.undone == 0
    assert (await ask(walk_in, *"Zoe", "f2", "enter")).answer.youth is True
    assert (await ask(walk_in, *"Zoe", "f2", "f2", "enter")).answer.youth is False


@pytest.mark.parametrize(("keys", "station"), [(["down"], 2), (["f3", "f3"], 3), (["up"], 3), (["f3"] * 3, 1)])
async def test_the_station_is_chosen_with_the_arrows_or_f3(keys: list[str], station: int) -> None:
    assert (await ask(walk_in, *"Zoe", *keys, "enter")).answer.station == station


async def test_the_station_chosen_is_marked() -> None:
    assert "▶ platform 2  5 here" in (await ask(walk_in, "down")).last_words


async def test_the_station_proposed_is_taken_unless_another_is_chosen() -> None:
    def proposed() -> WalkIn:
        return WalkIn(STATIONS, (), proposed=3, programme="Beginner, three days")

    assert (await ask(proposed, *"Zoe", "enter")).answer.station == 3
    assert (await ask(proposed, *"Zoe", "down", "enter")).answer.station == 1
    assert "starts on: Beginner, three days" in (await ask(proposed)).last_words


async def test_an_empty_name_is_told_until_one_is_typed() -> None:
    bench = await ask(walk_in, "space", "enter")
    assert bench.answer == UNANSWERED
    assert "A walk-in needs a name: type at least the first one." in bench.last_words
    assert "needs a name" not in (await ask(walk_in, "enter", "Z")).last_words


async def test_keys_are_shown() -> None:
    words = (await ask(walk_in)).last_words
    for part in ("Enter check in", "F2 young or not", "F3 station", "Esc leave"):
        assert part in words


async def test_escape_checks_nobody_in() -> None:
    assert (await ask(walk_in, *"Zoe", "escape")).answer is None


async def test_without_a_station_there_is_no_walk_in() -> None:
    with pytest.raises(ValueError, match="station"):
        WalkIn([], ())
