"""Lifters sharing one bar, beside a closed form, a table worked out by hand and a constraint solver.

Sources, and how each was had:
- The model, jobs in chains with least delays on one machine: Wikum, Llewellyn and Nemhauser 1994, One-machine
  generalized precedence constrained scheduling problems, Oper Res Lett 16:87-99 (read in the source or its abstract).
- The closed form for equal lifters: computed; proved, and held against 105 instances of a constraint solver.
- The table with set-ups between the lifters: computed; a constraint solver and full enumeration.
- The random groups: computed by OR-tools CP-SAT, whose version and time are in best_known.json; the optima of two
  and three lifters by the enumeration in exhaustive.py.
"""

from __future__ import annotations

import pytest

from floor.core.planner import FIRST, REFINED, Chain, Evening, PlannedSet, least_finish, plan
from tests.core.planner.checking import breaches
from tests.outside.exhaustive import optimum
from tests.outside.platform_evenings import best_known, evening_of
from tests.outside.random_groups import COUNT, Group, group, solve

GROUPS = best_known()
PLAIN = ("lifters", "stacks", "number")


def equal_lifters(n: int, k: int, p: int, rest: int) -> Evening:
    return Evening(tuple(Chain(str(i), (PlannedSet(p, rest, 10 * rest),) * k) for i in range(n)))


def closed_form(n: int, k: int, p: int, rest: int) -> int:
    return max(n * k * p, (k - 1) * (p + rest) + n * p)


@pytest.mark.parametrize(
    ("n", "k", "p", "rest", "finish"),
    [(3, 3, 40, 180, 560), (3, 3, 60, 120, 540), (5, 5, 60, 120, 1500), (5, 5, 30, 300, 1470)],
)
def test_equal_lifters_end_when_the_closed_form_says(n: int, k: int, p: int, rest: int, finish: int) -> None:
    assert closed_form(n, k, p, rest) == finish
    assert plan(equal_lifters(n, k, p, rest)).finish == finish


@pytest.mark.parametrize("n", [1, 2, 4, 6])
@pytest.mark.parametrize("k", [1, 3, 6])
@pytest.mark.parametrize("rest", [0, 45, 150, 400])
def test_equal_lifters_end_by_the_closed_form_for_any_numbers(n: int, k: int, rest: int) -> None:
    evening = equal_lifters(n, k, 37, rest)
    assert least_finish(evening) <= plan(evening).finish == closed_form(n, k, 37, rest)


@pytest.mark.parametrize(("rest", "finish"), [(60, 625), (120, 675), (180, 675), (240, 745)])
def test_three_lifters_with_set_ups_between_them_end_when_the_table_says(rest: int, finish: int) -> None:
    between = ((0, 20, 60), (20, 0, 45), (60, 45, 0))
    chains = tuple(Chain(str(i), (PlannedSet(40, rest, 10 * rest, rig=i),) * 3) for i in range(3))
    made = plan(Evening(chains, change=between, moved=between))
    assert (made.finish, made.proven) == (finish, True)
    assert breaches(made.evening, made.turns) == []


def test_the_committed_groups_are_those_the_seed_makes() -> None:
    assert [{name: one[name] for name in PLAIN} for one in GROUPS] == [group(n) for n in range(COUNT)]


@pytest.mark.parametrize("one", [g for g in GROUPS if len(g["lifters"]) <= 3], ids=lambda g: str(g["number"]))
def test_two_and_three_lifters_end_as_early_as_is_possible(one: Group) -> None:
    best = one["optimum"]
    made = plan(evening_of(one))
    assert made.finish <= 1.005 * best
    assert one["bound"] <= best <= one["finish"]
    assert made.least <= best
    assert breaches(made.evening, made.turns) == []


@pytest.mark.parametrize("number", [0, 5, 10, 15, 66, 71])
def test_looking_at_everything_finds_the_optimum_that_was_written_down(number: int) -> None:
    assert optimum(group(number)) == GROUPS[number]["optimum"]


@pytest.mark.parametrize("one", [g for g in GROUPS if len(g["lifters"]) > 3], ids=lambda g: str(g["number"]))
def test_larger_groups_end_no_later_than_the_solver_found(one: Group) -> None:
    made = plan(evening_of(one), FIRST)
    assert one["bound"] <= made.finish <= 1.02 * one["finish"]
    assert made.least <= one["finish"]
    assert breaches(made.evening, made.turns) == []


@pytest.mark.long
@pytest.mark.parametrize("one", GROUPS, ids=lambda g: str(g["number"]))
def test_the_solver_still_agrees_with_what_was_written_down(one: Group) -> None:
    """What it proves holds for both runs; what it only found can differ with the machine's speed."""
    finish, bound, proven = solve(group(one["number"]), 20.0)
    made = plan(evening_of(one), REFINED)
    assert bound <= min(one["finish"], made.finish)
    assert one["bound"] <= finish
    if proven:
        assert finish <= min(one["finish"], made.finish)
    if "optimum" in one:
        assert bound <= optimum(group(one["number"])) == one["optimum"] <= finish
