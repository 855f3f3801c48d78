"""After a light day the full load comes back, and every place that says what is next says that it is no jump."""

from __future__ import annotations

from dataclasses import replace
from zoneinfo import ZoneInfo

from floor.core import commands as c
from floor.core.card import make_card
from floor.core.comingday import back_words, coming_lift, plan_words
from floor.core.gym import Entry, Grade, Programme
from floor.core.nexttime import LIGHT_DAY, next_reason
from floor.core.pages import Page
from floor.core.state import State
from floor.core.summary import lines, summarise
from floor.tui.present_checkin import details
from floor.tui.present_next import next_lines
from tests.core.scenes import RACK, Scene, a_set, belongs, gym

FULL, LIGHT = Entry("squat", 3, 5), Entry("squat", 2, 5, percent=80)
BACK = "back to the full 100 kg after the light day"
NAMES = {1: "Ada"}


def light_day(*days: tuple[Entry, ...], grade: Grade | None = None) -> Scene:
    """The second of these days, a light one, lifted; the session is still open."""
    mine = replace(gym(), programmes={"mine": Programme("mine", "mine", days)})
    scene = Scene(State(gym=mine)).given(belongs(1, "mine", squat=100))
    scene = replace(scene, state=replace(scene.state, lifters={1: replace(scene.state.lifters[1], day=1)}))
    scene = scene.given(c.OpenSession(), c.Arrive(1, RACK), c.RampDone(1))
    return scene.given(a_set(grade=grade), a_set(grade=grade))


def floor(scene: Scene) -> str:
    return " ".join(line.plain for line in next_lines(scene.state, scene.of(1), "squat", "Ada squat", 120))


def summary(scene: Scene) -> str:
    return " ".join(lines(summarise(scene.state, (), scene.now), scene.state.gym, NAMES, 120))


def card(scene: Scene) -> str:
    page = make_card(scene.state, 1, NAMES, scene.now, "today")
    assert isinstance(page, Page)
    return " ".join(words for part in page.parts for words in part.lines)


def check_in(scene: Scene) -> list[str]:
    told = details(scene.state, scene.state.lifters[1], None, scene.now, ZoneInfo("UTC"))
    return [line.plain for line in told]


def test_the_floor_the_close_the_card_and_check_in_all_say_it() -> None:
    tonight = light_day((FULL,), (LIGHT,))
    assert f"100 kg 3×5: {BACK}" in floor(tonight) and floor(tonight).count("light day") == 1
    assert f"100 kg 3×5: {BACK}" in summary(tonight)
    closed = tonight.given(c.CloseSession())
    assert f"100 kg 3×5: {BACK}" in summary(closed)
    assert f"why: {BACK}" in card(closed) and f"why: {BACK}" in card(tonight)
    assert f"   squat: {BACK}" in check_in(closed.later(days=2))


def test_it_is_said_of_what_is_lifted_then() -> None:
    closed = light_day((FULL,), (LIGHT,)).given(c.CloseSession()).later(days=2)
    there = closed.given(c.OpenSession(), c.Arrive(1, RACK), c.RampDone(1))
    assert there.coming(1).load == 10000 and f"   squat: {BACK}" in check_in(there)


def test_where_the_next_is_light_again_nothing_goes_back() -> None:
    closed = light_day((FULL,), (LIGHT,), (LIGHT,)).given(c.CloseSession())
    lifter = closed.state.lifters[1]
    coming = coming_lift(closed.state.gym, lifter, "squat")
    assert coming is not None and coming.percent == 80 and back_words(coming, closed.state.gym) == ""
    assert plan_words(lifter.plans["squat"], coming, closed.state.gym) == next_reason(LIGHT_DAY)
    assert "back to the full" not in summary(closed) + card(closed) + " ".join(check_in(closed.later(days=2)))


def test_after_time_away_it_is_not_the_full_load() -> None:
    closed = light_day((FULL,), (LIGHT,)).given(c.CloseSession())
    assert any(BACK in line for line in check_in(closed.later(days=13)))
    away = closed.later(days=20)
    assert "back to the full" not in " ".join(check_in(away)) + card(away)


def test_a_light_day_that_showed_a_thing_to_fix_says_both_everywhere() -> None:
    tonight = light_day((FULL,), (LIGHT,), grade=Grade.ROUGH)
    both = f"{BACK} · rough on a light day"
    closed = tonight.given(c.CloseSession())
    for words in (floor(tonight), summary(tonight), summary(closed), card(closed)):
        assert both in words and words.count(BACK) == 1
    assert f"   squat: {BACK}" in check_in(closed.later(days=2))


def test_after_a_full_day_nothing_is_said_of_a_light_one() -> None:
    closed = light_day((LIGHT,), (FULL,), grade=Grade.SHARP).given(c.CloseSession())
    assert "after the light day" not in summary(closed) + card(closed) + " ".join(check_in(closed))
