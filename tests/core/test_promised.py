"""The one rule of who is up and who is told next, for the floor and for what is foreseen of it."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from floor.core.queue import NEXT_SLACK, UP_SLACK, WORTH_A_WAIT, promised

LINE = (1, 2, 3)


def told(
    *ready: float,
    up: int | None = None,
    coming: int | None = None,
    ahead: tuple[int, ...] = (),
    busy: bool = False,
    now: float = 0,
) -> tuple[int | None, int | None]:
    """Up and next of three in line who are rested at those seconds."""
    return promised(LINE, up, coming, ahead, busy, dict(zip(LINE, ready, strict=True)), now)


def test_the_first_in_line_is_up_and_the_second_next_when_all_are_rested() -> None:
    assert told(0, 0, 0) == (1, 2)


def test_who_was_told_is_next_up_whoever_else_has_come_before_them() -> None:
    assert told(0, 0, 0, coming=3) == (3, 1)
    assert told(0, 0, 0, up=2, coming=3) == (2, 3)


def test_the_bar_waits_half_a_minute_for_the_first_and_no_longer_however_long_the_others_have_rested() -> None:
    assert WORTH_A_WAIT > UP_SLACK
    for rested in (0, -500):
        assert told(WORTH_A_WAIT, rested, rested)[0] == 1
        assert told(WORTH_A_WAIT + 1, rested, rested)[0] == 2


def test_when_nobody_is_rested_the_first_within_half_a_minute_of_the_soonest_is_up() -> None:
    assert told(230, 200, 400)[0] == 1
    assert told(231, 200, 400)[0] == 2


def test_told_next_looks_a_minute_and_a_half_ahead() -> None:
    assert told(0, NEXT_SLACK, 0) == (1, 2)
    assert told(0, NEXT_SLACK + 1, 0) == (1, 3)


def test_an_order_by_hand_goes_before_rest() -> None:
    assert told(600, 0, 0, ahead=(1, 2)) == (1, 2)
    assert told(0, 600, 0, up=1, ahead=(2,)) == (1, 2)


def test_while_the_bar_is_busy_who_is_on_it_stays() -> None:
    assert told(0, 0, 0, up=9, busy=True) == (9, 1)
    assert told(0, 0, 0, up=9) == (1, 2)


def test_an_empty_line_promises_nobody_anything() -> None:
    assert promised((), None, None, (), False, {}, 0) == (None, None)
    assert promised((), 4, 4, (4,), False, {}, 0) == (None, None)


@given(st.lists(st.integers(-600, 600), min_size=3, max_size=3), st.integers(0, 10_000))
def test_seconds_may_be_counted_from_any_moment(ready: list[int], now: int) -> None:
    assert told(*ready) == told(*(x + now for x in ready), now=now)
