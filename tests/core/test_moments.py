"""A moment as a coach types it: minutes from now, or a time on the wall's clock."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from floor.core.moments import ASKED, clock_words, read_moment, seconds_to

NOW = datetime(2025, 3, 3, 17, 2, 30, tzinfo=UTC)
BERLIN = ZoneInfo("Europe/Berlin")


@pytest.mark.parametrize("typed", ["30", " 30 ", "30 min", "30min", "in 30", "in 30 min", "In 30 MIN"])
def test_a_number_is_minutes_from_now(typed: str) -> None:
    assert read_moment(typed, NOW, BERLIN) == NOW + timedelta(minutes=30)


@pytest.mark.parametrize("typed", ["18:40", "18.40", "at 18:40"])
def test_a_time_is_of_the_gyms_own_clock_and_of_tonight(typed: str) -> None:
    at = read_moment(typed, NOW, BERLIN)
    assert at == datetime(2025, 3, 3, 17, 40, tzinfo=UTC)
    assert isinstance(at, datetime) and clock_words(at, BERLIN) == "18:40"


def test_a_time_that_has_passed_is_said_so() -> None:
    assert read_moment("17:40", NOW, BERLIN) == "17:40 has passed: it is 18:02 now."
    assert read_moment("18:02", NOW, BERLIN) == "18:02 has passed: it is 18:02 now."


def test_a_time_after_midnight_is_the_next_days() -> None:
    late = datetime(2025, 3, 3, 22, 50, tzinfo=UTC)
    assert read_moment("0:20", late, BERLIN) == late + timedelta(minutes=30)


@pytest.mark.parametrize("typed", ["", "soon", "25:10", "18:60", "1840", "-5", "18:4"])
def test_anything_else_is_asked_for_again_with_an_example_of_each(typed: str) -> None:
    assert read_moment(typed, NOW, BERLIN) == ASKED


def test_now_is_no_answer() -> None:
    assert read_moment("0", NOW, BERLIN) == "Not now: in 1 minute or more."


@given(st.integers(0, 23), st.integers(0, 59), st.integers(0, 86399))
def test_a_time_read_is_always_to_come_and_within_a_day(hour: int, minute: int, second: int) -> None:
    now = datetime(2025, 3, 3, tzinfo=UTC) + timedelta(seconds=second)
    at = read_moment(f"{hour}:{minute:02d}", now, BERLIN)
    if isinstance(at, datetime):
        assert 0 < (at - now).total_seconds() <= 86400 and clock_words(at, BERLIN) == f"{hour:02d}:{minute:02d}"
        assert seconds_to(at, now) == round((at - now).total_seconds())
    else:
        assert "has passed" in at
