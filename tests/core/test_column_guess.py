"""Which column could be what is read from its cells, and only said where most of them agree."""

from __future__ import annotations

from floor.core.columnguess import guess_columns
from floor.core.definitions import parse_gym
from floor.core.gym import Gym
from floor.core.history import Row
from floor.templates import templates

GYM = parse_gym(templates(), {}, "kg")
assert isinstance(GYM, Gym)
HEADINGS = ("When was it", "Whom", "Which", "What", "Notes")


def guess(*rows: tuple[str, ...], wanted: tuple[str, ...] = ("date", "lift", "work")) -> dict[str, str]:
    assert isinstance(GYM, Gym)
    return guess_columns(HEADINGS, [Row(n, cells) for n, cells in enumerate(rows, 2)], wanted, (), GYM)


def test_dates_lifts_and_sets_are_known_by_their_cells() -> None:
    assert guess(
        ("5.10.2026", "Oda", "SQ", "3x5 60 RPE 8", ""), ("31/12/2025", "Pim", "squat", "100x5 (easy)", "3x5 60")
    ) == {"date": "When was it", "lift": "Which", "work": "What"}


def test_a_column_of_which_most_cells_say_nothing_is_not_named() -> None:
    assert guess(("", "", "", "3x5 60", ""), ("", "", "", "rest", ""), ("", "", "", "ill", "")) == {}


def test_numbers_alone_are_no_sets() -> None:
    assert guess(("", "", "", "60", "5"), ("", "", "", "62.5", "5"), wanted=("work",)) == {}
