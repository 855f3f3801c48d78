"""A load typed, and a line of text."""

from __future__ import annotations

import pytest

from floor.tui.dialogs.ask import AskLoad, AskText, read_load
from tests.tui.dialog_bench import UNANSWERED, DialogBench, ask


def load(now: int | None = 6000, unit: str = "kg") -> AskLoad:
    return AskLoad("Ben squat: load", unit, now, "For the coming sets.")


async def test_a_load_is_typed_as_people_write_it() -> None:
    assert (await ask(load, *"62.5", "enter")).answer == 6250
    assert (await ask(load, *"62,5", "enter")).answer == 6250
    assert (await ask(lambda: load(None), *"40", "enter")).answer == 4000


async def test_a_sign_means_from_the_load_now() -> None:
    assert (await ask(load, "plus", *"2.5", "enter")).answer == 6250
    assert (await ask(load, "minus", "5", "enter")).answer == 5500


async def test_what_it_comes_to_is_shown_before_enter() -> None:
    bench = await ask(load, "plus", *"2.5")
    assert "now 60 kg  →  62.5 kg" in bench.last_words
    assert bench.answer == UNANSWERED


async def test_question_hint_and_keys_are_shown() -> None:
    words = (await ask(load)).last_words
    for part in ("Ben squat: load", "For the coming sets.", "now 60 kg", "+2.5 or -5", "Enter", "Esc leave"):
        assert part in words
    assert "+2.5 or -5" not in (await ask(lambda: load(None))).last_words


@pytest.mark.parametrize(
    ("typed", "sentence"),
    [
        ("", "No load was typed."),
        ("heavy", '"heavy" is not a number.'),
        ("60lb", "Loads here are in kg, not lb."),
        ("0", "A load must be more than zero."),
        ("1001", "More than 1000 kg is not a load for a bar."),
        ("+941", "More than 1000 kg is not a load for a bar."),
        ("-60", "60 kg less 60 kg leaves no load."),
        ("+", "No load was typed."),
        ("+-5", "A load cannot be negative."),
    ],
)
async def test_a_bad_load_is_told_and_the_question_stays(typed: str, sentence: str) -> None:
    bench = await ask(load, *typed, "enter")
    assert bench.answer == UNANSWERED
    assert sentence in bench.last_words


async def test_a_bad_load_can_be_put_right_and_the_sentence_goes() -> None:
    bench = await ask(load, "x", "enter", "backspace", "5")
    assert "is not a number" not in bench.last_words
    assert bench.undone == 0
    assert (await ask(load, "x", "enter", "backspace", "5", "0", "enter")).answer == 5000


def test_without_a_load_now_there_is_nothing_to_add_to() -> None:
    assert read_load("+5", "kg", None) == "There is no load yet to add to or take from: type the whole load."
    assert read_load("-5", "kg", None) == "There is no load yet to add to or take from: type the whole load."


def test_a_printed_minus_sign_takes_off_too() -> None:
    assert read_load("\N{MINUS SIGN}2,5", "kg", 6000) == 5750
    assert read_load("+ 10 lb", "lb", 13500) == 14500


async def test_escape_answers_no_load() -> None:
    assert (await ask(load, *"62.5", "escape")).answer is None


async def test_text_comes_without_the_blanks_around_it() -> None:
    bench = await ask(lambda: AskText("Note"), "space", *"left", "space", *"knee", "space", "enter")
    assert bench.answer == "left knee"


async def test_text_that_stands_there_is_added_to() -> None:
    assert (await ask(lambda: AskText("Note", initial="left"), *"er", "enter")).answer == "lefter"


async def test_text_that_is_only_proposed_goes_with_the_first_letter() -> None:
    proposed = lambda: AskText("File", initial="answer.csv", selected=True)  # noqa: E731
    assert (await ask(proposed, "enter")).answer == "answer.csv"
    assert (await ask(proposed, *"tom", "enter")).answer == "tom"
    assert (await ask(proposed, "end", *"2", "enter")).answer == "answer.csv2"


async def test_what_was_not_taken_stays_to_be_changed_with_the_reason_under_it() -> None:
    taken: list[str] = []

    def take(typed: str) -> str:
        taken.append(typed)
        return "" if typed == "tom.csv" else f"There is no folder for {typed}."

    bench = await ask(lambda: AskText("File", take=take), *"tom", "enter")
    assert bench.answer == UNANSWERED and "There is no folder for tom." in bench.last_words
    bench = await ask(lambda: AskText("File", take=take), *"tom", "enter", "full_stop", *"csv", "enter")
    assert bench.answer == "tom.csv" and taken == ["tom", "tom", "tom.csv"]


async def test_no_text_is_told_where_some_is_required() -> None:
    bench = await ask(lambda: AskText("Note", "Only you see this."), "space", "enter")
    assert bench.answer == UNANSWERED
    assert "Nothing was typed." in bench.last_words
    assert "Only you see this." in bench.last_words
    assert (await ask(lambda: AskText("Note", required=False), "enter")).answer == ""


async def test_escape_answers_no_text() -> None:
    assert (await ask(lambda: AskText("Note", initial="left"), *"knee", "escape")).answer is None


@pytest.mark.parametrize("initial", ["", "so "])
async def test_letters_typed_faster_than_the_question_opens_are_all_kept(initial: str) -> None:
    bench = DialogBench(lambda: AskText("Note", initial=initial))
    async with bench.run_test(size=(80, 24)) as pilot:
        await pilot.press("escape")
        bench.open()
        bench.type_fast("quickly")
        await pilot.pause()
        await pilot.press("enter")
        assert bench.answer == initial + "quickly"
