"""The same top load, evening after evening: when a coach calls it a stall, and what is none."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from floor.core.course import EASED, progress
from floor.core.evidence.trend import Progress, Verdict
from floor.core.gym import Grade
from floor.core.maxima import bests
from floor.core.past import Best, SetPast, Top
from floor.core.sameload import LIGHTER, SAME, same_load, tops_of
from floor.core.state import Lifter, NextPlan
from tests.core.scenes import gym

TODAY = date(2026, 11, 25)
WHO = Lifter(1, plans={"squat": NextPlan("squat", 3, 5, 6000, "imported", 0)})


def evenings(*loads: float, reps: int = 5, apart: int = 7) -> tuple[Best, ...]:
    """The best set of each evening, oldest first, the last of them today."""
    last = len(loads) - 1
    return tuple(
        Best(TODAY - timedelta(days=apart * (last - n)), 1, "squat", reps, int(100 * load))
        for n, load in enumerate(loads)
    )


def word(done: tuple[Best, ...], lifter: Lifter = WHO) -> Progress:
    return progress(gym(), "squat", lifter, done, TODAY)


def tops(*loads: float) -> tuple[Top, ...]:
    return tuple(Top(int(100 * load), 5) for load in loads)


def test_four_evenings_with_one_top_load_are_a_stall_and_it_says_how_many() -> None:
    found = word(evenings(50, 52.5, 55, 57.5, 57.5, 57.5, 57.5))
    assert found.verdict is Verdict.STALLED
    assert found.words == "stalled: same top load, 57.5 kg, 4 evenings running"


def test_three_evenings_are_not_yet_one() -> None:
    assert word(evenings(50, 52.5, 55, 57.5, 57.5, 57.5)).verdict is not Verdict.STALLED


def test_a_stall_needs_no_more_evenings_than_its_own() -> None:
    assert word(evenings(*[60] * SAME)).verdict is Verdict.STALLED
    assert word(evenings(*[60] * (SAME - 1))).verdict is Verdict.EARLY


def test_sets_brought_in_count_like_any_other() -> None:
    brought = [SetPast(n, b.evening, 1, "squat", 1, None, b.load, 5, 0, Grade.UNSEEN) for n, b in
               enumerate(evenings(50, 52.5, 55, 55, 55, 55, 55))]  # fmt: skip
    assert word(bests(brought)).words == "stalled: same top load, 55 kg, 5 evenings running"


@pytest.mark.parametrize("light", [(48,), (54, 48), (59,)], ids=["light day", "two light days", "a bad day"])
def test_a_light_day_between_is_passed_over(light: tuple[float, ...]) -> None:
    days = [60, *light] * 4
    found = word(evenings(*days, apart=3))
    assert found.words == f"stalled: same top load, 60 kg, 4 evenings, {4 * len(light)} lighter aside"


def test_an_ease_back_starts_the_count_anew_and_is_no_fall() -> None:
    done = (50, 52.5, 55, 57.5, 60, 60, 60, 60, 54, 56, 58, 60)
    for last in range(9, len(done) + 1):
        found = word(evenings(*done[:last]))
        assert found.verdict is not Verdict.FALLING
        assert (found.verdict is Verdict.STALLED) is (last - 8 <= LIGHTER), found.words
    assert same_load(tops(*done)) is not None and same_load(tops(*done)).evenings == 1  # type: ignore[union-attr]


def test_a_load_that_came_down_for_good_stalls_only_after_as_many_evenings_there() -> None:
    assert word(evenings(60, 55, 55, 55)).verdict is Verdict.EARLY
    assert word(evenings(60, 55, 55, 55, 55)).words == "stalled: same top load, 55 kg, 4 evenings running"


def test_a_rep_more_with_the_same_load_is_no_stall_and_a_rep_fewer_no_rise() -> None:
    more = tuple(replace_reps(b, 5 + n) for n, b in enumerate(evenings(60, 60, 60, 60)))
    fewer = tuple(replace_reps(b, reps) for b, reps in zip(evenings(60, 60, 60, 60), (5, 4, 5, 4), strict=True))
    assert word(more).verdict is not Verdict.STALLED
    assert word(fewer).words == "stalled: same top load, 60 kg, 4 evenings running"


def replace_reps(best: Best, reps: int) -> Best:
    return best._replace(reps=reps)


def test_never_rising_while_the_last_evenings_are_a_stall() -> None:
    found = word(evenings(*(50 + 2.5 * n for n in range(12)), 80, 80, 80, 80))
    assert found.verdict is Verdict.STALLED and "rising" not in found.words


def test_a_load_still_repeated_by_the_rules_is_said_in_their_words() -> None:
    running = replace(WHO, plans={"squat": NextPlan("squat", 3, 5, 6000, "miss-repeats", 3)})
    assert word(evenings(60, 60, 60, 60), running).words == "stalled: 3 repeats running"
    eased = replace(WHO, plans={"squat": NextPlan("squat", 3, 5, 5400, EASED, 0, was=6000)})
    assert word(evenings(60, 60, 60, 60), eased).words == "stalled: 3 repeats running, now lighter"


def test_the_load_of_a_lift_without_a_plan_is_still_being_found() -> None:
    assert word(evenings(60, 60, 60, 60), Lifter(1)).verdict is Verdict.EARLY


def test_a_lifters_own_step_says_what_a_slow_rise_is() -> None:
    slow = tuple(Best(TODAY - timedelta(days=7 * n), 1, "squat", 5, load) for n, load in
                 enumerate((6080, 6000, 6070, 6010, 6060, 6005, 6065, 6015)))  # fmt: skip
    assert word(slow).verdict is Verdict.STALLED
    own = replace(WHO, steps={"squat": 50})
    assert word(slow, own).verdict is Verdict.UNCLEAR


def test_no_evening_says_nothing() -> None:
    assert same_load(()) is None and tops_of(()) == ()
    assert tops_of([Best(TODAY, 1, "squat", 0, 6000, False)]) == (), "a load that was only missed is no top"


LOADS = st.lists(st.integers(16, 30).map(lambda n: 2.5 * n), min_size=1, max_size=20)


@given(LOADS)
def test_it_names_a_load_of_the_last_evenings_and_none_of_its_evenings_was_heavier(loads: list[float]) -> None:
    found = same_load(tops(*loads))
    assert found is not None and found.load == 100 * max(loads[-LIGHTER - 1 :])
    over = loads[-(found.evenings + found.lighter) :]
    assert max(over) * 100 == found.load == over[0] * 100
    assert over.count(over[0]) == found.evenings


@given(LOADS, st.integers(1, 4))
def test_a_heavier_evening_ends_every_stall(loads: list[float], more: int) -> None:
    found = same_load(tops(*loads, max(loads) + more))
    assert found is not None and (found.evenings, found.lighter) == (1, 0)
