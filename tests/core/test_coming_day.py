"""Next time means one thing: the close, the card and check-in say the same load, sets and reps."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest

from floor.core import commands as c
from floor.core.arrivals import blocks, sets_tonight
from floor.core.card import make_card
from floor.core.comingday import after_tonight, coming_lift, coming_words
from floor.core.gym import Entry, Programme
from floor.core.pages import Page
from floor.core.state import State
from floor.core.summary import lines, next_words, summarise
from floor.core.units import show_with_unit
from floor.core.week import the_week
from floor.journal.twoweeks import read_two_weeks
from floor.session import Session
from tests.core.scenes import Scene, a_set, belongs, came, evening, gym, kg, ready
from tests.scenario import demo_session, everyone_in, lift_on, must

ONE = 1
TWO_DAYS = 2 * 24 * 3600
FULL_EVENING = 70
"""Rounds at every station after which nobody has a set left."""


def on(programme: tuple[tuple[Entry, ...], ...], day: int = 0, **loads: float) -> Scene:
    """A lifter on a programme of these days, at one of them."""
    scene = Scene()
    mine = replace(gym(), programmes={"mine": Programme("mine", "mine", programme)})
    scene = replace(scene, state=State(gym=mine)).given(belongs(ONE, "mine", youth=False, **loads))
    lifters = {ONE: replace(scene.state.lifters[ONE], day=day)}
    return replace(scene, state=replace(scene.state, lifters=lifters))


def said(scene: Scene, lift: str) -> str:
    """What the next session with a lift will ask."""
    coming = coming_lift(scene.state.gym, after_tonight(scene.state, ONE), lift, scene.now)
    assert coming is not None
    return coming_words(coming, scene.state.gym)


SQUAT, LIGHT = Entry("squat", 3, 5), Entry("squat", 2, 5, percent=80)


def test_on_a_full_day_the_planned_load_is_asked_for() -> None:
    assert said(on(((SQUAT,), (LIGHT,)), squat=62.5), "squat") == "62.5 kg 3×5"


def test_on_a_light_day_its_part_of_the_whole_load_is_asked_for() -> None:
    asked = said(on(((SQUAT,), (LIGHT,)), day=1, squat=87.5), "squat")
    assert asked == "70 kg 2×5 (light day: 80 % of the full 87.5 kg)"


def test_a_light_day_goes_no_lower_than_where_the_lift_starts() -> None:
    asked = said(on(((SQUAT,), (LIGHT,)), day=1, squat=22), "squat")
    assert asked == "20 kg 2×5 (light day: no lighter than 20 kg, where the lift starts)"


def test_a_lift_the_next_day_does_not_have_is_told_with_its_day() -> None:
    assert said(on(((Entry("bench", 3, 6),), (SQUAT,)), squat=62.5), "squat") == "62.5 kg 3×5 on day 2"
    assert said(on(((SQUAT,), (Entry("bench", 3, 6),)), day=1, squat=62.5), "squat") == "62.5 kg 3×5 on day 1"


def test_a_lift_no_day_has_is_not_asked_for() -> None:
    scene = on(((Entry("bench", 3, 6),),), squat=62.5)
    assert coming_lift(scene.state.gym, scene.state.lifters[ONE], "squat") is None


def test_a_lift_nobody_planned_yet_starts_at_its_start_load_and_is_built_up() -> None:
    scene = on(((SQUAT,),))
    coming = coming_lift(scene.state.gym, scene.state.lifters[ONE], "squat")
    assert coming is not None and coming.new and coming.role == "build"
    assert coming.whole == scene.state.gym.lifts["squat"].start


def test_after_time_away_the_next_session_asks_what_check_in_then_plans() -> None:
    scene = evening(ready(squat=100), *(a_set() for _ in range(3)), c.CloseSession()).later(days=30)
    planned = sets_tonight(scene.state, scene.state.lifters[ONE], scene.now)
    coming = coming_lift(scene.state.gym, scene.state.lifters[ONE], "squat", scene.now)
    assert coming is not None and coming.load < coming.whole
    assert "after time away" in coming_words(coming, scene.state.gym)
    arrived = scene.given(c.OpenSession(), c.Arrive(ONE, 1)).of(ONE)
    assert {s.load for s in arrived.sets if s.role == "work"} == {coming.load}
    assert {s.load for s in planned if s.role == "work"} == {coming.load}


def test_the_stage_keeps_the_load_down_and_the_plan_stays() -> None:
    scene = on(((Entry("bench", 3, 6),),), bench=60)
    lift = scene.state.gym.lifts["bench"]
    stage = next(s for s in lift.stages if s.most is not None)
    lifters = {ONE: replace(scene.state.lifters[ONE], stages={"bench": stage.no})}
    scene = replace(scene, state=replace(scene.state, lifters=lifters))
    coming = coming_lift(scene.state.gym, scene.state.lifters[ONE], "bench")
    assert coming is not None and coming.limited and coming.load == stage.most
    assert said(scene, "bench").endswith("(the stage's most; 60 kg after it)")


def test_an_open_session_is_told_as_if_it_closed_now() -> None:
    scene = evening(ready(programme="three days", squat=100), *(a_set() for _ in range(3)))
    before = after_tonight(scene.state, ONE)
    closed = scene.given(c.CloseSession()).state.lifters[ONE]
    assert (before.plans["squat"].load, before.day) == (closed.plans["squat"].load, closed.day) == (kg(102.5), 1)
    assert said(scene, "squat") == "82 kg 2×5 on day 3 (light day: 80 % of the full 102.5 kg)"


def test_a_lift_not_planned_yet_is_told_at_the_close_as_check_in_will_plan_it() -> None:
    scene = evening(came(programme="squat-press", squat=60)).given(c.CloseSession())
    told = " ".join(" ".join(lines(summarise(scene.state), scene.state.gym, {ONE: "Ada"}, 200)).split())
    start = show_with_unit(scene.state.gym.lifts["press"].start, "kg")
    assert f"next: {start} 2×6: new: a first load is found from there" in told


# --- the demo's evening, closed


@pytest.fixture(scope="module")
def closed(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Session]:
    """The demo's evening lifted to its end and closed; two days have gone by."""
    folder: Path = tmp_path_factory.mktemp("coming")
    session, clock = demo_session(folder)
    everyone_in(session, clock)
    lift_on(session, clock, FULL_EVENING)
    must(session, c.CloseSession())
    clock.on(TWO_DAYS)
    yield session
    session.journal.close()


def test_close_card_and_check_in_say_the_same_load_for_every_lifter(closed: Session) -> None:
    state, now = closed.state, closed.clock.now()
    compared = light = 0
    for came_ in summarise(state, closed.tonight, now).came:
        planned = {b.lift: b.work[0] for b in blocks(sets_tonight(state, state.lifters[came_.lifter], now))}
        card = make_card(state, came_.lifter, closed.names, now, "Friday")
        assert isinstance(card, Page)
        on_card = {part.heading.split(" · ")[0]: part.rows for part in card.parts}
        for lift in came_.lifts:
            coming = lift.next.coming
            if lift.lift not in planned:
                assert coming is None or coming.ahead > 0
                continue
            work = planned[lift.lift]
            assert coming is not None and coming.ahead == 0
            assert (coming.load, coming.reps, coming.role) == (work.load, work.reps, work.role)
            asked = f"{show_with_unit(work.load, state.gym.unit)} {coming.sets}×{work.reps}"
            assert next_words(lift.next, state.gym).startswith(asked)
            row = (show_with_unit(work.load, state.gym.unit), f"{coming.sets} × {work.reps}")
            assert row in [r[1:3] for r in on_card[state.gym.lifts[lift.lift].name]]
            compared += 1
            light += coming.percent < 100
    assert compared >= len(state.evening.here) and light


def test_the_week_says_the_load_that_checking_in_then_plans(closed: Session) -> None:
    state, now = closed.state, closed.clock.now()
    cursor = closed.journal.cursor()
    week = the_week(read_two_weeks(cursor), state, closed.names, now.date(), trends=False, now=now)
    cursor.close()
    assert week is not None
    for one in week.lifters:
        planned = {b.lift: b.work[0].load for b in blocks(sets_tonight(state, state.lifters[one.lifter], now))}
        asked = {x.lift: x.coming.load for x in one.lifts if x.coming is not None and x.coming.ahead == 0}
        assert asked == {lift: load for lift, load in planned.items() if lift in {x.lift for x in one.lifts}}
