"""Questions kept under a name: what is written reads back, a name stands for one question."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from floor.core.questions import NAME, Kept, parse_questions, with_kept, without, write_questions, wrong_name

TEXT = st.text(st.characters(codec="utf-8"), min_size=1).filter(lambda t: t.strip("\n") == t)


@given(st.lists(st.builds(Kept, name=TEXT, sql=TEXT)))
def test_whatever_is_written_reads_back_the_same(kept: list[Kept]) -> None:
    assert list(parse_questions(write_questions(kept))) == kept


def test_a_name_stands_for_the_question_kept_last_whatever_its_capitals() -> None:
    kept = with_kept(with_kept((), Kept("Mine", "SELECT 1")), Kept("mine", "SELECT 2"))
    assert kept == (Kept("mine", "SELECT 2"),)
    assert without(kept, "MINE") == ()


def test_questions_stand_in_order_of_their_names() -> None:
    kept = with_kept(with_kept((), Kept("b", "1")), Kept("A", "2"))
    assert [q.name for q in kept] == ["A", "b"]


@pytest.mark.parametrize(("name", "right"), [("my week", True), ("", False), (" ", False), ("a\nb", False)])
def test_a_name_is_printable_words(name: str, right: bool) -> None:
    assert (wrong_name(name) == "") is right


def test_a_name_has_an_end() -> None:
    assert wrong_name("x" * NAME) == "" and str(NAME) in wrong_name("x" * (NAME + 1))


@pytest.mark.parametrize("text", ["question = [1]", "question = 3", "[[question]]\nname = 'a'", "[[question]\n"])
def test_what_is_no_list_of_questions_is_told_in_a_sentence(text: str) -> None:
    with pytest.raises(ValueError, match="question"):
        parse_questions(text)
