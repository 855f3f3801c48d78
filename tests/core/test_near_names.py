"""Names that differ by a letter are likely one lifter written twice; numbers and initials are told apart on purpose."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from floor.core.nearnames import near_names


@pytest.mark.parametrize(
    ("one", "other"),
    [("Ana", "Anna"), ("Oda Invented", "Oda Invented-"), ("Lena", "Lina"), ("Mira", "Mria"),
     ("ana made-up", "Anna Made-Up"), ("Oda Invented", "OdaInvented")],
)
def test_a_letter_more_less_changed_or_swapped_is_told(one: str, other: str) -> None:
    assert near_names([one, "Somebody Else", other]) == ((one, other),)


@pytest.mark.parametrize(
    ("one", "other"),
    [("Ana", "Oda"), ("Ana", "Annna"), ("Ana B", "Ana C"), ("Ana B.", "Ana C."), ("Lifter 1", "Lifter 2"),
     ("Ana", "Ana B"), ("Ana", "ana"), ("Lifter 1", "Lifter 11"), ("abcd", "acde")],
)  # fmt: skip
def test_what_is_further_apart_or_told_apart_on_purpose_is_not(one: str, other: str) -> None:
    assert near_names([one, other]) == ()


@given(st.lists(st.text(alphabet="abc", min_size=2, max_size=5), max_size=8))
def test_every_pair_is_found_that_one_change_makes(names: list[str]) -> None:
    def changed(name: str) -> set[str]:
        cut = {name[:i] + name[i + 1 :] for i in range(len(name))}
        put = {name[:i] + x + name[i:] for i in range(len(name) + 1) for x in "abc"}
        other = {name[:i] + x + name[i + 1 :] for i in range(len(name)) for x in "abc"}
        swapped = {name[:i] + name[i + 1] + name[i] + name[i + 2 :] for i in range(len(name) - 1)}
        return (cut | put | other | swapped) - {name}

    found = {frozenset(pair) for pair in near_names(names)}
    assert found == {frozenset((a, b)) for a in names for b in names if b in changed(a)}
