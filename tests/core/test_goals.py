"""What an evening is planned for, in the gym's own order: rest first, whatever the others cost."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime
from itertools import permutations

import pytest

from floor.core.definitions import Problems, parse_gym
from floor.core.gym import GOALS, Gym
from floor.core.outlooking import outlook
from floor.core.outlooking.floor_order import Played
from floor.core.outlooking.offering import gains
from floor.core.planner import GOALS as COSTS
from floor.core.planner import KINDS, goals_for, plan
from floor.templates import templates
from tests.core.planner.evenings import linked_evening
from tests.core.scenes import PLATFORM, RACK, came, evening, gym


def parsed(line: str) -> Gym | Problems:
    """The gym of the templates with that line in place of the order of goals."""
    texts = dict(templates())
    shipped = next(x for x in texts["settings"].splitlines() if x.startswith("goals = "))
    texts["settings"] = texts["settings"].replace(shipped, line)
    return parse_gym(texts, dict.fromkeys(texts, 1), "kg")


def sentence(line: str) -> str:
    found = parsed(line)
    assert isinstance(found, Problems)
    (only,) = found.sentences()
    return only


def test_the_template_plans_for_rest_then_the_hour_then_waiting_then_plates() -> None:
    assert gym().settings.goals == GOALS == ("rest", "closing", "waiting", "plates")
    assert goals_for(GOALS) == COSTS


def test_a_gym_without_a_word_on_it_has_the_usual_order() -> None:
    found = parsed("")
    assert isinstance(found, Gym) and found.settings.goals == GOALS


def test_a_gym_may_put_waiting_or_plates_before_the_hour() -> None:
    found = parsed('goals = ["rest", "waiting", "closing", "plates"]')
    assert isinstance(found, Gym) and found.settings.goals == ("rest", "waiting", "closing", "plates")


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ('goals = ["closing", "rest", "waiting", "plates"]', "Put rest first: nobody lifts before the least rest"),
        ('goals = ["rest", "closing", "plates"]', "goals leaves out waiting. Name all of rest, closing, waiting,"),
        ('goals = ["closing", "waiting"]', "goals leaves out rest, plates."),
        ('goals = ["rest", "closing", "waiting", "speed"]', "goals should be a list of words from rest, closing"),
        ("goals = []", "goals is empty. Name at least one of rest, closing, waiting, plates."),
        ('goals = "closing"', "goals should be a list of words from rest, closing, waiting, plates."),
    ],
)
def test_a_bad_order_is_told_in_one_sentence_with_what_to_do(line: str, said: str) -> None:
    assert said in sentence(line) and sentence(line).startswith("settings.toml")


def test_a_goal_named_twice_is_told() -> None:
    found = parsed('goals = ["rest", "closing", "closing", "waiting", "plates"]')
    assert isinstance(found, Problems) and "twice" in found.sentences()[0]


@pytest.mark.parametrize("order", [("rest", *others) for others in permutations(GOALS[1:])])
def test_every_order_names_costs_the_planner_knows_each_once(order: tuple[str, ...]) -> None:
    costs = goals_for(order)
    assert set(costs) <= set(KINDS) and len(set(costs)) == len(costs) and "finish" in costs
    first = {"closing": "closing", "waiting": "care", "plates": "plates"}
    kept = [cost for cost in costs if cost in first.values()]
    assert kept == [first[word] for word in order[1:]]
    assert costs.index("leaving") == costs.index("closing") + 1


def test_what_stands_first_costs_no_more_than_where_it_stands_later() -> None:
    night = replace(linked_evening(3), closing=2400)
    by_waiting = plan(night, 60_000, goals_for(("rest", "waiting", "closing", "plates")))
    by_closing = plan(night, 60_000, goals_for(GOALS))
    assert by_waiting.care < by_closing.care
    assert by_closing.late < by_waiting.late
    assert by_closing.costs_by(COSTS) == by_closing.costs


def test_the_outlook_plans_in_the_gyms_order() -> None:
    scene = evening(
        *(came(n, RACK, "squat-press", squat=50 + 5 * n, press=30) for n in range(1, 6)),
        came(6, PLATFORM, "press", press=30),
    )

    def done(*goals: str) -> datetime:
        """When the plan for these goals is done, of an evening too long for its twenty minutes."""
        chosen = replace(scene.state.gym.settings, goals=goals, minutes=20)
        gym = replace(scene.state.gym, settings=chosen)
        planned = outlook(replace(scene.state, gym=gym), 1, scene.now).planned
        assert planned is not None
        return planned

    assert done(*GOALS) < done("rest", "waiting", "closing", "plates")


def test_of_two_orders_worth_offering_the_one_that_serves_the_first_goal_is_taken() -> None:
    now = Played((), finish=3000, waits=2, waited=100, moved=40)
    sooner, stiller = replace(now, finish=2900), replace(now, finish=2990, moved=20)
    assert gains(now, sooner, goals_for(GOALS)) > gains(now, stiller, goals_for(GOALS))
    plates_first = goals_for(("rest", "plates", "closing", "waiting"))
    assert gains(now, stiller, plates_first) > gains(now, sooner, plates_first)
