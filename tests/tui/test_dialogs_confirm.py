"""Yes or no."""

from __future__ import annotations

import pytest

from floor.tui.dialogs.confirm import Confirm
from tests.tui.dialog_bench import UNANSWERED, ask, flat


def close() -> Confirm:
    return Confirm("Close the session? Two lifters have sets left; those are not recorded.", "close it")


@pytest.mark.parametrize("key", ["enter", "y", "Y"])
async def test_enter_or_y_is_yes(key: str) -> None:
    assert (await ask(close, key)).answer is True


@pytest.mark.parametrize("key", ["escape", "n", "N"])
async def test_escape_or_n_is_no(key: str) -> None:
    assert (await ask(close, key)).answer is False


async def test_no_other_key_answers() -> None:
    bench = await ask(close, "space", "x", "backspace", "1")
    assert bench.answer == UNANSWERED and bench.undone == 0


async def test_the_whole_question_and_both_keys_are_shown() -> None:
    words = flat((await ask(close)).last_words)
    assert "Close the session? Two lifters have sets left; those are not recorded." in words
    assert "Enter or Y: close it" in words
    assert "Esc or N: no" in words


def overrule() -> Confirm:
    return Confirm("The rule says STOP. Lift on all the same?", "lift on", careful=True)


@pytest.mark.parametrize(
    ("key", "answer"), [("enter", False), ("escape", False), ("n", False), ("y", True), ("Y", True)]
)
async def test_where_yes_is_the_less_safe_way_only_y_is_yes(key: str, answer: bool) -> None:
    assert (await ask(overrule, key)).answer is answer


async def test_where_yes_is_the_less_safe_way_the_keys_say_that_enter_is_no() -> None:
    words = flat((await ask(overrule)).last_words)
    assert "Y: lift on" in words and "Enter, Esc or N: no" in words and "Enter or Y" not in words
