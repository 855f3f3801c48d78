"""Within the evening, as between two: no load is proposed that is more than a tenth above the one just lifted."""

from __future__ import annotations

from dataclasses import replace

from hypothesis import given, settings
from hypothesis import strategies as st

from floor.core.commands import OpenSession, Overrule
from floor.core.gym import Gym
from floor.core.state import State
from floor.core.steps import MOST_PERCENT
from tests.core.scenes import Scene, a_set, came, gym, kg


def cleans(load: float, where: Gym) -> Scene:
    """Someone whose cleans are built up from this load, the ramp behind them."""
    scene = Scene(State(gym=where)).given(OpenSession(), came(programme="clean", clean=load))
    while scene.coming(1).role == "ramp":
        scene = scene.given(a_set(made=scene.coming(1).reps))
    return scene


def coarse() -> Scene:
    """A clean at 20 kg where 1.25 kg are the lightest plates: the next load that can be built is 22.5 kg."""
    return cleans(20, replace(gym(), plates=tuple(p for p in gym().plates if p.mass >= kg(1.25))))


def proposed(scene: Scene) -> tuple[str, str, int]:
    """(action, rule, load) after one more set of three, sharp."""
    *begun, end = a_set(made=3)
    event = scene.given(begun).when(end).event("set_proposed")
    return event.action or "", event.rule or "", event.load or 0


def test_a_light_bar_rises_by_a_tenth_and_not_by_a_whole_step() -> None:
    assert gym().lifts["clean"].step == kg(2.5)
    assert proposed(cleans(20, gym())) == ("add", "build-adds", kg(22))


def test_a_bar_of_which_the_step_is_less_than_a_tenth_rises_by_the_step() -> None:
    assert proposed(cleans(40, gym())) == ("add", "build-adds", kg(42.5))


def test_where_the_lightest_pair_is_more_than_a_tenth_the_load_stays_and_it_says_so() -> None:
    assert proposed(coarse()) == ("keep", "tenth-keeps", kg(20))


def test_the_coach_may_go_over_a_tenth_when_they_are_sure() -> None:
    scene = coarse().given(a_set(made=3))
    assert "2.5 kg more than planned" in scene.when(Overrule(1, "clean", "add")).why
    assert scene.given(Overrule(1, "clean", "add", sure=True)).coming(1).load == kg(22.5)


@settings(deadline=None, max_examples=40)
@given(st.integers(20, 120), st.sampled_from((0.5, 1.0, 1.25, 2.5, 5.0)))
def test_whatever_the_load_and_the_plates_no_more_than_a_tenth_is_added_at_once(load: int, lightest: float) -> None:
    """ACSM position stand 2009, Med Sci Sports Exerc 41(3):687-708 (read): 2-10 %; its upper end is held."""
    scene = cleans(load, replace(gym(), plates=tuple(p for p in gym().plates if p.mass >= kg(lightest))))
    lifted = scene.coming(1).load
    action, rule, after = proposed(scene)
    assert after * 100 <= lifted * (100 + MOST_PERCENT), rule
    assert (action == "add") == (after > lifted), rule
