"""One of several, picked by its key or with the arrows."""

from __future__ import annotations

import pytest

from floor.tui.dialogs.pick import Option, Pick
from tests.tui.dialog_bench import UNANSWERED, UNDERNEATH, DialogBench, ask

GROUP = [
    "Alma", "Ben", "Yusuf", "Mirela", "Tove", "Oskar", "Pia", "Lotte", "Ivo", "Nadja", "Sem", "Rhea", "Kofi", "Una",
]  # fmt: skip


def group(many: int = 14) -> list[Option]:
    return [Option(100 + at, GROUP[at % 14], f"rest {at}:00") for at in range(many)]


async def test_the_key_before_an_option_picks_it_at_once() -> None:
    assert (await ask(lambda: Pick("Who leaves?", group()), "2")).answer == 101
    assert (await ask(lambda: Pick("Who leaves?", group()), "a")).answer == 109
    assert (await ask(lambda: Pick("Who leaves?", group()), "E")).answer == 113


async def test_every_option_of_a_full_group_shows_its_key_and_hint_at_80x24() -> None:
    bench = await ask(lambda: Pick("Who leaves?", group(), "They can come back later."))
    for key, name in zip("123456789abcde", GROUP, strict=True):
        assert any(f" {key}  {name}" in line and "rest" in line for line in bench.last_words.splitlines()), name
    assert "Who leaves?" in bench.last_words
    assert "They can come back later." in bench.last_words
    assert "Esc leave" in bench.last_words


async def test_the_marked_option_is_told_without_colour_and_enter_takes_it() -> None:
    bench = await ask(lambda: Pick("Who leaves?", group()), "down", "down")
    assert [line for line in bench.last_words.splitlines() if "▶" in line][0].split()[1:4] == ["▶", "3", "Yusuf"]
    assert (await ask(lambda: Pick("Who leaves?", group()), "down", "down", "enter")).answer == 102
    assert (await ask(lambda: Pick("Who leaves?", group()), "up", "enter")).answer == 113


async def test_escape_picks_nothing() -> None:
    assert (await ask(lambda: Pick("Who leaves?", group()), "down", "escape")).answer is None


async def test_keys_can_be_given() -> None:
    options = [Option("start", "start the work set"), Option("heights", "heights"), Option("drill", "group drill")]
    bench = await ask(lambda: Pick("Everything else", options, letters="shd"))
    assert "s  start the work set" in bench.last_words
    assert (await ask(lambda: Pick("Everything else", options, letters="shd"), "d")).answer == "drill"


async def test_a_key_of_no_option_says_so_and_stays() -> None:
    bench = await ask(lambda: Pick("Who leaves?", group(3)), "x")
    assert bench.answer == UNANSWERED
    assert 'Nothing here has the key "x".' in bench.last_words


async def test_one_key_for_two_options_is_a_mistake_of_the_caller() -> None:
    with pytest.raises(ValueError, match="two options"):
        Pick("Everything else", group(3), letters="sSh")


async def test_a_long_list_scrolls_and_says_how_much_is_out_of_sight() -> None:
    bench = await ask(lambda: Pick("Who?", group(30)))
    assert "↓ 12 more" in bench.last_words and "↑" not in bench.last_words.replace("↑ ↓", "")
    bench = await ask(lambda: Pick("Who?", group(30)), "up")
    assert "▶ u  Ben" in bench.last_words
    assert "↑ 12 more" in bench.last_words


@pytest.mark.parametrize("presses", range(0, 40, 3))
async def test_the_marked_option_is_always_in_sight(presses: int) -> None:
    bench = await ask(lambda: Pick("Who?", group(40)), *["down"] * presses)
    marked = [line for line in bench.last_words.splitlines() if "▶" in line]
    assert len(marked) == 1 and f"rest {presses}:00" in marked[0]


async def test_options_past_the_last_key_are_reached_by_the_arrows() -> None:
    assert (await ask(lambda: Pick("Who?", group(40)), "up", "enter")).answer == 139


async def test_nothing_to_pick_is_said() -> None:
    bench = await ask(lambda: Pick("Who leaves?", []), "enter", "down")
    assert bench.answer == UNANSWERED
    assert "Nothing to pick." in bench.last_words
    assert (await ask(lambda: Pick("Who leaves?", []), "escape")).answer is None


async def test_the_screen_below_stays_in_sight_and_its_keys_do_not_act() -> None:
    bench = await ask(lambda: Pick("Who leaves?", group(3)), "backspace", "f1", "f12")
    assert bench.undone == 0
    assert UNDERNEATH in bench.last_words


async def test_the_list_follows_the_size_of_the_terminal() -> None:
    bench = DialogBench(lambda: Pick("Who?", group(30)))
    async with bench.run_test(size=(80, 24)) as pilot:
        assert "more" in bench.words
        await pilot.resize_terminal(80, 45)
        await pilot.pause()
        assert "more" not in bench.words
        assert "u  Ben" in bench.words


async def test_the_first_key_answers_and_the_next_one_finds_it_closed() -> None:
    bench = DialogBench(lambda: Pick("Who leaves?", group()))
    async with bench.run_test(size=(80, 24)) as pilot:
        await pilot.press("escape")
        bench.open()
        bench.type_fast("2345")
        await pilot.pause()
        assert bench.answers == [None, 101]
        assert UNDERNEATH in bench.words


async def test_a_second_answer_closes_nothing_else() -> None:
    bench = DialogBench(lambda: Pick("Who leaves?", group()))
    async with bench.run_test(size=(80, 24)) as pilot:
        dialog = bench.screen
        assert isinstance(dialog, Pick)
        dialog.reply(101)
        dialog.reply(102)
        dialog.action_leave()
        await pilot.pause()
        assert bench.answers == [101]
        assert len(bench.screen_stack) == 1
